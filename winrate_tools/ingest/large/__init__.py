"""Tables too large for memory, counted as they stream by."""
