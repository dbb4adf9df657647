"""The least rectangle round figures, whichever way they lie."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from platemaker.plane._measure import measures
from platemaker.plane._shapes import Line, Loop, Point, Region
from platemaker.plane._transform import rotated
from platemaker.records import Record


class LeastBox(Record):
    """A rectangle of `width` and `height`, mm, its width turned by less than 90 degrees; `region` is the figure."""

    width: float
    height: float
    region: Region


def least_box(figures: Sequence[Region]) -> LeastBox:
    """The least rectangle round figures, of those along their straight edges and the lines between their middles.

    Of equal ones that which is turned least: figures that are turned together have the same box, turned as they are.

    >>> box = least_box([rotated(Region.of(Loop.rectangle(30.0, 4.0)), 37.0)])
    >>> [round(side, 9) for side in (box.width, box.height)]
    [30.0, 4.0]
    """
    boxes = [_turned(figures, angle) for angle in sorted({round(_quarter(way), 9) for way in _ways(figures)} or {0.0})]
    return min(boxes, key=lambda box: round(box.width * box.height, 6))


def _ways(figures: Sequence[Region]) -> Iterator[Point]:
    for figure in figures:
        edges = [edge for edge in figure.outer.edges if isinstance(edge, Line)] or figure.outer.edges
        yield from ((edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]) for edge in edges)
    for a, b in combinations([measures(figure).centroid for figure in figures], 2):
        yield b[0] - a[0], b[1] - a[1]


def _quarter(way: Point) -> float:
    """A direction in degrees, from 0 to less than 90: a rectangle's sides are square to each other."""
    angle = math.degrees(math.atan2(way[1], way[0])) % 90.0
    return 0.0 if angle > 90.0 - 1e-9 else angle


def _turned(figures: Sequence[Region], angle: float) -> LeastBox:
    sides = [rotated(figure.outer, -angle).bounds for figure in figures]
    x0, y0 = (min(side[axis] for side in sides) for axis in (0, 1))
    x1, y1 = (max(side[axis] for side in sides) for axis in (2, 3))
    box = Loop.rectangle(x1 - x0, y1 - y0, centre=((x0 + x1) / 2, (y0 + y1) / 2))
    return LeastBox(x1 - x0, y1 - y0, rotated(Region.of(box), angle))
