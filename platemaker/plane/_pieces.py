"""Edges cut wherever they meet: pieces between vertices, those that coincide counted as one stretch."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._crossings import crossings
from platemaker.plane._table import EdgeTable, box_pairs

SKEW = complex(0.8309, 0.5564)
"""A direction that no drawing uses: points that share an X or a Y have different places along it."""


class Pieces(Struct, frozen=True):
    """Pieces of edges between vertices, and the stretches that they make.

    Of each stretch: its ends `first` and `last` (rows of `vertices`), and one of its pieces: the edge `along` which it
    lies, from share `begin` to share `stop` of its length. Of each piece: its `edge` (row of the table), its stretch
    `of`, and `sign`: 1 when it runs from first to last, else -1.
    """

    vertices: Complexes
    first: Integers
    last: Integers
    along: Integers
    begin: Floats
    stop: Floats
    edge: Integers
    of: Integers
    sign: Integers

    def point(self, table: EdgeTable, share: float, rows: Integers | slice = slice(None)) -> Complexes:
        """The point at `share` of each stretch, or of those in `rows`, on the edge along which it lies."""
        begin, stop = self.begin[rows], self.stop[rows]
        return table.take(self.along[rows]).point(begin + share * (stop - begin))


def cut(table: EdgeTable, touch: float) -> Pieces:
    """All pieces of the edges between the points where they meet within `touch`, mm."""
    i, j = box_pairs(table, table, touch)
    i, j = i[i < j], j[i < j]
    hits = crossings(table.take(i), table.take(j), touch)
    real = ~np.isnan(hits)
    i, j, hits = np.tile(i, (2, 1))[real], np.tile(j, (2, 1))[real], hits[real]
    hits = hits[_on(table.take(i), hits, touch) & _on(table.take(j), hits, touch)]
    points = np.concatenate([table.start, table.end, hits])
    vertices, vertex_of = _made_one(points, touch)
    edge, vertex, share = _stops(table, points, vertex_of, touch)
    real = (edge[1:] == edge[:-1]) & (vertex[1:] != vertex[:-1])
    return _stretches(
        table,
        vertices,
        edge[:-1][real],
        (vertex[:-1][real], vertex[1:][real]),
        (share[:-1][real], share[1:][real]),
        touch,
    )


def _on(edges: EdgeTable, points: Complexes, touch: float) -> Booleans:
    near: Booleans = np.abs(edges.nearest(points) - points) <= touch
    return near


def _made_one(points: Complexes, touch: float) -> tuple[Complexes, Integers]:
    """Points within `touch` of one another made one, and for each point the row of the one that it became."""
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
    table: EdgeTable,
    vertices: Complexes,
    edge: Integers,
    ends: tuple[Integers, Integers],
    shares: tuple[Floats, Floats],
    touch: float,
) -> Pieces:
    """The pieces with those that coincide found: the same ends, and middles within a few `touch`.

    How high its middle stands over the way between its ends distinguishes a piece from all others between these.
    """
    low, high = np.minimum(*ends), np.maximum(*ends)
    middle = table.take(edge).point((shares[0] + shares[1]) / 2)
    chord = vertices[high] - vertices[low]
    height = (chord.conj() * (middle - vertices[low])).imag / np.abs(chord)
    order = np.lexsort((height, high, low))
    before, after = order[:-1], order[1:]
    fresh = np.ones(len(order), dtype=bool)
    fresh[1:] = (low[before] != low[after]) | (high[before] != high[after])
    fresh[1:] |= np.abs(middle[before] - middle[after]) > 4 * touch
    of = np.empty(len(order), dtype=np.intp)
    of[order] = np.cumsum(fresh) - 1
    chosen = np.full(np.count_nonzero(fresh), len(order))
    np.minimum.at(chosen, of, np.arange(len(order)))  # the first piece of each, which is on the first edge
    rank = np.lexsort(((middle[chosen] * SKEW.conjugate()).real, high[chosen], low[chosen]))
    chosen, of = chosen[rank], np.argsort(rank)[of]
    sign = np.where(ends[0] == low, 1, -1)
    onward = sign[chosen] > 0
    begin, stop = shares[0][chosen], shares[1][chosen]
    begin, stop = np.where(onward, begin, stop), np.where(onward, stop, begin)
    return Pieces(vertices, low[chosen], high[chosen], edge[chosen], begin, stop, edge, of, sign)
