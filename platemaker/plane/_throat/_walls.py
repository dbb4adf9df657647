"""Ways to walls and between them: the nearest points, with those left out that are no shorter than a way over islands.

An island is free to walk along, so a way to it that is as long as one over another island is not needed, if both lie
alike to the openings: if no base point is in the triangle between them, and no opening near the way between the
islands.
"""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers, distinct
from platemaker.plane._table import TOUCH, EdgeTable
from platemaker.plane._throat._plan import Plan
from platemaker.plane._throat._rails import Ground, Spots
from platemaker.plane._throat._ways import NEAR
from platemaker.records import Record

NEIGHBOURS = 8
"""Islands next to one another over which longer ways are tried."""
SECTORS, IN_EACH = 24, 4
"""Of many islands, ways are tried to so many of the nearest in each of so many directions: others lie behind them."""

AWRY = 1e-6
"""Cosine of the angle, off square, at which a way still leaves a wall squarely."""


class Islands(Record):
    """Round islands as columns, with the two stretches of each; and the stretches of all other walls."""

    centre: Complexes
    radius: Floats
    halves: Integers
    others: Integers
    clear_of: tuple[Complexes, Floats]
    one_depth: bool

    @classmethod
    def of(cls, plan: Plan) -> Islands:
        """The islands of a plan."""
        table = plan.table
        walls = np.nonzero(plan.walls)[0].tolist()
        at_vertex: dict[int, list[int]] = defaultdict(list)
        for row in walls:
            at_vertex[int(plan.first[row])].append(row)
        halves = []
        for row in walls:
            after = at_vertex[int(plan.last[row])]
            if len(after) == 1 and after[0] > row and plan.last[after[0]] == plan.first[row]:
                other = after[0]
                same = abs(table.centre[row] - table.centre[other]) <= TOUCH
                if table.radius[row] > 0 and same and abs(table.radius[row] - table.radius[other]) <= TOUCH:
                    # The chamber lies left of its walls: round an island they run clockwise.
                    halves += [(row, other)] if table.sweep[row] < 0 else []
        pairs = np.array(halves, dtype=np.intp).reshape(-1, 2)
        others = np.array(sorted({*walls} - {*pairs.ravel().tolist()}), dtype=np.intp)
        one = bool(np.ptp(plan.depths[1:]) == 0)
        return cls(table.centre[pairs[:, 0]], table.radius[pairs[:, 0]], pairs, others, _openings(plan), one)

    @property
    def alike(self) -> bool:
        """Whether there are so many islands, in one depth, that it is worth comparing ways over them."""
        return self.one_depth and len(self.centre) > NEIGHBOURS

    @cached_property
    def apart(self) -> Floats:
        """Wall between each pair of islands, mm; none leads over itself."""
        found: Floats = np.abs(self.centre[:, None] - self.centre) - self.radius[:, None] - self.radius
        np.fill_diagonal(found, np.inf)
        return found

    @cached_property
    def safe(self) -> Booleans:
        """Whether the way between two islands passes no opening."""
        found = np.ones((len(self.centre), len(self.centre)), dtype=bool)
        for centre, radius in zip(*self.clear_of, strict=True):
            found &= _distance(self.centre[:, None], self.centre[None, :], complex(centre)) > radius
        return found

    @cached_property
    def near(self) -> Integers:
        """The islands next to each, nearest first."""
        return np.argsort(self.apart, axis=1)[:, :NEIGHBOURS]

    def on(self, rows: Integers, at: Complexes, plan: Plan) -> tuple[Integers, Floats]:
        """Stretches and shares of points on islands."""
        first, second = self.halves[rows].T
        stretch = np.where(plan.table.take(first).covers(at), first, second)
        return stretch, share_at(plan.table.take(stretch), at)


def _openings(plan: Plan) -> tuple[Complexes, Floats]:
    """Discs round the openings, and round the pieces whose edges are steps."""
    centres, radii = [], []
    for figure in distinct(plan.figure[~plan.walls]):
        x0, y0, x1, y1 = plan.tables[figure].boxes
        low, high = complex(x0.min(), y0.min()), complex(x1.max(), y1.max())
        centres.append((low + high) / 2)
        radii.append(abs(high - low) / 2)
    return np.array(centres), np.array(radii)


def _distance(start: Complexes, end: Complexes, point: complex) -> Floats:
    """Distance of a point from straight ways."""
    way = end - start
    square = way.real**2 + way.imag**2
    share = np.clip(((point - start) * way.conj()).real / np.where(square > 0, square, 1.0), 0.0, 1.0)
    found: Floats = np.abs(start + share * way - point)
    return found


def _between(a: Complexes, b: Complexes, c: Complexes, points: Complexes) -> Booleans:
    """Whether any of the points lies in each triangle."""
    found = np.zeros(len(a), dtype=bool)
    for point in points.tolist():
        turns = [((q - p).conj() * (point - p)).imag > 0 for p, q in ((a, b), (b, c), (c, a))]
        found |= (turns[0] == turns[1]) & (turns[1] == turns[2])
    return found


def share_at(table: EdgeTable, at: Complexes) -> Floats:
    """Share of each curve's length at a point on it; whole at its ends."""
    share = np.clip(table.share_of(at), 0.0, 1.0)
    return np.where(np.abs(at - table.start) <= TOUCH, 0.0, np.where(np.abs(at - table.end) <= TOUCH, 1.0, share))


def feet(ground: Ground, islands: Islands, spots: Spots, reach: float) -> tuple[Integers, Spots]:
    """For spots, the nearest points of each wall within reach: rows of the spots, and the points."""
    plan = ground.plan
    i, j, share = _feet_on(plan, islands.others, spots.at, reach)
    stretch = islands.others[j]
    way = islands.centre - spots.at[:, None]
    size = np.abs(way) - islands.radius
    rows, island = np.nonzero((size < reach) & (size > NEAR))
    if islands.alike:
        kept = _in_front(rows, way[rows, island], size[rows, island])
        rows, island = rows[kept], island[kept]
        kept = _needed_feet(ground, islands, spots.at, size, rows, island)
        rows, island = rows[kept], island[kept]
    if len(rows):
        spoke = way[rows, island]
        own, where = islands.on(island, islands.centre[island] - islands.radius[island] * spoke / np.abs(spoke), plan)
        i, stretch, share = np.concatenate([i, rows]), np.concatenate([stretch, own]), np.concatenate([share, where])
    return i, ground.spots(stretch, share, np.full(len(i), -1, dtype=np.intp))


def _in_front(rows: Integers, way: Complexes, size: Floats) -> Booleans:
    """Which ways, of those from one spot (row) in one direction, are among the shortest."""
    sector = np.floor((np.angle(way) / (2 * np.pi) + 0.5) * SECTORS).astype(np.intp)
    group = rows * (SECTORS + 1) + sector
    order = np.lexsort((size, group))
    firsts = np.unique(group[order], return_index=True, return_inverse=True)
    found = np.zeros(len(rows), dtype=bool)
    found[order] = np.arange(len(order)) - firsts[1][firsts[2].ravel()] < IN_EACH
    return found


def _needed_feet(
    ground: Ground, islands: Islands, at: Complexes, size: Floats, rows: Integers, island: Integers
) -> Booleans:
    """Which ways from spots to islands are shorter than all over an island that is nearer to the spot."""
    order = np.argsort(size, axis=1)[:, :NEIGHBOURS]
    needed = np.ones(len(rows), dtype=bool)
    for column in order.T:
        over = column[rows]
        # A way past an opening may not be one: it is no way to go over.
        fine = np.ones(len(rows), dtype=bool)
        for centre, radius in zip(*islands.clear_of, strict=True):
            outside = np.abs(at[rows] - centre) > radius
            fine &= outside & (_distance(at[rows], islands.centre[over], complex(centre)) > radius)
        longer = size[rows, over] + islands.apart[over, island] <= size[rows, island]
        longer &= fine & islands.safe[over, island]
        k = np.nonzero(longer)[0]
        inside = _between(at[rows[k]], islands.centre[over[k]], islands.centre[island[k]], ground.frame.bases)
        needed[k[~inside]] = False
    return needed


def _feet_on(plan: Plan, walls: Integers, at: Complexes, reach: float) -> tuple[Integers, Integers, Floats]:
    """The nearest points of each wall stretch to each place: rows of both, and shares of the stretch."""
    table = plan.table.take(walls)
    near = table.nearest(at[:, None])
    size = np.abs(near - at[:, None])
    i, j = np.nonzero((size < reach) & (size > NEAR) & _of_the_wall(plan, walls, near))
    return i, j, share_at(table.take(j), near[i, j])


def _of_the_wall(plan: Plan, walls: Integers, near: Complexes) -> Booleans:
    """Whether the nearest point of each stretch to each place is the nearest of its wall thereabouts.

    An end is that only where it is the nearest point of both stretches that meet there; it counts for the second.
    """
    table = plan.table.take(walls)
    at_first, at_last = np.abs(near - table.start) <= TOUCH, np.abs(near - table.end) <= TOUCH
    corner = np.where(at_first, plan.first[walls], np.where(at_last, plan.last[walls], -1))
    seen = np.zeros((len(near), len(plan.vertices)), dtype=np.intp)
    row = np.broadcast_to(np.arange(len(near))[:, None], corner.shape)
    np.add.at(seen, (row[corner >= 0], corner[corner >= 0]), 1)
    return np.where(corner >= 0, at_first & (seen[row, corner] > 1), True)


def gaps(ground: Ground, islands: Islands, reach: float) -> tuple[Spots, Spots]:
    """Pairs of points of walls within reach, no small move of one of which along its stretch brings it nearer."""
    plan = ground.plan
    parts = [
        _gaps_between_others(plan, islands.others, reach), _gaps_to_others(plan, islands, reach),
        _gaps_between_islands(ground, islands, reach),
    ]  # fmt: skip
    a, share_a, b, share_b = (np.concatenate(columns) for columns in zip(*parts, strict=True))
    none = np.full(len(a), -1, dtype=np.intp)
    return ground.spots(a.astype(np.intp), share_a, none), ground.spots(b.astype(np.intp), share_b, none)


_Pairs = tuple[Integers, Floats, Integers, Floats]


def _gaps_between_others(plan: Plan, walls: Integers, reach: float) -> _Pairs:
    """Between two stretches a gap ends at a vertex, or runs through the centre of an arc."""
    table = plan.table.take(walls)
    vertex_rows = np.unique(plan.first[walls], return_index=True)[1]
    arcs = np.nonzero(table.arcs)[0]
    own = np.concatenate([vertex_rows, arcs])
    point = np.concatenate([table.start[vertex_rows], table.centre[arcs]])
    radius = np.concatenate([np.zeros(len(vertex_rows)), table.radius[arcs]])
    near = table.nearest(point[:, None])
    size = np.abs(near - point[:, None])
    vertices = np.arange(len(own))[:, None] < len(vertex_rows)
    wanted = np.where(
        vertices, _of_the_wall(plan, walls, near) & _stay(plan, walls, own, near),
        ~table.arcs | (own[:, None] < np.arange(len(walls))),
    )  # fmt: skip
    i, j = np.nonzero((np.abs(size - radius[:, None]) < reach) & (size > 0) & wanted)
    spoke = near[i, j] - point[i]
    start, foot = point[i] + radius[i] * spoke / np.abs(spoke), near[i, j]
    apart = np.abs(foot - start)
    good = (i < len(vertex_rows)) | table.take(own[i]).covers(start)
    good &= (apart > NEAR) & (apart < reach)
    a, b, start, foot = own[i[good]], j[good], start[good], foot[good]
    return walls[a], share_at(table.take(a), start), walls[b], share_at(table.take(b), foot)


def _stay(plan: Plan, walls: Integers, leaving: Integers, feet: Complexes) -> Booleans:
    """Whether a way from the vertex that each stretch leaves to each foot grows longer along both stretches there.

    Where more than two walls meet, every way is one.
    """
    table, vertex = plan.table.take(walls), plan.first[walls]
    arriving = np.zeros(len(plan.vertices), dtype=np.intp)
    arriving[plan.last[walls]] = np.arange(len(walls))
    way = feet - table.start[leaving, None]
    onward, back = table.heading(0.0)[leaving], -table.heading(1.0)[arriving[vertex[leaving]]]
    nearer = np.maximum((way * onward[:, None].conj()).real, (way * back[:, None].conj()).real)
    crossed = np.bincount(vertex)[vertex[leaving]] > 1
    found: Booleans = (nearer <= AWRY * np.abs(way)) | crossed[:, None]
    return found


def _gaps_to_others(plan: Plan, islands: Islands, reach: float) -> _Pairs:
    table = plan.table.take(islands.others)
    near = table.nearest(islands.centre[:, None])
    way = near - islands.centre[:, None]
    apart = np.abs(way) - islands.radius[:, None]
    i, j = np.nonzero((apart < reach) & (apart > NEAR))
    start = islands.centre[i] + islands.radius[i] * way[i, j] / np.abs(way[i, j])
    stretch, share = islands.on(i, start, plan)
    return stretch, share, islands.others[j], share_at(table.take(j), near[i, j])


def _gaps_between_islands(ground: Ground, islands: Islands, reach: float) -> _Pairs:
    plan, centre = ground.plan, islands.centre
    if len(centre) < 2:
        rows, none = np.zeros(0, dtype=np.intp), np.zeros(0)
        return rows, none, rows, none
    wanted = np.triu((islands.apart < reach) & (islands.apart > NEAR), 1)
    if islands.alike:
        i, j = np.nonzero((islands.apart < reach) & (islands.apart > NEAR))
        front = np.zeros_like(wanted)
        front[i, j] = _in_front(i, centre[j] - centre[i], islands.apart[i, j])
        wanted &= front & front.T
        each = np.arange(len(centre))
        for column in islands.near.T:
            over = islands.apart[each, column][:, None] + islands.apart[column]
            longer = wanted & (over <= islands.apart)
            longer &= islands.safe[each, column][:, None] & islands.safe[column]
            i, j = np.nonzero(longer)
            inside = _between(centre[i], centre[column[i]], centre[j], ground.frame.bases)
            wanted[i[~inside], j[~inside]] = False
    i, j = np.nonzero(wanted)
    way = centre[j] - centre[i]
    unit = way / np.abs(way)
    a, share_a = islands.on(i, centre[i] + islands.radius[i] * unit, plan)
    b, share_b = islands.on(j, centre[j] - islands.radius[j] * unit, plan)
    return a, share_a, b, share_b
