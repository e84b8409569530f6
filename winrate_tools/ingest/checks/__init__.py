"""Everything that can be wrong with a table, told at once and in place."""
