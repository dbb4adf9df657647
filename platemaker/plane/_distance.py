"""Nearest points between boundaries of lines and arcs: closed formulas, never samples."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from platemaker.plane._arrays import Complexes, Integers
from platemaker.plane._crossings import NO_WAY, crossings
from platemaker.plane._inside import nearest_of_all
from platemaker.plane._shapes import Circle, Loop, Point, Region
from platemaker.plane._table import EdgeTable, Shape, edges_of, table_of, to_point
from platemaker.remembered import remembered


class Nearest(Struct, frozen=True):
    """The shortest way between two figures: `distance`, mm, from `a` on the first to `b` on the second.

    A distance below 0 is a depth of overlap. The tags name the boundary pieces that the points lie on.
    """

    distance: float
    a: Point
    b: Point
    tag_a: str = ""
    tag_b: str = ""

    def swapped(self) -> Nearest:
        """The same way seen from the second figure."""
        return Nearest(self.distance, self.b, self.a, self.tag_b, self.tag_a)


@remembered(8192)
def nearest(a: Shape, b: Shape) -> Nearest:
    """Nearest points between two boundaries, mm; 0 where they touch or cross. The insides do not count.

    >>> nearest((0.0, 0.0), Circle((3.0, 4.0), 2.0)).distance
    3.0
    """
    circles = _rim_of(a), _rim_of(b)
    if circles[0] is not None and circles[1] is not None:
        return _between_circles(circles[0], circles[1], _tag(a), _tag(b))
    if circles[0] is not None and (found := _past_circle(circles[0], _tag(a), b)):
        return found
    if circles[1] is not None and (found := _past_circle(circles[1], _tag(b), a)):
        return found.swapped()
    first, second = edges_of(a), edges_of(b)
    table_a, table_b = table_of(a), table_of(b)
    i, j = _hopeful_pairs(table_a, table_b)
    at_a, at_b = pair_nearest(table_a.take(i), table_b.take(j))
    apart = np.abs(at_a - at_b)
    k = int(apart.argmin())
    return Nearest(float(apart[k]), to_point(at_a[k]), to_point(at_b[k]), first[i[k]].tag, second[j[k]].tag)


def round_of(shape: Shape) -> Circle | None:
    """The circle that a shape is, if it is one whole circle."""
    if isinstance(shape, Circle):
        return shape
    return shape.as_circle() if isinstance(shape, Loop) else None


def _rim_of(shape: Shape) -> Circle | None:
    """The circle that the whole boundary of a shape is."""
    return round_of(shape.outer if isinstance(shape, Region) and not shape.holes else shape)


def _tag(shape: Shape) -> str:
    return shape.edges[0].tag if isinstance(shape, Loop | Region) else ""


def _between_circles(a: Circle, b: Circle, tag_a: str, tag_b: str) -> Nearest:
    way = complex(*b.centre) - complex(*a.centre)
    apart = abs(way)
    way = way / apart if apart > 0 else 1 + 0j
    centre_a, centre_b = complex(*a.centre), complex(*b.centre)
    if apart >= a.radius + b.radius:
        at_a, at_b = centre_a + a.radius * way, centre_b - b.radius * way
    elif apart <= a.radius - b.radius:
        at_a, at_b = centre_a + a.radius * way, centre_b + b.radius * way
    elif apart <= b.radius - a.radius:
        at_a, at_b = centre_a - a.radius * way, centre_b - b.radius * way
    else:
        along = (apart + (a.radius - b.radius) * (a.radius + b.radius) / apart) / 2
        half = max(0.0, (a.radius - along) * (a.radius + along)) ** 0.5
        at_a = at_b = centre_a + (along + 1j * half) * way
    return Nearest(abs(at_b - at_a), to_point(at_a), to_point(at_b), tag_a, tag_b)


def _past_circle(circle: Circle, tag: str, other: Shape) -> Nearest | None:
    """From a circle to a boundary that lies all outside it, on the line through its centre; None where it does not."""
    centre = complex(*circle.centre)
    places, sizes, rows = nearest_of_all(table_of(other), np.array([centre]))
    place, apart = complex(places[0]), float(sizes[0])
    if apart <= circle.radius:
        return None
    at = centre + circle.radius * (place - centre) / apart
    return Nearest(apart - circle.radius, to_point(at), to_point(place), tag, edges_of(other)[int(rows[0])].tag)


def _hopeful_pairs(a: EdgeTable, b: EdgeTable) -> tuple[Integers, Integers]:
    """Pairs of rows that can hold the shortest way: boxes no farther apart than the nearest pair of ends."""
    i, j = every_pair(len(a), len(b))
    if len(i) <= 64:
        return i, j
    ax0, ay0, ax1, ay1 = (side[:, None] for side in a.boxes)
    bx0, by0, bx1, by1 = b.boxes
    gap_x = np.maximum(np.maximum(bx0 - ax1, ax0 - bx1), 0.0)
    gap_y = np.maximum(np.maximum(by0 - ay1, ay0 - by1), 0.0)
    bound = np.abs(a.start[:, None] - b.start).min()
    i, j = np.nonzero(np.hypot(gap_x, gap_y) <= bound * (1 + 1e-12))
    return i, j


def every_pair(count_a: int, count_b: int) -> tuple[Integers, Integers]:
    """Indices of all pairs of two rows of this many."""
    i, j = np.divmod(np.arange(count_a * count_b), count_b)
    return i, j


def pair_nearest(a: EdgeTable, b: EdgeTable) -> tuple[Complexes, Complexes]:
    """Nearest points of each pair of rows, on `a` and on `b`."""
    at_a, at_b = pair_candidates(a, b)
    best = np.abs(at_a - at_b).argmin(axis=0)
    each = np.arange(len(a))
    return at_a[best, each], at_b[best, each]


def pair_candidates(a: EdgeTable, b: EdgeTable) -> tuple[Complexes, Complexes]:
    """Ways between each pair of rows among which the shortest is: arrays (8, n) of points on `a` and on `b`.

    A shortest way ends at an end of a piece, or runs square to both, or is a crossing. Any point is thrown onto `a`
    and from there onto `b`, so each candidate is a real way and none can be too short.
    """
    nothing = np.isnan(hits := crossings(a, b))
    square_a, square_b = _square_points(a, b), _square_points(b, a)
    square = np.where(a.arcs, square_a, np.where(b.arcs, square_b, a.start))
    tries = np.stack([a.start, a.end, b.start, b.end, *square, *np.where(nothing, a.start, hits)])
    at_a = a.nearest(tries)
    return at_a, b.nearest(at_a)


def _square_points(arc: EdgeTable, other: EdgeTable) -> Complexes:
    """The two points of each arc's circle on the normal to the other line or circle through its centre."""
    way = np.where(other.arcs, other.centre - arc.centre, 1j * (other.end - other.start))
    size = np.abs(way)
    near = size <= NO_WAY
    spoke = arc.radius * np.where(near, 0.0, way) / np.where(near, 1.0, size)
    return np.stack([arc.centre - spoke, arc.centre + spoke])
