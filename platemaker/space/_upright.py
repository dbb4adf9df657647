"""Figures drawn out along parallel axes: their separation is a plane one and a height.

Both are products of a plane shape and a range of heights, so the squared distance is the sum of the two squares; the
plane one is exact for lines and arcs of any outline.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeGuard

from platemaker.plane import Arc, Circle, Edge, Line, Loop, Point, Region, contains_each, nearest
from platemaker.records import Record
from platemaker.space._figures import Cylinder, Figure, Prism
from platemaker.space._frame import Frame
from platemaker.space._polish import Contact
from platemaker.space._vectors import cross, dot, length, scale, sub

PARALLEL = 1e-13
"""Sine of the angle below which two axes are parallel: over 10 m they then part by no more than 1e-9 mm."""

TOUCHING = 1e-11
"""Crossing outlines are found apart by rounding only, some 1e-15 of coordinates near 1000 mm."""
FLUSH = 1e-6
"""Heights shared by no more than this, mm, are those of figures on top of each other: the grid of a spec's lengths."""


class _Upright(Record):
    """A plane shape and its range of heights in a frame."""

    shape: Circle | Region
    low: float
    high: float

    @property
    def corners(self) -> list[Point]:
        """A point on each boundary of the shape: where no boundaries meet, they state whether two shapes overlap."""
        if isinstance(self.shape, Circle):
            return [(self.shape.centre[0] + self.shape.radius, self.shape.centre[1])]
        return [loop.edges[0].start for loop in self.shape.loops]

    def holds(self, points: Sequence[Point]) -> Point | None:
        """The first of some points that lies inside the shape; of one on its boundary either may be said."""
        x0, y0, x1, y1 = self.shape.bounds
        near = [point for point in points if x0 <= point[0] <= x1 and y0 <= point[1] <= y1]
        inside = contains_each(self.shape, near) if near else ()
        return next((point for point, within in zip(near, inside, strict=True) if within), None)


def is_parallel(figure: Figure, prism: Prism) -> TypeGuard[Cylinder | Prism]:
    """Whether a figure is a prism or square-ended cylinder on an axis parallel to the prism's."""
    if isinstance(figure, Prism):
        axis = figure.frame.z_axis
    elif isinstance(figure, Cylinder) and figure.is_square:
        axis = figure.axis
    else:
        return False
    return length(cross(axis, prism.frame.z_axis)) <= PARALLEL


def parallel_contact(a: Prism, b: Cylinder | Prism) -> Contact | None:
    """The contact of a prism with a figure that `is_parallel` to it.

    None when the two touch or overlap; but where they share heights of no more than `FLUSH`, as parts stacked on each
    other do, that is their overlap.
    """
    other = _seen_from(a.frame, b)
    (low, high) = (0.0, a.height)
    rise = max(0.0, other.low - high, low - other.high)
    own = _Upright(a.region, low, high)
    common = own.holds(other.corners) or other.holds(own.corners)
    if common:
        sideways, at_a, at_b = 0.0, common, common
    else:
        flat = nearest(a.region, other.shape)
        sideways, at_a, at_b = flat.distance, flat.a, flat.b
    distance = math.hypot(sideways, rise)
    if distance <= TOUCHING:
        return _flush(a.frame, at_a, max(low, other.low), min(high, other.high))
    if rise > 0.0:
        levels = (high, other.low) if other.low > high else (low, other.high)
    else:
        shared = (max(low, other.low) + min(high, other.high)) / 2
        levels = (shared, shared)
    point_a, point_b = a.frame.to_world((*at_a, levels[0])), a.frame.to_world((*at_b, levels[1]))
    return Contact(distance, point_a, point_b, scale(sub(point_b, point_a), 1.0 / distance))


def _flush(frame: Frame, at: Point, low: float, high: float) -> Contact | None:
    if high - low > FLUSH:
        return None
    point = frame.to_world((*at, (low + high) / 2))
    return Contact(low - high, point, point, frame.z_axis)


def _seen_from(frame: Frame, figure: Cylinder | Prism) -> _Upright:
    if isinstance(figure, Cylinder):
        (x, y, z0), (_, _, z1) = frame.to_local(figure.start), frame.to_local(figure.end)
        return _Upright(Circle((x, y), figure.radius), min(z0, z1), max(z0, z1))
    z0 = frame.to_local(figure.frame.origin)[2]
    z1 = z0 + figure.height * dot(figure.frame.z_axis, frame.z_axis)
    return _Upright(_redrawn(figure, frame), min(z0, z1), max(z0, z1))


def _redrawn(prism: Prism, frame: Frame) -> Region:
    """A prism's region in the plane of a parallel frame."""
    keeps = dot(prism.frame.z_axis, frame.z_axis) > 0.0

    def seen(point: Point) -> Point:
        x, y, _ = frame.to_local(prism.frame.to_world((*point, 0.0)))
        return x, y

    def edge(one: Edge) -> Edge:
        if isinstance(one, Line):
            return Line(seen(one.start), seen(one.end), one.tag)
        return Arc(seen(one.start), seen(one.end), seen(one.centre), one.radius, one.ccw == keeps, one.tag)

    outer, *holes = [Loop(tuple(edge(one) for one in loop.edges)) for loop in prism.region.loops]
    return Region.of(outer, holes)
