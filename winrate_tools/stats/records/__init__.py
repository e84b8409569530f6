"""What counts say by themselves, before any model."""
