"""The exact plane: regions of lines and arcs, and what is asked of them. Nothing here polygonises."""

from platemaker.plane._shapes import Arc, Box, Circle, Edge, Line, Loop, Point, Region

__all__ = ["Arc", "Box", "Circle", "Edge", "Line", "Loop", "Point", "Region"]
