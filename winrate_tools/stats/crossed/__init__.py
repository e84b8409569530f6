"""What an average card would have won in the same company: the crossed model."""
