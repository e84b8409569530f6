"""Bytes in, checked tables out."""
