"""The least of a measure along a range: samples find where it is low, golden sections close in."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar


class Measured(Protocol):
    """Anything with a distance."""

    @property
    def distance(self) -> float:
        """The measure, mm."""
        ...


Found = TypeVar("Found", bound=Measured)

GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
CLOSED = 1e-12
"""Share of a range's length below which it is closed in on: a kink's value is then right to rounding."""
STARTS = 3
"""Low places of the samples that are closed in on."""


def least_along(measure: Callable[[float], Found], low: float, high: float, count: int) -> Found:
    """The least that `measure` gives between `low` and `high`: `count` samples, then the lowest places closed in on.

    A measure of distance from a moving point, line or slice changes no faster than what moves; a dip narrower than the
    samples' spacing may be missed, so `count` is for the caller to choose.
    """
    places = [low + (high - low) * i / count for i in range(count + 1)]
    values = [measure(place) for place in places]
    best = min(values, key=_distance)
    for i in _dips([value.distance for value in values])[:STARTS]:
        best = min(best, _closed_in(measure, places[max(0, i - 1)], places[min(count, i + 1)]), key=_distance)
    return best


def _distance(found: Measured) -> float:
    return found.distance


def _dips(values: Sequence[float]) -> list[int]:
    """Places no higher than their neighbours, lowest first; a measure that is nowhere finite has none."""
    last = len(values) - 1
    dips = [
        i for i, value in enumerate(values)
        if value < math.inf and value <= values[max(0, i - 1)] and value <= values[min(last, i + 1)]
    ]  # fmt: skip
    return sorted(dips, key=lambda i: values[i])


def _closed_in(measure: Callable[[float], Found], low: float, high: float) -> Found:
    least = CLOSED * max(abs(low), abs(high), high - low)
    one, other = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_one, at_other = measure(one), measure(other)
    best = min(at_one, at_other, key=_distance)
    while high - low > least:
        if at_one.distance <= at_other.distance:
            high, other, at_other = other, one, at_one
            one = high - GOLDEN * (high - low)
            at_one = measure(one)
        else:
            low, one, at_one = one, other, at_other
            other = low + GOLDEN * (high - low)
            at_other = measure(other)
        best = min(best, at_one, at_other, key=_distance)
    return best
