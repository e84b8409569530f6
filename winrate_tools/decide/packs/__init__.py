"""What a table that drafts from a pool gets to see."""
