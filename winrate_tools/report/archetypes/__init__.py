"""Words on archetypes."""
