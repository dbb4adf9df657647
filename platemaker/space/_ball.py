"""The largest ball in the overlap of two figures: the depth of an overlap where one figure is not convex.

Moving one figure by a vector shorter than the ball's diameter leaves the ball's two copies overlapping, so the diameter
is never more than the least translation that separates; for a shallow breakthrough the two are the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from platemaker.space._bounds import local_bounds
from platemaker.space._figures import Figure, Prism
from platemaker.space._inside import Numbers, pieces
from platemaker.space._vectors import Vec3

Depth: TypeAlias = Callable[[Numbers], Numbers]
State: TypeAlias = np.ndarray[tuple[int], np.dtype[np.float64]]

PROOF = 0.02
"""Cells are split until no cell can hold a ball larger than the best by this share of its radius, or by
0.01 mm, or there are MOST of them."""
LEAST = 5e-3
MOST = 24_000
ROUNDS = 60
PROBE = 1e-5


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

    def walls(points: Numbers) -> Numbers:
        world = points @ axes + np.array(frame.origin)
        return np.hstack([pieces(prism, world), pieces(other, world)])

    if np.any(high <= low):
        return 0.0, frame.to_world(_plain(centre)), 0.0
    best, place, upper = _proved(walls, low, high)
    if not math.isfinite(best):  # a segment or a disc holds no ball
        return 0.0, frame.to_world(_plain(place)), 0.0
    best, place = _closed_in(walls, place, best, upper - best)
    return max(0.0, 2.0 * best), frame.to_world(_plain(place)), max(0.0, 2.0 * (upper - best))


def _plain(point: Numbers) -> Vec3:
    return float(point[0]), float(point[1]), float(point[2])


CORNERS = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])


def _proved(walls: Depth, low: Numbers, high: Numbers) -> tuple[float, Numbers, float]:
    """Best radius found, its place, and a radius that none exceeds: cells split where they may hold a larger ball."""
    half = (high - low) / 2
    cells = ((low + high) / 2)[None, :]
    best, place = -math.inf, cells[0]
    while True:
        found = walls(cells).min(axis=1)
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


def _closed_in(walls: Depth, place: Numbers, best: float, slack: float) -> tuple[float, Numbers]:
    """The best place made better: the radius that all faces near the ball allow, by sequential quadratic programming.

    (D. Kraft, DFVLR-FB 88-28, 1988, through scipy.) A result that is not larger is dropped.
    """
    from scipy.optimize import NonlinearConstraint, minimize  # noqa: PLC0415 - slow to load, and only overlaps of hollow prisms need it

    near = walls(place[None, :])[0] <= best + 4.0 * slack + 0.1 * abs(best)
    probes = np.vstack([np.eye(3), -np.eye(3)]) * PROBE

    def rooms(state: State) -> Numbers:
        return np.asarray(walls(state[None, :3])[0][near] - state[3], dtype=np.float64)

    def slopes(state: State) -> Numbers:
        around = walls(state[:3] + probes)[:, near]
        return np.column_stack([((around[:3] - around[3:]) / (2.0 * PROBE)).T, -np.ones(int(near.sum()))])

    def shortfall(state: State) -> float:
        return -float(state[3])

    start: State = np.array([float(place[0]), float(place[1]), float(place[2]), best])
    limit = NonlinearConstraint(rooms, 0.0, np.inf, jac=slopes)
    found = minimize(shortfall, start, method="SLSQP", constraints=[limit], options={"maxiter": ROUNDS, "ftol": 1e-13})
    better = np.asarray(found.x[:3], dtype=np.float64)
    radius = float(walls(better[None, :])[0].min())
    return (radius, better) if radius > best else (best, place)
