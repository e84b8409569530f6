"""Numbers in, numbers out; knows no file, no verdict, no prose."""
