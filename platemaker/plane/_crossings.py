"""Where two lines or arcs cross: closed formulas over many pairs at once."""

from __future__ import annotations

import numpy as np

from platemaker.plane._arrays import Complexes
from platemaker.plane._table import TOUCH, EdgeTable

NO_WAY = 1e-12
"""Centres nearer than this, mm, are one point: there is no direction from one to the other."""


def crossings(a: EdgeTable, b: EdgeTable, touch: float = TOUCH) -> Complexes:
    """Up to two points where each pair's full lines or circles cross, as an array (2, n); NaN where there is none.

    Curves that touch within `touch`, mm, give one point (twice); curves that coincide give none.
    The points lie on the full line or circle, so a caller asks which of them lie on the pieces.
    """
    found = np.full((2, len(a)), np.nan + 0j)
    for rows, rule, swap in (
        (~a.arcs & ~b.arcs, _lines, False),
        (~a.arcs & b.arcs, _line_circle, False),
        (a.arcs & ~b.arcs, _line_circle, True),
        (a.arcs & b.arcs, _circles, False),
    ):
        if np.count_nonzero(rows):
            first, second = a.take(rows), b.take(rows)
            found[:, rows] = rule(second, first, touch) if swap else rule(first, second, touch)
    return found


def _lines(a: EdgeTable, b: EdgeTable, touch: float) -> Complexes:
    way, other = a.end - a.start, b.end - b.start
    cross = (way.conj() * other).imag
    # Two pieces that stay within `touch` of being parallel over their lengths are joined at their ends, not here.
    parallel = np.abs(cross) <= touch * np.minimum(np.abs(way), np.abs(other))
    share = ((b.start - a.start).conj() * other).imag / np.where(parallel, 1.0, cross)
    at = np.where(parallel, np.nan + 0j, a.start + share * way)
    return np.stack([at, at])


def _line_circle(line: EdgeTable, arc: EdgeTable, touch: float) -> Complexes:
    way = line.end - line.start
    size = np.abs(way)
    way = way / np.where(size > 0, size, 1.0)
    foot = line.start + ((arc.centre - line.start) * way.conj()).real * way
    height = np.abs(arc.centre - foot)
    half = np.sqrt(np.maximum((arc.radius - height) * (arc.radius + height), 0.0))
    half = np.where(np.abs(height - arc.radius) <= touch, 0.0, half)
    misses = (size == 0) | (height > arc.radius + touch)
    return np.where(misses, np.nan + 0j, np.stack([foot - half * way, foot + half * way]))


def _circles(a: EdgeTable, b: EdgeTable, touch: float) -> Complexes:
    way = b.centre - a.centre
    apart, more = np.abs(way), a.radius - b.radius
    # Circles that are nowhere farther apart than this are one, rounding or not; those about one centre do not cross.
    concentric = (apart + np.abs(more) <= touch / 2) | (apart <= NO_WAY)
    size = np.where(concentric, 1.0, apart)
    way = way / size
    misses = concentric | (apart > a.radius + b.radius + touch) | (apart < np.abs(more) - touch)
    along = (size + more * (a.radius + b.radius) / size) / 2
    square = (a.radius - along) * (a.radius + along)
    holds_a = np.abs(apart + more) <= touch
    touching = holds_a | (np.abs(apart - a.radius - b.radius) <= touch) | (np.abs(apart - more) <= touch)
    # Circles of nearly one radius may cross far from where they touch: the way across is then no contact in a point.
    touching &= square <= 8 * touch * np.minimum(a.radius, b.radius)
    half = np.sqrt(np.where(touching, 0.0, np.maximum(square, 0.0)))
    along = np.where(touching, np.where(holds_a, -a.radius, a.radius), along)
    two = np.stack([a.centre + (along - 1j * half) * way, a.centre + (along + 1j * half) * way])
    return np.where(misses, np.nan + 0j, two)
