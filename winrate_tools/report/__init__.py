"""Decisions in, words and pictures out."""
