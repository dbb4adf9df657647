"""Outlines as points and segments that meet only in common points: what a mesh of the plan is made to follow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from platemaker.fields._edges import corners, extent, point_on
from platemaker.fields._spacing import stepped
from platemaker.records import Record

if TYPE_CHECKING:
    from scipy.spatial import cKDTree

Points = NDArray[np.float64]
Pairs = NDArray[np.int64]

CHORD = math.pi / 8
"""Largest angle of a chord."""
ALIGNED = 1e-7
"""An edge whose ends lie this near, mm, in one coordinate runs along an axis."""
SNAP = 0.12
"""Points nearer than this share of the cell size are one."""
ROUNDS = 3
"""How often crossings are looked for: each split may make new ones."""

Edges = Sequence[Sequence[float]]


class Outlines(Record):
    """Points, mm, and for each loop its segments as pairs of their numbers; `lines` are the grid's, x and y."""

    points: Points
    loops: tuple[Pairs, ...]
    lines: tuple[Points, Points]


def outlines(loops: Sequence[Edges], size: float, fine: float) -> Outlines:
    """Loops, of which the first keep their places best, as segments of about `size`, mm; `fine` at straight edges."""
    lines = grid_lines(loops, size, fine)
    chains = [_chain(loop, size, fine, lines) for loop in loops]
    raw, at = np.concatenate(chains), 0
    pairs = []
    for chain in chains:
        here = np.arange(at, at + len(chain))
        pairs.append(np.stack([here, np.roll(here, -1)], axis=1))
        at += len(chain)
    points, pairs = _merged(raw, pairs, SNAP * size)
    for _ in range(ROUNDS):
        points, pairs = _crossed(points, pairs)
        points, pairs = _merged(points, pairs, SNAP * size)
        pairs = [_split(points, pair, SNAP * size) for pair in pairs]
    return Outlines(points, tuple(pairs), lines)


def inside(points: Points, outline: Points, pairs: Pairs) -> NDArray[np.bool_]:
    """Whether points lie within a closed chain of segments, by the crossings of a ray."""
    a, b = outline[pairs[:, 0]], outline[pairs[:, 1]]
    found = np.zeros(len(points), dtype=bool)
    for start in range(0, len(points), 4096):
        some = points[start : start + 4096]
        x, y = some[:, :1], some[:, 1:]
        over = (a[:, 1] > y) != (b[:, 1] > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            crossing = a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
        found[start : start + 4096] = (over & (x < crossing)).sum(axis=1) % 2 == 1
    return found


def grid_lines(loops: Sequence[Edges], size: float, fine: float) -> tuple[Points, Points]:
    """Lines of a grid that takes in the straight edges along an axis; steps grow from them, from `fine` to `size`.

    The outermost edges are walls along which no port lies: beside them steps are as wide as elsewhere.
    """
    ends = np.array([point for loop in loops for point in corners(loop)])
    found = []
    for axis in (0, 1):
        wanted = [
            edge[axis]
            for loop in loops
            for edge in loop
            if len(edge) == 4 and abs(edge[axis] - edge[axis + 2]) < ALIGNED and math.dist(edge[0:2], edge[2:4]) > size
        ]
        kept: list[float] = []
        for one in wanted:
            if all(abs(one - other) > 0.4 * size for other in kept):
                kept.append(one)
        inner, outer = float(ends[:, axis].min()), float(ends[:, axis].max())
        stops = [inner - 2 * size, *sorted(kept), outer + 2 * size]
        first = [fine if inner + ALIGNED < stop < outer - ALIGNED else size for stop in stops]
        steps = [a + stepped(b - a, s, t, size)[:-1] for (a, s), (b, t) in pairwise(zip(stops, first, strict=True))]
        found.append(np.concatenate([*steps, [stops[-1]]]))
    return found[0], found[1]


def _chain(loop: Edges, size: float, fine: float, lines: tuple[Points, Points]) -> Points:
    """Points along a loop: on an edge that lies on a line of the grid at the grid's crossings, else evenly."""
    found: list[Sequence[float]] = []
    for edge in loop:
        length, sweep = extent(edge)
        for axis in (0, 1):
            on_line = np.abs(lines[axis] - edge[axis]).min() < ALIGNED
            if not sweep and abs(edge[axis] - edge[axis + 2]) < ALIGNED and on_line:
                low, high = sorted((edge[1 - axis], edge[3 - axis]))
                across = lines[1 - axis]
                near = min(0.3 * size, 0.6 * fine)
                stops = across[(across > low + near) & (across < high - near)]
                ordered = stops if edge[1 - axis] < edge[3 - axis] else stops[::-1]
                found.append(edge[0:2])
                found += [(edge[0], one) if axis == 0 else (one, edge[1]) for one in ordered]
                break
        else:
            count = max(1, round(length / size), math.ceil(sweep / CHORD - 1e-9) if length > size else 1)
            found += [point_on(edge, place / count) for place in range(count)]
    return np.array(found, dtype=float)


def _merged(points: Points, pairs: Sequence[Pairs], near: float) -> tuple[Points, list[Pairs]]:
    """Points that lie near an earlier one taken as that one; segments without length are left out."""
    tree = _tree(points)
    number = np.arange(len(points))
    for first, second in sorted(tree.query_pairs(near)):
        if number[first] == first and number[second] == second:
            number[second] = first
    kept, place = np.unique(number, return_inverse=True)
    found = []
    for pair in pairs:
        renamed = place[pair]
        found.append(renamed[renamed[:, 0] != renamed[:, 1]])
    return points[kept], found


def _split(points: Points, pairs: Pairs, near: float) -> Pairs:
    """Segments split at each point that lies on them."""
    a, b = points[pairs[:, 0]], points[pairs[:, 1]]
    along = b - a
    length = np.hypot(along[:, 0], along[:, 1])
    tree = _tree(points)
    close = tree.query_ball_point((a + b) / 2, length / 2 + near)
    found: list[tuple[int, int]] = []
    for row, (first, last) in enumerate(pairs):
        others = np.array([one for one in close[row] if one not in (first, last)], dtype=int)
        stops: list[int] = []
        if len(others):
            away = points[others] - a[row]
            share = away @ along[row] / length[row] ** 2
            off = np.abs(away[:, 0] * along[row, 1] - away[:, 1] * along[row, 0]) / length[row]
            on = (off < near) & (share > 0) & (share < 1)
            stops = list(others[on][np.argsort(share[on])])
        chain = [int(first), *(int(one) for one in stops), int(last)]
        found += list(pairwise(chain))
    return np.array(found, dtype=np.int64).reshape(-1, 2)


def _crossed(points: Points, pairs: Sequence[Pairs]) -> tuple[Points, list[Pairs]]:
    """Points added where segments cross, and the segments split there."""
    every = np.concatenate(pairs)
    a, along = points[every[:, 0]], points[every[:, 1]] - points[every[:, 0]]
    middle, half = a + along / 2, np.hypot(along[:, 0], along[:, 1]).max() / 2
    one, other = (np.array(found, dtype=np.int64) for found in _near(middle, 2 * half))
    cross = along[one, 0] * along[other, 1] - along[one, 1] * along[other, 0]
    gap = a[other] - a[one]
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (gap[:, 0] * along[other, 1] - gap[:, 1] * along[other, 0]) / cross
        t = (gap[:, 0] * along[one, 1] - gap[:, 1] * along[one, 0]) / cross
    edge = 1e-6
    hit = np.flatnonzero((s > edge) & (s < 1 - edge) & (t > edge) & (t < 1 - edge))
    if not len(hit):
        return points, list(pairs)
    added = a[one[hit]] + s[hit, None] * along[one[hit]]
    stops: dict[int, list[tuple[float, int]]] = {}
    for number, hit_row in enumerate(hit.tolist(), start=len(points)):
        stops.setdefault(int(one[hit_row]), []).append((float(s[hit_row]), number))
        stops.setdefault(int(other[hit_row]), []).append((float(t[hit_row]), number))
    found, at = [], 0
    for pair in pairs:
        parts: list[tuple[int, int]] = []
        for row, (first, last) in enumerate(pair, start=at):
            ends = (int(first), int(last))
            chain = [ends[0], *(number for _, number in sorted(stops.get(row, []))), ends[1]]
            parts += list(pairwise(chain))
        found.append(np.array(parts, dtype=np.int64).reshape(-1, 2))
        at += len(pair)
    return np.concatenate([points, added]), found


def _tree(points: Points) -> cKDTree:
    from scipy.spatial import cKDTree  # noqa: PLC0415 - a case is written without it, and `check` asks for kept ones

    return cKDTree(points)


def _near(middle: Points, reach: float) -> tuple[list[int], list[int]]:
    couples = _tree(middle).query_pairs(reach)
    return [first for first, _ in couples], [second for _, second in couples]
