"""Geometry of cuts: drill points, rounded and chamfered edges of holes. No source but the definition."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, at_least, between, formula, refuse
from platemaker.formulas._sources import GEOMETRY
from platemaker.records import Record


@formula(GEOMETRY, "cone", law="h = (d/2)/tan(θ/2)", gives="mm", d=above(0, "mm"), angle=between(60, 180, "deg"))
def drill_point_height(d: float, angle: float = 118.0) -> float:
    """Height of the cone that a drill leaves below the full diameter.

    Source: plane and solid geometry, cone.
    d: drill diameter.
    angle: point angle.
    >>> round(drill_point_height(10.0), 3)
    3.004
    """
    return d / 2 / math.tan(math.radians(angle / 2))


class EllipseAxes(Record):
    """Axes of an ellipse, mm: across and along the slant."""

    minor: float
    major: float


SPANDREL_AREA = 1 - math.pi / 4
"""Area between a unit quarter circle and its two tangents."""
SPANDREL_CENTROID = (5 / 6 - math.pi / 4) / SPANDREL_AREA
"""Distance of its centroid from either tangent: 0.2234."""


@formula(
    GEOMETRY,
    "Pappus's theorem",
    law="V = (1 − π/4) r² (L + 2π × 0.2234 r)",
    gives="mm3",
    L=above(0, "mm"),
    r=at_least(0, "mm"),
)
def mouth_volume(L: float, r: float) -> float:
    """Material removed by rounding the edge of an opening whose outline is smooth and closed.

    It holds for any such outline of convex lines and arcs: the straight parts sweep the corner along, the arcs turn it
    through 360 degrees in all.

    Source: plane and solid geometry, Pappus's theorem.
    L: length of the opening's outline.
    r: mouth radius.
    >>> round(mouth_volume(1000.0, 6.0), 1)
    7790.7
    """
    return SPANDREL_AREA * r**2 * (L + 2 * math.pi * SPANDREL_CENTROID * r)


@formula(
    GEOMETRY,
    "Pappus's theorem",
    law="V = c h/2 (L + 2π c/3)",
    gives="mm3",
    L=above(0, "mm"),
    c=at_least(0, "mm"),
    h=at_least(0, "mm"),
)
def chamfer_volume(L: float, c: float, h: float) -> float:
    """Material removed by chamfering the edge of an opening whose outline is smooth and convex.

    Source: plane and solid geometry, Pappus's theorem.
    L: length of the opening's outline.
    c: width of the chamfer on the face.
    h: depth of the chamfer along the wall.
    >>> round(chamfer_volume(1000.0, 6.0, 6.0), 1)
    18226.2
    """
    return c * h / 2 * (L + 2 * math.pi * c / 3)


@formula(
    GEOMETRY,
    "direction cosine",
    law="θ = arccos(|z|/sqrt(x² + y² + z²))",
    gives="deg",
    x=between(-1e6, 1e6, "-"),
    y=between(-1e6, 1e6, "-"),
    z=between(-1e6, 1e6, "-"),
)
def angle_from_vertical(x: float, y: float, z: float) -> float:
    """Angle of a direction, such as a drain line's, from the vertical z axis; 0 to 90.

    Source: plane and solid geometry, direction cosine.
    x: part of the direction along x.
    y: part of the direction along y.
    z: part of the direction along z.
    Raises OutOfRange for no direction at all.
    >>> round(angle_from_vertical(0.0, 3.0, -4.0), 3)  # 3-4-5 triangle
    36.87
    """
    if x == y == z == 0:
        raise refuse(angle_from_vertical, "z", z, "a direction that is not (0, 0, 0)")
    return math.degrees(math.atan2(math.hypot(x, y), abs(z)))
