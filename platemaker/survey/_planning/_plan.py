"""What to read before the calipers come out: the fewest readings with which every hole is held, single and checked.

From rough places each set of readings has a covariance, and so the least misreading that would be noticed and how far
that moves a hole (see _reliability); nothing need be read for that. A set will do when no misreading that goes
unnoticed moves a hole by more than the stated size, after the best shift and turn of all holes, and when the figure
cannot fold: no two holes part the others (3-connected), and every reading is redundant, which in general position makes
the figure the only one that fits (R. Connelly, Discrete and Computational Geometry 33 (2005); B. Jackson and T. Jordan,
Journal of Combinatorial Theory B 94 (2005); from memory). Every diameter is read twice: its values check each other.

Up to 6 holes every set is tried, small ones first. For more, readings are dropped from the full set one at a time,
those first without which the rest is checked best, from several beginnings; then two are exchanged for one as long as
that helps.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np
import numpy.typing as npt

from platemaker.errors import SurveyError
from platemaker.records import Record
from platemaker.survey._answer._reliability import NOTICED, repeat_bound
from platemaker.survey._arrays import Array, Index
from platemaker.survey._figure._outliers import CHECKED, critical_of
from platemaker.survey._patterns import rigid_motions

Counts = npt.NDArray[np.int_]
Others = Callable[[Counts], list[Array]]

EXHAUSTIVE = 6
"""Holes up to which every set of readings is tried."""
BEGINNINGS = 12
"""Random beginnings for more holes."""
FEW_HOLES = 16
"""Holes up to which all pairs are candidates, and two readings are exchanged for one."""
NEAREST, FARTHEST = 8, 3
"""Candidates of each hole where there are more: so many of its nearest and farthest."""
ROUNDS = 40
"""How often other figures are looked for and excluded."""
FLAT = 2.0
"""How far off a line, mm, holes count as on it: mirrored in it, their spans differ by little more than scatter."""
APART = 10.0
"""Deviations by which a span must differ in another figure for its reading to distinguish the two."""
BATCH = 2000
"""Sets looked at together."""


class RoughHoles(Record):
    """Rough places (n, 2) and diameters of holes, mm, and the deviations of a reading and of a diameter."""

    places: Array
    diameters: Array
    sigma: float
    diameter_sigma: float

    @property
    def count(self) -> int:
        """Number of holes."""
        return len(self.places)


class Criterion:
    """How well sets of readings check themselves. `halves`: the factors of half diameters of the candidate `pairs`.

    `deciding`: for each other figure that some set fitted alike, the pairs that distinguish it from the right one.
    """

    def __init__(
        self, spots: RoughHoles, pairs: Sequence[tuple[int, int]], halves: Sequence[tuple[float, float]]
    ) -> None:
        self.spots, self.pairs = spots, list(pairs)
        self.deciding: list[frozenset[int]] = []
        self.hinges = [*(1 << i | 1 << j for i, j in itertools.combinations(range(spots.count), 2)), *_rows(spots)]
        n = spots.count
        self._rows = np.zeros((len(pairs), 3 * n))
        for row, ((i, j), (of_i, of_j)) in enumerate(zip(pairs, halves, strict=True)):
            arm = spots.places[j] - spots.places[i]
            unit = arm / max(float(np.hypot(*arm)), 1e-9)
            self._rows[row, 2 * i : 2 * i + 2], self._rows[row, 2 * j : 2 * j + 2] = -unit, unit
            self._rows[row, 2 * n + i], self._rows[row, 2 * n + j] = of_i / 2, of_j / 2
        self._rows /= spots.sigma
        self._squares = np.einsum("pi,pj->pij", self._rows, self._rows).reshape(len(pairs), -1)
        self._own = np.zeros((n, 3 * n))
        self._own[:, 2 * n :] = np.eye(n) * math.sqrt(2.0) / spots.diameter_sigma
        modes = np.zeros((3 * n, 3))
        modes[: 2 * n] = rigid_motions(spots.places - spots.places.mean(axis=0))
        modes /= np.linalg.norm(modes, axis=0)
        # A hole that may lie off by so much that no reading would notice it to first order is free (see loose_modes).
        self._free = 2.0 * float(np.ptp(spots.places, axis=0).max()) * spots.sigma
        self._base = self._own.T @ self._own + modes @ modes.T / spots.sigma**2

    def worst(self, sets: Counts) -> Array:
        """For each of some sets (k, pairs: how often each pair is read) the farthest unnoticed shift of a hole, mm.

        Infinite where the readings do not hold the holes, or nothing checks one of them.
        """
        found = np.full(len(sets), np.inf)
        for first in range(0, len(sets), BATCH):
            some = sets[first : first + BATCH]
            inverse = self._inverse(some)
            by_pairs, by_own = self._rows @ inverse, self._own @ inverse
            leverage = (by_pairs * self._rows).sum(axis=2)
            spread = np.diagonal(inverse, axis1=1, axis2=2).max(axis=1)
            found[first : first + BATCH] = self._farthest(some, leverage, by_pairs, by_own, spread)
        return found

    def without(self, chosen: Counts, rows: Index) -> Array:
        """The same for one set with one reading less of each of some pairs: the covariance is updated for each.

        Without a row a the covariance Q becomes Q + Q a' a Q / (1 - a Q a').
        """
        inverse = self._inverse(chosen[None])[0]
        by_pairs, by_own = self._rows @ inverse, self._own @ inverse
        shared = by_pairs @ self._rows.T
        left = np.maximum(1.0 - np.diagonal(shared)[rows], 1e-12)
        dropped = by_pairs[rows]
        leverage = np.diagonal(shared) + shared[rows] ** 2 / left[:, None]
        pairs = by_pairs + (shared[rows] / left[:, None])[..., None] * dropped[:, None]
        own = by_own + ((dropped @ self._own.T) / left[:, None])[..., None] * dropped[:, None]
        spread = (np.diagonal(inverse) + dropped**2 / left[:, None]).max(axis=1)
        sets = np.repeat(chosen[None], len(rows), axis=0)
        sets[np.arange(len(rows)), rows] -= 1
        return self._farthest(sets, leverage, pairs, own, spread)

    def _inverse(self, sets: Counts) -> Array:
        size = 3 * self.spots.count
        normal = (sets @ self._squares).reshape(-1, size, size) + self._base
        # A set that holds nothing has no inverse: it is kept off the edge, and its spread is then too large.
        return np.asarray(np.linalg.inv(normal + 1e-9 / self.spots.sigma**2 * np.eye(size)))

    def _farthest(self, sets: Counts, leverage: Array, by_pairs: Array, by_own: Array, spread: Array) -> Array:
        """The farthest unnoticed shift, from rows times covariance: of pairs, and of the diameters' own readings."""
        n, times = self.spots.count, np.maximum(sets, 1)
        redundancy = 1.0 - times * leverage
        noticed = np.array([critical_of(int(total) + n) + NOTICED for total in np.minimum(sets, 1).sum(axis=1)])
        least = np.where(redundancy > CHECKED, noticed[:, None] / np.sqrt(np.maximum(redundancy, CHECKED)), np.inf)
        least = np.minimum(least, np.where(times > 1, repeat_bound(2), np.inf))
        shifts = np.where(sets > 0, _moved(by_pairs, n) * np.sqrt(times) * least, 0.0).max(axis=1)
        own = (_moved(by_own, n) * repeat_bound(2)).max(axis=1)
        held = spread < self._free
        return np.asarray(np.where(held, np.maximum(shifts, own), np.inf))


def _moved(effects: Array, count: int) -> Array:
    """The farthest that any hole is moved by each effect."""
    distance = np.hypot(effects[..., 0 : 2 * count : 2], effects[..., 1 : 2 * count : 2])
    return np.asarray(distance.max(axis=-1))


def single(criterion: Criterion, checked: float, others: Others) -> Counts:
    """The fewest readings (see `fewest`) that fit one figure alone.

    `others` gives the places (n, 2) of other figures that fit a set alike. Each time there are any, a set must hold a
    pair that distinguishes them.
    """
    chosen = fewest(criterion, checked)
    for _ in range(ROUNDS):
        found = others(chosen)
        if not found:
            break
        criterion.deciding += [_deciding(criterion, places, chosen) for places in found]
        if criterion.spots.count <= EXHAUSTIVE:
            chosen = fewest(criterion, checked)
        else:
            more = chosen.copy()
            more[[min(pairs) for pairs in criterion.deciding if pairs]] |= 1
            chosen = _exchanged(criterion, checked, _dropped(criterion, more, checked, np.zeros(len(more))))
    return chosen


def _deciding(criterion: Criterion, places: Array, chosen: Counts) -> frozenset[int]:
    """The candidate pairs whose spans differ in another figure, apart from those chosen, which did not show it."""
    here, there = (np.linalg.norm(at[:, None] - at[None], axis=2) for at in (criterion.spots.places, places))
    apart = np.abs(here - there)
    new = [(row, float(apart[i, j])) for row, (i, j) in enumerate(criterion.pairs) if not chosen[row]]
    least = min(APART * criterion.spots.sigma, max((far for _, far in new), default=0.0) / 2)
    return frozenset(row for row, far in new if far > least)


def fewest(criterion: Criterion, checked: float, seed: int = 1) -> Counts:
    """How often each candidate pair is to be read so that no misreading of it moves a hole unnoticed by `checked` mm.

    Raises SurveyError when even every pair read twice is not enough.
    """
    count, pairs = criterion.spots.count, len(criterion.pairs)
    once, twice = np.ones(pairs, dtype=int), np.full(pairs, 2)
    if not _passes(criterion, twice, checked):
        least = float(criterion.worst(twice[None])[0])
        if math.isinf(least):
            message = (
                "readings between the holes alone do not hold them: they lie nearly on one line. Measure them from an "
                "edge of the casting, or state that they are `straight`"
            )
            raise SurveyError(message)
        message = (
            f"even every pair read twice leaves shifts of {least:.2f} mm unnoticed, more than {checked:g} mm: choose a "
            "larger size, or a finer instrument"
        )
        raise SurveyError(message)
    if count <= EXHAUSTIVE:
        return _smallest(criterion, checked)
    if not _passes(criterion, once, checked):
        return _exchanged(criterion, checked, _dropped(criterion, twice, checked, np.zeros(pairs)))
    rng = np.random.default_rng(seed)
    best: Counts | None = None
    for number in range(BEGINNINGS if count <= FEW_HOLES else 1):
        noise = np.zeros(pairs) if number == 0 else rng.uniform(0, 0.5 * checked, pairs)
        found = _dropped(criterion, once, checked, noise)
        if best is None or found.sum() < best.sum():
            best = found
    return _exchanged(criterion, checked, once if best is None else best)


def _passes(criterion: Criterion, chosen: Counts, checked: float) -> bool:
    rows = [int(row) for row in np.flatnonzero(chosen)]
    return bool(criterion.worst(chosen[None])[0] <= checked) and unfolding(criterion, rows)


def unfolding(criterion: Criterion, rows: Iterable[int]) -> bool:
    """Whether the pairs of these rows leave no part that hangs on two holes, or a row of holes, and no known figure."""
    count, rows = criterion.spots.count, set(rows)
    if any(rows.isdisjoint(pairs) for pairs in criterion.deciding):
        return False
    near = [0] * count
    for row in rows:
        i, j = criterion.pairs[row]
        near[i] |= 1 << j
        near[j] |= 1 << i
    everything = (1 << count) - 1
    if count <= 3:
        return min(bits.bit_count() for bits in near) == count - 1
    if min(bits.bit_count() for bits in near) < 3:
        return False
    return all(_joined(near, everything & ~hinge) for hinge in criterion.hinges)


def _rows(spots: RoughHoles) -> Iterator[int]:
    """Three or more holes on one line, as bits: what hangs on them alone may lie on either side of it."""
    found, n = set[int](), spots.count
    for i, j in itertools.combinations(range(n), 2):
        arm = spots.places[j] - spots.places[i]
        away = np.abs(
            arm[0] * (spots.places[:, 1] - spots.places[i, 1]) - arm[1] * (spots.places[:, 0] - spots.places[i, 0])
        )
        on = [k for k in range(n) if away[k] < FLAT * float(np.hypot(*arm))]
        if 2 < len(on) < n:
            found.add(sum(1 << k for k in on))
    yield from sorted(found)


def _joined(near: list[int], among: int) -> bool:
    part = front = among & -among
    while front:
        reached = 0
        while front:
            lowest = front & -front
            reached |= near[lowest.bit_length() - 1]
            front ^= lowest
        front = reached & among & ~part
        part |= front
    return part == among


def _smallest(criterion: Criterion, checked: float) -> Counts:
    """The smallest of all sets, pairs read once or twice; of those of one size the one that is checked best."""
    pairs, most = len(criterion.pairs), 2 * len(criterion.pairs)
    supports: dict[int, list[tuple[int, ...]]] = {}
    for size in range(1, pairs + 1):
        supports[size] = [rows for rows in itertools.combinations(range(pairs), size) if unfolding(criterion, rows)]
    for total in range(1, most + 1):
        best: tuple[float, Counts] | None = None
        for chunk in _chunks(_multiples(supports, total)):
            sets = np.zeros((len(chunk), pairs), dtype=int)
            for at, (once, again) in enumerate(chunk):
                sets[at, list(once)] = 1
                sets[at, list(again)] = 2
            worst = criterion.worst(sets)
            at = int(np.argmin(np.round(worst, 9)))
            if worst[at] <= checked and (best is None or worst[at] < best[0] - 1e-9):
                best = float(worst[at]), sets[at]
        if best is not None:
            return best[1]
    return np.full(pairs, 2)


def _multiples(
    supports: dict[int, list[tuple[int, ...]]], total: int
) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Sets of so many readings: pairs that are read, and those of them that are read twice."""
    for size in range(min(total, len(supports)), (total - 1) // 2, -1):
        for rows in supports[size]:
            for again in itertools.combinations(rows, total - size):
                yield rows, again


def _chunks(
    sets: Iterator[tuple[tuple[int, ...], tuple[int, ...]]],
) -> Iterator[list[tuple[tuple[int, ...], tuple[int, ...]]]]:
    while chunk := list(itertools.islice(sets, BATCH)):
        yield chunk


def _dropped(criterion: Criterion, start: Counts, checked: float, noise: Array) -> Counts:
    """Readings dropped one at a time, each time the one without which the rest is checked best (plus `noise`, mm)."""
    chosen = start.copy()
    while True:
        rows = np.flatnonzero(chosen)
        worst = criterion.without(chosen, rows)
        for at in np.argsort(np.round(worst + noise[rows], 9), kind="stable"):
            tried = chosen.copy()
            tried[rows[at]] -= 1
            if worst[at] <= checked and unfolding(criterion, map(int, np.flatnonzero(tried))):
                chosen = tried
                break
        else:
            return chosen


def _exchanged(criterion: Criterion, checked: float, chosen: Counts) -> Counts:
    """Two readings exchanged for one, of a new pair or once more of one, as long as that leaves a set that will do."""
    while criterion.spots.count <= FEW_HOLES:
        for first, second in itertools.combinations(np.flatnonzero(chosen), 2):
            left = chosen.copy()
            left[[first, second]] -= 1
            others = np.flatnonzero(left < 2)
            tried = np.repeat(left[None], len(others), axis=0)
            tried[np.arange(len(others)), others] += 1
            worst = criterion.worst(tried)
            fits = (at for at in np.argsort(worst, kind="stable") if worst[at] <= checked)
            found = next((at for at in fits if unfolding(criterion, map(int, np.flatnonzero(tried[at])))), None)
            if found is not None:
                chosen = tried[found]
                break
        else:
            break
    return chosen


def candidate_pairs(places: Array) -> list[tuple[int, int]]:
    """Pairs of holes that may be read: all, or of many holes those with their nearest and their farthest."""
    count = len(places)
    if count <= FEW_HOLES:
        return list(itertools.combinations(range(count), 2))
    spans = np.linalg.norm(places[:, None] - places[None], axis=2)
    chosen = set()
    for i in range(count):
        order = np.argsort(spans[i], kind="stable")[1:]
        chosen |= {(min(i, int(j)), max(i, int(j))) for j in (*order[:NEAREST], *order[-FARTHEST:])}
    return sorted(chosen)
