"""Quantiles and ellipses of a survey."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from platemaker.survey._arrays import Array
from platemaker.survey._patterns import Ellipse

LEVEL = 0.95
"""Probability that an ellipse holds the true place."""


def chi_square_2(probability: float = LEVEL) -> float:
    """Quantile of chi-square with 2 degrees of freedom: closed form -2 ln(1 - P).

    >>> round(chi_square_2(), 3)   # any statistics table: 5.991
    5.991
    """
    return -2.0 * math.log(1.0 - probability)


def f_2(degrees_of_freedom: int, probability: float = LEVEL) -> float:
    """Quantile of F with 2 and r degrees of freedom: closed form r/2 ((1 - P)^(-2/r) - 1).

    >>> round(f_2(10), 2)   # any statistics table: 4.10
    4.1
    """
    r = degrees_of_freedom
    return r / 2.0 * (math.pow(1.0 - probability, -2.0 / r) - 1.0)


def chi_square_above(chi_square: float, degrees_of_freedom: int) -> float:
    """Probability that chi-square exceeds a value by chance.

    Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.4.4 (odd) and 26.4.5 (even degrees of freedom),
    finite sums, from memory; the terms are summed as logarithms so that none underflows.

    >>> round(chi_square_above(18.307, 10), 4)   # any statistics table: 18.307 is the 95 % point
    0.05
    """
    if chi_square <= 0:
        return 1.0
    x, odd = chi_square / 2, degrees_of_freedom % 2
    powers = [i + odd / 2 for i in range(degrees_of_freedom // 2)]
    total = sum(math.exp(a * math.log(x) - x - math.lgamma(a + 1)) for a in powers)
    return min(1.0, total + (math.erfc(math.sqrt(x)) if odd else 0.0))


def median(values: Array | Sequence[float]) -> float:
    """The middle value, or the mean of the two in the middle. numpy's own loads its masked arrays for it.

    >>> median([4.0, 1.0, 2.0])
    2.0
    """
    ordered = np.sort(values)
    return float(ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def ellipse(covariance: Array, factor: float) -> Ellipse:
    """The ellipse of a 2 x 2 covariance (mm2): half axes = sqrt(factor x eigenvalue)."""
    values, vectors = np.linalg.eigh((covariance + covariance.T) / 2)
    minor, major = np.sqrt(factor * np.maximum(values, 0.0))
    angle = math.degrees(math.atan2(vectors[1, 1], vectors[0, 1]))
    angle = angle - 180.0 if angle > 90.0 else angle + 180.0 if angle <= -90.0 else angle
    return Ellipse(float(major), float(minor), angle)
