"""Which figure the readings mean, which of them are wrong, and when there is no answer."""
