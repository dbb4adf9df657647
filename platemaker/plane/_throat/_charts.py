"""Charts: a coordinate along the stretches on either side of a contact, in which the contact can move."""

from __future__ import annotations

import cmath
from collections import defaultdict
from collections.abc import Sequence
from functools import cached_property

import numpy as np

from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._table import EdgeTable
from platemaker.plane._throat._cells import lengths, under_chords
from platemaker.plane._throat._plan import Plan
from platemaker.records import Record


class Leg(Record):
    """A part of a stretch in a chart: the stretch, the shares of its length where the leg begins and ends."""

    stretch: int
    begin: float
    end: float


class Rails:
    """How stretches go on into one another."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.length = lengths(plan.table).tolist()
        self.headings = plan.table.heading(0.0).tolist(), plan.table.heading(1.0).tolist()
        self.first, self.last = plan.first.tolist(), plan.last.tolist()
        self.walls = plan.walls.tolist()
        self.sides = list(zip(plan.left.tolist(), plan.right.tolist(), strict=True))
        self.leaving: dict[int, list[tuple[int, bool]]] = defaultdict(list)
        for row, (first, last) in enumerate(zip(self.first, self.last, strict=True)):
            self.leaving[first].append((row, True))
            self.leaving[last].append((row, False))

    def _after(self, row: int, *, onward: bool) -> tuple[int, bool] | None:
        """The stretch that goes on from the end of another: of the same sides if there is one, the straightest."""
        vertex = self.last[row] if onward else self.first[row]
        heading = self.headings[1][row] if onward else -self.headings[0][row]
        wall = self.walls[row]
        sides = self.sides[row] if onward else self.sides[row][::-1]
        best, found = (2, 4.0), None
        for other, ahead in self.leaving[vertex]:
            if other == row or self.walls[other] is not wall or (wall and ahead is not onward):
                continue
            theirs = self.sides[other] if ahead else self.sides[other][::-1]
            theirs_heading = self.headings[0][other] if ahead else -self.headings[1][other]
            rank = (0 if theirs == sides else 1, abs(cmath.phase(theirs_heading / heading)))
            if rank < best:
                best, found = rank, (other, ahead)
        return found

    def legs(self, row: int, share: float, reach: float, *, onward: bool) -> list[Leg]:
        """The way from a place on a stretch, along its direction or against it, for at least `reach`, mm."""
        found: list[Leg] = []
        while reach > 0 and len(found) < 12:
            end = 1.0 if onward else 0.0
            size = abs(end - share) * self.length[row]
            if size > 0:
                part = min(1.0, reach / size)
                found.append(Leg(row, share, share + part * (end - share)))
                reach -= size
            if reach <= 0:
                break
            after = self._after(row, onward=onward)
            if after is None:
                break
            row, onward = after
            share = 0.0 if onward else 1.0
        return found


def turned_back(legs: Sequence[Leg]) -> list[Leg]:
    """The same way, from its end to its beginning."""
    return [Leg(leg.stretch, leg.end, leg.begin) for leg in reversed(legs)]


class Charts(Record):
    """Charts as columns: `first` and `last` rows of the legs of each chart, in order; its coordinate is 0 at its spot.

    Of each leg: its curve in the chart's direction, the coordinate where it begins, the states on the left and right,
    and what a run from the chart's spot to its beginning costs, mm2, and sweeps about `origin`, mm2.
    """

    plan: Plan
    origin: complex
    first: Integers
    last: Integers
    stretch: Integers
    share: Floats
    span: Floats
    curve: EdgeTable
    size: Floats
    begin: Floats
    left: Integers
    right: Integers
    height: Floats
    cost: Floats
    swept: Floats

    @classmethod
    def of(cls, plan: Plan, ways: Sequence[tuple[Sequence[Leg], Sequence[Leg]]], origin: complex) -> Charts:
        """Charts from the legs that lead to their spots, and the legs that lead on."""
        count = [len(before) + len(after) for before, after in ways]
        last = np.cumsum(count)
        first: Integers = last - np.array(count)
        legs = [leg for before, after in ways for leg in (*before, *after)]
        stretch = np.array([leg.stretch for leg in legs], dtype=np.intp)
        share = np.array([leg.begin for leg in legs])
        span = np.array([leg.end for leg in legs]) - share
        table = plan.table.take(stretch)
        curve = EdgeTable(table.point(share), table.point(share + span), table.centre, table.radius, table.sweep * span)
        size = lengths(curve)
        ahead = span > 0
        left = np.where(ahead, plan.left[stretch], plan.right[stretch])
        right = np.where(ahead, plan.right[stretch], plan.left[stretch])
        height = plan.passes[stretch]
        swept = under_chords(curve, origin)
        inner = np.where(plan.signs[left] == plan.signs[right], plan.signs[left], 0)
        cost = size * height + inner * swept
        begin, from_cost, from_swept = (np.zeros(len(legs)) for _ in range(3))
        low = 0
        for (before, _), high in zip(ways, last.tolist(), strict=True):
            for total, part in ((begin, size), (from_cost, cost), (from_swept, swept)):
                at = np.concatenate([[0.0], np.cumsum(part[low:high])])
                total[low:high] = (at - at[len(before)])[:-1]
            low = high
        return cls(
            plan, origin, first, last, stretch, share, span, curve, size, begin, left, right, height, from_cost,
            from_swept,
        )  # fmt: skip

    def whole(self, chart: int) -> tuple[float, float]:
        """Length of a run from a chart's spot to its end, mm, and what it costs, mm2."""
        leg = int(self.last[chart]) - 1
        swept = under_chords(self.curve.take([leg]), self.origin)[0]
        cost = self.cost[leg] + self.height[leg] * self.size[leg] + self.inner[leg] * swept
        return float(self.begin[leg] + self.size[leg]), float(cost)

    @cached_property
    def inner(self) -> Integers:
        """Of a leg inside a cell, a step of its depth, the sign of the cell; else 0."""
        signs = self.plan.signs
        return np.where(signs[self.left] == signs[self.right], signs[self.left], 0)

    @cached_property
    def rims(self) -> Booleans:
        """For each leg, whether a cell's potential is known there: on the rim of the same cells, or inside the same
        one, all the way from the chart's spot. Columns for the signs 0, 1 and -1.
        """
        signs = self.plan.signs
        left, right = signs[self.left], signs[self.right]
        found = np.ones((len(self.stretch), 3), dtype=bool)
        for sign in (1, -1):
            kind = np.where(left == right, np.where(left == sign, 2, 0), ((left == sign) | (right == sign)).astype(int))
            for first, last in zip(self.first.tolist(), self.last.tolist(), strict=True):
                at = first + int(np.searchsorted(self.begin[first:last], 0.0, side="left"))
                for rows in (range(at, last), range(at - 1, first - 1, -1)):
                    known = -1
                    for row in rows:
                        known = int(kind[row]) if known < 0 else known
                        found[row, sign] = known > 0 and kind[row] == known
                        known = known if found[row, sign] else 0
        return found

    def states_about(self, chart: int) -> set[int]:
        """The states on both sides of a chart next to its spot."""
        first, last = int(self.first[chart]), int(self.last[chart])
        at = first + int(np.searchsorted(self.begin[first:last], 0.0, side="right"))
        rows = slice(max(first, at - 2), max(first, at - 2) + 2)
        return {*self.left[rows].tolist(), *self.right[rows].tolist()}

    @cached_property
    def ends(self) -> tuple[Floats, Floats]:
        """The least and the greatest coordinate of each chart."""
        return self.begin[self.first], self.begin[self.last - 1] + self.size[self.last - 1]

    def leg_at(self, chart: Integers, u: Floats) -> Integers:
        """The leg of each chart (rows) at each coordinate (rows, columns); at a vertex the one that begins there."""
        wide = 4.0 * float(np.abs(self.ends).max(initial=1.0)) + 1.0
        owner = np.repeat(np.arange(len(self.first)), self.last - self.first)
        keys = owner * wide + self.begin
        row = np.searchsorted(keys, chart[:, None] * wide + u, side="right") - 1
        return np.clip(row, self.first[chart][:, None], self.last[chart][:, None] - 1)


class Places(Record):
    """Places on charts, as arrays (charts, columns): where, the headings to it and from it along the chart, the states
    left and right of the leg from it and of the leg to it, what a run from the chart's spot costs and sweeps, and for
    the signs 0, 1 and -1 whether that is the potential of a cell of that sign.
    """

    u: Floats
    at: Complexes
    into: Complexes
    out: Complexes
    left: Integers
    right: Integers
    left_before: Integers
    right_before: Integers
    cost: Floats
    swept: Floats
    rim: Booleans


def places(charts: Charts, chart: Integers, u: Floats) -> Places:
    """The places at such coordinates of some charts."""
    leg = charts.leg_at(chart, u)
    share = np.clip((u - charts.begin[leg]) / charts.size[leg], 0.0, 1.0)
    curve = charts.curve.take(leg)
    at = np.where(share >= 1.0, curve.end, np.where(share <= 0.0, curve.start, curve.point(share)))
    out = curve.heading(share)
    before = np.maximum(leg - 1, charts.first[chart][:, None])
    before = np.where(share <= 0.0, before, leg)
    into = np.where(before < leg, charts.curve.take(before).heading(1.0), out)
    part = EdgeTable(curve.start, at, curve.centre, curve.radius, curve.sweep * share)
    swept = under_chords(part, charts.origin)
    cost = charts.cost[leg] + charts.height[leg] * share * charts.size[leg] + charts.inner[leg] * swept
    return Places(
        u, at, into, out, charts.left[leg], charts.right[leg], charts.left[before], charts.right[before], cost,
        charts.swept[leg] + swept, charts.rims[leg] | charts.rims[before],
    )  # fmt: skip
