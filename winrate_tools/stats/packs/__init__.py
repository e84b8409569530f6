"""What is dealt, and what a seat sees of it."""
