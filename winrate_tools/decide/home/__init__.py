"""What becomes of strangers' word once a table has played."""
