"""Which column holds what: told, proven, named, remembered or asked."""
