"""How strong each card is, and how surely."""
