"""What a table's own games add."""
