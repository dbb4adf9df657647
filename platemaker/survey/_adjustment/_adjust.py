"""Weighted least squares of a network by damped Gauss-Newton, and what follows from it by linear algebra.

Source: C. D. Ghilani and P. R. Wolf, Adjustment Computations, ch. 11 (least squares by linearised equations), ch. 14
(distance networks), ch. 16 (variance of the adjusted). Free datum: S-transformation, W. Baarda, S-Transformations
and Criterion Matrices, Netherlands Geodetic Commission, 1973. Chapter numbers from memory.
"""

from __future__ import annotations

import math

import numpy as np

from platemaker.records import Record
from platemaker.survey._adjustment._equations import Equations, Layout
from platemaker.survey._arrays import Array
from platemaker.survey._records import Datum, DatumKind

STEPS = 60
SETTLED = 1e-9
"""A step shorter than this, mm, ends the iteration: a thousandth of the coordinates' own grid."""
SLOW = 0.1
"""A step that lowers the chi-square by a smaller share creeps; three in a row end what is hopeless."""
FLAT = 1e-9
"""Two steps in a row that lower the chi-square by less, and by a smaller share of it, end it too."""


class Adjusted(Record, eq=False):
    """Unknowns that fit best, with the equations there. `weights` are 0 for equations that were excluded."""

    unknowns: Array
    residuals: Array
    slopes: Array
    weights: Array
    cost: float

    @property
    def whitened(self) -> Array:
        """Derivatives divided by the standard deviations: (k, size)."""
        return np.asarray(self.slopes * np.sqrt(self.weights)[:, None])


def lever_of(layout: Layout, unknowns: Array) -> float:
    """Half the extent of the round features, mm: what an angle is multiplied by to be compared with a length."""
    points = unknowns[: 2 * len(layout.rounds)].reshape(-1, 2)
    extent = float(np.ptp(points, axis=0).max()) if len(points) > 1 else 0.0
    return max(extent / 2, 1.0)


def rigid_basis(layout: Layout, unknowns: Array, scale: Array) -> Array:
    """Shifts and turn of the whole figure as unit vectors at right angles, in unknowns divided by `scale`."""
    basis = layout.rigid_modes(unknowns) / scale[:, None]
    for column in range(3):  # Gram-Schmidt: three columns are done sooner than a general factorisation
        mode = basis[:, column]
        for before in range(column):
            mode -= (basis[:, before] @ mode) * basis[:, before]
        mode /= math.sqrt(float(mode @ mode)) or 1.0  # features all in one place cannot turn
    return basis


def fit(
    equations: Equations, start: Array, active: Array | None = None, steps: int = STEPS, hopeless: float = math.inf
) -> Adjusted:
    """Least squares from `start`. `active` (0 to 1 per equation) excludes equations, or counts them less.

    It ends early when it creeps (SLOW) while the chi-square is above `hopeless`.
    """
    weights = (np.ones(len(equations.values)) if active is None else active) / equations.sigmas**2
    scale = equations.layout.scale(lever_of(equations.layout, start))
    unknowns, damping, flat, slow = start.copy(), 1e-6, 0, 0
    residuals, slopes, cost = _state(equations, unknowns, weights)
    for _ in range(steps):
        scaled = slopes * scale
        weighted = scaled * weights[:, None]
        normal, right = scaled.T @ weighted, -(weighted.T @ residuals)
        modes = rigid_basis(equations.layout, unknowns, scale)
        diagonal = np.diag(normal).mean() or 1.0
        normal += diagonal * (modes @ modes.T)
        while True:
            step = np.linalg.solve(normal + damping * diagonal * np.eye(len(scale)), right) * scale
            tried = _state(equations, unknowns + step, weights)
            if tried[2] <= cost * (1 + 1e-12) + 1e-15 or damping > 1e6:
                break
            damping *= 10
        gained, short = cost - tried[2], step / scale
        flat = flat + 1 if gained < FLAT * (1.0 + cost) else 0
        slow = slow + 1 if cost > hopeless and gained < SLOW * cost else 0
        # A step that gains much less than its parabola says is near the end of what damping allows.
        if gained > 0.5 * float(short @ right + damping * diagonal * short @ short):
            damping = max(damping / 10, 1e-12)
        unknowns, (residuals, slopes, cost) = unknowns + step, tried
        if flat > 1 or slow > 2 or float(np.abs(step / scale).max(initial=0.0)) < SETTLED:
            break
    return Adjusted(unknowns, residuals, slopes, weights, cost)


def adjusted(
    equations: Equations, datum: Datum, start: Array, active: Array | None = None, hopeless: float = math.inf
) -> Adjusted:
    """Least squares from `start`, moved into the datum's frame."""
    solved = fit(equations, start, active, hopeless=hopeless)
    unknowns = in_datum(equations.layout, datum, solved.unknowns)
    residuals, slopes, cost = _state(equations, unknowns, solved.weights)
    return Adjusted(unknowns, residuals, slopes, solved.weights, cost)


def _state(equations: Equations, unknowns: Array, weights: Array) -> tuple[Array, Array, float]:
    computed, slopes = equations.evaluate(unknowns)
    residuals = computed - equations.values
    return residuals, slopes, float(weights @ residuals**2)


def in_datum(layout: Layout, datum: Datum, unknowns: Array) -> Array:
    """The same figure moved into the datum's frame (and mirrored where its sides ask for that)."""
    moved = _moved(layout, datum, unknowns)
    ys = [(moved[layout.x(name) + 1], 1.0) for name in datum.left]
    ys += [(moved[layout.x(name) + 1], -1.0) for name in datum.right]
    return _moved(layout, datum, _mirrored(layout, moved)) if sum(y * side for y, side in ys) < 0 else moved


def _mirrored(layout: Layout, unknowns: Array) -> Array:
    image = unknowns.copy()
    last = 2 * len(layout.rounds)
    image[1:last:2] *= -1.0
    image[layout.size - 2 * len(layout.edges) :: 2] *= -1.0
    for at in map(layout.picture, range(len(layout.pictures))):
        image[at + 3 : at + 6 : 2] *= -1.0  # what the map makes of Y
    return image


def _moved(layout: Layout, datum: Datum, unknowns: Array) -> Array:
    moved = unknowns.copy()
    last, first = 2 * len(layout.rounds), layout.size - 2 * len(layout.edges)
    points = moved[:last].reshape(-1, 2)
    origin, towards = layout.x(datum.origin), layout.x(datum.x_towards)
    shift = unknowns[origin : origin + 2].copy()
    arm = unknowns[towards : towards + 2] - shift
    turn = math.atan2(arm[1], arm[0])
    cos, sin = math.cos(turn), math.sin(turn)
    moved[:last] = ((points - shift) @ np.array([[cos, -sin], [sin, cos]])).ravel()
    for at in map(layout.picture, range(len(layout.pictures))):
        matrix = unknowns[at + 2 : at + 6].reshape(2, 2)
        moved[at : at + 2] += matrix @ shift
        moved[at + 2 : at + 6] = (matrix @ np.array([[cos, -sin], [sin, cos]])).ravel()
    angles = unknowns[first::2]
    moved[first + 1 :: 2] -= np.cos(angles) * shift[0] + np.sin(angles) * shift[1]
    moved[first::2] = (angles - turn + math.pi) % math.tau - math.pi
    heights = np.cos(moved[first::2])[:, None] * moved[0:last:2] + np.sin(moved[first::2])[:, None] * moved[1:last:2]
    outward = (heights - moved[first + 1 :: 2, None]).sum(axis=1) < 0
    moved[first::2] += np.where(outward, np.where(moved[first::2] > 0, -math.pi, math.pi), 0.0)
    moved[first + 1 :: 2] *= np.where(outward, -1.0, 1.0)
    return moved


def cofactors(equations: Equations, solved: Adjusted) -> Array:
    """Covariance of the unknowns with the rigid motion held at the mean of the points (inner constraints)."""
    layout = equations.layout
    scale = layout.scale(lever_of(layout, solved.unknowns))
    scaled = solved.whitened * scale
    modes = rigid_basis(layout, solved.unknowns, scale)
    normal = scaled.T @ scaled
    held = normal + (np.diag(normal).mean() or 1.0) * (modes @ modes.T)
    covariance = np.linalg.inv(held) * scale[:, None] * scale
    return transformed(covariance, layout, solved.unknowns, free_constraints(layout, solved.unknowns))


def transformed(covariance: Array, layout: Layout, unknowns: Array, constraints: Array) -> Array:
    """Covariance relative to the datum that `constraints` (size, 3) define: the S-transformation."""
    modes = layout.rigid_modes(unknowns)
    project = np.eye(layout.size) - modes @ np.linalg.solve(constraints.T @ modes, constraints.T)
    return np.asarray(project @ covariance @ project.T)


def free_constraints(layout: Layout, unknowns: Array) -> Array:
    """The mean of the round features does not shift and they do not turn on the whole; about which point is all one."""
    constraints = layout.rigid_modes(unknowns)
    constraints[2 * len(layout.rounds) :] = 0.0
    return constraints


def datum_constraints(layout: Layout, datum: Datum, unknowns: Array) -> Array:
    """What the named datum holds: for a fixed one the origin and the direction to the second feature."""
    if datum.kind is DatumKind.FREE:
        return free_constraints(layout, unknowns)
    constraints = np.zeros((layout.size, 3))
    origin, towards = layout.x(datum.origin), layout.x(datum.x_towards)
    arm = unknowns[towards : towards + 2] - unknowns[origin : origin + 2]
    across = np.array([-arm[1], arm[0]]) / np.hypot(*arm)
    constraints[origin, 0] = constraints[origin + 1, 1] = 1.0
    constraints[towards : towards + 2, 2] = across
    constraints[origin : origin + 2, 2] = -across
    return constraints
