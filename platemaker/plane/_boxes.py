"""Boxes near one another, by a tree of boxes: the work grows little faster than their number, however they lie."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np

from platemaker.plane._arrays import FEW, Booleans, Floats, Integers

Sides: TypeAlias = Sequence[Floats]
"""Many boxes: four columns, x_min, y_min, x_max and y_max of each."""

FAN = 4
"""Boxes that one box of the next level of the tree holds."""
ALL = 150_000
"""Up to this many pairs it is quicker to compare each with each than to grow a tree."""


def near_boxes(a: Sides, b: Sides, reach: float) -> tuple[Integers, Integers]:
    """Rows of `a` and `b` whose boxes are within `reach` of one another on both axes, in the order of the rows."""
    count_a, count_b = len(a[0]), len(b[0])
    if count_a * count_b <= ALL:
        i, j = np.nonzero(_near([side[:, None] for side in a], b, reach))
        return i, j
    order = along_curve(*b)
    levels = _tree([side[order] for side in b])
    found = []
    step = FEW // (4 * FAN)
    for low in range(0, count_a, step):
        i, j = _descend([side[low : low + step] for side in a], levels, reach)
        found.append((i + low) * count_b + order[j])
    return np.divmod(np.sort(np.concatenate(found)), count_b)


def along_curve(x0: Floats, y0: Floats, x1: Floats, y1: Floats) -> Integers:
    """The rows in an order that keeps neighbours together: that of Morton's curve through the middles of the boxes."""
    x, y = x0 + x1, y0 + y1
    size = max(float(np.ptp(x)), float(np.ptp(y))) or 1.0
    return np.argsort(_spread((x - x.min()) / size) | _spread((y - y.min()) / size) << 1, kind="stable")


def _spread(share: Floats) -> Integers:
    """The first 16 binary digits of a share of 1, with a 0 before each."""
    digits = (share * 0xFFFF).astype(np.intp)
    for shift, mask in ((8, 0x00FF00FF), (4, 0x0F0F0F0F), (2, 0x33333333), (1, 0x55555555)):
        digits = (digits | digits << shift) & mask
    return digits


def _tree(leaves: Sides) -> list[Sides]:
    """The boxes, and level over level the boxes of `FAN` neighbours each, filled up with boxes that nothing is near."""
    levels: list[Sides] = []
    while True:
        count = len(leaves[0])
        spare = -count % FAN
        full = [
            np.concatenate([side, np.full(spare, far)])
            for side, far in zip(leaves, (np.inf, np.inf, -np.inf, -np.inf), strict=True)
        ]
        levels.append(full)
        if count <= FAN:
            return levels[::-1]
        x0, y0, x1, y1 = (side.reshape(-1, FAN) for side in full)
        leaves = [x0.min(axis=1), y0.min(axis=1), x1.max(axis=1), y1.max(axis=1)]


def _descend(boxes: Sides, levels: list[Sides], reach: float) -> tuple[Integers, Integers]:
    """Pairs of a box and a leaf of the tree that are near."""
    children = np.arange(FAN)
    i, j = np.divmod(np.arange(len(boxes[0]) * FAN), FAN)
    for depth, level in enumerate(levels):
        if depth:
            i, j = np.repeat(i, FAN), (j[:, None] * FAN + children).ravel()
        for axis in (0, 1):
            near = (boxes[axis][i] <= level[axis + 2][j] + reach) & (level[axis][j] <= boxes[axis + 2][i] + reach)
            i, j = i[near], j[near]
    return i, j


def _near(a: Sides, b: Sides, reach: float) -> Booleans:
    ax0, ay0, ax1, ay1 = a
    bx0, by0, bx1, by1 = b
    near: Booleans = (ax0 <= bx1 + reach) & (bx0 <= ax1 + reach) & (ay0 <= by1 + reach) & (by0 <= ay1 + reach)
    return near
