"""The least cut of a chamber's plan: samples, ways, the cheapest closed walks, and the walks made exact."""

from __future__ import annotations

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Complexes, Floats, distinct
from platemaker.plane._inside import signed_depth
from platemaker.plane._table import EdgeTable
from platemaker.plane._throat._cells import Cell, depths_inside, lengths, outline_of, with_base
from platemaker.plane._throat._charts import Rails
from platemaker.plane._throat._plan import Plan
from platemaker.plane._throat._polish import Polished, polished
from platemaker.plane._throat._rails import BranchCuts, Ground, Spots, junctions, sampled, walls_of
from platemaker.plane._throat._walks import Cut, NegativeCycleError, cheapest
from platemaker.plane._throat._walls import Islands, feet, gaps
from platemaker.plane._throat._ways import Ways, runs, through, together
from platemaker.records import Record

SAMPLES = 12
"""Samples round the edges of a cell on the average: enough to meet every topology that matters, since the walks found
are then made exact."""

MOST_BASES = 7
"""Base points with which the search still ends in seconds."""

SLACK = 1e-5
"""Share by which a walk may cost more than the bound: far more than its rounding."""


class Solved(Record):
    """The least cut: its area, mm2, its walks made exact, and which base points are on its inflow side."""

    area: float
    walks: tuple[Polished, ...]
    inside: tuple[bool, ...]
    ground: Ground


def solved(plan: Plan, cells: tuple[Cell, ...]) -> Solved:
    """The least cut of a plan that has inflow and outflow cells.

    Raises GeometryError where openings fall into more parts than the search can keep apart.
    """
    edges = ~plan.walls
    fine = float(lengths(plan.table.take(edges)).sum()) / (SAMPLES * len(cells))
    while True:
        ground = Ground.of(plan, cells)
        if len(ground.frame.bases) > MOST_BASES:
            message = (
                f"the openings of the chamber fall into more than {MOST_BASES} parts that may be cut off one by one"
            )
            raise GeometryError(message)
        most = _bound(ground)
        spots, ways = _network(ground, fine, most)
        try:
            cut = cheapest(ground, spots, ways, most)
        except NegativeCycleError as fault:
            cells = _one_base_more(ground, spots, ways.take(np.array(fault.rows)))
            continue
        return _polished(ground, spots, ways, cut, fine)


def _bound(ground: Ground) -> float:
    """No more than this can be the least cut, mm2: all inflow or outflow cells, or curtains round them."""
    plan = ground.plan
    curtains = lengths(plan.table) * plan.passes
    found = []
    for sign in (-1, 1):
        found.append(sum(cell.area for cell in ground.cells if cell.sign == sign))
        rim = (plan.signs[plan.left] == sign) != (plan.signs[plan.right] == sign)
        found.append(float(curtains[rim].sum()))
    return min(found) * (1 + SLACK)


def _network(ground: Ground, fine: float, most: float) -> tuple[Spots, Ways]:
    """Spots, and the ways between them: along stretches, through states, and to and between walls."""
    plan = ground.plan
    reach = most / float(plan.depths[1:].min())
    spots, pairs = sampled(ground, fine)
    vertex = np.where(spots.share <= 0, plan.first[spots.stretch], plan.last[spots.stretch])
    inner = np.nonzero(~(((spots.share <= 0) | (spots.share >= 1)) & junctions(plan)[vertex]))[0]
    i, j = np.triu_indices(len(inner), 1)
    islands = Islands.of(plan)
    base, foot = feet(ground, islands, spots.take(inner), reach)
    a, b = gaps(ground, islands, reach)
    first, second, third = len(spots), len(spots) + len(foot), len(spots) + len(foot) + len(a)
    every = spots.joined(foot, a, b)
    to_walls = np.concatenate([inner[base], second + np.arange(len(a))])
    walls = np.concatenate([first + np.arange(len(foot)), third + np.arange(len(b))])
    ways = [
        runs(ground, spots, pairs),
        through(ground, every, inner[i], inner[j], most, all_of_them=True),
        through(ground, every, to_walls, walls, most, all_of_them=False),
    ]
    return every, together(ways)


def _polished(ground: Ground, spots: Spots, ways: Ways, cut: Cut, fine: float) -> Solved:
    rails = Rails(ground.plan)
    walks = tuple(polished(ground, spots, ways, walk.rows, rails, fine) for walk in cut.walks if walk.rows)
    area = cut.area - sum(walk.cost for walk in cut.walks) + sum(walk.cost for walk in walks)
    return Solved(max(area, 0.0), walks, cut.inside, ground)


def _one_base_more(ground: Ground, spots: Spots, cycle: Ways) -> tuple[Cell, ...]:
    """The cells with a base point in the region that a closed walk cuts off and that is worth more than the walk."""
    for k, cell in enumerate(ground.cells):
        points, depths = _candidates(cycle, outline_of(ground.plan, cell))
        turns = _turns_about(ground, spots, cycle, points)
        inside = np.nonzero((turns == -cell.sign) & (depths > 0))[0]
        if len(inside):
            place = complex(points[inside[depths[inside].argmax()]])
            return tuple(with_base(ground.plan, cell, place) if n == k else own for n, own in enumerate(ground.cells))
    message = "a part of an opening that is worth cutting off by itself has no room for a point"
    raise GeometryError(message)


def _candidates(cycle: Ways, outline: EdgeTable) -> tuple[Complexes, Floats]:
    """Points on a grid over a cell and on both sides of the ways of a closed walk, and how deep inside they lie."""
    depths, points = depths_inside(outline, 15)
    middle, across = cycle.curves.point(0.5), 1j * cycle.curves.heading(0.5) * lengths(cycle.curves)
    beside = np.concatenate([middle + way * across for size in (0.01, 0.03, 0.1, 0.3, 0.8) for way in (size, -size)])
    return np.concatenate([points, beside]), np.concatenate([depths, signed_depth(outline, beside)])


def _turns_about(ground: Ground, spots: Spots, cycle: Ways, points: Complexes) -> Floats:
    """How often a closed walk, which goes round all base points alike, goes round each point more than round them."""
    plan = ground.plan
    frame = BranchCuts(np.concatenate([points, ground.frame.bases]), ground.frame.turn)
    wider = Ground(plan, ground.cells, frame, walls_of(plan, frame), ground.potential)
    used = np.array(distinct(np.concatenate([cycle.tail, cycle.head])), dtype=np.intp)
    node = np.where(spots.node[used] < ground.walls.count, -1, spots.node[used])
    own = wider.spots(spots.stretch[used], spots.share[used], node)
    tail, head = np.searchsorted(used, cycle.tail), np.searchsorted(used, cycle.head)
    turns = frame.whole_turns(cycle.curves, own.angles[tail], own.angles[head]) + own.turns[tail] - own.turns[head]
    total = turns.sum(axis=0)
    found: Floats = total[: len(points)] - total[-1]
    return found
