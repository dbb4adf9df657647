"""Search for gross errors: normalised residuals, one suspect at a time.

Source: W. Baarda, A Testing Procedure for Use in Geodetic Networks, Netherlands Geodetic Commission, 1968 (data
snooping); Ghilani and Wolf, Adjustment Computations, ch. 21 (blunder detection). From memory.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from platemaker.survey._adjust import Fit, adjusted, cofactors
from platemaker.survey._equations import Array, Equations
from platemaker.survey._rank import loose_modes
from platemaker.survey._records import Datum

CRITICAL = 3.29
"""|w| above which a reading is suspect: two-sided 0.1 % of the normal distribution (Baarda's customary level)."""
CHECKED = 0.02
"""Redundancy below which nothing checks a reading: a blunder of 10 sigma would show as w = 1.4."""
TAKEN_BACK = 3
"""How often readings set aside may be taken back when, seen from the rest, they are not suspect."""
ALIKE = 0.99
"""Two residuals with a correlation above this cannot be told apart."""
NEARLY = 0.9
"""Correlation above which one is tried in the other's stead: a wide blunder bends the figure that it is seen in."""


@dataclass(frozen=True, eq=False)
class Tests:
    """Per equation: redundancy, normalised residual w (nan where unchecked), and the residuals' correlation."""

    redundancy: Array
    test: Array
    projector: Array


@dataclass(frozen=True, eq=False)
class Search:
    """The robust second pass: the final fit, its covariance and tests, what was set aside, and what cannot be told.

    `set_aside` is ordered by the size of the test. `tied` holds, when the search ended at a tie, the suspect first and
    then those that it may be instead; `tied_error` what the suspect is wrong by, and the deviation of that, where it
    was seen from the rest.
    """

    fit: Fit
    cofactors: Array
    tests: Tests
    set_aside: tuple[int, ...]
    tied: tuple[int, ...]
    tied_error: tuple[float, float] | None = None


def tests(solved: Fit, covariance: Array, sigmas: Array) -> Tests:
    """Redundancy numbers and normalised residuals of one fit.

    In the fit: r = diag(I - J Q J'), w = v / (sigma sqrt(r)). Set aside, with a its row and Q the covariance without
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


def search(equations: Equations, datum: Datum, solved: Fit) -> Search:
    """Set suspects aside one after another, the largest |w| first, adjusting anew each time; take back the innocent.

    Starts with what `solved` has set aside already.
    """
    found = _set_aside(equations, datum, solved)
    for _ in range(TAKEN_BACK):
        weights, sizes = found.fit.weights, np.nan_to_num(np.abs(found.tests.test))
        innocent = (weights == 0) & (sizes <= CRITICAL)
        if not innocent.any():
            break
        active = ((weights > 0) | innocent).astype(float)
        found = _set_aside(equations, datum, adjusted(equations, datum, found.fit.unknowns, active))
    return found


def with_ties(equations: Equations, datum: Datum, found: Search) -> Search:
    """The same with the first reading taken back that another may be wrong in the stead of: a tie."""
    if found.tied:
        return found
    for row in found.set_aside:
        whole, others = _in_its_stead(equations, found.fit, row, ALIKE)
        solved = adjusted(equations, datum, found.fit.unknowns, whole)
        if others and not loose_modes(equations, solved).shape[1]:
            covariance = cofactors(equations, solved)
            aside = tuple(one for one in found.set_aside if one != row)
            current = tests(solved, covariance, equations.sigmas)
            return Search(solved, covariance, current, aside, (row, *others), blunder(equations, found, row))
    return found


def exchanged(equations: Equations, datum: Datum, solved: Fit) -> Iterator[Search]:
    """The search begun anew with another reading set aside in the stead of each: one whose residuals look like it."""
    for row in np.flatnonzero(solved.weights == 0):
        whole, others = _in_its_stead(equations, solved, int(row), NEARLY)
        for other in others:
            active = whole.copy()
            active[other] = 0.0
            without = adjusted(equations, datum, solved.unknowns, active)
            if not loose_modes(equations, without).shape[1]:
                yield search(equations, datum, without)


def _in_its_stead(equations: Equations, solved: Fit, row: int, least: float) -> tuple[Array, list[int]]:
    """What is active once a reading that was set aside is taken back, and those that may be wrong in its stead."""
    whole = np.where(np.arange(len(solved.weights)) == row, 1.0 / equations.sigmas**2, solved.weights)
    at = replace(solved, weights=whole)
    current = tests(at, cofactors(equations, at), equations.sigmas)
    return (whole > 0).astype(float), _alike(current, row, solved.weights > 0, least)


def _alike(current: Tests, row: int, active: npt.NDArray[np.bool_], least: float = ALIKE) -> list[int]:
    """Active equations whose residuals cannot be told apart from those of one."""
    spread = np.sqrt(np.maximum(np.diag(current.projector), 1e-12))
    alike = np.abs(current.projector[row]) / (spread * spread[row]) > least
    return [int(i) for i in np.flatnonzero(alike & active & (current.redundancy > CHECKED)) if i != row]


def _set_aside(equations: Equations, datum: Datum, solved: Fit) -> Search:
    """Without suspects, as far as there is no tie."""
    while True:
        covariance = cofactors(equations, solved)
        current = tests(solved, covariance, equations.sigmas)
        sizes = np.nan_to_num(np.abs(current.test))
        aside = sorted(np.flatnonzero(solved.weights == 0), key=lambda row: -sizes[row])
        sizes[aside] = 0.0
        worst = int(np.argmax(sizes))
        group = _alike(current, worst, sizes > CRITICAL)
        if group or sizes[worst] <= CRITICAL:
            tied = (worst, *group) if group else ()
            return Search(solved, covariance, current, tuple(int(row) for row in aside), tied)
        active = (solved.weights > 0).astype(float)
        active[worst] = 0.0
        without = adjusted(equations, datum, solved.unknowns, active)
        if loose_modes(equations, without).shape[1]:
            # What is left falls flat or comes apart: any of the readings that are off may be the wrong one.
            tied = tuple(int(row) for row in np.argsort(-sizes) if sizes[row] > CRITICAL)
            return Search(solved, covariance, current, tuple(int(row) for row in aside), tied)
        solved = without


def blunder(equations: Equations, found: Search, row: int) -> tuple[float, float]:
    """How much too large a reading is, judged by all others, and the standard deviation of that."""
    if found.tied_error is not None and row == found.tied[0]:
        return found.tied_error
    sigma, redundancy = float(equations.sigmas[row]), float(found.tests.redundancy[row])
    residual = float(found.fit.residuals[row])
    size = residual if row in found.set_aside else residual / redundancy
    return -size, sigma / float(np.sqrt(redundancy))
