"""Bytes to rows of text cells, for tables small and large."""
