"""The arrangement: edges cut wherever they meet, and the winding number on both sides of each piece.

Union, cut, intersection, offset and pocket are all one question put to it: where do these closed loops wind often
enough?
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._chain import Course, chained
from platemaker.plane._crossings import crossings
from platemaker.plane._shapes import Arc, Edge, Line, Region
from platemaker.plane._table import TOUCH, EdgeTable, box_pairs, to_point
from platemaker.plane._winding import turned, turns

SKEW = complex(0.8309, 0.5564)
"""A direction that no drawing uses: points that share an X or a Y have different places along it."""


TOUCHES = tuple(TOUCH * share for share in (1.0, 0.1, 10.0, 0.01, 3.0, 0.3, 40.0))
"""Curves may run so near to TOUCH of one another that what touches where contradicts itself. The loops then do not
close, and another measure of touching is tried; the largest stays under half of the 1e-6 mm that walls hold to."""


def regions_where(edges: Sequence[Edge], level: int = 1) -> tuple[Region, ...]:
    """Regions round which the edges, taken as closed loops, wind at least `level` times; empty when there is none.

    Each boundary piece keeps the tag of an edge that it is part of; of edges that coincide, one that travels with the
    material on its left, and of those the first. Loops no wider than 1e-6 mm are left out.
    """
    if not edges:
        return ()
    edges, table = _on_their_circles(edges)
    for touch in TOUCHES:
        try:
            return _regions(edges, table, level, touch)
        except GeometryError:
            if touch == TOUCHES[-1]:
                raise
    return ()


def _on_their_circles(edges: Sequence[Edge]) -> tuple[Sequence[Edge], EdgeTable]:
    """The edges with arcs that truly end on their circles: rounded coordinates leave steps, which become lines."""
    table = EdgeTable.of(edges)
    off = np.maximum(
        np.abs(np.abs(table.start - table.centre) - table.radius),
        np.abs(np.abs(table.end - table.centre) - table.radius),
    )
    astray = table.arcs & (off > TOUCH / 10)
    if not astray.any():
        return edges, table
    mended: list[Edge] = []
    for edge, stray in zip(edges, astray.tolist(), strict=True):
        mended += _with_steps(edge) if stray and isinstance(edge, Arc) else [edge]
    return mended, EdgeTable.of(mended)


def _with_steps(arc: Arc) -> list[Edge]:
    centre = complex(*arc.centre)
    start, end = (
        to_point(centre + (at - centre) * arc.radius / abs(at - centre))
        for at in (complex(*arc.start), complex(*arc.end))
    )
    steps = Line(arc.start, start, arc.tag), replace(arc, start=start, end=end), Line(end, arc.end, arc.tag)
    return [step for step in steps if step.start != step.end]


def _regions(edges: Sequence[Edge], table: EdgeTable, level: int, touch: float) -> tuple[Region, ...]:
    pieces = _cut(table, touch)
    left, right = _windings(table, pieces)
    inside_left = left >= level
    kept = np.nonzero(inside_left != (right >= level))[0]
    return chained(edges, table, _courses(pieces, kept, inside_left[kept]))


@dataclass(frozen=True, slots=True)
class _Pieces:
    """Pieces of edges between vertices; those that coincide count as one stretch.

    Of each stretch: its ends `first` and `last` (rows of `vertices`) and its `middle`. Of each piece: its `edge` (row
    of the table), its stretch `of`, and `sign`: 1 when it runs from first to last, else -1.
    """

    vertices: Complexes
    first: Integers
    last: Integers
    middle: Complexes
    edge: Integers
    of: Integers
    sign: Integers


def _cut(table: EdgeTable, touch: float) -> _Pieces:
    """All pieces of the edges between the points where they meet."""
    i, j = box_pairs(table, table, touch)
    i, j = i[i < j], j[i < j]
    hits = crossings(table.take(i), table.take(j), touch)
    real = ~np.isnan(hits)
    i, j, hits = np.tile(i, (2, 1))[real], np.tile(j, (2, 1))[real], hits[real]
    hits = hits[_on(table.take(i), hits, touch) & _on(table.take(j), hits, touch)]
    points = np.concatenate([table.start, table.end, hits])
    vertices, vertex_of = _vertices(points, touch)
    edge, vertex, share = _stops(table, points, vertex_of, touch)
    real = (edge[1:] == edge[:-1]) & (vertex[1:] != vertex[:-1])
    middle = table.take(edge[:-1][real]).point((share[:-1][real] + share[1:][real]) / 2)
    return _stretches(vertices, edge[:-1][real], vertex[:-1][real], vertex[1:][real], middle, touch)


def _on(edges: EdgeTable, points: Complexes, touch: float) -> Booleans:
    near: Booleans = np.abs(edges.nearest(points) - points) <= touch
    return near


def _vertices(points: Complexes, touch: float) -> tuple[Complexes, Integers]:
    """Points within `touch` of one another made one, and for each point the row of its vertex."""
    along = (points * SKEW.conjugate()).real
    order = np.argsort(along, kind="stable")
    label = np.arange(len(points))
    near_a, near_b = [], []
    for step in range(1, len(points)):
        close = along[order[step:]] - along[order[:-step]] <= touch
        if not close.any():
            break
        a, b = order[:-step][close], order[step:][close]
        close = np.abs(points[a] - points[b]) <= touch
        near_a.append(a[close])
        near_b.append(b[close])
    if near_a:
        a, b = np.concatenate(near_a), np.concatenate(near_b)
        while (label[a] != label[b]).any():
            least = np.minimum(label[a], label[b])
            np.minimum.at(label, a, least)
            np.minimum.at(label, b, least)
    kept, place = np.unique(label, return_inverse=True)
    return points[kept], place


def _stops(table: EdgeTable, points: Complexes, vertex_of: Integers, touch: float) -> tuple[Integers, Integers, Floats]:
    """Every vertex on every edge in order of travel, both ends included: edge, vertex and share of the length.

    Each point that lies on the edge is asked, not only the vertex that it became, which may be off the edge.
    """
    point, edge = box_pairs(EdgeTable.straight(points, points), table, touch)
    every = np.arange(len(table))
    start, end = vertex_of[every], vertex_of[len(table) + every]
    inner = (vertex_of[point] != start[edge]) & (vertex_of[point] != end[edge])
    point, edge = point[inner], edge[inner]
    on = _on(table.take(edge), points[point], touch)
    point, edge = point[on], edge[on]
    _, once = np.unique(edge * len(points) + vertex_of[point], return_index=True)
    point, edge = point[once], edge[once]
    share = np.clip(table.take(edge).share_of(points[point]), 0.0, 1.0)
    edge = np.concatenate([every, edge, every])
    vertex = np.concatenate([start, vertex_of[point], end])
    share = np.concatenate([np.zeros(len(every)), share, np.ones(len(every))])
    order = np.lexsort((share, edge))
    return edge[order], vertex[order], share[order]


def _stretches(
    vertices: Complexes, edge: Integers, begin: Integers, stop: Integers, middle: Complexes, touch: float
) -> _Pieces:
    """The pieces with those that coincide found: the same ends, and middles within a few `touch`."""
    low, high = np.minimum(begin, stop), np.maximum(begin, stop)
    order = np.lexsort((edge, np.rint((middle * SKEW.conjugate()).real / (4 * touch)), high, low))
    before, after = order[:-1], order[1:]
    alike = (low[before] == low[after]) & (high[before] == high[after])
    fresh = np.ones(len(order), dtype=bool)
    fresh[1:] = ~(alike & (np.abs(middle[before] - middle[after]) <= 4 * touch))
    of = np.empty(len(order), dtype=np.intp)
    of[order] = np.cumsum(fresh) - 1
    chosen = order[fresh]
    return _Pieces(vertices, low[chosen], high[chosen], middle[chosen], edge, of, np.where(begin == low, 1, -1))


def _windings(table: EdgeTable, pieces: _Pieces) -> tuple[Floats, Floats]:
    """How often the edges wind round a point just left of each stretch, and just right of it.

    Seen from its own middle a line turns by half a turn, and an arc, from any of its points, by half a turn and half
    its sweep (the inscribed angle); on the left of travel that is added, on the right a full turn less.
    """
    own = table.take(pieces.edge)
    from_on_it = pieces.sign * math.pi + own.sweep / 2 - turned(own, pieces.middle[pieces.of])
    total = turns(table, pieces.middle) + np.bincount(pieces.of, from_on_it, len(pieces.middle))
    left = np.rint(total / math.tau)
    return left, left - np.bincount(pieces.of, pieces.sign, len(left))


def _courses(pieces: _Pieces, kept: Integers, inside_left: Booleans) -> Course:
    """The kept stretches, travelled with the material on the left, each with the edge that it is said to be part of."""
    way = np.where(inside_left, 1, -1)
    wanted = np.zeros(len(pieces.first), dtype=np.intp)
    wanted[kept] = way
    against = pieces.sign != wanted[pieces.of]
    order = np.lexsort((pieces.edge, against, pieces.of))
    firsts = order[np.searchsorted(pieces.of[order], kept)]
    return Course(
        pieces.vertices,
        np.where(inside_left, pieces.first[kept], pieces.last[kept]),
        np.where(inside_left, pieces.last[kept], pieces.first[kept]),
        pieces.edge[firsts],
        against[firsts],
    )
