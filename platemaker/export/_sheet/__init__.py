"""The drawing of a part and the sheets beside it."""
