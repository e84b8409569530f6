"""How many games it takes."""
