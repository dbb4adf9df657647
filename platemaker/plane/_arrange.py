"""The arrangement: edges cut wherever they meet, and the winding number on both sides of each piece.

Union, cut, intersection, offset and pocket are all one question put to it: where do these closed loops wind often
enough?
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._chain import Course, chained
from platemaker.plane._consistency import (
    ROUNDING,
    add_up,
    add_up_in_all,
    agree_round_vertices,
    under_stretches,
)
from platemaker.plane._pieces import Pieces, cut
from platemaker.plane._shapes import Arc, Edge, Line, Region
from platemaker.plane._table import TOUCH, EdgeTable, box_pairs, to_point
from platemaker.plane._winding import turned, turns
from platemaker.records import replace

TOUCHES = tuple(TOUCH * share for share in (1.0, 0.1, 10.0, 0.01, 3.0, 0.3, 40.0))
"""Curves may run so near to TOUCH of one another that one place says they touch and the next that they do not. What is
found is therefore checked (_consistency.py), and where it fails, another measure of touching is tried; the largest
stays under half of the 1e-6 mm that walls hold to."""

APART = 1.0
"""Room between groups of edges that are set side by side, mm."""

TRIES = (0.5, 0.25, 0.75, 0.1, 0.9, 0.02, 0.98)
"""Shares of a stretch at which it is asked what lies on its sides; the first unless something runs beside it there."""


def regions_where(edges: Sequence[Edge], level: int = 1) -> tuple[Region, ...]:
    """Regions round which the edges, taken as closed loops, wind at least `level` times; empty when there is none.

    Each boundary piece keeps the tag of an edge that it is part of; of edges that coincide, one that travels with the
    material on its left, and of those the first. Loops no wider than 1e-6 mm are left out. Raises GeometryError where
    edges run so close together that no measure of touching gives regions without contradiction.
    """
    if not edges:
        return ()
    edges, table = on_their_circles(edges)
    faults = []
    for touch in TOUCHES:
        try:
            return _regions(edges, table, level, touch)
        except GeometryError as fault:
            faults.append(fault)
    message = f"edges nearly coincide, and no regions can be made of them: {faults[0]}"
    raise GeometryError(message) from faults[0]


def areas_where(groups: Sequence[Sequence[Edge]], level: int = 1) -> list[float]:
    """Area of all that each group of edges winds round at least `level` times, mm2: of many groups at once.

    They are set side by side, far enough apart that none meets another, and no regions are made of them. Raises
    GeometryError as `regions_where` does.
    """
    edges = [edge for group in groups for edge in group]
    kept, table = on_their_circles(edges) if edges else ((), EdgeTable.of(()))
    try:
        if len(kept) == len(edges):
            return _areas(
                table, np.repeat(np.arange(len(groups)), [len(group) for group in groups]), len(groups), level
            )
    except GeometryError:
        if len(groups) > 1:
            return [area for group in groups for area in areas_where([group], level)]
    return [sum(region.area for region in regions_where(group, level)) for group in groups]


def _areas(table: EdgeTable, group: Integers, count: int, level: int) -> list[float]:
    if not len(table):
        return [0.0] * count
    x0, _, x1, _ = table.boxes
    aside = group * (float(x1.max() - x0.min()) + APART)
    table = EdgeTable(table.start + aside, table.end + aside, table.centre + aside, table.radius, table.sweep)
    pieces = cut(table, TOUCH)
    left, right = _windings(table, pieces, TOUCH)
    agree_round_vertices(pieces, left, right)
    origins = table.start[np.searchsorted(group, group)]
    stretches = under_stretches(table, pieces, origins[pieces.along])
    add_up_in_all(table, left - right, stretches, origins, TOUCH)
    ways = (left >= level).astype(float) - (right >= level)
    areas: list[float] = np.bincount(group[pieces.along], ways * stretches, count).tolist()
    return areas


def on_their_circles(edges: Sequence[Edge]) -> tuple[Sequence[Edge], EdgeTable]:
    """The edges with arcs that truly end on their circles: rounded coordinates leave steps, which become lines."""
    table = EdgeTable.of(edges)
    off = np.maximum(
        np.abs(np.abs(table.start - table.centre) - table.radius),
        np.abs(np.abs(table.end - table.centre) - table.radius),
    )
    astray = table.arcs & (off > TOUCH / 10)
    if not astray.any():
        return edges, table
    fixed: list[Edge] = []
    for edge, stray in zip(edges, astray.tolist(), strict=True):
        fixed += _with_steps(edge) if stray and isinstance(edge, Arc) else [edge]
    return fixed, EdgeTable.of(fixed)


def _with_steps(arc: Arc) -> list[Edge]:
    centre = complex(*arc.centre)
    start, end = (
        to_point(centre + (at - centre) * arc.radius / abs(at - centre))
        for at in (complex(*arc.start), complex(*arc.end))
    )
    steps = Line(arc.start, start, arc.tag), replace(arc, start=start, end=end), Line(end, arc.end, arc.tag)
    return [step for step in steps if step.start != step.end]


def _regions(edges: Sequence[Edge], table: EdgeTable, level: int, touch: float) -> tuple[Region, ...]:
    pieces = cut(table, touch)
    left, right = _windings(table, pieces, touch)
    agree_round_vertices(pieces, left, right)
    inside_left = left >= level
    kept = np.nonzero(inside_left != (right >= level))[0]
    found = chained(edges, table, _courses(pieces, kept, inside_left[kept]))
    ways = np.zeros(len(left))
    ways[kept] = np.where(inside_left[kept], 1, -1)
    add_up(table, pieces, left - right, ways, found, touch)
    return found


def _windings(table: EdgeTable, pieces: Pieces, touch: float) -> tuple[Floats, Floats]:
    """How often the edges wind round a point just left of each stretch, and just right of it.

    It is asked in the middle of each stretch, unless another edge runs beside it there: then where that is farthest.
    Raises GeometryError where it is nowhere clear of it, or lies clearly to one side here and to the other there.
    """
    every = np.arange(len(pieces.first))
    points = pieces.point(table, TRIES[0])
    left = _left(table, pieces, every, points)
    crowded = np.nonzero(_room(table, pieces, every, points, touch) < np.inf)[0]
    if len(crowded):
        tries = [pieces.point(table, share, crowded) for share in TRIES]
        rooms = np.stack([_room(table, pieces, crowded, tried, touch) for tried in tries])
        found = np.stack([_left(table, pieces, crowded, tried) for tried in tries])
        best = rooms.argmax(axis=0)[None]
        left[crowded] = np.take_along_axis(found, best, axis=0)
        largest = np.abs(np.concatenate([table.start, table.centre])).max()
        unclear = np.take_along_axis(rooms, best, axis=0)[0] <= ROUNDING * largest
        unclear |= ((found != left[crowded]) & (rooms > touch / 2)).any(axis=0)
        if unclear.any():
            x, y = to_point(points[crowded[unclear][0]])
            message = f"two edges run side by side at ({x:.6f}, {y:.6f}), and neither is on one side of the other"
            raise GeometryError(message)
    return left, left - np.bincount(pieces.of, pieces.sign, len(left))


def _left(table: EdgeTable, pieces: Pieces, rows: Integers, points: Complexes) -> Floats:
    """How often the edges wind round a point just left of each of these stretches, asked from a point on it.

    Seen from one of its own points a line turns by half a turn, and an arc, from any of them, by half a turn and half
    its sweep (the inscribed angle); on the left of travel that is added, on the right a full turn less.
    """
    place = np.full(len(pieces.first), -1)
    place[rows] = np.arange(len(rows))
    at = place[pieces.of]
    asked = at >= 0
    at, own = at[asked], table.take(pieces.edge[asked])
    from_on_it = pieces.sign[asked] * math.pi + own.sweep / 2 - turned(own, points[at])
    left: Floats = np.rint((turns(table, points) + np.bincount(at, from_on_it, len(rows))) / math.tau)
    return left


def _room(table: EdgeTable, pieces: Pieces, rows: Integers, points: Complexes, touch: float) -> Floats:
    """Distance from a point of each of these stretches to the nearest edge that is none of its own.

    Infinite where it is more than a few `touch`: nothing that is taken for touching reaches so far.
    """
    room = np.full(len(rows), np.inf)
    near, edge = box_pairs(EdgeTable.straight(points, points), table, 4 * touch)
    own, asked = np.sort(pieces.of * len(table) + pieces.edge), rows[near] * len(table) + edge
    other = own[np.minimum(np.searchsorted(own, asked), len(own) - 1)] != asked
    near, edge = near[other], edge[other]
    if len(near):
        apart = np.abs(table.take(edge).nearest(points[near]) - points[near])
        np.minimum.at(room, near, np.where(apart <= 4 * touch, apart, np.inf))
    return room


def _courses(pieces: Pieces, kept: Integers, inside_left: Booleans) -> Course:
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
