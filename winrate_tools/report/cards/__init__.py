"""Words on cards and on the whole pool: the cut report."""
