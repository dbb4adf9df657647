"""The largest ball in the overlap of two figures: the depth of an overlap where one figure is not convex.

Moving one figure by a vector shorter than the ball's diameter leaves the ball's two copies overlapping, so the diameter
is never more than the least translation that separates; for a shallow breakthrough the two are the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from platemaker.space._bounds import local_bounds
from platemaker.space._figures import Figure, Prism
from platemaker.space._inside import Numbers, depth
from platemaker.space._vectors import Vec3

Depth = Callable[[Numbers], Numbers]

PROOF = 0.02
"""Cells are split until no cell can hold a ball larger than the best by this share of its radius, or by
0.01 mm, or there are MOST of them."""
LEAST = 5e-3
MOST = 60_000
ROUNDS = 44


def largest_ball(prism: Prism, other: Figure) -> tuple[float, Vec3, float]:
    """Diameter and centre of the largest ball in both, and how much larger one might be, mm.

    Returns a diameter of 0 where the figures only touch.
    """
    frame = prism.frame
    box, against = local_bounds(prism, frame), local_bounds(other, frame)
    low = np.maximum(box[:3], against[:3])
    high = np.minimum(box[3:], against[3:])
    centre = (low + high) / 2
    axes = np.array([frame.x_axis, frame.y_axis, frame.z_axis])

    def room(points: Numbers) -> Numbers:
        world = points @ axes + np.array(frame.origin)
        return np.minimum(depth(prism, world), depth(other, world))

    if np.any(high <= low):
        return 0.0, frame.to_world(_plain(centre)), 0.0
    best, place, upper = _proved(room, low, high)
    best, place = _closed_in(room, place, best, upper - best)
    return max(0.0, 2.0 * best), frame.to_world(_plain(place)), max(0.0, 2.0 * (upper - best))


def _plain(point: Numbers) -> Vec3:
    return float(point[0]), float(point[1]), float(point[2])


CORNERS = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])


def _proved(room: Depth, low: Numbers, high: Numbers) -> tuple[float, Numbers, float]:
    """Best radius found, its place, and a radius that none exceeds: cells split where they may hold a larger ball."""
    half = (high - low) / 2
    cells = ((low + high) / 2)[None, :]
    best, place = -math.inf, cells[0]
    while True:
        found = room(cells)
        index = int(np.argmax(found))
        if found[index] > best:
            best, place = float(found[index]), cells[index]
        reach = float(np.linalg.norm(half))
        open_cells = cells[found + reach > max(best, 0.0) + max(LEAST, PROOF * best)]
        if len(open_cells) == 0:
            return best, place, max(best, 0.0) + max(LEAST, PROOF * best)
        if len(open_cells) * 8 > MOST:
            return best, place, float(np.max(found)) + reach
        half = half / 2
        cells = (open_cells[:, None, :] + CORNERS[None, :, :] * half).reshape(-1, 3)


def _closed_in(room: Depth, place: Numbers, best: float, slack: float) -> tuple[float, Numbers]:
    """The best place made better: a cloud of trial points that shrinks about it."""
    steps = np.array([[i, j, k] for i in range(-3, 4) for j in range(-3, 4) for k in range(-3, 4)]) / 3.0
    # Turned off the axes: a ridge of equal depth along an axis would else hide what lies beside it.
    turn, _ = np.linalg.qr(np.array([[2.0, 1.0, 0.5], [-1.0, 3.0, 0.7], [0.3, -0.4, 1.0]]))
    steps = np.vstack([steps, steps @ turn])
    size = max(8.0 * slack, 1e-3)
    for _ in range(ROUNDS):
        trial = place + steps * size
        found = room(trial)
        index = int(np.argmax(found))
        if found[index] > best:
            best, place = float(found[index]), trial[index]
        else:
            size *= 0.5
    return best, place
