"""Geometry of cuts: drill points, countersinks, slanted bores, rounded mouths. No source but the definition."""

from __future__ import annotations

import math
from dataclasses import dataclass

from platemaker.formulas._registry import above, at_least, between, formula, refuse
from platemaker.formulas._sources import GEOMETRY


@formula(GEOMETRY, "cone", law="h = (d/2)/tan(θ/2)", gives="mm", d=above(0, "mm"), angle=between(60, 180, "deg"))
def drill_point_height(d: float, angle: float = 118.0) -> float:
    """Height of the cone that a drill leaves below the full diameter.

    Source: plane and solid geometry, cone.
    d: drill diameter, mm, > 0.
    angle: point angle, deg, 60 to 180.
    Raises OutOfRange outside these.
    >>> round(drill_point_height(10.0), 3)
    3.004
    """
    return d / 2 / math.tan(math.radians(angle / 2))


@formula(
    GEOMETRY,
    "cone",
    law="h = (D − d)/(2 tan(θ/2))",
    gives="mm",
    D=above(0, "mm"),
    d=at_least(0, "mm"),
    angle=between(60, 120, "deg"),
)
def countersink_depth(D: float, d: float, angle: float) -> float:
    """Depth of a countersink from the face down to the hole.

    Source: plane and solid geometry, cone.
    D: diameter at the face, mm, > 0.
    d: hole diameter, mm, >= 0.
    angle: angle of the cone, deg, 60 to 120.
    Raises OutOfRange outside these, and unless d < D.
    >>> round(countersink_depth(12.0, 6.0, 90.0), 9)
    3.0
    """
    if d >= D:
        raise refuse(countersink_depth, "d", d, f"< D = {D:g} mm")
    return (D - d) / 2 / math.tan(math.radians(angle / 2))


@formula(
    GEOMETRY,
    "cone",
    law="d = D − 2 t tan(θ/2), not below 0",
    gives="mm",
    D=above(0, "mm"),
    t=at_least(0, "mm"),
    angle=between(60, 120, "deg"),
)
def countersink_diameter_below(D: float, t: float, angle: float) -> float:
    """Diameter of a countersink's cone at a depth below the face.

    Source: plane and solid geometry, cone.
    D: diameter at the face, mm, > 0.
    t: depth, mm, >= 0.
    angle: angle of the cone, deg, 60 to 120.
    Raises OutOfRange outside these.
    >>> round(countersink_diameter_below(12.0, 3.0, 90.0), 9)
    6.0
    """
    return max(0.0, D - 2 * t * math.tan(math.radians(angle / 2)))


@dataclass(frozen=True)
class Ellipse:
    """Axes of an ellipse, mm: across and along the slant."""

    minor: float
    major: float


@formula(
    GEOMETRY,
    "plane section of a cylinder",
    law="minor = d, major = d/cos θ",
    gives={"minor": "mm", "major": "mm"},
    d=above(0, "mm"),
    angle=between(0, 85, "deg"),
)
def slanted_bore_opening(d: float, angle: float) -> Ellipse:
    """Opening that a slanted bore cuts in a flat face.

    Source: plane and solid geometry, plane section of a cylinder.
    d: bore diameter, mm, > 0.
    angle: angle between bore axis and the face's normal, deg, 0 to 85.
    Raises OutOfRange outside these.
    >>> round(slanted_bore_opening(10.0, 45.0).major, 3)
    14.142
    """
    return Ellipse(d, d / math.cos(math.radians(angle)))


@formula(
    GEOMETRY,
    "plane section of a cylinder",
    law="Δ = (d/2) tan θ",
    gives="mm",
    d=above(0, "mm"),
    angle=between(0, 85, "deg"),
)
def slanted_bore_lead(d: float, angle: float) -> float:
    """How much further a slanted bore reaches along one side than on its axis, where it meets a flat face.

    Source: plane and solid geometry, plane section of a cylinder.
    d: bore diameter, mm, > 0.
    angle: angle between bore axis and the face's normal, deg, 0 to 85.
    Raises OutOfRange outside these.
    >>> round(slanted_bore_lead(10.0, 45.0), 6)
    5.0
    """
    return d / 2 * math.tan(math.radians(angle))


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
    L: length of the opening's outline, mm, > 0.
    r: mouth radius, mm, >= 0.
    Raises OutOfRange outside these.
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
    L: length of the opening's outline, mm, > 0.
    c: width of the chamfer on the face, mm, >= 0.
    h: depth of the chamfer along the wall, mm, >= 0.
    Raises OutOfRange outside these.
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
    x: part of the direction along x, no unit, -1e+06 to 1e+06.
    y: part of the direction along y, no unit, -1e+06 to 1e+06.
    z: part of the direction along z, no unit, -1e+06 to 1e+06.
    Raises OutOfRange outside these, and for no direction at all.
    >>> round(angle_from_vertical(0.0, 3.0, -4.0), 3)  # 3-4-5 triangle
    36.87
    """
    if x == y == z == 0:
        raise refuse(angle_from_vertical, "z", z, "a direction that is not (0, 0, 0)")
    return math.degrees(math.atan2(math.hypot(x, y), abs(z)))
