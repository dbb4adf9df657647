"""What to read before the calipers come out, and what the next reading should be."""
