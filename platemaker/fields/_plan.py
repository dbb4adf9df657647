"""A mesh of the plan that follows the outlines of all slabs: squares of a grid, triangles where they do not fit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import Delaunay, cKDTree

from platemaker.fields._edges import corners
from platemaker.fields._outlines import Outlines, Pairs, Points, inside, outlines
from platemaker.fields._spacing import edge_size
from platemaker.records import Record

CLEAR = 0.55
"""How far a node of the grid keeps from an outline, in cell sizes."""
ROUNDS = 8
"""How often segments that the triangles do not have are halved."""
FLAT = 1e-4
"""Triangles of less than this share of a square are left out."""


class PlanMesh(Record):
    """Points, mm; cells as four of their numbers, anticlockwise, the last of a triangle being -1.

    `within` says of each slab which cells lie in it; `loops` are the segments of each slab's outlines.
    """

    points: Points
    cells: Pairs
    within: NDArray[np.bool_]
    loops: tuple[Pairs, ...]


def plan_of(slabs: Sequence[dict[str, Any]], size: float) -> PlanMesh:
    """The plan of slabs with cells of about `size`, mm."""
    owned = [(place, loop) for place, slab in enumerate(slabs) for region in slab["regions"] for loop in region]
    extents = [np.ptp(corners(loop), axis=0).prod() for _, loop in owned]
    order = sorted(range(len(owned)), key=lambda at: (extents[at], at))
    fine = edge_size(slabs, size)
    drawn = outlines([owned[at][1] for at in order], size, fine)
    slab_of = [owned[at][0] for at in order]
    points, loops, triangles = _triangles(drawn, size, fine)
    middle = points[triangles].mean(axis=1)
    within = np.zeros((len(slabs), len(triangles)), dtype=bool)
    for place, loop in zip(slab_of, loops, strict=True):
        within[place] ^= inside(middle, points, loop)  # a hole takes out what its outline put in
    used = within.any(axis=0)
    triangles, within = triangles[used], within[:, used]
    cells, within = _squared(points, drawn.lines, triangles, within)
    joined = tuple(
        np.concatenate([loop for slab, loop in zip(slab_of, loops, strict=True) if slab == place])
        for place in range(len(slabs))
    )
    return PlanMesh(points, cells, within, joined)


def _triangles(drawn: Outlines, size: float, fine: float) -> tuple[Points, list[Pairs], Pairs]:
    """Triangles over outlines and nodes; a segment that is no edge of one is halved, until all are."""
    loops = list(drawn.loops)
    points, fixed = drawn.points, len(drawn.points)
    nodes = np.stack(np.meshgrid(*drawn.lines, indexing="ij"), axis=-1).reshape(-1, 2)
    walls = np.concatenate(loops)
    aligned = _on_lines(points, walls, drawn.lines)
    nodes = nodes[_clear(nodes, points, walls[~aligned], CLEAR * size)]
    nodes = nodes[_clear(nodes, points, walls[aligned], CLEAR * fine)]
    for left in range(ROUNDS, -1, -1):
        every = np.concatenate([points, nodes])
        found = Delaunay(every).simplices.astype(np.int64)
        edges = _keys(np.concatenate([found[:, [0, 1]], found[:, [1, 2]], found[:, [2, 0]]]), len(every))
        missing = np.unique(np.concatenate([_lost(loop, edges, len(every)) for loop in loops]), axis=0)
        if not len(missing) or not left:
            break
        middle = points[missing].mean(axis=1)
        number = {(int(a), int(b)): fixed + place for place, (a, b) in enumerate(missing)}
        points, fixed = np.concatenate([points, middle]), fixed + len(middle)
        loops = [_halved(loop, number) for loop in loops]
        half = np.hypot(*(points[missing[:, 0]] - points[missing[:, 1]]).T).max() / 2
        nodes = nodes[cKDTree(middle).query(nodes)[0] > min(half, CLEAR * size)]
    a, b, c = (every[found[:, place]] for place in range(3))
    area = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    found[area < 0] = found[area < 0][:, ::-1]
    return every, loops, found[np.abs(area) > FLAT * size * size]


def _on_lines(points: Points, pairs: Pairs, lines: tuple[Points, Points]) -> NDArray[np.bool_]:
    """Which segments lie on a line of the grid, whose nodes keep their distance of themselves."""
    a, b = points[pairs[:, 0]], points[pairs[:, 1]]
    found = np.zeros(len(pairs), dtype=bool)
    for axis in (0, 1):
        at = np.clip(np.searchsorted(lines[axis], a[:, axis] - 1e-6), 0, len(lines[axis]) - 1)
        found |= (np.abs(lines[axis][at] - a[:, axis]) < 1e-6) & (np.abs(a[:, axis] - b[:, axis]) < 1e-6)
    return found


def _clear(nodes: Points, points: Points, pairs: Pairs, least: float) -> NDArray[np.bool_]:
    """Which nodes keep off all segments: those are sampled, finely against the distance."""
    if not len(pairs):
        return np.ones(len(nodes), dtype=bool)
    a, b = points[pairs[:, 0]], points[pairs[:, 1]]
    shares = np.linspace(0.0, 1.0, 9)[:, None, None]
    samples = (a + shares * (b - a)).reshape(-1, 2)
    clear: NDArray[np.bool_] = np.asarray(cKDTree(samples).query(nodes)[0]) > least
    return clear


def _keys(pairs: Pairs, count: int) -> Pairs:
    low, high = pairs.min(axis=1), pairs.max(axis=1)
    keys: Pairs = low * count + high
    return keys


def _lost(loop: Pairs, edges: Pairs, count: int) -> Pairs:
    lost = ~np.isin(_keys(loop, count), edges)
    ordered: Pairs = np.sort(loop[lost], axis=1)
    return ordered


def _halved(loop: Pairs, number: dict[tuple[int, int], int]) -> Pairs:
    found: list[tuple[int, int]] = []
    for first, last in loop:
        middle = number.get((min(int(first), int(last)), max(int(first), int(last))))
        found += [(first, last)] if middle is None else [(first, middle), (middle, last)]
    return np.array(found, dtype=np.int64).reshape(-1, 2)


def _squared(
    points: Points, lines: tuple[Points, Points], triangles: Pairs, within: NDArray[np.bool_]
) -> tuple[Pairs, NDArray[np.bool_]]:
    """Cells with the two triangles of each of the grid's squares as one."""
    place, on = [], np.ones(len(points), dtype=bool)
    for axis in (0, 1):
        at = np.clip(np.searchsorted(lines[axis], points[:, axis]), 1, len(lines[axis]) - 1)
        near = np.where(points[:, axis] - lines[axis][at - 1] < lines[axis][at] - points[:, axis], at - 1, at)
        place.append(near)
        on &= np.abs(lines[axis][near] - points[:, axis]) < 1e-6
    columns = len(lines[1])
    i, j = place[0][triangles], place[1][triangles]
    square = on[triangles].all(axis=1) & (np.ptp(i, axis=1) == 1) & (np.ptp(j, axis=1) == 1)
    key = np.where(square, i.min(axis=1) * columns + j.min(axis=1), -1 - np.arange(len(triangles)))
    order = np.argsort(key, kind="stable")
    pairs = np.flatnonzero(key[order][1:] == key[order][:-1])
    first, second = order[pairs], order[pairs + 1]
    alike = (within[:, first] == within[:, second]).all(axis=0)
    first, second = first[alike], second[alike]
    corners = np.concatenate([triangles[first], triangles[second]], axis=1)
    quads = np.zeros((len(first), 4), dtype=np.int64)
    for row, six in enumerate(corners):
        four = np.unique(six)
        away = points[four] - points[four].mean(axis=0)
        quads[row] = four[np.argsort(np.arctan2(away[:, 1], away[:, 0]))]
    rest = np.ones(len(triangles), dtype=bool)
    rest[first] = rest[second] = False
    three = np.concatenate([triangles[rest], np.full((rest.sum(), 1), -1)], axis=1)
    return np.concatenate([quads, three]), np.concatenate([within[:, first], within[:, rest]], axis=1)
