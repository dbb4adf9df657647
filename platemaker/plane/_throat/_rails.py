"""Walls joined to components, and spots on walls, edges of openings and steps: what a cut can touch."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers, distinct
from platemaker.plane._table import EdgeTable
from platemaker.plane._throat._cells import Cell, lengths
from platemaker.plane._throat._plan import Plan
from platemaker.plane._winding import turned
from platemaker.records import Record

SKEW = 1e-3
"""Angle, radians, by which the branch cuts are turned off the line through two base points, which drawings use."""


class BranchCuts(Record):
    """Base points of all cells, and the direction of the branch cuts that run from them to infinity.

    A curve's turn about a base point is the difference of its ends' angles and a whole number of turns: how often it
    crosses the cut. A closed curve's whole numbers show which base points it goes round.
    """

    bases: Complexes
    turn: complex

    @classmethod
    def of(cls, cells: Sequence[Cell]) -> BranchCuts:
        """The frame of some cells; the cuts run from the first base point towards the last."""
        bases = np.concatenate([cell.places[: cell.bases] for cell in cells])
        way = complex(bases[-1] - bases[0]) or 1.0
        return cls(bases, complex(-np.exp(1j * SKEW) * abs(way) / way))

    def angles(self, points: Complexes) -> Floats:
        """Angle of each point about each base point: an array (points, bases)."""
        found: Floats = np.angle((points[:, None] - self.bases) * self.turn)
        return found

    def whole_turns(self, curves: EdgeTable, begin: Floats, end: Floats) -> Integers:
        """How often each curve crosses the cut of each base point, from its ends' angles: (curves, bases)."""
        turns = (turned(curves, self.bases[:, None]).T - (end - begin)) / (2 * np.pi)
        return np.rint(turns).astype(np.intp)


class Walls(Record):
    """Connected walls of a plan. Along one a cut goes for free.

    Of each vertex: the wall that it is on, or -1, and the `turns` of the way along that wall to it from the wall's
    first vertex. `rounds` are closed ways along a wall that go round base points: the wall, and the turns.
    """

    count: int
    of: Integers
    turns: Integers
    rounds: tuple[tuple[int, tuple[int, ...]], ...]


def walls_of(plan: Plan, frame: BranchCuts) -> Walls:
    """The connected walls of a plan."""
    rows = np.nonzero(plan.walls)[0]
    angles = frame.angles(plan.vertices)
    turns = frame.whole_turns(plan.table.take(rows), angles[plan.first[rows]], angles[plan.last[rows]])
    leaving: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    for k, (first, last) in enumerate(zip(plan.first[rows].tolist(), plan.last[rows].tolist(), strict=True)):
        leaving[first].append((last, k, 1))
        leaving[last].append((first, k, -1))
    wall = [-1] * len(plan.vertices)
    along = np.zeros((len(plan.vertices), len(frame.bases)), dtype=np.intp)
    rounds: dict[tuple[int, tuple[int, ...]], None] = {}
    count = 0
    plain = not turns.any()
    for seed in leaving:
        if wall[seed] >= 0:
            continue
        wall[seed] = count
        queue = [seed]
        for vertex in queue:
            for other, k, way in leaving[vertex]:
                if wall[other] < 0:
                    wall[other] = count
                    queue.append(other)
                    if not plain:
                        along[other] = along[vertex] + way * turns[k]
                elif not plain:
                    odd = along[vertex] + way * turns[k] - along[other]
                    if odd.any():
                        rounds[count, tuple(odd.tolist())] = None
        count += 1
    return Walls(count, np.array(wall, dtype=np.intp), along, tuple(rounds))


class Spots(Record):
    """Places that ways lead between. Of each: its place, its node (a wall, or a spot of its own), the stretch and the
    share of its length where it lies, its angles about the base points, the turns along its wall to it, and the
    potential of each cell there.
    """

    at: Complexes
    node: Integers
    stretch: Integers
    share: Floats
    angles: Floats
    turns: Integers
    potential: Floats

    def __len__(self) -> int:
        return len(self.at)

    def joined(self, *others: Spots) -> Spots:
        """These spots, then the others."""
        every = (self, *others)
        return Spots(
            np.concatenate([spots.at for spots in every]),
            np.concatenate([spots.node for spots in every]),
            np.concatenate([spots.stretch for spots in every]),
            np.concatenate([spots.share for spots in every]),
            np.concatenate([spots.angles for spots in every]),
            np.concatenate([spots.turns for spots in every]),
            np.concatenate([spots.potential for spots in every]),
        )

    def take(self, rows: Integers) -> Spots:
        """Some of the spots."""
        return Spots(
            self.at[rows], self.node[rows], self.stretch[rows], self.share[rows], self.angles[rows], self.turns[rows],
            self.potential[rows],
        )  # fmt: skip


def part_of(table: EdgeTable, share: Floats) -> EdgeTable:
    """The beginning of each curve, up to a share of its length."""
    return EdgeTable(table.start, table.point(share), table.centre, table.radius, table.sweep * share)


class Ground(Record):
    """A plan with its cells, the frame of their base points, its walls, and each cell's potential at each vertex."""

    plan: Plan
    cells: tuple[Cell, ...]
    frame: BranchCuts
    walls: Walls
    potential: Floats

    @classmethod
    def of(cls, plan: Plan, cells: Sequence[Cell]) -> Ground:
        """The ground of a plan with such cells."""
        frame = BranchCuts.of(cells)
        return cls(plan, tuple(cells), frame, walls_of(plan, frame), _vertex_potentials(plan, cells))

    def spots(self, stretch: Integers, share: Floats, node: Integers) -> Spots:
        """Spots on stretches. A node below 0 stands for the wall that the stretch, or its end there, is part of."""
        plan = self.plan
        table = plan.table.take(stretch)
        beginning = part_of(table, share)
        vertex = np.where(share <= 0.0, plan.first[stretch], np.where(share >= 1.0, plan.last[stretch], -1))
        at = np.where(vertex >= 0, plan.vertices[vertex], beginning.end)
        angles = self.frame.angles(at)
        node, turns = node.copy(), np.zeros(angles.shape, dtype=np.intp)
        corner = (node < 0) & (vertex >= 0)
        turns[corner], node[corner] = self.walls.turns[vertex[corner]], self.walls.of[vertex[corner]]
        inner = node < 0
        if inner.any():
            first = plan.first[stretch[inner]]
            turns[inner] = self.walls.turns[first]
            turns[inner] += self.frame.whole_turns(
                beginning.take(inner), self.frame.angles(plan.vertices[first]), angles[inner]
            )
            node[inner] = self.walls.of[first]
        potential = np.zeros((len(at), len(self.cells)))
        for k, cell in enumerate(self.cells):
            there = ~np.isnan(cell.potential[stretch]) & (vertex < 0)
            if there.any():
                potential[there, k] = cell.potential[stretch[there]] + cell.form(beginning.take(there))
        potential[vertex >= 0] = self.potential[vertex[vertex >= 0]]
        return Spots(at, node, stretch, share, angles, turns, potential)


def _vertex_potentials(plan: Plan, cells: Sequence[Cell]) -> Floats:
    """The potential of each cell at each vertex; 0 off the cell's boundary."""
    found = np.zeros((len(plan.vertices), len(cells)))
    for k, cell in enumerate(cells):
        rows = np.nonzero(~np.isnan(cell.potential))[0]
        found[plan.first[rows], k] = cell.potential[rows]
        found[plan.last[rows], k] = cell.potential[rows] + cell.form(plan.table.take(rows))
    return found


def sampled(ground: Ground, fine: float) -> tuple[Spots, Integers]:
    """Spots along all stretches that are no walls, no farther apart than `fine`, mm, and where arcs may touch.

    With them the runs: pairs of neighbouring spots (rows) on one stretch, in its direction, and the stretch's row.
    """
    plan = ground.plan
    rows = np.nonzero(~plan.walls)[0]
    ends = distinct(np.concatenate([plan.first[rows], plan.last[rows]]))
    corner_of = {vertex: k for k, vertex in enumerate(ends)}
    stretch, share, node = [0] * len(ends), [0.0] * len(ends), [0] * len(ends)
    fresh = ground.walls.count
    for row in rows.tolist():
        for vertex, where in ((int(plan.first[row]), 0.0), (int(plan.last[row]), 1.0)):
            stretch[corner_of[vertex]], share[corner_of[vertex]] = row, where
    for k, vertex in enumerate(ends):
        node[k] = -1 if ground.walls.of[vertex] >= 0 else fresh
        fresh += node[k] >= 0
    runs: list[tuple[int, int, int]] = []
    table = plan.table
    length = lengths(table)
    extra = _fillets(ground, length)
    for row, end in _at_junctions(plan, rows):
        for part in (0.3, 0.08):
            near = min(0.3, part * fine / float(length[row]))
            extra[row].append(near if end == 0 else 1.0 - near)
    for row in rows.tolist():
        count = int(max(np.ceil(length[row] / fine), np.ceil(abs(table.sweep[row]) / (np.pi / 6)), 1))
        shares = np.arange(1, count) / count
        if row in extra:
            shares = np.sort(np.concatenate([shares, extra[row]]))
            apart = 0.01 * fine / float(length[row])
            shares = shares[np.diff(shares, prepend=0.0) > apart]
            shares = shares[shares < 1.0 - apart]
        before = corner_of[int(plan.first[row])]
        for where in shares.tolist():
            stretch.append(row)
            share.append(where)
            node.append(fresh)
            fresh += 1
            runs.append((before, len(node) - 1, row))
            before = len(node) - 1
        runs.append((before, corner_of[int(plan.last[row])], row))
    spots = ground.spots(np.array(stretch, dtype=np.intp), np.array(share), np.array(node, dtype=np.intp))
    return spots, np.array(runs, dtype=np.intp).reshape(-1, 3)


def junctions(plan: Plan) -> Booleans:
    """Which vertices join more than two stretches that are no walls: there edges cross."""
    rows = ~plan.walls
    ends = np.concatenate([plan.first[rows], plan.last[rows]])
    found: Booleans = np.bincount(ends, minlength=len(plan.vertices)) > 2
    return found


def _at_junctions(plan: Plan, rows: Integers) -> Iterator[tuple[int, int]]:
    """The stretches of some rows that end at a junction, and which end of theirs it is."""
    crossed = junctions(plan)
    for row in rows.tolist():
        for end, vertex in enumerate((plan.first[row], plan.last[row])):
            if crossed[vertex]:
                yield row, end


def _fillets(ground: Ground, length: Floats) -> dict[int, list[float]]:
    """Where an arc of the chamber's depth touches both sides of each corner of the cells, as shares of stretches."""
    plan, found = ground.plan, defaultdict(list)
    for cell in ground.cells:
        for ring in cell.rings:
            table = plan.table.take(ring.rows)
            with_it = ring.ways > 0
            arrive = np.where(with_it, table.heading(1.0), -table.heading(0.0))
            leave = np.where(with_it, table.heading(0.0), -table.heading(1.0))
            turn = np.angle(np.roll(leave, -1) / arrive)
            side = np.where(with_it, plan.left[ring.rows], plan.right[ring.rows])
            reach = plan.depths[side] * np.tan(np.clip(turn, 0.0, 2.8) / 2)
            for k in np.nonzero(turn > 0.02)[0].tolist():
                after = (k + 1) % len(turn)
                for j, at_end in ((k, with_it[k]), (after, not with_it[after])):
                    row = int(ring.rows[j])
                    part = reach[k] / length[row]
                    if part < 1.0 and not plan.walls[row]:
                        found[row].append(1.0 - part if at_end else part)
    return found
