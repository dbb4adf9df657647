"""Two voids along one axis: how far they lie apart, from the wall between their plans and their heights.

A void of straight walls is its plan times a range of heights; a drill point is a circle that shrinks with height, the
mouth of an opening a region that grows. A plan grown all round by w lies nearer to any other by just w. So the distance
is one in the half plane of (distance of the plans, height), where each void is what lies behind one edge.
"""

from __future__ import annotations

import math

from platemaker.parts import Vec3
from platemaker.plane import Arc, Circle, Line, Nearest, Point, Region, contains, nearest
from platemaker.records import Record
from platemaker.resolved._voids import Upright

TOUCHING = 1e-5
"""A wall of no more than this, mm, is none: the kernel, whose own tolerance is 1e-7, fails from some 2e-6 down."""
FLUSH = 1e-6
"""Heights shared by no more than this, mm, are those of voids on top of each other: the grid of a spec's lengths."""


class Stacked(Record):
    """The distance of two upright voids, mm, below 0 their overlap, and where it is measured.

    They lie `beside` each other where they share heights, `above` each other where their plans overlap more than those.
    """

    distance: float
    points: tuple[Vec3, Vec3]
    beside: bool
    above: bool


def stacked(a: Upright, b: Upright, way: Nearest) -> Stacked:
    """The distance of two voids whose plans lie `way` apart."""
    if a.profile is None and b.profile is None:
        return _straight(a, b, way)
    return _profiled(a, b, way)


def _straight(a: Upright, b: Upright, way: Nearest) -> Stacked:
    low, high = max(a.low, b.low), min(a.high, b.high)
    shared, flat = high - low, way.distance
    if shared > FLUSH:
        if shared < -flat:
            at = _common_point(a.shape, b.shape, way)
            return Stacked(-shared, ((*at, low), (*at, high)), False, True)
        return Stacked(flat, ((*way.a, high), (*way.b, high)), True, False)
    levels = (a.high, b.low) if a.low < b.low else (a.low, b.high)
    rise = max(0.0, -shared)
    if flat <= 0.0:
        at = _common_point(a.shape, b.shape, way)
        return Stacked(rise, ((*at, levels[0]), (*at, levels[1])), False, True)
    return Stacked(math.hypot(flat, rise), ((*way.a, levels[0]), (*way.b, levels[1])), False, False)


def _common_point(a: Circle | Region, b: Circle | Region, way: Nearest) -> Point:
    """A point in both of two plans that overlap."""
    middle = ((way.a[0] + way.b[0]) / 2, (way.a[1] + way.b[1]) / 2)
    centres = [shape.centre for shape in (a, b) if isinstance(shape, Circle)]
    tries = [*centres, way.a, way.b, middle]
    return next((point for point in tries if contains(a, point) and contains(b, point)), middle)


def _profiled(a: Upright, b: Upright, way: Nearest) -> Stacked:
    """With drill points and mouths: the distance of the two edges in the half plane, unless they pass each other."""
    low, high = max(a.low, b.low), min(a.high, b.high)
    # Edges are straight or bulge towards the void, so that the gap at one height is least where the shared heights end.
    gaps = [(way.distance - a.growth(z) - b.growth(z), z) for z in (low, high)] if high - low > FLUSH else []
    if gaps and min(gaps)[0] <= 0.0:
        (gap, z), shared = min(gaps), high - low
        if shared < -gap:
            at = _common_point(a.shape, b.shape, way)
            return Stacked(-shared, ((*at, low), (*at, high)), False, True)
        return Stacked(gap, ((*way.a, z), (*way.b, z)), True, False)
    levels = (a.high, b.low) if a.low < b.low else (a.low, b.high)
    if not gaps and way.distance - a.growth(levels[0]) - b.growth(levels[1]) <= 0.0:
        ends = [one.shape for one, z in zip((a, b), levels, strict=True) if is_tip(one, z)]
        tip = next((shape.centre for shape in ends if isinstance(shape, Circle)), None)
        at = tip or _common_point(a.shape, b.shape, way)
        return Stacked(abs(levels[1] - levels[0]), ((*at, levels[0]), (*at, levels[1])), False, True)
    found = nearest(a.edge, _facing(b.edge, way.distance))
    return Stacked(found.distance, _in_space(found, way), abs(found.a[1] - found.b[1]) <= FLUSH, False)


def is_tip(one: Upright, z: float) -> bool:
    """Whether a drill point ends at a height: a cone down to nothing, as that of a countersink is not."""
    if one.profile is None or not isinstance(one.shape, Circle):
        return False
    return one.shape.radius + one.profile.end[0] <= TOUCHING and abs(one.profile.end[1] - z) <= TOUCHING


def _facing(edge: Line | Arc, apart: float) -> Line | Arc:
    """The edge of a void that stands `apart` from the first one, seen in the first one's half plane."""
    start, end = (apart - edge.start[0], edge.start[1]), (apart - edge.end[0], edge.end[1])
    if isinstance(edge, Line):
        return Line(start, end)
    return Arc(start, end, (apart - edge.centre[0], edge.centre[1]), edge.radius, not edge.ccw)


def _in_space(found: Nearest, way: Nearest) -> tuple[Vec3, Vec3]:
    """Points of the half plane where they lie, on the line between the plans."""
    (x0, y0), (x1, y1) = way.a, way.b
    size = math.hypot(x1 - x0, y1 - y0) or 1.0
    sign = 1.0 if way.distance >= 0.0 else -1.0
    u, v = sign * (x1 - x0) / size, sign * (y1 - y0) / size
    (r, z), (s, w) = found.a, found.b
    return (x0 + r * u, y0 + r * v, z), (x0 + s * u, y0 + s * v, w)
