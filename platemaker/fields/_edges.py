"""Lines and arcs as plain numbers, as they go to another process: start, end, and of an arc the point half way."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

SAMPLES = 16
"""Points of an arc by which its extent is found."""


def extent(edge: Sequence[float]) -> tuple[float, float]:
    """Length, mm, and angle, radians, which is 0 of a line."""
    if len(edge) == 4:
        return math.dist(edge[0:2], edge[2:4]), 0.0
    _, radius, _, sweep = _circle(tuple(edge))
    return radius * abs(sweep), abs(sweep)


def point_on(edge: Sequence[float], share: float) -> tuple[float, float]:
    """The point of a line or an arc at a share of its length, mm."""
    if len(edge) == 4 or share == 0.0:
        return edge[0] + share * (edge[2] - edge[0]), edge[1] + share * (edge[3] - edge[1])
    (x, y), radius, start, sweep = _circle(tuple(edge))
    return x + radius * math.cos(start + share * sweep), y + radius * math.sin(start + share * sweep)


def corners(edges: Iterable[Sequence[float]]) -> list[tuple[float, float]]:
    """Points that hold all edges between them, arcs to 1 % of their radius."""
    return [point for edge in edges for point in _samples(tuple(edge))]


@lru_cache(4096)  # each is asked for again for each size of cells that is tried
def _samples(edge: tuple[float, ...]) -> tuple[tuple[float, float], ...]:
    return tuple(point_on(edge, k / SAMPLES) for k in range(SAMPLES if len(edge) > 4 else 1))


@lru_cache(4096)  # each is asked for at all shares
def _circle(edge: tuple[float, ...]) -> tuple[tuple[float, float], float, float, float]:
    """Centre, radius, direction of the start and sweep of an arc given by start, end and the point half way."""
    start, end, half = complex(*edge[0:2]), complex(*edge[2:4]), complex(*edge[4:6])
    quarter = cmath.phase((half - start) / (end - start))  # the angle at the rim is a quarter of the sweep
    sweep = -4 * quarter
    radius = abs(half - start) / (2 * math.sin(abs(quarter)))
    inward = 1j if sweep > 0 else -1j
    middle = half + inward * (end - start) / abs(end - start) * radius
    return (middle.real, middle.imag), radius, cmath.phase(start - middle), sweep
