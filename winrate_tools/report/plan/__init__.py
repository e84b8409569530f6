"""Words on the next pool and on what changed."""
