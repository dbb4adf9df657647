"""Outlier tests: normalised residuals, and a figure with the readings that it contradicts excluded one by one.

Source: W. Baarda, A Testing Procedure for Use in Geodetic Networks, Netherlands Geodetic Commission, 1968 (data
snooping); Ghilani and Wolf, Adjustment Computations, ch. 21 (blunder detection). From memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from statistics import NormalDist

import numpy as np

from platemaker.records import Record, replace
from platemaker.survey._adjustment._adjust import Adjusted, adjusted, cofactors, fit, in_datum
from platemaker.survey._adjustment._equations import Equations
from platemaker.survey._adjustment._rank import loose_modes
from platemaker.survey._adjustment._statistics import chi_square_above
from platemaker.survey._arrays import Array
from platemaker.survey._records import Datum

CRITICAL = 3.29
"""|w| above which a reading is suspect at least: two-sided 0.1 % of the normal distribution (Baarda's usual level)."""
FALSE_ALARMS = 0.01
"""Share of sound surveys in which any reading may be called suspect: many readings are each tested more strictly."""
CHECKED = 0.02
"""Redundancy below which nothing checks a reading: a blunder of 10 sigma would show as w = 1.4."""
UNLIKELY = 1e-4
"""Probability of a chi-square as large below which a figure is said not to fit."""
EXCLUDED = 0.15
"""Share of the readings that may be excluded; a figure that needs more is none. Common practice, no source."""
HOPELESS = 30.0
"""Chi-square for each equation above which an adjustment that creeps is given up: the readings do not fit there."""
TAKEN_BACK = 3
"""How often excluded readings may be taken back when, seen from the rest, they are not suspect."""
ROBUST_STEPS = 8
"""Rounds of the robust adjustment; its tolerance narrows by ROBUST_RATE in each."""
ROBUST_RATE = 0.5


class Tests(Record, eq=False):
    """Per equation: redundancy, normalised residual w (nan where unchecked), and the residuals' covariance."""

    redundancy: Array
    test: Array
    projector: Array


class Explanation(Record, eq=False):
    """A figure, and the equations that have to be wrong for the others to fit it.

    What follows from it is worked out when it is asked for: most figures that are tried fit so badly that nothing is.
    """

    equations: Equations
    fit: Adjusted

    @cached_property
    def excluded(self) -> tuple[int, ...]:
        """The equations left out, the one that the figure misses most first."""
        misses = np.abs(self.fit.residuals) / self.deviations
        return tuple(int(row) for row in np.argsort(-misses, kind="stable") if self.fit.weights[row] == 0)

    @property
    def miss(self) -> float:
        """How far the figure misses the farthest of the readings that it excludes, in deviations."""
        return max(
            (abs(float(self.fit.residuals[row])) / float(self.deviations[row]) for row in self.excluded), default=0.0
        )

    @property
    def deviations(self) -> Array:
        """Those of all equations, mm and radians."""
        return self.equations.sigmas

    @property
    def critical(self) -> float:
        """The largest sound |w|."""
        return critical_of(len(self.deviations))

    @cached_property
    def held(self) -> bool:
        """Whether the others hold every feature."""
        return not bool(loose_modes(self.equations, self.fit).shape[1])

    @cached_property
    def cofactors(self) -> Array:
        """Covariance of the unknowns (see `cofactors`); zeros where they do not hold them."""
        size = len(self.fit.unknowns)
        return cofactors(self.equations, self.fit) if self.held else np.zeros((size, size))

    @cached_property
    def tests(self) -> Tests:
        """The tests of all equations; none where they do not hold the figure."""
        count = len(self.deviations)
        if self.held:
            return tests(self.fit, self.cofactors, self.deviations)
        return Tests(np.zeros(count), np.full(count, np.nan), np.zeros((count, count)))

    @cached_property
    def agrees(self) -> bool:
        """Whether the others fit the figure: all together, and none of them stands out."""
        if not plausible(self.fit):
            return False
        sizes = np.where(self.fit.weights > 0, _sizes(self.tests), 0.0)
        return float(sizes.max(initial=0.0)) <= self.critical


def critical_of(count: int) -> float:
    """|w| above which one of so many readings is suspect: at FALSE_ALARMS for all together (Bonferroni).

    For n tests 1 - FALSE_ALARMS / 2 n of the normal distribution, but not under CRITICAL.

    >>> critical_of(8), round(critical_of(100), 2)   # 0.005 % of the normal distribution on either side: 3.89
    (3.29, 3.89)
    """
    return max(CRITICAL, NormalDist().inv_cdf(1.0 - FALSE_ALARMS / (2.0 * max(count, 1))))


def most_excluded(equations: Equations) -> int:
    """How many equations may be excluded: two, or EXCLUDED of them, but not so many that nothing checks the rest."""
    spare = len(equations.observations) - (equations.layout.size - 3)
    return max(0, min(max(2, int(EXCLUDED * len(equations.observations))), max(spare - 1, min(spare, 1))))


def tests(solved: Adjusted, covariance: Array, sigmas: Array) -> Tests:
    """Redundancy numbers and normalised residuals of one fit.

    In the fit: r = diag(I - J Q J'), w = v / (sigma sqrt(r)). Excluded, with a its row and Q the covariance without
    it: r = s^2 / (s^2 + a Q a'), w = v sqrt(r) / sigma, which is what it would have been in a fit with it.
    """
    whitened = solved.slopes / sigmas[:, None]
    active = (solved.weights > 0).astype(float)
    projector = np.diag(active) - (whitened * active[:, None]) @ covariance @ (whitened * active[:, None]).T
    leverage = ((whitened @ covariance) * whitened).sum(axis=1)
    redundancy = np.clip(np.where(active > 0, 1.0 - leverage, 1.0 / (1.0 + leverage)), 0.0, 1.0)
    root = np.sqrt(np.maximum(redundancy, CHECKED))
    normalised = solved.residuals / sigmas * np.where(active > 0, 1.0 / root, root)
    return Tests(redundancy, np.where(redundancy > CHECKED, normalised, np.nan), projector)


def plausible(solved: Adjusted) -> bool:
    """Whether the residuals are as small together as chance allows (1 in 10 000)."""
    spare = int((solved.weights > 0).sum()) - (len(solved.unknowns) - 3)
    return solved.cost < 1e-6 if spare <= 0 else chi_square_above(solved.cost, spare) > UNLIKELY


def excluding(
    equations: Equations, datum: Datum, start: Array, rows: Iterable[int] = (), hopeless: float = HOPELESS
) -> Explanation:
    """The figure from `start` without some equations; chi-squares above `hopeless` an equation are not followed."""
    active = np.ones(len(equations.values))
    active[list(rows)] = 0.0
    return Explanation(equations, adjusted(equations, datum, start, active, hopeless * len(active)))


def cleaned(equations: Equations, datum: Datum, found: Explanation, most: int) -> Explanation:
    """Exclude suspects one after another, the largest |w| first, adjusting again each time; take back the sound ones.

    Starts with what `found` has excluded already, and ends when the rest agrees, when `most` are excluded, or when the
    rest would not hold the figure.
    """
    for _ in range(TAKEN_BACK):
        found = _excluded(equations, datum, found, most)
        sizes = _sizes(found.tests)
        sound = [row for row in found.excluded if sizes[row] <= found.critical]
        if not sound:
            break
        again = excluding(equations, datum, found.fit.unknowns, set(found.excluded) - set(sound))
        if again.agrees:
            return again
        found = again
    return found


def _excluded(equations: Equations, datum: Datum, found: Explanation, most: int) -> Explanation:
    while not found.agrees and found.held and len(found.excluded) < most:
        sizes = np.where(found.fit.weights > 0, _sizes(found.tests), 0.0)
        worst = int(np.argmax(sizes))
        if sizes[worst] <= 0.0:
            break
        without = excluding(equations, datum, found.fit.unknowns, (*found.excluded, worst))
        if not (without.held or without.agrees):
            break
        found = without
    return found


def _sizes(current: Tests) -> Array:
    return np.asarray(np.nan_to_num(np.abs(current.test)))


def robust(equations: Equations, datum: Datum, start: Array, widest: float) -> Explanation:
    """A figure from `start` that wide outliers do not bend, and what it excludes: the equations that miss it.

    Iterated reweighting with 1 / (1 + (v / c)^2)^2 (S. Geman and D. McClure, 1987, from memory): c narrows from
    `widest` standard deviations to 3, so that first the drawing counts and in the end the readings that agree.
    """
    unknowns, narrowed = start, max(widest, 3.0)
    for _ in range(ROBUST_STEPS):
        misses = (equations.evaluate(unknowns)[0] - equations.values) / equations.sigmas
        weights = 1.0 / (1.0 + (misses / narrowed) ** 2) ** 2
        unknowns = fit(equations, unknowns, np.maximum(weights, 1e-6), steps=2).unknowns
        narrowed = max(narrowed * ROBUST_RATE, 3.0)
    misses = np.abs(equations.evaluate(unknowns)[0] - equations.values) / equations.sigmas
    out = np.flatnonzero(misses > 2 * CRITICAL)
    return excluding(equations, datum, in_datum(equations.layout, datum, unknowns), out)


def likeness(equations: Equations, one: Explanation, row: int) -> Array:
    """How much the residuals of the equations in an explanation look like those of one that it excludes: |correlation|.

    With that one taken back; 0 for others that are excluded.
    """
    weights = np.where(np.arange(len(one.fit.weights)) == row, 1.0 / equations.sigmas**2, one.fit.weights)
    at = replace(one.fit, weights=weights)
    projector = tests(at, cofactors(equations, at), equations.sigmas).projector
    spread = np.sqrt(np.maximum(np.diag(projector), 1e-12))
    return np.asarray(np.where(one.fit.weights > 0, np.abs(projector[row]) / (spread * spread[row]), 0.0))


def left_out(equations: Equations, one: Explanation) -> tuple[Array, Array]:
    """Chi-squares of a figure without each equation, and without each pair of them, by a linear downdate: (n,), (n, n).

    Those that it excludes are taken back. With R the projector on the residuals of all and u these residuals divided by
    their deviations, leaving out i lowers the chi-square by u_i^2 / R_ii, leaving out two by u' R^-1 u of their rows.
    Infinite where the others would not hold the figure, and for a pair where i is not before j.
    """
    projector = Explanation(equations, replace(one.fit, weights=1.0 / equations.sigmas**2)).tests.projector
    misses = projector @ (one.fit.residuals / equations.sigmas)
    total, own = float(misses @ misses), np.maximum(np.diag(projector), 0.0)
    shared, checked = projector**2, own > CHECKED
    single = np.where(checked, total - misses**2 / np.maximum(own, CHECKED), np.inf)
    spare = np.outer(own, own) - shared
    gain = np.outer(misses**2, own)
    gain = gain + gain.T - 2.0 * projector * np.outer(misses, misses)
    apart = np.triu(np.outer(checked, checked) & (spare > CHECKED * np.outer(own, own)), 1)
    return single, np.where(apart, total - gain / np.where(apart, spare, 1.0), np.inf)


def blunder(one: Explanation, row: int) -> tuple[float, float]:
    """How much too large an excluded equation's reading is, judged by all others, and the deviation of that."""
    return -float(one.fit.residuals[row]), float(one.deviations[row]) / float(np.sqrt(one.tests.redundancy[row]))
