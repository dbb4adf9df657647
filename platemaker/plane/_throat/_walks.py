"""The cheapest closed walks of ways, and the cheapest set of them that puts each base point on its side of the cut."""

from __future__ import annotations

from itertools import product
from typing import NoReturn

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Floats, Integers
from platemaker.plane._throat._rails import Ground, Spots
from platemaker.plane._throat._ways import Ways
from platemaker.records import Record

FREE = -1
"""The row of a free way along a wall that goes round base points."""


class Walk(Record):
    """A closed walk: rows of ways in order, what they cost together, and how base points lie to it."""

    rows: tuple[int, ...]
    cost: float


class Cut(Record):
    """The cheapest cut on the given ways: its area, its closed walks, and which base points are on the inflow side."""

    area: float
    walks: tuple[Walk, ...]
    inside: tuple[bool, ...]


TOO_LITTLE = 1e-6
"""A walk cheaper by less than this, mm2, counts as no cheaper: the rounding of areas."""


LONGER = 1e-9
"""What each way of a walk is taken to cost besides, as a share of the greatest cost."""

MOST_WORK = 20_000_000
"""States and ways, from all beginnings, with which the search still ends in seconds."""

AT_ONCE = 3_000_000
"""States and ways that are relaxed in one sweep: tens of megabytes."""


class NegativeCycleError(Exception):
    """Some closed walk that goes round no base point costs less than nothing: its rows of ways."""

    def __init__(self, rows: tuple[int, ...]) -> None:
        super().__init__("a closed walk round no base point costs less than nothing")
        self.rows = rows


def cheapest(ground: Ground, spots: Spots, ways: Ways, most: float) -> Cut:
    """The cheapest cut that costs less than `most`, or the one that takes whole openings, which needs no walk."""
    bases = [(cell.sign, cell.masses[k]) for cell in ground.cells for k in range(cell.bases)]
    signs = np.array([sign for sign, _ in bases])
    masses = np.array([mass for _, mass in bases])
    walks = _closed_walks(ground, spots, ways, most)
    chains = _combined(walks, len(bases))
    best = Cut(float("inf"), (), ())
    for inside in product((True, False), repeat=len(bases)):
        held = np.array(inside)
        lost = float(masses[(signs < 0) & ~held].sum() + masses[(signs > 0) & held].sum())
        wanted = tuple((held.astype(int) - int(held[-1])).tolist()[:-1])
        chain = chains.get(wanted)
        if chain is not None and lost + chain[0] < best.area:
            best = Cut(lost + chain[0], chain[1], inside)
    return best


def _combined(walks: dict[tuple[int, ...], Walk], bases: int) -> dict[tuple[int, ...], tuple[float, tuple[Walk, ...]]]:
    """For each way to lie to the base points, the cheapest set of walks that together does it.

    Raises NegativeCycleError with the rows of walks that together go round no base point and cost less than nothing.
    """
    begin = (0,) * (bases - 1)
    cost, before = {begin: 0.0}, dict[tuple[int, ...], tuple[tuple[int, ...], Walk]]()
    queue = [begin]
    while queue:
        here = queue.pop(0)
        for turns, walk in walks.items():
            there = tuple(a + b for a, b in zip(here, turns, strict=True))
            if max(map(abs, there)) > 1 or cost[here] + walk.cost >= cost.get(there, np.inf) - 1e-9:
                continue
            start, chain = _led(before, here, there)
            if start == there:
                raise NegativeCycleError(tuple(row for one in (*chain, walk) for row in one.rows))
            cost[there], before[there] = cost[here] + walk.cost, (here, walk)
            queue.append(there)
    return {state: (cost[state], _led(before, state, begin)[1]) for state in cost}


def _led(
    before: dict[tuple[int, ...], tuple[tuple[int, ...], Walk]], state: tuple[int, ...], begin: tuple[int, ...]
) -> tuple[tuple[int, ...], tuple[Walk, ...]]:
    """The walks that led to a state since `begin`, or since the first one, and the state they led from."""
    chain: list[Walk] = []
    while state != begin and state in before:
        state, walk = before[state]
        chain.append(walk)
    return state, tuple(reversed(chain))


def _closed_walks(ground: Ground, spots: Spots, ways: Ways, most: float) -> dict[tuple[int, ...], Walk]:
    """The cheapest closed walk of each class: the turns about each base point less those about the last."""
    classes = (ways.turns - ways.turns[:, -1:])[:, :-1]
    # Of walks that cost the same the one of fewest ways: of a gap and of the same along an edge, the gap.
    each = most * LONGER
    found: dict[tuple[int, ...], Walk] = {}
    for _, turns in ground.walls.rounds:
        for way in (1, -1):
            kind = tuple(way * (turn - turns[-1]) for turn in turns[:-1])
            if any(kind):
                found[kind] = Walk((), 0.0)
    tail, head = spots.node[ways.tail], spots.node[ways.head]
    if (ways.cost < 0).any():  # a walk may cost more on the way than it does in the end
        most += sum(cell.area for cell in ground.cells)
    keep = ways.cost < most
    keep &= (tail != head) | classes.any(axis=1)
    rows = np.nonzero(keep)[0]
    search = _WalkSearch(tail[rows], head[rows], ways.cost[rows] + each, classes[rows])
    try:
        closed = search.closed(most)
    except NegativeCycleError as fault:
        raise NegativeCycleError(tuple(int(rows[k]) for k in fault.rows)) from None
    for kind, path, cost in closed:
        if kind not in found or cost < found[kind].cost - 1e-12:
            chosen = tuple(int(rows[k]) for k in path)
            found[kind] = Walk(chosen, float(ways.cost[list(chosen)].sum()))
    return found


class _WalkSearch:
    """Cheapest closed walks by class, relaxed over all ways at once in the cover of the classes."""

    def __init__(self, tail: Integers, head: Integers, cost: Floats, classes: Integers) -> None:
        nodes, place = np.unique(np.concatenate([tail, head]), return_inverse=True)
        self.count = len(nodes)
        tail, head = place[: len(tail)], place[len(tail) :]
        self.order = np.lexsort((cost, head))
        self.tail, self.head, self.cost = tail[self.order], head[self.order], cost[self.order]
        self.classes = classes[self.order]
        reach = range(-1, 2) if classes.shape[1] > 1 else range(-1, 3)
        self.sheets = np.array(list(product(reach, repeat=classes.shape[1])), dtype=np.intp)
        self.heads, self.starts = np.unique(self.head, return_index=True)
        self._from()

    def _from(self) -> None:
        """For each sheet and way, the state (sheet and node) that the way comes from."""
        number = {tuple(sheet): k for k, sheet in enumerate(self.sheets.tolist())}
        kinds, place = np.unique(self.classes, axis=0, return_inverse=True)
        nowhere = len(self.sheets) * self.count
        sheet_from = np.array(
            [
                [number.get(tuple((sheet - kind).tolist()), -1) for kind in kinds]
                for sheet in self.sheets
            ]
        )  # fmt: skip
        chosen = sheet_from[:, place.ravel()]
        self.source = np.where(chosen >= 0, chosen * self.count + self.tail, nowhere)

    def closed(self, most: float) -> list[tuple[tuple[int, ...], list[int], float]]:
        """The cheapest closed walk of each class through each node of a cover: class, rows of ways, cost."""
        cover = self._cover()
        if len(cover) * self.source.size > MOST_WORK:
            message = "the openings of the chamber fall into too many parts that may be cut off one by one"
            raise GeometryError(message)
        step = max(1, AT_ONCE // max(1, self.source.size))
        found = [one for low in range(0, len(cover), step) for one in self._closed(cover[low : low + step], most)]
        found.sort(key=lambda one: one[2])
        return found

    def _closed(self, begin: Integers, most: float) -> list[tuple[tuple[int, ...], list[int], float]]:
        zero = int(np.nonzero(~self.sheets.any(axis=1))[0][0])
        size = len(self.sheets) * self.count
        best = np.full((len(begin), size + 1), np.inf)
        each, home = np.arange(len(begin)), zero * self.count + begin
        best[each, home] = 0.0
        source, costs = self.source.ravel(), np.tile(self.cost, len(self.sheets))
        state = self._state(self.source.shape).ravel()
        fresh = np.zeros(size + 1, dtype=bool)
        fresh[home] = True
        for _ in range(size + 1):  # a cheapest walk comes to no state twice
            ways = np.nonzero(fresh[source])[0]  # from states that became cheaper: no other way can be better now
            starts = np.nonzero(np.diff(state[ways], prepend=-1))[0]
            states = state[ways[starts]]
            if not len(ways):
                break
            least = np.minimum.reduceat(best[:, source[ways]] + costs[ways], starts, axis=1)
            better = (least < best[:, states] - TOO_LITTLE) & (least < most)
            if not better.any():
                break
            best[:, states] = np.where(better, least, best[:, states])
            fresh[:] = False
            fresh[states[better.any(axis=0)]] = True
            if (best[each, home] < 0.0).any():  # back where it began, and cheaper: the search would find no end
                self._refuse(best)
        else:
            self._refuse(best)
        found = []
        for k, node in enumerate(begin.tolist()):
            for number, sheet in enumerate(self.sheets.tolist()):
                cost = best[k, number * self.count + node]
                if np.isfinite(cost) and any(sheet) and max(map(abs, sheet)) <= 1:
                    found.append((tuple(sheet), k, number, float(cost)))
        found.sort(key=lambda one: one[3])
        walks, seen = [], set()
        for kind, k, number, cost in found:
            if kind not in seen:
                seen.add(kind)
                walks.append((kind, self._path(best[k], int(begin[k]), number, zero), cost))
        return walks

    def _refuse(self, best: Floats) -> NoReturn:
        """Names a closed walk round no base point that costs less than nothing, which keeps the search from an end."""
        for row in best:
            tried = row[self.source] + self.cost
            better = tried < row[self._state(tried.shape)] - TOO_LITTLE
            for number, k in zip(*np.nonzero(better), strict=True):
                seen: dict[int, int] = {}
                path: list[int] = []
                state = int(number) * self.count + int(self.head[k])
                while state not in seen and state < len(row) - 1:
                    seen[state] = len(path)
                    way, state = self._before(row, state)
                    path.append(way)
                cycle = path[seen.get(state, len(path)) :]
                if cycle and self.cost_of(cycle) < 0:
                    raise NegativeCycleError(tuple(int(self.order[way]) for way in cycle[::-1]))
        message = "the search for the cheapest cut finds no end"
        raise GeometryError(message)

    def _state(self, shape: tuple[int, ...]) -> Integers:
        """The state that each way leads to, by sheet and way."""
        found: Integers = np.arange(shape[0])[:, None] * self.count + self.head
        return found

    def cost_of(self, rows: list[int]) -> float:
        """What some ways cost together."""
        return float(self.cost[rows].sum())

    def _before(self, best: Floats, state: int) -> tuple[int, int]:
        """The way by which the cheapest walk comes to a state, and the state before it."""
        number, node = divmod(state, self.count)
        low = int(self.starts[np.searchsorted(self.heads, node)])
        high = low + int(np.searchsorted(self.head[low:], node, side="right"))
        way = low + int((best[self.source[number, low:high]] + self.cost[low:high]).argmin())
        return way, int(self.source[number, way])

    def _cover(self) -> Integers:
        """Nodes of which every closed walk that goes round a base point passes one."""
        crossing = np.nonzero(self.classes.any(axis=1))[0]
        chosen: list[int] = []
        met = {*zip(self.tail[crossing].tolist(), self.head[crossing].tolist(), strict=True)}
        pairs = np.array(sorted(met), dtype=np.intp).reshape(-1, 2)
        while len(pairs):
            node = int(np.bincount(pairs.ravel()).argmax())
            chosen.append(node)
            pairs = pairs[(pairs != node).all(axis=1)]
        return np.array(chosen, dtype=np.intp)

    def _path(self, best: Floats, begin: int, sheet: int, zero: int) -> list[int]:
        """Rows of the ways that the cheapest walk to a state takes."""
        path: list[int] = []
        state, first = sheet * self.count + begin, zero * self.count + begin
        while state != first or not path:
            way, state = self._before(best, state)
            path.append(int(self.order[way]))
            if len(path) > len(self.sheets) * self.count:
                self._refuse(best[None])
        return path[::-1]
