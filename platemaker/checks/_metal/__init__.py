"""Walls: metal left between cuts, and bores that are meant to meet."""
