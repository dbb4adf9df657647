"""Whether a point lies in the convex hull of figures: seen from outside, they fill less than half of the horizon."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from platemaker.plane._inside import contains
from platemaker.plane._shapes import Arc, Line, Point, Region

ON_EDGE = 1e-9
"""Angle, radians, by which a point on the hull's edge may seem to lie outside."""


def within_hull(point: Point, figures: Sequence[Region]) -> bool:
    """Whether `point` lies in the convex hull of `figures`, its edge included.

    >>> from platemaker.plane import Loop
    >>> ports = [Region.of(Loop.circle((x, y), 10.0)) for x, y in ((0, 0), (60, 60))]
    >>> [within_hull(at, ports) for at in ((30, 30), (30, 44.0), (30, 44.3), (60, 0), (0, 5))]
    [True, True, False, False, True]
    """
    if any(contains(figure, point) for figure in figures):
        return True
    ways = sorted(math.atan2(y - point[1], x - point[0])
                  for figure in figures for edge in figure.outer.edges for x, y in _seen(edge, point))  # fmt: skip
    widest = max(b - a for a, b in pairwise((*ways, ways[0] + math.tau)))
    return widest <= math.pi + ON_EDGE


def _seen(edge: Line | Arc, eye: Point) -> Iterator[Point]:
    """Points of an edge, with those where a line of sight touches it: what lies furthest aside is among them."""
    yield from (edge.point(share) for share in (0.0, 0.25, 0.5, 0.75))
    if not isinstance(edge, Arc):
        return
    (cx, cy), radius = edge.centre, edge.radius
    apart = math.dist(eye, edge.centre)
    if apart <= radius:
        return
    middle, half = math.atan2(eye[1] - cy, eye[0] - cx), math.acos(radius / apart)
    for angle in (middle - half, middle + half):
        along = (angle - edge.start_angle) * (1 if edge.ccw else -1)
        if along % math.tau <= abs(edge.sweep):
            yield cx + radius * math.cos(angle), cy + radius * math.sin(angle)
