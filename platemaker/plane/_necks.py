"""Necks and ribs: the narrow places of one region, where two pieces of its boundary face each other."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Integers
from platemaker.plane._crossings import crossings
from platemaker.plane._distance import Nearest, pair_candidates
from platemaker.plane._shapes import Edge, Region
from platemaker.plane._table import TOUCH, EdgeTable, box_pairs, to_point
from platemaker.plane._winding import winding

SLACK = 1e-6
"""Cosine within which a way counts as square to a piece; at 1 m it stands for 1 micrometre of the way's end."""


def necks(region: Region, limit: float) -> tuple[Nearest, ...]:
    """Places where the material of `region` is thinner than `limit`, mm, thinnest first.

    Each is a local minimum: a straight way through material between two places of the boundary that no small move of
    either end shortens. Corners, where the thickness runs out to nothing between adjacent pieces, are none. Between
    parallel pieces one way is given, in the middle of the stretch that they share.
    """
    edges = region.edges
    table = EdgeTable.of(edges)
    before, after = _neighbours(region)
    i, j = box_pairs(table, table, limit)
    i, j = i[i < j], j[i < j]
    at_a, at_b = _with_middles(table.take(i), table.take(j))
    rows_a, rows_b = np.broadcast_to(i, at_a.shape).ravel(), np.broadcast_to(j, at_a.shape).ravel()
    at_a, at_b = at_a.ravel(), at_b.ravel()
    apart = np.abs(at_a - at_b)
    near = (apart < limit) & (apart > TOUCH)
    rows_a, rows_b, at_a, at_b = rows_a[near], rows_b[near], at_a[near], at_b[near]
    least = _cannot_shorten(table, before, after, rows_a, at_a, at_b)
    least &= _cannot_shorten(table, before, after, rows_b, at_b, at_a)
    rows_a, rows_b, at_a, at_b = rows_a[least], rows_b[least], at_a[least], at_b[least]
    clear = _through_material(table, at_a, at_b)
    rows_a, rows_b, at_a, at_b = rows_a[clear], rows_b[clear], at_a[clear], at_b[clear]
    corners = _at_corner(table.take(rows_a), at_a) + _at_corner(table.take(rows_b), at_b)
    order = np.lexsort((corners, np.rint(np.abs(at_a - at_b) / TOUCH)))
    ways = [
        Nearest(float(abs(p - q)), to_point(p), to_point(q), edges[a].tag, edges[b].tag)
        for a, b, p, q in zip(rows_a[order], rows_b[order], at_a[order], at_b[order], strict=True)
    ]
    pieces = list(zip(rows_a[order].tolist(), rows_b[order].tolist(), strict=True))
    return tuple(_distinct(ways, pieces, edges, after))


def _at_corner(edges: EdgeTable, at: Complexes) -> Integers:
    """1 where a point is an end of its piece, else 0."""
    return ((np.abs(at - edges.start) <= TOUCH) | (np.abs(at - edges.end) <= TOUCH)).astype(np.intp)


def _with_middles(a: EdgeTable, b: EdgeTable) -> tuple[Complexes, Complexes]:
    """Candidates for the shortest way of each pair; first the middle of those that are equally short."""
    at_a, at_b = pair_candidates(a, b)
    apart = np.abs(at_a - at_b)
    shortest = apart <= apart.min(axis=0) + TOUCH
    spread = [np.where(shortest, part, np.nan) for part in (at_a.real, at_a.imag)]
    x, y = ((np.nanmin(part, axis=0) + np.nanmax(part, axis=0)) / 2 for part in spread)
    middle = a.nearest(x + 1j * y)
    return np.concatenate([middle[None], at_a]), np.concatenate([b.nearest(middle)[None], at_b])


def _neighbours(region: Region) -> tuple[Integers, Integers]:
    """Rows of the pieces before and after each piece of the region's boundary."""
    before, after, base = [], [], 0
    for loop in region.loops:
        rows = base + np.arange(len(loop.edges))
        before.append(np.roll(rows, 1))
        after.append(np.roll(rows, -1))
        base += len(rows)
    return np.concatenate(before), np.concatenate(after)


def _cannot_shorten(
    table: EdgeTable, before: Integers, after: Integers, rows: Integers, at: Complexes, to: Complexes
) -> Booleans:
    """Whether moving the end `at` along the boundary, either way, does not shorten the way to `to`."""
    edge = table.take(rows)
    at_start, at_end = np.abs(at - edge.start) <= TOUCH, np.abs(at - edge.end) <= TOUCH
    share = np.where(at_start, 0.0, np.where(at_end, 1.0, edge.share_of(at)))
    ahead = table.take(np.where(at_end, after[rows], rows))
    behind = table.take(np.where(at_start, before[rows], rows))
    onward, back = ahead.heading(np.where(at_end, 0.0, share)), behind.heading(np.where(at_start, 1.0, share))
    way = (to - at) / np.abs(to - at)
    into_material = ((1j * onward).conj() * way).real > -SLACK
    into_material |= ((1j * back).conj() * way).real > -SLACK
    return into_material & ~_shortens(ahead, onward, at, to) & ~_shortens(behind, -back, at, to)


def _shortens(piece: EdgeTable, move: Complexes, at: Complexes, to: Complexes) -> Booleans:
    """Whether moving `at` along `move`, on its piece, shortens the way: by its slope, or when square by its bend."""
    apart = np.abs(to - at)
    way = (to - at) / apart
    slope = (move.conj() * way).real
    bent_over = ((piece.centre - at).conj() * way).real > 0
    tighter = piece.arcs & (piece.radius < apart - TOUCH) & bent_over
    return (slope > SLACK) | ((slope > -SLACK) & tighter)


def _through_material(table: EdgeTable, at_a: Complexes, at_b: Complexes) -> Booleans:
    """Whether each straight way runs through material, meeting no boundary between its ends."""
    if not len(at_a):
        return np.zeros(0, dtype=bool)
    inside = winding(table, (at_a + at_b) / 2) > 0
    ways = EdgeTable.straight(at_a, at_b)
    i, j = box_pairs(ways, table, TOUCH)
    hits = crossings(ways.take(i), table.take(j))
    met = np.where(np.isnan(hits), np.inf, hits)
    way, edge = ways.take(i), table.take(j)
    on_both = (np.abs(edge.nearest(hits) - met) <= TOUCH) & (np.abs(way.nearest(hits) - met) <= TOUCH)
    on_both &= (np.abs(met - way.start) > 2 * TOUCH) & (np.abs(met - way.end) > 2 * TOUCH)
    crossed = np.zeros(len(at_a), dtype=bool)
    np.logical_or.at(crossed, i, on_both.any(axis=0))
    return inside & ~crossed


def _distinct(
    ways: list[Nearest], pieces: list[tuple[int, int]], edges: Sequence[Edge], after: Integers
) -> list[Nearest]:
    """One way for each narrow place: the same way is met from several pieces, and all along two parallel ones."""
    kept: list[int] = []
    for k, way in enumerate(ways):
        if not any(
            abs(way.distance - ways[other].distance) <= TOUCH
            and (
                pieces[k] == pieces[other]
                or _same_ends(way, ways[other])
                or _goes_over(way, pieces[k], pieces[other], edges, after)
            )
            for other in kept
        ):
            kept.append(k)
    return [ways[k] for k in kept]


def _same_ends(p: Nearest, q: Nearest) -> bool:
    straight = math.dist(p.a, q.a) <= SLACK and math.dist(p.b, q.b) <= SLACK
    return straight or (math.dist(p.a, q.b) <= SLACK and math.dist(p.b, q.a) <= SLACK)


def _goes_over(
    way: Nearest, own: tuple[int, int], other: tuple[int, int], edges: Sequence[Edge], after: Integers
) -> bool:
    """Whether a way stands where its piece goes over into the piece of another way to the same opposite piece."""
    for at, mine, theirs, opposite in (
        (way.a, own[0], other[0], own[1] == other[1]),
        (way.b, own[1], other[1], own[0] == other[0]),
    ):
        for first, second in ((mine, theirs), (theirs, mine)):
            if opposite and after[first] == second and math.dist(at, edges[first].end) <= SLACK:
                return True
    return False
