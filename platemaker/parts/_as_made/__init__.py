"""Parts as they were really cut, from readings of the finished piece."""
