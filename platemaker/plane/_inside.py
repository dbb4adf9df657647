"""Inside, outside or on the boundary: winding numbers, exact on lines and arcs."""

from __future__ import annotations

import math
from enum import StrEnum

import numpy as np

from platemaker.plane._shapes import Circle, Loop, Point, Region
from platemaker.plane._table import FEW, TOUCH, Complexes, EdgeTable, Floats, Integers, table_of


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
    depth = signed_depth(table_of(shape), np.array([complex(x, y)]))[0]
    if abs(depth) <= tolerance:
        return Place.BOUNDARY
    return Place.INSIDE if depth > 0 else Place.OUTSIDE


def contains(shape: Circle | Loop | Region, point: Point) -> bool:
    """Whether `point` lies inside the shape or on its boundary (within TOUCH)."""
    return place_of(point, shape) is not Place.OUTSIDE


def turned(edges: EdgeTable, points: Complexes) -> Floats:
    """Angle, radians, by which each edge turns about each point: an array (points, edges).

    An arc turns as its chord does, and by a full turn more when the point lies between arc and chord. There, by the
    theorem of the inscribed angle, the chord is seen under more than half a turn less half the sweep; the same angle
    tells on which side of the chord the point lies, so no rounding can count a point twice.
    """
    to_start, to_end = edges.start - points[:, None], edges.end - points[:, None]
    cross = to_start.real * to_end.imag - to_start.imag * to_end.real
    angle = np.arctan2(cross, to_start.real * to_end.real + to_start.imag * to_end.imag)
    if np.count_nonzero(edges.arcs):
        way = np.sign(edges.sweep)
        between = angle * way < np.abs(edges.sweep) / 2 - math.pi
        angle = angle + math.tau * way * between
    return angle


def winding(edges: EdgeTable, points: Complexes) -> Floats:
    """How often the edges, closed loops, wind round each point; any whole number on points off the boundary."""
    step = max(1, FEW // max(1, len(edges)))
    parts = [turned(edges, points[low : low + step]).sum(axis=1) for low in range(0, len(points), step)]
    return np.rint(np.concatenate(parts) / math.tau) if parts else np.zeros(0)


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
