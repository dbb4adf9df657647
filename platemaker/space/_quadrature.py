"""Integrals over a distance, stretch by stretch, by Gauss's rules of 10 and 20 points.

Each stretch is halved until its two rules agree (adaptive quadrature; P. J. Davis, P. Rabinowitz, Methods of Numerical
Integration, ch. 6, from memory). Within a stretch s = middle + half · sin(t), which takes the square root out of the
rim of whatever is round.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache
from itertools import pairwise

import numpy as np

HALVINGS = 8
"""A stretch is halved at most so often: a kink then costs a share of 1e-5 or so of what it changes."""

SAFE = 100.0
"""Past a kink the two rules may agree better with each other than with the truth."""


def integral(
    value: Callable[[float], float], marks: Sequence[float], share: float, halvings: int = HALVINGS, whole: float = 0.0
) -> tuple[float, float]:
    """The integral of `value` from the first to the last of `marks`, and how far off it may be.

    The marks are where it has kinks, as far as they are known. `share` is the error that is wanted, as a share of the
    integral, or of `whole` where that is more.

    >>> round(integral(lambda s: math.sqrt(1.0 - s * s), [-1.0, 1.0], 1e-9)[0] * 2, 12)
    3.14159265359
    """
    stretches = [(begin, end, *_both(value, begin, end)) for begin, end in pairwise(marks) if end > begin]
    allowed = share * max(whole, sum(abs(fine) for _, _, _, fine in stretches)) / max(len(stretches), 1)
    found = [_halved(value, *stretch, allowed, halvings) for stretch in stretches]
    return sum(part for part, _ in found), SAFE * sum(doubt for _, doubt in found)


def _halved(
    value: Callable[[float], float], begin: float, end: float, coarse: float, fine: float, allowed: float, halvings: int
) -> tuple[float, float]:
    if abs(fine - coarse) <= allowed or halvings == 0:
        return fine, abs(fine - coarse)
    middle = (begin + end) / 2
    halves = [
        _halved(value, *ends, *_both(value, *ends), allowed / 2, halvings - 1)
        for ends in ((begin, middle), (middle, end))
    ]
    return halves[0][0] + halves[1][0], halves[0][1] + halves[1][1]


def _both(value: Callable[[float], float], begin: float, end: float) -> tuple[float, float]:
    middle, half = (begin + end) / 2, (end - begin) / 2
    sums = []
    for count in (10, 20):
        places, weights = _rule(count)
        turns = [math.pi / 2 * place for place in places]
        parts = [w * value(middle + half * math.sin(t)) * math.cos(t) for t, w in zip(turns, weights, strict=True)]
        sums.append(math.pi / 2 * half * sum(parts))
    return sums[0], sums[1]


@cache
def _rule(count: int) -> tuple[list[float], list[float]]:
    places, weights = np.polynomial.legendre.leggauss(count)
    return places.tolist(), weights.tolist()
