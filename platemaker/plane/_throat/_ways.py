"""Ways that a cut can take between two spots: along a stretch, or through one state of the chamber."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._crossings import crossings
from platemaker.plane._table import TINY, TOUCH, EdgeTable, box_pairs
from platemaker.plane._throat._cells import lengths
from platemaker.plane._throat._rails import Ground, Spots
from platemaker.plane._winding import winding
from platemaker.records import Record
from platemaker.remembered import remembered

NEAR = 1e-3
"""A curve that meets a stretch nearer than this to its own end, mm, meets it in its end: where both are tangent, the
crossing of rounded curves slides along them."""

BESIDE = 1e-6
"""A stretch farther than this, mm, from all of a straight line does not touch it: far above the rounding of places."""


class Ways(Record):
    """Directed ways between spots with the inflow side on their left: rows of the spots at both ends, what each costs,
    mm2, how often it crosses the cut of each base point, its curve, the row of its state (-1 for a run) and of its
    stretch (-1 for others).
    """

    tail: Integers
    head: Integers
    cost: Floats
    turns: Integers
    curves: EdgeTable
    state: Integers
    stretch: Integers

    def __len__(self) -> int:
        return len(self.tail)

    def take(self, rows: Booleans | Integers) -> Ways:
        """Some of the ways."""
        return Ways(
            self.tail[rows], self.head[rows], self.cost[rows], self.turns[rows], self.curves.take(rows),
            self.state[rows], self.stretch[rows],
        )  # fmt: skip


def together(parts: Sequence[Ways]) -> Ways:
    """All ways of several sets."""
    return Ways(
        np.concatenate([p.tail for p in parts]), np.concatenate([p.head for p in parts]),
        np.concatenate([p.cost for p in parts]), np.concatenate([p.turns for p in parts]),
        stacked([p.curves for p in parts]), np.concatenate([p.state for p in parts]),
        np.concatenate([p.stretch for p in parts]),
    )  # fmt: skip


def stacked(tables: Sequence[EdgeTable]) -> EdgeTable:
    """Tables one below the other."""
    return EdgeTable(
        np.concatenate([t.start for t in tables]), np.concatenate([t.end for t in tables]),
        np.concatenate([t.centre for t in tables]), np.concatenate([t.radius for t in tables]),
        np.concatenate([t.sweep for t in tables]),
    )  # fmt: skip


def bent(start: Complexes, end: Complexes, radius: Floats, ccw: Floats) -> EdgeTable:
    """Arcs of at most half a turn, of such radii, that turn left where `ccw` is 1 and right where it is -1."""
    way = end - start
    half = np.abs(way) / 2
    rise = np.sqrt(np.maximum(radius**2 - half**2, 0.0))
    unit = way / np.where(half > 0, 2 * half, 1.0)
    centre = (start + end) / 2 + 1j * ccw * rise * unit
    return EdgeTable(start, end, centre, radius, 2 * ccw * np.arcsin(np.minimum(half / radius, 1.0)))


def backwards(table: EdgeTable) -> EdgeTable:
    """The curves run the other way."""
    return EdgeTable(table.end, table.start, table.centre, table.radius, -table.sweep)


@remembered(32)  # a cell with one base point more asks of the same curves again
def is_clear(curves: EdgeTable, stretches: EdgeTable, near: float = NEAR) -> Booleans:
    """Whether each curve meets no stretch between its ends, from which a meeting is more than `near` away, mm."""
    clear = np.ones(len(curves), dtype=bool)
    if not len(curves):
        return clear
    i, j = _may_meet(curves, stretches)
    curve, stretch = curves.take(i), stretches.take(j)
    hits = crossings(curve, stretch)
    met = np.where(np.isnan(hits), np.inf, hits)
    on_both = (np.abs(stretch.nearest(hits) - met) <= TOUCH) & (np.abs(curve.nearest(hits) - met) <= TOUCH)
    end = np.minimum(near, np.abs(curve.end - curve.start) / 20)
    on_both &= (np.abs(met - curve.start) > end) & (np.abs(met - curve.end) > end)
    clear[i[on_both.any(axis=0)]] = False
    middle = curve.point(0.5)
    clear[i[np.abs(stretch.nearest(middle) - middle) <= TOUCH]] = False  # it runs along the stretch
    clear.setflags(write=False)
    return clear


def _may_meet(curves: EdgeTable, stretches: EdgeTable) -> tuple[Integers, Integers]:
    """Rows of curves and stretches whose boxes meet, without the stretches that lie on one side of a straight curve."""
    i, j = box_pairs(curves, stretches, TOUCH)
    way = curves.end - curves.start
    unit = (way / np.maximum(np.abs(way), TINY)).conj()[i]
    off = (curves.start[i] * unit).imag
    first, last = ((ends[j] * unit).imag - off for ends in (stretches.start, stretches.end))
    middle = np.abs((stretches.centre[j] * unit).imag - off)
    beside = np.where(
        stretches.arcs[j], middle > stretches.radius[j] + BESIDE, np.minimum(np.abs(first), np.abs(last)) > BESIDE
    )
    beside &= (stretches.arcs[j] | (first * last > 0)) & ~curves.arcs[i]
    return i[~beside], j[~beside]


def runs(ground: Ground, spots: Spots, rows: Integers) -> Ways:
    """Ways along stretches between neighbouring spots, both ways."""
    plan = ground.plan
    tail, head, stretch = rows.T
    table = plan.table.take(stretch)
    # A spot at a vertex may have its share on another stretch: on this one it lies at an end.
    begin, end = spots.share[tail], spots.share[head]
    begin, end = np.where(begin < 1.0, begin, 0.0), np.where(end > 0.0, end, 1.0)
    curves = EdgeTable(spots.at[tail], spots.at[head], table.centre, table.radius, table.sweep * (end - begin))
    height, turns = plan.passes[stretch], _turns(ground, spots, tail, head, curves)
    there = plan.signs[plan.left[stretch]]
    inner = (there == plan.signs[plan.right[stretch]]) & (there != 0)
    gain = np.zeros(len(tail))
    if inner.any():
        gain[inner] = there[inner] * _areas(ground, spots, tail[inner], head[inner], curves.take(inner), there[inner])
    size, none = lengths(curves) * height, np.full(len(tail), -1, dtype=np.intp)
    there_and = Ways(tail, head, size + gain, turns, curves, none, stretch)
    back = Ways(head, tail, size - gain, -turns, backwards(curves), none, stretch)
    return together([there_and, back])


def _turns(ground: Ground, spots: Spots, tail: Integers, head: Integers, curves: EdgeTable) -> Integers:
    turns = ground.frame.whole_turns(curves, spots.angles[tail], spots.angles[head])
    return turns + spots.turns[tail] - spots.turns[head]


def _areas(ground: Ground, spots: Spots, tail: Integers, head: Integers, curves: EdgeTable, sign: Integers) -> Floats:
    """Area of the cell that each curve runs through, of such a sign, that it takes in on its left, mm2."""
    found = np.zeros(len(tail))
    left = np.ones(len(tail), dtype=bool)
    for k, cell in enumerate(ground.cells):
        rows = np.nonzero(left & (sign == cell.sign))[0]
        if not len(rows):
            continue
        if sum(other.sign == cell.sign for other in ground.cells) > 1:
            ring_rows = np.concatenate([ring.rows for ring in cell.rings])
            ways = np.concatenate([ring.ways for ring in cell.rings])
            table = ground.plan.table.take(ring_rows)
            boundary = stacked([table.take(ways > 0), backwards(table.take(ways < 0))])
            rows = rows[winding(boundary, curves.take(rows).point(0.5)) != 0]
        own = curves.take(rows)
        found[rows] = cell.form(own) - spots.potential[head[rows], k] + spots.potential[tail[rows], k]
        left[rows] = False
    return found


def priced(ground: Ground, spots: Spots, tail: Integers, head: Integers, curves: EdgeTable, state: Integers) -> Ways:
    """Ways through one state each, along such curves."""
    sign = ground.plan.signs[state]
    cost = ground.plan.depths[state] * lengths(curves)
    if sign.any():
        rows = np.nonzero(sign)[0]
        cost[rows] += sign[rows] * _areas(ground, spots, tail[rows], head[rows], curves.take(rows), sign[rows])
    none = np.full(len(tail), -1, dtype=np.intp)
    return Ways(tail, head, cost, _turns(ground, spots, tail, head, curves), curves, state, none)


def through(ground: Ground, spots: Spots, i: Integers, j: Integers, most: float, *, all_of_them: bool) -> Ways:
    """Ways through one state between pairs of spots, both ways, that cost less than `most`; only clear ones.

    Through a cell a way bends: its radius is the depth, and the cell's opening is on its hollow side. Unless
    `all_of_them` is wanted, of level ways between the same nodes and of the same class only the cheapest is given, and
    where an arc is not clear the straight way is taken if that is.
    """
    plan = ground.plan
    state = plan.states_at((spots.at[i] + spots.at[j]) / 2)
    size = np.abs(spots.at[j] - spots.at[i])
    depth, sign = plan.depths[state], plan.signs[state]
    good = (state > 0) & (size > NEAR) & (size * depth < np.where(sign == 0, most, np.inf))
    good &= (sign == 0) | (size <= 2 * depth)
    i, j, state, sign = i[good], j[good], state[good], sign[good]
    level, cell = np.nonzero(sign == 0)[0], np.nonzero(sign != 0)[0]
    lines = EdgeTable.straight(spots.at[i[level]], spots.at[j[level]])
    one = priced(ground, spots, i[level], j[level], lines, state[level])
    rows = np.nonzero(is_clear(one.curves, plan.table))[0] if all_of_them else _cheapest_clear(ground, spots, one)
    one = one.take(rows)
    found = [one, _back(one)]
    if len(cell):
        for tail, head in ((i[cell], j[cell]), (j[cell], i[cell])):
            found += _bent_ways(ground, spots, tail, head, state[cell], chords=not all_of_them)
    return together(found)


def _bent_ways(
    ground: Ground, spots: Spots, tail: Integers, head: Integers, state: Integers, *, chords: bool
) -> list[Ways]:
    plan = ground.plan
    depth, sign = plan.depths[state], plan.signs[state]
    arcs = bent(spots.at[tail], spots.at[head], depth, -sign.astype(float))
    clear = is_clear(arcs, plan.table).copy()
    clear[clear] = plan.states_at(arcs.take(clear).point(0.5)) == state[clear]
    found = [priced(ground, spots, tail[clear], head[clear], arcs.take(clear), state[clear])]
    if chords:
        rest = np.nonzero(~clear)[0]
        rest = rest[is_clear(EdgeTable.straight(spots.at[tail[rest]], spots.at[head[rest]]), plan.table)]
        lines = EdgeTable.straight(spots.at[tail[rest]], spots.at[head[rest]])
        found.append(priced(ground, spots, tail[rest], head[rest], lines, state[rest]))
    return found


def _cheapest_clear(ground: Ground, spots: Spots, ways: Ways) -> Integers:
    """Of the ways between the same nodes and of the same class, the rows of the cheapest that is clear."""
    tail, head = spots.node[ways.tail], spots.node[ways.head]
    classes = ways.turns[:, :-1] - ways.turns[:, -1:]
    worth = np.nonzero((tail != head) | classes.any(axis=1))[0]
    columns = np.concatenate([tail[worth, None], head[worth, None], classes[worth]], axis=1)
    if not len(worth):
        return worth
    order = worth[np.lexsort((ways.cost[worth], *columns.T))]
    columns = np.concatenate([tail[order, None], head[order, None], classes[order]], axis=1)
    fresh = np.concatenate([[True], (columns[1:] != columns[:-1]).any(axis=1)])
    group = np.cumsum(fresh) - 1
    rank = np.arange(len(order)) - np.nonzero(fresh)[0][group]
    wanted = np.ones(int(group[-1]) + 1, dtype=bool)
    chosen: list[Integers] = []
    low, high = 0, 2
    while True:
        rows = np.nonzero((rank >= low) & (rank < high) & wanted[group])[0]
        if not len(rows):
            return np.concatenate(chosen) if chosen else rows
        rows = rows[is_clear(ways.curves.take(order[rows]), ground.plan.table)]
        first = rows[np.unique(group[rows], return_index=True)[1]]
        chosen.append(order[first])
        wanted[group[first]] = False
        low, high = high, 2 * high + 2


def _back(ways: Ways) -> Ways:
    return Ways(ways.head, ways.tail, ways.cost, -ways.turns, backwards(ways.curves), ways.state, ways.stretch)
