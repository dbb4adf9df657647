"""The least of a measure along a range: samples find where it is low, golden sections close in."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Protocol, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

Numbers: TypeAlias = NDArray[np.float64]


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
NARROW = 1e-10
"""The same for places in rows: for a round of 10 mm a kink is right to 1e-8 mm, a smooth dip to rounding."""
ROW = 11
"""Places that are looked at in a row when closing in."""


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


def least_of_many(
    measure: Callable[[Numbers], tuple[Numbers, Numbers, Numbers]], low: float, high: float, count: int
) -> tuple[float, Numbers, Numbers]:
    """The least along a range of a measure that takes many places at once, and the two points that it is between.

    `measure` gives a distance for each place, and two points (n, 3). As `least_along`, but with places in rows.
    """
    places = np.linspace(low, high, count + 1)
    values, near, far = measure(places)
    best = int(values.argmin())
    found = float(values[best]), near[best], far[best]
    centres = np.array([places[i] for i in _dips(values.tolist())[:STARTS]])
    half = (high - low) / count
    while len(centres) and half > NARROW * (high - low):
        rows = np.clip(centres[:, None] + np.linspace(-half, half, ROW), low, high)
        values, near, far = measure(rows.ravel())
        best = int(values.argmin())
        if values[best] < found[0]:
            found = float(values[best]), near[best], far[best]
        centres = rows[np.arange(len(rows)), values.reshape(rows.shape).argmin(axis=1)]
        half *= 2.5 / (ROW - 1)
    return found
