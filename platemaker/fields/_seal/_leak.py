"""The way of a leak over a film: of all ways out, the one whose greatest pressure is least."""

from __future__ import annotations

import heapq
import math

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from platemaker.records import Record

Map = NDArray[np.float64]
Mask = NDArray[np.bool_]

ROUND = np.ones((3, 3), dtype=np.int64)
"""A leak goes from a cell to all eight beside it."""
Reached = tuple[float, tuple[int, int], tuple[int, int] | None]
"""How far a cell is from the start, the cell, and the one before it."""
STEPS = tuple((i, j) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j)


class Leak(Record):
    """The greatest pressure on the way, the cells of a shortest such way, and the place where it is met."""

    pressure: float
    path: tuple[tuple[int, int], ...]
    at: tuple[int, int]


def least_barrier(pressure: Map, inside: Mask, outside: Mask) -> float | None:
    """The greatest pressure on the way out that has the least; None where nothing leads out.

    Exact on the cells: the least of their values at which those not above it join `inside` to `outside`.
    """
    if not inside.any() or not outside.any():
        return None
    values = np.unique(pressure)
    low, high = 0, len(values) - 1
    if not _joined(pressure <= values[high], inside, outside):
        return None
    while low < high:
        middle = (low + high) // 2
        if _joined(pressure <= values[middle], inside, outside):
            high = middle
        else:
            low = middle + 1
    return float(values[low])


def leak_path(pressure: Map, inside: Mask, outside: Mask) -> Leak | None:
    """The way of a leak from `inside` to `outside`; None where nothing leads out."""
    least = least_barrier(pressure, inside, outside)
    if least is None:
        return None
    free = pressure <= least
    rows, columns = pressure.shape
    before: dict[tuple[int, int], tuple[int, int] | None] = {}
    queue: list[Reached] = [(0.0, (int(i), int(j)), None) for i, j in zip(*np.nonzero(inside & free), strict=True)]
    while queue:
        far, cell, last = heapq.heappop(queue)
        if cell in before:
            continue
        before[cell] = last
        if outside[cell]:
            path = _back(before, cell)
            at = max(path, key=lambda one: pressure[one])
            return Leak(least, tuple(path), at)
        for i, j in STEPS:
            there = (cell[0] + i, cell[1] + j)
            if 0 <= there[0] < rows and 0 <= there[1] < columns and free[there] and there not in before:
                heapq.heappush(queue, (far + math.hypot(i, j), there, cell))
    return None


def _back(before: dict[tuple[int, int], tuple[int, int] | None], cell: tuple[int, int]) -> list[tuple[int, int]]:
    path: list[tuple[int, int]] = []
    last: tuple[int, int] | None = cell
    while last is not None:
        path.append(last)
        last = before[last]
    return path[::-1]


def _joined(free: Mask, inside: Mask, outside: Mask) -> bool:
    labels, _ = ndimage.label(free, ROUND)
    return bool(np.intersect1d(labels[inside & free], labels[outside & free]).size)
