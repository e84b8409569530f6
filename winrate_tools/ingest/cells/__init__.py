"""What one cell can hold: numbers, names, dates, prices, scores."""
