"""Game logs to counts, in bounded memory."""
