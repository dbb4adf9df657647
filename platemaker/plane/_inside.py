"""Inside, outside or on the boundary: winding numbers, exact on lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum

import numpy as np

from platemaker.plane._arrays import FEW, Complexes, Floats, Integers
from platemaker.plane._shapes import Circle, Loop, Point, Region
from platemaker.plane._table import TOUCH, EdgeTable, table_of
from platemaker.plane._winding import winding


class Place(StrEnum):
    """Where a point lies."""

    INSIDE = "inside"
    BOUNDARY = "boundary"
    OUTSIDE = "outside"


def place_of(point: Point, shape: Circle | Loop | Region, tolerance: float = TOUCH) -> Place:
    """Where `point` lies to a filled shape; within `tolerance` mm of the boundary is on it.

    >>> place_of((1.0, 0.5), Loop.rectangle(2.0, 2.0))
    <Place.BOUNDARY: 'boundary'>
    """
    (x, y), (x0, y0, x1, y1) = point, shape.bounds
    if not (x0 - tolerance <= x <= x1 + tolerance and y0 - tolerance <= y <= y1 + tolerance):
        return Place.OUTSIDE
    if isinstance(shape, Circle):
        depth = shape.radius - math.dist(point, shape.centre)
    else:
        depth = signed_depth(table_of(shape), np.array([complex(x, y)]))[0]
    if abs(depth) <= tolerance:
        return Place.BOUNDARY
    return Place.INSIDE if depth > 0 else Place.OUTSIDE


def contains(shape: Circle | Loop | Region, point: Point) -> bool:
    """Whether `point` lies inside the shape or on its boundary (within TOUCH)."""
    return place_of(point, shape) is not Place.OUTSIDE


def contains_each(shape: Circle | Loop | Region, points: Sequence[Point]) -> tuple[bool, ...]:
    """Whether each point lies inside the shape; any answer for a point on its boundary.

    >>> contains_each(Loop.rectangle(2.0, 2.0), [(0.5, 0.5), (3.0, 0.0)])
    (True, False)
    """
    at = np.array([complex(*point) for point in points], dtype=complex)
    return tuple((winding(table_of(shape), at) != 0).tolist())


def signed_depth(edges: EdgeTable, points: Complexes) -> Floats:
    """Distance of each point from the boundary, mm: positive inside, negative outside.

    The loops may travel either way round, as long as holes travel against their outer boundary.
    """
    apart = nearest_of_all(edges, points)[1]
    return np.where(winding(edges, points) != 0, apart, -apart)


def nearest_of_all(edges: EdgeTable, points: Complexes) -> tuple[Complexes, Floats, Integers]:
    """For each point, the nearest point of all edges, its distance, and the row of the edge."""
    step = max(1, FEW // max(1, len(edges)))
    if len(points) <= step:
        return _nearest_of_all(edges, points)
    parts = [_nearest_of_all(edges, points[low : low + step]) for low in range(0, len(points), step)]
    places, sizes, rows = (np.concatenate(column) for column in zip(*parts, strict=True))
    return places, sizes, rows


def _nearest_of_all(edges: EdgeTable, points: Complexes) -> tuple[Complexes, Floats, Integers]:
    near = edges.nearest(points[:, None])
    apart = np.abs(near - points[:, None])
    row = apart.argmin(axis=1)
    each = np.arange(len(points))
    return near[each, row], apart[each, row], row
