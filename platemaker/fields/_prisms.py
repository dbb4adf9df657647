"""The air's volume as prisms over the cells of the plan, layer by layer, with the edges of entries."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from platemaker.fields._outlines import Pairs, Points
from platemaker.fields._plan import PlanMesh
from platemaker.fields._spacing import edge_profile, layer_bounds
from platemaker.records import Record

ON = 1e-6
SPREADS = 2.0
"""Over how many widths of an entry's edge the mesh beside it gives way."""


class Patch(Record):
    """Faces of the boundary that belong together: their first and how many."""

    name: str
    first: int
    count: int


class PrismMesh(Record):
    """Points, mm, faces as up to four numbers (-1: none), outward from `owner`; the first have a `neighbour`.

    `level` is the layer boundary that a face across the flow lies in, else -1; `heights` are those boundaries'. `slab`
    and `column` say of each cell where it lies.
    """

    points: Points
    faces: Pairs
    owner: Pairs
    neighbour: Pairs
    patches: tuple[Patch, ...]
    level: Pairs
    heights: Points
    starts: tuple[int, ...]
    slab: Pairs
    column: Pairs

    @property
    def count(self) -> int:
        """Number of cells."""
        return len(self.slab)

    @property
    def face_points(self) -> Points:
        """Corners of each face; the fourth of a triangle is its third."""
        four = np.where(self.faces < 0, self.faces[:, 2:3], self.faces)
        found: Points = self.points[four]
        return found

    @property
    def areas(self) -> Points:
        """Area vector of each face, mm2."""
        a, b, c, d = np.moveaxis(self.face_points, 1, 0)
        found: Points = np.cross(c - a, d - b) / 2
        return found

    @property
    def centres(self) -> Points:
        """Middle of each face, near enough to its centre of gravity for shapes that are nearly even."""
        corners = self.face_points
        shown = np.where(self.faces < 0, 0.0, 1.0)
        found: Points = (corners * shown[:, :, None]).sum(axis=1) / shown.sum(axis=1)[:, None]
        return found

    @property
    def volumes(self) -> Points:
        """Volume of each cell, mm3, by the divergence theorem."""
        part = (self.areas * self.centres).sum(axis=1) / 3
        found: Points = np.bincount(self.owner, part, self.count).astype(float)
        found -= np.bincount(self.neighbour, part[: len(self.neighbour)], self.count)
        return found

    @property
    def middles(self) -> Points:
        """Middle of each cell: of the middles of its faces, by their area."""
        size = np.linalg.norm(self.areas, axis=1)
        inner = len(self.neighbour)
        total = np.bincount(self.owner, size, self.count) + np.bincount(self.neighbour, size[:inner], self.count)
        found = np.empty((self.count, 3))
        for axis in range(3):
            part = size * self.centres[:, axis]
            both = np.bincount(self.owner, part, self.count) + np.bincount(self.neighbour, part[:inner], self.count)
            found[:, axis] = both / total
        return found


def prisms(slabs: Sequence[dict[str, Any]], plan: PlanMesh, size: float, mirror: Sequence[Any] | None) -> PrismMesh:
    """The mesh of slabs over a plan with layers of about `size`, mm."""
    heights, starts = layer_bounds(slabs, size)
    layers = np.concatenate([[place] * (b - a) for place, (a, b) in enumerate(pairwise(starts))])
    active = plan.within[layers]
    cell = np.where(active, np.cumsum(active).reshape(active.shape) - 1, -1)
    nodes = len(plan.points)
    across = _across(plan, cell, nodes)
    side = _sides(plan, cell, nodes, mirror)
    faces, owner, neighbour, kind, level = (np.concatenate([a, b]) for a, b in zip(across, side, strict=True))
    inner = np.flatnonzero(neighbour >= 0)
    inner = inner[np.lexsort((neighbour[inner], owner[inner]))]
    groups = [np.flatnonzero((neighbour < 0) & (kind == number)) for number in range(len(KINDS))]
    order = np.concatenate([inner, *groups])
    patches, at = [], len(inner)
    for name, group in zip(KINDS, groups, strict=True):
        if len(group):
            patches.append(Patch(name, at, len(group)))
        at += len(group)
    points = _points(slabs, plan, (heights, starts), mirror)
    faces = faces[order]
    used, renamed = np.unique(faces[faces >= 0], return_inverse=True)
    faces[faces >= 0] = renamed
    return PrismMesh(
        points[used], faces, owner[order], neighbour[inner], tuple(patches), level[order], heights, tuple(starts),
        np.repeat(layers, active.sum(axis=1)), np.nonzero(active)[1],
    )  # fmt: skip


KINDS = ("inlet", "outlet", "wall", "mirror")
_INLET, _OUTLET, _WALL, _MIRROR = range(4)
Faces = tuple[Pairs, Pairs, Pairs, Pairs, Pairs]


def _across(plan: PlanMesh, cell: Pairs, nodes: int) -> Faces:
    """Faces across the flow: between layers, and the ends."""
    layers, columns = cell.shape
    above = np.concatenate([np.full((1, columns), -1), cell])
    below = np.concatenate([cell, np.full((1, columns), -1)])
    at, column = np.nonzero((above >= 0) | (below >= 0))
    first, second = above[at, column], below[at, column]
    corners = plan.cells[column]
    faces = np.where(corners < 0, -1, corners + at[:, None] * nodes)
    # Anticlockwise from above is out of what lies before it; of a layer that begins here it is turned round.
    begins = first < 0
    turned = faces[:, [0, 3, 2, 1]]
    three = faces[:, 3] < 0
    turned[three] = faces[three][:, [0, 2, 1, 3]]
    faces = np.where(begins[:, None], turned, faces)
    owner = np.where(begins, second, first)
    neighbour = np.where(begins, -1, second)
    kind = np.where(at == 0, _INLET, np.where(at == layers, _OUTLET, _WALL))
    return faces, owner, neighbour, kind, at


def _sides(plan: PlanMesh, cell: Pairs, nodes: int, mirror: Sequence[Any] | None) -> Faces:
    """Faces along the flow: over each edge of the plan in each layer."""
    edges, left, right = _edges(plan)
    a = cell[:, left]
    b = np.where(right >= 0, cell[:, right], -1)
    layer, edge = np.nonzero((a >= 0) | (b >= 0))
    first, second = a[layer, edge], b[layer, edge]
    start, end = edges[edge].T
    swapped = (first < 0) | ((second >= 0) & (second < first))
    start, end = np.where(swapped, end, start), np.where(swapped, start, end)
    low, high = layer * nodes, (layer + 1) * nodes
    faces = np.stack([low + start, low + end, high + end, high + start], axis=1)
    owner = np.where(swapped, second, first)
    neighbour = np.where(swapped, first, second)
    kind = np.full(len(owner), _WALL)
    if mirror:
        kind = np.where(_on_mirror(plan, edges, mirror)[edge], _MIRROR, _WALL)
    return faces, owner, neighbour, kind, np.full(len(owner), -1)


def _on_mirror(plan: PlanMesh, edges: Pairs, mirror: Sequence[Any] | None) -> NDArray[np.bool_]:
    if not mirror:
        return np.zeros(len(edges), dtype=bool)
    across = _across_mirror(mirror)
    found: NDArray[np.bool_] = (np.abs(plan.points[edges][:, :, across] - mirror[1]) < ON).all(axis=1)
    return found


def _across_mirror(mirror: Sequence[Any]) -> int:
    return 1 if mirror[0] == "x" else 0


def _edges(plan: PlanMesh) -> tuple[Pairs, Pairs, Pairs]:
    """Edges of the plan as one cell on their left sees them, and that cell and the one beyond, or -1."""
    four = plan.cells
    three = four[:, 3] < 0
    after = np.roll(four, -1, axis=1)
    after[three, 2] = four[three, 0]
    number = np.repeat(np.arange(len(four)), 4)
    pairs = np.stack([four.ravel(), after.ravel()], axis=1)
    kept = pairs.min(axis=1) >= 0
    pairs, number = pairs[kept], number[kept]
    key = np.sort(pairs, axis=1) @ np.array([len(plan.points), 1])
    order = np.argsort(key, kind="stable")
    twice = key[order][1:] == key[order][:-1]
    begins = np.concatenate([[True], ~twice])
    first = order[begins]
    second = np.full(len(first), -1)
    place = np.cumsum(begins) - 1
    second[place[1:][twice]] = number[order[1:][twice]]
    return pairs[first], number[first], second


def _points(
    slabs: Sequence[dict[str, Any]], plan: PlanMesh, bounds: tuple[Points, Sequence[int]], mirror: Sequence[Any] | None
) -> Points:
    """Points of all layers; round the edge of an entry they are moved outward, and the mesh beside it with them."""
    heights, starts = bounds
    grid = np.empty((len(heights), len(plan.points), 3))
    grid[:, :, :2] = plan.points
    grid[:, :, 2] = heights[:, None]
    for place, slab in enumerate(slabs):
        if not slab["mouth"]:
            continue
        wide, deep, rounded = slab["mouth"]
        begin, end = heights[starts[place]], heights[starts[place + 1]]
        move = _moves(plan, place, wide, mirror)
        for level, z in enumerate(heights):
            if z < begin - SPREADS * wide or z >= end - ON:
                continue
            share = edge_profile(max(0.0, z - begin) / deep, rounded=rounded)
            share *= min(1.0, 1 - (begin - z) / (SPREADS * wide))
            grid[level, :, :2] += share * move
    return grid.reshape(-1, 3)


def _moves(plan: PlanMesh, place: int, wide: float, mirror: Sequence[Any] | None) -> Points:
    """How far each point of the plan goes where a slab's entry is widest: no more than half way to a wall before it."""
    pairs = _directed(plan, place, mirror)
    along = plan.points[pairs[:, 1]] - plan.points[pairs[:, 0]]
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1) / np.hypot(along[:, 0], along[:, 1])[:, None]
    outward = np.zeros_like(plan.points)
    for end in (0, 1):
        np.add.at(outward, pairs[:, end], normal)
    on = np.unique(pairs)
    outward[on] /= np.linalg.norm(outward[on], axis=1)[:, None]
    away, near = cKDTree(plan.points[on]).query(plan.points)
    walls = plan.points[np.unique(_directed(plan, place - 1, mirror))]
    room = cKDTree(walls).query(plan.points)[0] / 2
    size = np.minimum(wide * np.clip(1 - away / (SPREADS * wide), 0.0, 1.0), room)
    found: Points = size[:, None] * outward[on][near]
    if mirror:
        across = _across_mirror(mirror)
        found[np.abs(plan.points[:, across] - mirror[1]) < ON, across] = 0.0
    return found


def _directed(plan: PlanMesh, place: int, mirror: Sequence[Any] | None) -> Pairs:
    """Segments of a slab's walls with its cells on their left."""
    edges, left, right = _edges(plan)
    inside = plan.within[place]
    first, second = inside[left], (right >= 0) & inside[right]
    wall = (first != second) & ~_on_mirror(plan, edges, mirror)
    found: Pairs = np.where(first[wall, None], edges[wall], edges[wall][:, ::-1])
    return found
