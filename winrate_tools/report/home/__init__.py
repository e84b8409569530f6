"""Words on a table's own games."""
