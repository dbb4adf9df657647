"""Pressure under gaskets: plates as elastic solids on a one-sided sheet, their bolts, and the way a leak takes."""
