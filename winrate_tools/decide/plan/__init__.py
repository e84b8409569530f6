"""The next pool: what goes, what comes, how many copies."""
