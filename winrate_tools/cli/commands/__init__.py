"""One command, one file."""
