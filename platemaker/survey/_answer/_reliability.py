"""Reliability: how large a misreading has to be before the tests notice it, and how far it then moves which hole.

Internal reliability: with redundancy r and deviation s a blunder of (k + z) s / sqrt(r) exceeds the critical value k of
the normalised residual with the probability that z stands for. External reliability: its effect on the unknowns,
Q a' / s^2 times the blunder, with a the equation's derivatives and Q the covariance. Source: W. Baarda, A Testing
Procedure for Use in Geodetic Networks, Netherlands Geodetic Commission, 1968; Ghilani and Wolf, Adjustment
Computations, ch. 21 (reliability). From memory.

A reading that was repeated is checked by its own values, too: one of n values that is off by more than AGREE deviations
of a difference is refused, which bounds the error of their mean.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

import numpy as np

from platemaker.records import Record
from platemaker.survey._adjustment._equations import Equations
from platemaker.survey._adjustment._rank import candidates
from platemaker.survey._adjustment._statistics import median
from platemaker.survey._arrays import Array, Index
from platemaker.survey._figure._outliers import CHECKED, Explanation
from platemaker.survey._input import AGREE
from platemaker.survey._patterns import rigid_motions
from platemaker.units import Words, said

POWER = 0.99
"""Probability with which the least blunder that counts as noticed is noticed."""
NOTICED = NormalDist().inv_cdf(POWER)
STILL = 1e-6
"""A hole that an error of one standard deviation moves by less, mm, does not move."""
FAR = 100.0
"""What an unlimited shift counts as, mm, where shifts are weighed against each other."""
WEIGHED = 12
"""Weak readings that are weighed when the next reading is chosen."""


class Weak(Record):
    """A misreading that could move a hole without being noticed, and the reading that would check it.

    `least`: the smallest one that is noticed, in the reading's `unit`; `shift`: how far it moves the hole, mm; both
    infinite where nothing checks the reading. `cure`: what to read next, in words.
    """

    hole: str
    title: str
    least: float
    unit: str
    shift: float
    cure: str

    @property
    def words(self) -> Words:
        """What it is and what to do, in a sentence."""
        if math.isinf(self.shift):
            return said("weak_unchecked", reading=self.title, hole=self.hole, cure=self.cure)
        least, shift = (self.least, self.unit), (self.shift, "mm")
        return said("weak_reading", reading=self.title, least=least, hole=self.hole, shift=shift, cure=self.cure)


class Reliability(Record, eq=False):
    """Per equation: the least blunder that is noticed, and what one of one deviation does to the unknowns.

    `least` counts deviations; infinite where nothing checks the equation. `effects` (equations, size) are relative to
    the datum, 0 for excluded equations. `covariance` (size, size) is the unknowns'.
    """

    equations: Equations
    least: Array
    effects: Array
    redundancy: Array
    covariance: Array
    noticed: float
    unknowns: Array

    def shifts(self, rows: Array) -> Array:
        """How far each least blunder moves places: (equations, k). `rows` (2 k, size): their x and y."""
        return _times(_distances(self.effects @ rows.T), self.least[:, None])

    def holes(self, names: Sequence[str], *, placed: bool) -> Array:
        """The rows of some holes: in the datum's frame, or `placed` by the best shift and turn of all of them."""
        columns = self._columns(names)
        rows = np.eye(self.equations.layout.size)[columns]
        return self.beside(names, rows, self.unknowns[columns].reshape(-1, 2)) if placed and len(names) > 1 else rows

    def beside(self, names: Sequence[str], rows: Array, places: Array) -> Array:
        """The rows of `places` (k, 2) in the datum's frame, as seen from the best shift and turn of some holes."""
        columns = self._columns(names)
        holes = self.unknowns[columns].reshape(-1, 2)
        middle = holes.mean(axis=0)
        motion = np.linalg.pinv(rigid_motions(holes - middle)) @ np.eye(self.equations.layout.size)[columns]
        return np.asarray(rows - rigid_motions(places - middle) @ motion)

    def _columns(self, names: Sequence[str]) -> list[int]:
        return [self.equations.layout.x(name) + axis for name in names for axis in (0, 1)]

    def weakest(self, rows: Array, names: Sequence[str]) -> tuple[Weak, ...]:
        """For each place the misreading that could move it farthest unnoticed, the farthest first."""
        shifts = self.shifts(rows)
        if not shifts.size or not shifts.any():
            return ()
        cure = self._cure(rows, shifts)
        # Of readings that nothing checks, the one on which a place hangs most.
        felt = np.where(np.isinf(shifts), 1e6 * (1.0 + _distances(self.effects @ rows.T)), shifts)
        worst = np.argmax(np.round(felt, 9), axis=0)
        found = [
            self._weak(int(row), name, float(shifts[row, place]), cure)
            for place, (row, name) in enumerate(zip(worst, names, strict=True))
        ]
        order = sorted(range(len(found)), key=lambda place: (-round(felt[worst[place], place], 9), place))
        return tuple(found[place] for place in order if found[place].shift > 0)

    def least_of(self, row: int) -> tuple[float, str]:
        """The least blunder of an equation that is noticed, in its reading's unit."""
        observation = self.equations.observations[row]
        factor, unit = observation.shown
        return float(self.least[row] * self.equations.sigmas[row]) * factor, unit

    def _weak(self, row: int, name: str, shift: float, cure: str) -> Weak:
        least, unit = self.least_of(row)
        return Weak(name, self.equations.observations[row].title, least, unit, shift, cure)

    def _cure(self, rows: Array, shifts: Array) -> str:
        """The further reading, or repeated one, after which misreadings could move the places least."""
        weak = np.argsort(-np.minimum(shifts.max(axis=1), FAR), kind="stable")[:WEIGHED]
        weak = weak[shifts[weak].max(axis=1) > 0]
        again = [self._repeated(rows, weak, number) for number in range(len(weak))]
        best = int(np.argmin(again))
        words = f"take {self.equations.observations[weak[best]].title} again"
        names, new = candidates(self.equations.layout, self.unknowns, self._taken())
        if names:
            badness = self._after(rows, weak, new)
            chosen = int(np.argmin(np.round(badness, 6)))
            if badness[chosen] < again[best] - 1e-6:
                words = f"read {'-'.join(names[chosen].features)}"
        return words

    def _taken(self) -> set[frozenset[str]]:
        return {frozenset(one.features) for one in self.equations.observations if len(one.features) == 2}

    def _repeated(self, rows: Array, weak: Index, number: int) -> float:
        """What is left of the weak shifts when one of the readings is taken twice."""
        least = self.least[weak].copy()
        least[number] = min(least[number], repeat_bound(2) / math.sqrt(2.0))
        return float(_weighed(_times(_distances(self.effects[weak] @ rows.T), least[:, None])))

    def _after(self, rows: Array, weak: Index, new: Array) -> Array:
        """What is left of the weak shifts, and of the new reading's own, with each of some further readings.

        With a reading c (deviation s) the covariance Q becomes Q - Q c c' Q / (s^2 + c' Q c): the redundancy of the
        others grows by (c' Q a)^2 / (s^2 + c' Q c), its own is s^2 / (s^2 + c' Q c).
        """
        sigma = median(self.equations.sigmas[[one.is_length for one in self.equations.observations]])
        felt = new @ self.covariance
        gain = sigma**2 + (felt * new).sum(axis=1)
        shared = new @ self.effects[weak].T
        redundancy = self.redundancy[weak] + shared**2 / gain[:, None]
        moved = (self.effects[weak] @ rows.T)[None] - (shared / gain[:, None])[..., None] * (felt @ rows.T)[:, None]
        old = _times(_distances(moved), np.minimum(self._noticed_at(redundancy), self.least[weak])[..., None])
        own = _times(_distances(felt @ rows.T * (sigma / gain)[:, None]), self._noticed_at(sigma**2 / gain)[:, None])
        return np.asarray(_weighed(old) + np.minimum(own.max(axis=1), FAR) ** 2)

    def _noticed_at(self, redundancy: Array) -> Array:
        return np.where(redundancy > CHECKED, self.noticed / np.sqrt(np.maximum(redundancy, CHECKED)), np.inf)


def reliability_of(equations: Equations, found: Explanation, covariance: Array, factor: float) -> Reliability:
    """The reliability of an answer: `covariance` is the unknowns', relative to the datum, for the stated deviations.

    `factor` enlarges what is noticed where the readings scatter more than stated.
    """
    active = found.fit.weights > 0
    effects = np.where(active[:, None], found.fit.slopes / equations.sigmas[:, None], 0.0) @ covariance
    noticed = (found.critical + NOTICED) * factor
    redundancy = np.where(active, found.tests.redundancy, 1.0)
    # What is reported on an instrument is no reading that one could take wrong.
    single = np.array([0.0 if one.shared else repeat_bound(one.repeats) for one in equations.observations])
    checked = redundancy > CHECKED
    least = np.where(checked, noticed / np.sqrt(np.maximum(redundancy, CHECKED)), np.inf)
    return Reliability(
        equations, np.minimum(least, single), effects, redundancy, covariance, noticed, found.fit.unknowns
    )


def repeat_bound(repeats: int) -> float:
    """The least error of a mean that its own values notice, in deviations of the mean; infinite for a single value.

    A value that is off by d moves the mean by d / n; it is refused when it differs from another by AGREE deviations of
    their difference, sqrt(2) sigma; the mean's deviation is sigma / sqrt(n) at most.
    """
    return math.inf if repeats < 2 else (AGREE + NOTICED) * math.sqrt(2.0 / repeats)


def _distances(moved: Array) -> Array:
    return np.asarray(np.hypot(moved[..., 0::2], moved[..., 1::2]))


def _weighed(shifts: Array) -> Array:
    """Shifts (..., readings, places) as one figure: the squares of the readings' farthest, added up."""
    return np.asarray((np.minimum(shifts.max(axis=-1), FAR) ** 2).sum(axis=-1))


def _times(distances: Array, least: Array) -> Array:
    with np.errstate(invalid="ignore"):
        return np.asarray(np.where(distances > STILL, distances * least, 0.0))
