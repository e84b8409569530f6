"""A document as text for a terminal and as markdown."""
