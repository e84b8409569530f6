"""Words on packs."""
