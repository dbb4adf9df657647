"""Search for gross errors: normalised residuals, one suspect at a time.

Source: W. Baarda, A Testing Procedure for Use in Geodetic Networks, Netherlands Geodetic Commission, 1968 (data
snooping); Ghilani and Wolf, Adjustment Computations, ch. 21 (blunder detection). From memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from platemaker.survey._adjust import Fit, adjusted, cofactors
from platemaker.survey._equations import Array, Equations
from platemaker.survey._records import Datum

CRITICAL = 3.29
"""|w| above which a reading is suspect: two-sided 0.1 % of the normal distribution (Baarda's customary level)."""
CHECKED = 0.02
"""Redundancy below which nothing checks a reading: a blunder of 10 sigma would show as w = 1.4."""
ALIKE = 0.99
"""Two residuals with a correlation above this cannot be told apart."""


@dataclass(frozen=True, eq=False)
class Tests:
    """Per equation: redundancy, normalised residual w (nan where unchecked), and the residuals' correlation."""

    redundancy: Array
    test: Array
    projector: Array


@dataclass(frozen=True, eq=False)
class Search:
    """The robust second pass: the final fit, its covariance, what was set aside in order, and what cannot be told.

    `tied` holds, when the search ended at a tie, the suspect first and then those that it may be instead.
    """

    fit: Fit
    cofactors: Array
    first: Tests
    final: Tests
    set_aside: tuple[int, ...]
    aside_tests: tuple[float, ...]
    tied: tuple[int, ...]


def tests(solved: Fit, covariance: Array, sigmas: Array) -> Tests:
    """Redundancy numbers and normalised residuals of one fit: r = diag(I - J Q J'), w = v / (sigma sqrt(r))."""
    whitened = solved.whitened
    projector = np.diag((solved.weights > 0).astype(float)) - whitened @ covariance @ whitened.T
    redundancy = np.clip(np.diag(projector), 0.0, 1.0)
    checked = redundancy > CHECKED
    with np.errstate(invalid="ignore", divide="ignore"):
        normalised = solved.residuals / (sigmas * np.sqrt(redundancy))
    return Tests(redundancy, np.where(checked, normalised, np.nan), projector)


def search(equations: Equations, datum: Datum, solved: Fit) -> Search:
    """Set suspects aside one after another, the largest |w| first, adjusting anew each time."""
    active = np.ones(len(equations.values))
    covariance = cofactors(equations, solved)
    first = current = tests(solved, covariance, equations.sigmas)
    aside: list[int] = []
    aside_tests: list[float] = []
    tied: tuple[int, ...] = ()
    while True:
        sizes = np.nan_to_num(np.abs(current.test))
        worst = int(np.argmax(sizes))
        if sizes[worst] <= CRITICAL:
            break
        spread = np.sqrt(np.maximum(np.diag(current.projector), 1e-12))
        alike = np.abs(current.projector[worst]) / (spread * spread[worst]) > ALIKE
        group = [int(i) for i in np.flatnonzero(alike & (sizes > CRITICAL)) if i != worst]
        if group:
            tied = (worst, *group)
            break
        aside.append(worst)
        aside_tests.append(float(current.test[worst]))
        active[worst] = 0.0
        solved = adjusted(equations, datum, solved.unknowns, active)
        covariance = cofactors(equations, solved)
        current = tests(solved, covariance, equations.sigmas)
    return Search(solved, covariance, first, current, tuple(aside), tuple(aside_tests), tied)


def blunder(equations: Equations, found: Search, row: int) -> tuple[float, float]:
    """How much too large a reading is, judged by all others, and the standard deviation of that."""
    sigma, solved = float(equations.sigmas[row]), found.fit
    if row in found.set_aside:
        slope = solved.slopes[row]
        return -float(solved.residuals[row]), float(np.sqrt(sigma**2 + slope @ found.cofactors @ slope))
    redundancy = float(found.final.redundancy[row])
    return -float(solved.residuals[row]) / redundancy, sigma / float(np.sqrt(redundancy))
