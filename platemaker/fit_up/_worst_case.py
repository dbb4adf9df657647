"""The fixed- and floating-fastener formulas, every fastener of a fit-up by them, and the hole with which all hold."""

from __future__ import annotations

import math

import numpy as np

from platemaker.fit_up._arrays import Array
from platemaker.fit_up._records import Fastener, FastenerKind, FitUp, Freedom, PatternSide, WorstCase
from platemaker.records import replace
from platemaker.survey import FitKind, best_fit, rigid_motions

SURVEY_COVERAGE = 3.0
"""Standard deviations of a surveyed hole that the worst case covers (99.7 % of the normal distribution)."""
GRID = 0.01
"""Hole diameters are found to this, mm."""


def fixed_fastener_zones(H: float, F: float) -> float:
    """Sum T1 + T2 of both parts' position zones that a fixed fastener allows, mm: H - F.

    Source: ASME Y14.5-2009, Appendix B, fixed fastener formula with a projected tolerance zone (T = (H - F) / 2 when
    both are equal). H: smallest clearance hole, F: largest fastener, both mm.

    >>> fixed_fastener_zones(9.0, 8.0) / 2   # M8 in a 9 mm hole, each part
    0.5
    """
    return H - F


def floating_fastener_zone(H: float, F: float) -> float:
    """Position zone T that a floating fastener allows each part, mm: H - F.

    Source: ASME Y14.5-2009, Appendix B, floating fastener formula. H: that part's smallest hole, F: largest fastener.

    >>> floating_fastener_zone(9.0, 8.0)
    1.0
    """
    return H - F


def worst_cases(question: FitUp) -> tuple[WorstCase, ...]:
    """Each fastener by formula.

    A known mismatch of the patterns (after the best placement) and 3 standard deviations of a surveyed hole count as
    zones of twice their size.
    """
    misfits = _known_misfits(question)
    spreads = [_spread(side, question.freedom) for side in (question.lower, question.upper)]
    found = []
    for i, fastener in enumerate(question.fasteners):
        zones = float(question.lower.zones[i] + question.upper.zones[i])
        surveyed = 2 * SURVEY_COVERAGE * float(spreads[0][i] + spreads[1][i])
        if fastener.other_hole is None:
            formula, allowed = (
                "fixed: T1 + T2 = H - F",
                fixed_fastener_zones(fastener.hole, fastener.diameter + fastener.thicker),
            )
        else:
            formula = "floating: T1 + T2 = (H1 - F) + (H2 - F)"
            allowed = floating_fastener_zone(fastener.hole, fastener.diameter)
            allowed += floating_fastener_zone(fastener.other_hole, fastener.diameter)
        found.append(WorstCase(fastener.name, formula, allowed, zones + surveyed + 2 * misfits[i]))
    return tuple(found)


def hole_worst_case(fasteners: tuple[Fastener, ...], cases: tuple[WorstCase, ...]) -> float | None:
    """The smallest clearance hole, one size for all bolts, with which all fasteners hold at worst, mm, rounded up.

    The formulas solved for the hole: fixed H = F + T1 + T2, floating H = F + (T1 + T2) / 2. None without bolts, and
    where a dowel does not hold, for no bolt's hole cures that.
    """
    pairs = list(zip(fasteners, cases, strict=True))
    if any(not case.holds for fastener, case in pairs if fastener.kind is FastenerKind.DOWEL):
        return None
    needed = [case.needed / fastener.holes for fastener, case in pairs if fastener.kind is FastenerKind.BOLT]
    return rounded_up(thickest(fasteners) + max(needed)) if needed else None


def thickest(fasteners: tuple[Fastener, ...]) -> float:
    """The largest diameter of the bolts, mm; 0 without bolts."""
    return max((one.diameter for one in fasteners if one.kind is FastenerKind.BOLT), default=0.0)


def rounded_up(diameter: float) -> float:
    """A hole's diameter on the grid, mm, never smaller.

    >>> rounded_up(8.371), rounded_up(8.37)
    (8.38, 8.37)
    """
    return round(math.ceil(diameter / GRID - 1e-6) * GRID, 2)


def _known_misfits(question: FitUp) -> list[float]:
    upper, lower = question.upper.pattern, question.lower.pattern
    if question.freedom is Freedom.HELD:
        return [math.dist(a, b) for a, b in zip(upper.places, lower.places, strict=True)]
    onto = replace(lower, names=upper.names)
    return [misfit.distance for misfit in best_fit(upper, onto, FitKind.LEAST_LARGEST).misfits]


def _spread(side: PatternSide, freedom: Freedom) -> Array:
    """Longest standard deviation of every surveyed hole, mm, about the best placement of the whole pattern."""
    n, covariance = len(side.pattern.names), side.pattern.covariance
    if covariance is None:
        return np.zeros(n)
    if freedom is Freedom.FREE:
        rigid = rigid_motions(side.pattern.array - side.pattern.array.mean(axis=0))
        rest = np.eye(2 * n) - rigid @ np.linalg.pinv(rigid)
        covariance = rest @ covariance @ rest.T
    blocks = covariance.reshape(n, 2, n, 2)[np.arange(n), :, np.arange(n), :]
    return np.asarray(np.sqrt(np.maximum(np.linalg.eigvalsh(blocks)[:, 1], 0.0)))
