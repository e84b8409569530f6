"""Each kind of table from its file: one reader a kind."""
