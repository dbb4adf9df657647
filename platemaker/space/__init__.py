"""Exact figures in space: bores, cones, prisms and faces, and what lies between them. No kernel, no mesh."""

from platemaker.space._bounds import bounding_box
from platemaker.space._figures import Cone, Convex, Cylinder, Disc, Figure, HalfSpace, Prism, Segment, box, extended
from platemaker.space._frame import Frame, rotation
from platemaker.space._separation import Separation, is_empty, separation
from platemaker.space._vectors import Box3, Vec3

__all__ = [
    "Box3",
    "Cone",
    "Convex",
    "Cylinder",
    "Disc",
    "Figure",
    "Frame",
    "HalfSpace",
    "Prism",
    "Segment",
    "Separation",
    "Vec3",
    "bounding_box",
    "box",
    "extended",
    "is_empty",
    "rotation",
    "separation",
]
