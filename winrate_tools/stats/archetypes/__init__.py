"""How strong each archetype is, and why."""
