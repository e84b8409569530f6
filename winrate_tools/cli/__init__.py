"""The command line: one command, one file."""
