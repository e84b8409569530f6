"""Estimates in, decisions with reasons out."""
