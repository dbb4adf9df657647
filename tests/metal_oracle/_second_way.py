"""A second way to the distance of two convex steps: the least of |p - q| with p and q held to inequalities.

It shares no geometry with the kernel: a step is a list of inequalities in x, y, z, and a general optimiser (sequential
least squares, SciPy) finds the two points. Convex bodies have one least distance, so there is no wrong valley.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeAlias

import numpy as np
from scipy.optimize import minimize

from tests.metal_oracle._plan import Ring, Straight
from tests.metal_oracle._reading import Milled, Round, Slab, Step

Held: TypeAlias = Callable[[Any], float]
"""Not below 0 inside the step."""


def convex(step: Step, blank: object) -> bool:
    """Whether a step of a plate is a convex body that `distance` can hold to inequalities."""
    if not isinstance(blank, Slab) or not _plain(blank.ring):
        return False
    return isinstance(step, Round) or (isinstance(step, Milled) and step.island is None and _plain(step.outer))


def _plain(ring: Ring) -> bool:
    if ring.circle is not None:
        return True
    corners = [side.a for side in ring.sides if isinstance(side, Straight)]
    if len(corners) != len(ring.sides):
        return False
    turns = []
    for i, b in enumerate(corners):
        a, c = corners[i - 1], corners[(i + 1) % len(corners)]
        turns.append((b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]))
    return min(turns) > 0


def distance(a: Step, b: Step, blank: Slab) -> float:
    """The least distance of two convex steps cut to a plate, mm."""
    first, second = (
        [*_of_step(step), *_of_ring(blank.ring), lambda p: p[2], lambda p: blank.thickness - p[2]] for step in (a, b)
    )
    held = [{"type": "ineq", "fun": lambda x, f=f: f(x[:3])} for f in first]
    held += [{"type": "ineq", "fun": lambda x, f=f: f(x[3:])} for f in second]
    best = math.inf
    for share in (0.05, 0.5, 0.95):
        start = np.concatenate([_start(a, share, blank), _start(b, share, blank)])
        found = minimize(
            lambda x: float(np.sum((x[:3] - x[3:]) ** 2)), start, method="SLSQP", constraints=held,
            options={"maxiter": 500, "ftol": 1e-15},
        )  # fmt: skip
        if min(one["fun"](found.x) for one in held) > -1e-7:
            best = min(best, math.sqrt(max(found.fun, 0.0)))
    return best


def _start(step: Step, share: float, blank: Slab) -> Any:
    if isinstance(step, Round):
        point = [s + share * step.length * w for s, w in zip(step.start, step.way, strict=True)]
        return np.array([*point[:2], min(max(point[2], 0.0), blank.thickness)])
    bow = step.outer.circle  # type: ignore[union-attr]
    corners = [bow.centre] if bow else [side.start for side in step.outer.sides]  # type: ignore[union-attr]
    return np.array([*np.mean(corners, axis=0), step.low + share * (step.high - step.low)])  # type: ignore[union-attr]


def _of_ring(ring: Ring) -> list[Held]:
    bow = ring.circle
    if bow is not None:
        (x, y), r = bow.centre, bow.radius
        return [lambda p: (r**2 - (p[0] - x) ** 2 - (p[1] - y) ** 2) / r]
    held: list[Held] = []
    for side in ring.sides:
        (ax, ay), (bx, by) = side.start, side.end
        size = math.dist(side.start, side.end)
        u, v = (bx - ax) / size, (by - ay) / size
        held.append(lambda p, ax=ax, ay=ay, u=u, v=v: u * (p[1] - ay) - v * (p[0] - ax))
    return held


def _of_step(step: Step) -> list[Held]:
    if isinstance(step, Milled):
        low, high = step.low, step.high
        return [*_of_ring(step.outer), lambda p: p[2] - low, lambda p: high - p[2]]
    if not isinstance(step, Round):
        message = "a mouth is not convex"
        raise TypeError(message)
    start, way, radius, length = np.array(step.start), np.array(step.way), step.radius, step.length

    def along(p: Any) -> float:
        return float(np.dot(p - start, way))

    def across(p: Any) -> float:
        return float(np.sum((p - start - along(p) * way) ** 2))

    if step.cone:
        return [
            lambda p: (radius * (1 - along(p) / length)) - math.sqrt(across(p) + 1e-30),
            along,
            lambda p: length - along(p),
        ]
    lean = (step.narrow - radius) / length if step.narrow is not None else 0.0
    held: list[Held] = [lambda p: (radius**2 - across(p)) / radius]
    if lean:
        held = [lambda p: radius + lean * along(p) - math.sqrt(across(p) + 1e-30), along, lambda p: length - along(p)]
    if not step.entered:
        held.append(along)
    if not step.leaves:
        held.append(lambda p: length - along(p))
    return held
