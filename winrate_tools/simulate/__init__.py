"""Draft worlds with known truth."""
