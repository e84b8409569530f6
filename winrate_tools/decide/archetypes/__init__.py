"""Which archetypes need help."""
