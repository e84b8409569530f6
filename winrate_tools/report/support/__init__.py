"""What a table can and cannot support."""
