"""One job a file: what a command does, for checked tables and notebooks."""
