"""What was written, read back by other code."""
