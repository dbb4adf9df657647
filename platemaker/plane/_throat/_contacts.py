"""The contacts of a strand of a cut: the charts that they move on, and how each is joined to the next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import IntEnum
from itertools import pairwise

import numpy as np
from msgspec import Struct

from platemaker.plane._arrays import Booleans, Floats, Integers
from platemaker.plane._table import EdgeTable
from platemaker.plane._throat._charts import Charts, Leg, Rails, turned_back
from platemaker.plane._throat._plan import Plan
from platemaker.plane._throat._rails import Ground, Spots
from platemaker.plane._throat._ways import Ways
from platemaker.records import Record, field

KINK = 0.02
"""Turn, radians, at a vertex above which a run may round it off."""


class Link(IntEnum):
    """How a contact is joined to the next: not at all; through one state; along stretches; side by side on one chart;
    or between a wall and a stretch that ends there.
    """

    FREE = 0
    THROUGH = 1
    RUN = 2
    NEAR = 3
    ASHORE = 4


class WalkPart(Record):
    """A part of a walk between two spots (rows): through a state, or along legs, of which it then has some; and the
    rows of the walk's ways that it is made of.
    """

    tail: int
    head: int
    state: int
    legs: tuple[Leg, ...]
    ways: tuple[int, ...]


class Chain(Struct):
    """Contacts in order, the last followed by the first. Of each: its chart; the link to the next, and its part. `runs`
    are the charts of the links that are runs.
    """

    charts: list[tuple[list[Leg], list[Leg]]] = field(default_factory=list)
    chart: list[int] = field(default_factory=list)
    link: list[Link] = field(default_factory=list)
    part: list[WalkPart | None] = field(default_factory=list)
    runs: dict[int, int] = field(default_factory=dict)

    def with_runs(self) -> Chain:
        """The chain with one more chart for each of its runs: its legs from its beginning to its end."""
        for k, part in enumerate(self.part):
            if part is not None and part.legs:
                self.runs[k] = len(self.charts)
                self.charts.append(([], list(part.legs)))
        return self

    def on(self, legs: tuple[list[Leg], list[Leg]]) -> None:
        """Goes on to a new chart."""
        self.charts.append(legs)

    def contact(self, link: Link, part: WalkPart | None = None) -> None:
        """Adds a contact on the newest chart."""
        self.chart.append(len(self.charts) - 1)
        self.link.append(link)
        self.part.append(part)


def curves_of(plan: Plan, legs: Sequence[Leg]) -> EdgeTable:
    """The curves of some legs."""
    table = plan.table.take([leg.stretch for leg in legs])
    begin, end = np.array([leg.begin for leg in legs]), np.array([leg.end for leg in legs])
    return EdgeTable(table.point(begin), table.point(end), table.centre, table.radius, table.sweep * (end - begin))


def strands(ground: Ground, spots: Spots, walk: Ways) -> Iterator[tuple[WalkPart, ...]]:
    """The parts of a closed walk from wall to wall; or all of them, where it touches none. Runs that go on without a
    kink are one part.
    """
    plan, walls = ground.plan, ground.walls.count
    parts = [_part(plan, spots, walk, k) for k in range(len(walk))]
    ashore = (spots.node[walk.tail] < walls).tolist()
    straight_on = np.abs(np.angle(walk.curves.heading(0.0) / np.roll(walk.curves.heading(1.0), 1))) < KINK
    run = walk.stretch >= 0
    joins = (straight_on & run & np.roll(run, 1) & (spots.node[walk.tail] >= walls)).tolist()
    first = ashore.index(True) if any(ashore) else joins.index(False) if not all(joins) else 0
    strand: list[WalkPart] = []
    for k in (*range(first, len(parts)), *range(first)):
        if strand and ashore[k]:
            yield tuple(strand)
            strand = []
        if strand and joins[k]:
            last, part = strand[-1], parts[k]
            strand[-1] = WalkPart(last.tail, part.head, -1, (*last.legs, *part.legs), (*last.ways, *part.ways))
        else:
            strand.append(parts[k])
    yield tuple(strand)


def _part(plan: Plan, spots: Spots, walk: Ways, k: int) -> WalkPart:
    tail, head, row = int(walk.tail[k]), int(walk.head[k]), int(walk.stretch[k])
    if row < 0:
        return WalkPart(tail, head, int(walk.state[k]), (), (k,))
    begin, end = (
        float(spots.share[spot])
        if 0.0 < spots.share[spot] < 1.0
        else float(abs(spots.at[spot] - plan.vertices[plan.first[row]]) > 0.0)
        for spot in (tail, head)
    )
    return WalkPart(tail, head, -1, (Leg(row, begin, end),), (k,))


class Chainer(Record):
    """Makes the contacts of strands, with charts as long as `reach`, mm, to either side."""

    ground: Ground
    spots: Spots
    rails: Rails
    reach: float

    def chain(self, parts: Sequence[WalkPart]) -> Chain:
        """The contacts of a strand: where two parts meet, one for each, side by side on one chart."""
        chain = Chain()
        closed = parts[0].tail == parts[-1].head and self.spots.node[parts[0].tail] >= self.ground.walls.count
        if closed:
            chain.on(self._between(parts[-1], parts[0]))
            chain.contact(Link.NEAR)
        else:
            self._ashore(chain, parts[0], parts[0].tail)
        for part, after in pairwise((*parts, None)):
            if part is None:
                continue
            chain.contact(Link.RUN if part.legs else Link.THROUGH, part)
            if after is not None:
                chain.on(self._between(part, after))
                chain.contact(Link.NEAR)
        if not closed:
            self._off_shore(chain, parts[-1], parts[-1].head)
        return chain.with_runs()

    def _ashore(self, chain: Chain, part: WalkPart, spot: int) -> None:
        """From a wall to a part that begins there; over the end of a stretch that meets the wall there."""
        chain.on(self._along_wall(spot))
        out = self._out_of(part, spot)
        if out:
            chain.contact(Link.ASHORE)
            chain.on(([], out))

    def _off_shore(self, chain: Chain, part: WalkPart, spot: int) -> None:
        """The same at the part's end."""
        out = self._out_of(part, spot)
        if out:
            chain.on((turned_back(out), []) if part.legs else ([], out))
            chain.contact(Link.ASHORE)
        chain.on(self._along_wall(spot))
        chain.contact(Link.FREE)

    def _along_wall(self, spot: int) -> tuple[list[Leg], list[Leg]]:
        plan, row, share = self.ground.plan, int(self.spots.stretch[spot]), float(self.spots.share[spot])
        if not plan.walls[row]:
            vertex = plan.first[row] if share <= 0.0 else plan.last[row]
            row, share = int(np.nonzero(plan.walls & (plan.first == vertex))[0][0]), 0.0
        return self._both_ways(row, share)

    def _both_ways(self, row: int, share: float) -> tuple[list[Leg], list[Leg]]:
        back = self.rails.legs(row, share, self.reach, onward=False)
        return turned_back(back), self.rails.legs(row, share, self.reach, onward=True)

    def _out_of(self, part: WalkPart, spot: int) -> list[Leg]:
        """From a spot on a wall, the legs along the part, or along the stretch that bounds its state there."""
        plan, row, share = self.ground.plan, int(self.spots.stretch[spot]), float(self.spots.share[spot])
        if part.legs:
            legs = list(part.legs) if spot == part.tail else turned_back(part.legs)
            return self._extended(legs)
        if 0.0 < share < 1.0:
            return []
        vertex = int(plan.first[row] if share <= 0.0 else plan.last[row])
        for other, ahead in self.rails.leaving[vertex]:
            if not plan.walls[other] and part.state in (plan.left[other], plan.right[other]):
                return self.rails.legs(other, 0.0 if ahead else 1.0, self.reach, onward=ahead)
        return []

    def _between(self, before: WalkPart, after: WalkPart) -> tuple[list[Leg], list[Leg]]:
        """The legs to and from a contact; along the runs before and after it, where it has any."""
        row, share = int(self.spots.stretch[after.tail]), float(self.spots.share[after.tail])
        back, on = (self.rails.legs(row, share, self.reach, onward=way) for way in (False, True))
        if before.legs:
            leg = before.legs[-1]
            back = self._extended(turned_back(before.legs))
            on = self.rails.legs(leg.stretch, leg.end, self.reach, onward=leg.end > leg.begin)
        if after.legs:
            leg = after.legs[0]
            on = self._extended(list(after.legs))
            if not before.legs:
                back = self.rails.legs(leg.stretch, leg.begin, self.reach, onward=leg.end < leg.begin)
        return turned_back(back), on

    def _extended(self, legs: list[Leg]) -> list[Leg]:
        """The legs as far as they begin within reach, and what goes on from them."""
        found: list[Leg] = []
        left = self.reach
        for leg in legs:
            if left <= 0:
                return found
            found.append(leg)
            left -= abs(leg.end - leg.begin) * self.rails.length[leg.stretch]
        last = found[-1]
        return [*found, *self.rails.legs(last.stretch, last.end, left, onward=last.end > last.begin)]


class Links(Record):
    """The links of a chain as columns: their kind and the chart of their contact; of runs, their length, mm, and what
    they cost, mm2; whether a link ashore begins on the wall. Ways through a state have columns of their own, since
    several may stand for one link: the `row` of the link and the `state`.
    """

    link: Integers
    chart: Integers
    length: Floats
    cost: Floats
    walled: Booleans
    row: Integers
    state: Integers

    @classmethod
    def of(cls, chain: Chain, charts: Charts) -> Links:
        """The links of a chain whose charts these are."""
        length, cost = np.zeros(len(chain.link)), np.zeros(len(chain.link))
        row: list[int] = []
        state: list[int] = []
        for k, (link, part) in enumerate(zip(chain.link, chain.part, strict=True)):
            states = set()
            if part is not None:
                if part.legs:
                    length[k], cost[k] = charts.whole(chain.runs[k])
                else:
                    states = {part.state}
            elif link is not Link.FREE:
                after = chain.chart[(k + 1) % len(chain.link)]
                states = (charts.states_about(chain.chart[k]) | charts.states_about(after)) - {0}
            row += [k] * len(states)
            state += sorted(states)
        chart = np.array(chain.chart, dtype=np.intp)
        walled = charts.plan.walls[charts.stretch[charts.first[chart]]]
        return cls(
            np.array(chain.link, dtype=np.intp), chart, length, cost, walled, np.array(row, dtype=np.intp),
            np.array(state, dtype=np.intp),
        )  # fmt: skip
