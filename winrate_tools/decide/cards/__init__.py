"""What to cut, keep or wait for, and why."""
