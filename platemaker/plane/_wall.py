"""Walls: the signed distance between filled shapes, and between a hole and the outline that it must stay inside."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np

from platemaker.plane._arrays import Complexes, Integers
from platemaker.plane._crossings import crossings
from platemaker.plane._distance import Nearest, every_pair, nearest, round_of
from platemaker.plane._inside import nearest_of_all, signed_depth
from platemaker.plane._shapes import Circle, Loop, Region
from platemaker.plane._table import TOUCH, EdgeTable, edges_of, table_of, to_point
from platemaker.plane._winding import winding
from platemaker.remembered import remembered

Filled: TypeAlias = Circle | Loop | Region
"""A shape with an inside: a loop is filled whichever way it travels; a region has its holes left out."""


@remembered(8192)
def wall(a: Filled, b: Filled) -> Nearest:
    """Material left between two cuts, mm: above 0 apart, 0 touching, below 0 the depth of their overlap.

    Overlaps have a depth by definition. That of a circle is its radius and the distance of its centre from the nearest
    boundary, added when the centre is inside and else subtracted: how far it must be pushed straight out. That of two
    other shapes is the depth of the deepest corner, or middle of a piece, of either boundary inside the other.

    >>> wall(Circle((0.0, 0.0), 2.0), Circle((3.0, 4.0), 2.5)).distance
    0.5
    >>> wall(Circle((0.0, 0.0), 2.0), Circle((3.0, 0.0), 2.0)).distance
    -1.0
    """
    round_a, round_b = round_of(a), round_of(b)
    if round_a is not None:
        return _from_circle(round_a, tag_of(a), b)
    if round_b is not None:
        return _from_circle(round_b, tag_of(b), a).swapped()
    return _apart_or_overlap(a, b, inside_out=False)


@remembered(8192)
def wall_between(hole: Filled, outline: Region | Loop | Circle) -> Nearest:
    """Material left between a hole and the outline that it must stay inside, mm: below 0 how far it reaches out.

    >>> wall_between(Circle((6.0, 0.0), 1.0), Loop.rectangle(20.0, 10.0)).distance
    3.0
    >>> wall_between(Circle((10.0, 0.0), 1.0), Loop.rectangle(20.0, 10.0)).distance
    -1.0
    """
    circle = round_of(hole)
    if circle is not None:
        return _from_circle(circle, tag_of(hole), outline, inside_out=True)
    return _apart_or_overlap(hole, outline, inside_out=True)


def tag_of(shape: Filled) -> str:
    """The tag of a shape's first piece; of a circle none."""
    return "" if isinstance(shape, Circle) else edges_of(shape)[0].tag


def _from_circle(circle: Circle, tag: str, other: Filled, *, inside_out: bool = False) -> Nearest:
    """The wall from a circle to a boundary whose inside (or, turned inside out, whose outside) is not to be met."""
    table, centre = table_of(other), complex(*circle.centre)
    spot = np.array([centre])
    places, sizes, rows = nearest_of_all(table, spot)
    apart = float(sizes[0])
    inward = bool(winding(table, spot)[0] != 0) if apart > TOUCH else False
    sign = 1.0 if inward == inside_out else -1.0
    if apart > TOUCH:
        way = sign * (complex(places[0]) - centre) / apart
    else:
        way = _forbidden_side(table, int(rows[0]), inside_out, spot)
    at = centre + circle.radius * way
    other_tag = edges_of(other)[int(rows[0])].tag
    return Nearest(sign * apart - circle.radius, to_point(at), to_point(places[0]), tag, other_tag)


def _forbidden_side(table: EdgeTable, row: int, inside_out: bool, spot: Complexes) -> complex:
    """Direction from a circle whose centre lies on the boundary into what it must not meet."""
    edge = table.take([row])
    side = complex(1j * edge.heading(edge.share_of(spot))[0])
    within = bool(winding(table, spot + 10 * TOUCH * side)[0] != 0)
    return side if within != inside_out else -side


def _apart_or_overlap(first_shape: Filled, second_shape: Filled, *, inside_out: bool) -> Nearest:
    found, sign = nearest(first_shape, second_shape), -1.0 if inside_out else 1.0
    a, b = table_of(first_shape), table_of(second_shape)
    if found.distance > TOUCH:
        # Boundaries that do not meet have all their corners on one side of each other.
        a_inside, b_inside = winding(b, a.start) != 0, winding(a, b.start) != 0
        if not b_inside.any() and (a_inside.all() if inside_out else not a_inside.any()):
            return found
    first, second = edges_of(first_shape), edges_of(second_shape)
    ways = [_deepest(a, b, sign)]
    if not inside_out:
        ways.append(_deepest(b, a, 1.0))
    depths = [way[0] for way in ways]
    if max(depths) <= TOUCH:
        return found
    k = depths.index(max(depths))
    depth, at, on, row, other = ways[k]
    if k == 0:
        return Nearest(-depth, to_point(at), to_point(on), first[other].tag, second[row].tag)
    return Nearest(-depth, to_point(on), to_point(at), first[row].tag, second[other].tag)


def _deepest(a: EdgeTable, b: EdgeTable, sign: float) -> tuple[float, complex, complex, int, int]:
    """The deepest corner, or middle of a piece, of boundary `a` inside `b` (sign -1: outside it).

    Depth, its point on `a`, the nearest point on `b`, and the rows of `b` and `a`.
    """
    points, owners = _corners_and_middles(a, b)
    depths = sign * signed_depth(b, points)
    k = int(depths.argmax())
    on, _, rows = nearest_of_all(b, points[k : k + 1])
    return float(depths[k]), complex(points[k]), complex(on[0]), int(rows[0]), int(owners[k])


def _corners_and_middles(a: EdgeTable, b: EdgeTable) -> tuple[Complexes, Integers]:
    """Ends of the edges of `a`, where they meet `b`, and the middles between these; and the rows of `a` they are on."""
    i, j = every_pair(len(a), len(b))
    hits = crossings(a.take(i), b.take(j)).ravel()
    owners, hits = np.tile(i, 2)[~np.isnan(hits)], hits[~np.isnan(hits)]
    shares = a.take(owners).share_of(hits)
    within = (shares > 0) & (shares < 1)
    every = np.arange(len(a))
    owners = np.concatenate([every, owners[within], every])
    shares = np.concatenate([np.zeros(len(a)), shares[within], np.ones(len(a))])
    order = np.lexsort((shares, owners))
    owners, shares = owners[order], shares[order]
    between = owners[1:] == owners[:-1]
    owners = np.concatenate([owners, owners[1:][between]])
    shares = np.concatenate([shares, (shares[1:] + shares[:-1])[between] / 2])
    order = np.lexsort((shares, owners))
    return a.take(owners[order]).point(shares[order]), owners[order]
