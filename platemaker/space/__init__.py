"""Exact figures in space: bores, cones, prisms and faces, and what lies between them. No kernel, no mesh.

Everything is in mm and degrees. `separation` is the heart: a signed distance with the points where it is measured.
"""

from platemaker.space._bounds import bounding_box, box_gap
from platemaker.space._clipped import Ways, least_to, pieces_in, separation_within
from platemaker.space._crossing import (
    Crossing,
    Entry,
    ObliqueSection,
    crossing,
    entry,
    oblique_section,
    spotface_depth,
)
from platemaker.space._figures import Cone, Convex, Cylinder, Disc, Figure, HalfSpace, Prism, Segment, box
from platemaker.space._flare import AnyFigure, Flare
from platemaker.space._frame import Frame, rotation
from platemaker.space._inside import Numbers, depth, edge_distance
from platemaker.space._pairs import Pair, closest_pairs, near_pairs
from platemaker.space._quadrature import integral
from platemaker.space._search import least_along
from platemaker.space._separation import Separation, apart, is_empty, separation
from platemaker.space._slices import volume_left
from platemaker.space._trimmed import trimmed
from platemaker.space._vectors import (
    Box3,
    Vec3,
    add,
    along,
    aside,
    beside,
    cosine_along,
    cross,
    dot,
    midpoint,
    perpendiculars,
    scale,
    shifted,
    sub,
)
from platemaker.space._volume import Overlap, overlap_volume

__all__ = [
    "AnyFigure",
    "Box3",
    "Cone",
    "Convex",
    "Crossing",
    "Cylinder",
    "Disc",
    "Entry",
    "Figure",
    "Flare",
    "Frame",
    "HalfSpace",
    "Numbers",
    "ObliqueSection",
    "Overlap",
    "Pair",
    "Prism",
    "Segment",
    "Separation",
    "Vec3",
    "Ways",
    "add",
    "along",
    "apart",
    "aside",
    "beside",
    "bounding_box",
    "box",
    "box_gap",
    "closest_pairs",
    "cosine_along",
    "cross",
    "crossing",
    "depth",
    "dot",
    "edge_distance",
    "entry",
    "integral",
    "is_empty",
    "least_along",
    "least_to",
    "midpoint",
    "near_pairs",
    "oblique_section",
    "overlap_volume",
    "perpendiculars",
    "pieces_in",
    "rotation",
    "scale",
    "separation",
    "separation_within",
    "shifted",
    "spotface_depth",
    "sub",
    "trimmed",
    "volume_left",
]
