"""Decide from win-rate data what to cut from a fixed pool of draft cards."""

__version__ = "0.1.0"
