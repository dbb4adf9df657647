"""Monte Carlo of a fit-up: all fasteners at once, many samples at a time.

A sample starts when some shift and turn of the upper part brings every hole pair within its clearance:
max |e_i| / g_i <= 1, with e_i the offset of the two axes and g_i half the diametral clearance. That least maximum is
bracketed by Lawson's algorithm (C. L. Lawson, 1961: weighted least squares, weights multiplied by their residuals):
any placement bounds it from above; the weighted root mean square of the best placement bounds it from below. A sample
is decided as soon as a bound passes 1. Undecided ones count as not starting.

Stated simplifications: the turn is linear (a turn of 0.1 degree 200 mm from the middle errs by 0.0003 mm). A slot is
first taken as endless and the placement that is found is then tried on its real ends; a sample that only another
placement would save counts as not starting. Both parts are rigid and flat; bolts stand square.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from platemaker.survey._equations import Array, Index
from platemaker.survey._fit_up_records import Fastener, FitUp, Freedom, Scatter, Side

Flags = npt.NDArray[np.bool_]

CHUNK = 8192
"""Samples worked on at a time, so that they stay in the processor's cache."""
ROUNDS = 200
"""Steps of Lawson's algorithm before a sample is given up as undecided."""


@dataclass(frozen=True, eq=False)
class Geometry:
    """Equations of the placement: each fastener gives a row along X and one along Y (across the slot: one row).

    offset along row = offsets @ axes + placement @ slopes.T, placement = (shift x, shift y, turn).
    """

    places: Array
    axes: Array
    slopes: Array
    owner: Index
    first: Index


def draw(question: FitUp, samples: int, seed: int) -> Array:
    """Offsets upper - lower of every hole pair: (samples, n, 2), mm, from a seeded generator."""
    generator = np.random.default_rng(seed)
    offsets = np.broadcast_to(
        question.upper.pattern.array - question.lower.pattern.array, (samples, len(question.fasteners), 2)
    ).copy()
    for sign, side in ((1.0, question.upper), (-1.0, question.lower)):
        _scatter(offsets, sign, side, generator)
    return offsets


def _scatter(offsets: Array, sign: float, side: Side, generator: np.random.Generator) -> None:
    samples, n, _ = offsets.shape
    zones = side.zones
    if zones.any() and side.scatter is Scatter.NORMAL:
        offsets += generator.standard_normal((samples, n, 2)) * (zones / 6.0)[:, None]
    elif zones.any():
        radius = np.sqrt(generator.random((samples, n))) * zones / 2.0
        angle = generator.random((samples, n)) * (2.0 * np.pi)
        offsets[..., 0] += radius * np.cos(angle)
        offsets[..., 1] += radius * np.sin(angle)
    if side.pattern.covariance is not None:
        values, vectors = np.linalg.eigh((side.pattern.covariance + side.pattern.covariance.T) / 2)
        root = vectors * np.sqrt(np.maximum(values, 0.0))
        normal = generator.standard_normal((samples, 2 * n)) @ root.T
        offsets += sign * normal.reshape(samples, n, 2)


def geometry_of(question: FitUp) -> Geometry:
    """Rows of the placement equations, about the middle of the pattern."""
    places = question.upper.pattern.array - question.upper.pattern.array.mean(axis=0)
    axes: list[Array] = []
    slopes: list[tuple[float, float, float]] = []
    owner: list[int] = []
    first: list[int] = []
    n = len(question.fasteners)
    for i, (fastener, (x, y)) in enumerate(zip(question.fasteners, places, strict=True)):
        first.append(len(owner))
        turn = np.radians(fastener.slot.angle) if fastener.slot else 0.0
        normals = [(-np.sin(turn), np.cos(turn))] if fastener.slot else [(1.0, 0.0), (0.0, 1.0)]
        for u, v in normals:
            axis = np.zeros((n, 2))
            axis[i] = u, v
            axes.append(axis.ravel())
            slopes.append((u, v, v * x - u * y))
            owner.append(i)
    return Geometry(places, np.array(axes).T, np.array(slopes), np.array(owner), np.array(first))


@dataclass(frozen=True, eq=False)
class Verdicts:
    """Per sample: starts (True), undecided, and the weights of the fasteners when it was decided (failed ones)."""

    starts: Flags
    undecided: Flags
    blame: Array


def decide(question: FitUp, fasteners: tuple[Fastener, ...], offsets: Array) -> Verdicts:
    """Which samples start with these fasteners (their holes may differ from the question's own)."""
    gaps = np.array([fastener.clearance / 2.0 for fastener in fasteners])
    samples, n, _ = offsets.shape
    starts: Flags = np.zeros(samples, dtype=bool)
    undecided: Flags = np.zeros(samples, dtype=bool)
    blame = np.zeros(n)
    if question.freedom is Freedom.HELD:
        ratios = _real_ratios(offsets, fasteners, np.maximum(gaps, 1e-12))
        starts = np.asarray((ratios <= 1.0).all(axis=1))
        return Verdicts(starts, undecided, (ratios[~starts] > 1.0).sum(axis=0).astype(float))
    if gaps.min() <= 0.0:
        return Verdicts(starts, undecided, np.where(gaps <= 0.0, float(samples), 0.0))
    geometry = geometry_of(question)
    for begin in range(0, samples, CHUNK):
        part = slice(begin, begin + CHUNK)
        blame += _decide_chunk(geometry, fasteners, gaps, offsets[part], starts[part], undecided[part])
    return Verdicts(starts, undecided, blame)


def _decide_chunk(
    geometry: Geometry, fasteners: tuple[Fastener, ...], gaps: Array, offsets: Array, starts: Flags, undecided: Flags
) -> Array:
    """Fill `starts` and `undecided` in place; give the summed weights of failed samples."""
    m, n, _ = offsets.shape
    rows = offsets.reshape(m, -1) @ geometry.axes
    waiting, weights, blame = np.arange(m), np.full((m, n), 1.0 / n), np.zeros(n)
    slotted = any(fastener.slot for fastener in fasteners)
    for _ in range(ROUNDS):
        placement = _placement(geometry, rows, weights / gaps**2)
        left = rows + placement @ geometry.slopes.T
        ratios = np.sqrt(np.add.reduceat(left**2, geometry.first, axis=1)) / gaps
        fits = ratios.max(axis=1) <= 1.0
        fails = (weights * ratios**2).sum(axis=1) > 1.0
        if slotted and fits.any():
            real = _moved(geometry, offsets[waiting[fits]], placement[fits])
            within = (_real_ratios(real, fasteners, gaps) <= 1.0).all(axis=1)
            fails[np.flatnonzero(fits)[~within]] = True
            fits[fits] = within
        starts[waiting[fits]] = True
        blame += weights[fails].sum(axis=0)
        stay = ~(fits | fails)
        if not stay.any():
            return blame
        waiting, rows, weights = waiting[stay], rows[stay], (weights * ratios)[stay]
        weights /= weights.sum(axis=1, keepdims=True)
    undecided[waiting] = True
    return np.asarray(blame + weights.sum(axis=0))


def _placement(geometry: Geometry, rows: Array, weights: Array) -> Array:
    """Weighted least-squares shift and turn of every sample, by Cramer's rule on the 3 x 3 normal equations."""
    slopes, owner = geometry.slopes, geometry.owner
    products = np.add.reduceat(slopes[:, [0, 0, 0, 1, 1, 2]] * slopes[:, [0, 1, 2, 1, 2, 2]], geometry.first, axis=0)
    a, b, c, d, e, f = (weights @ products).T
    trace = 1e-12 * (a + d)
    a, d, f = a + trace, d + trace, f + 1e-12 * f + 1e-30
    p, q, r = -((weights[:, owner] * rows) @ slopes).T
    aa, bb, cc = d * f - e * e, c * e - b * f, b * e - c * d
    dd, ee, ff = a * f - c * c, b * c - a * e, a * d - b * b
    scale = 1.0 / (a * aa + b * bb + c * cc)
    x, y, turn = (aa * p + bb * q + cc * r), (bb * p + dd * q + ee * r), (cc * p + ee * q + ff * r)
    return np.asarray(np.stack([x, y, turn], axis=1) * scale[:, None])


def _moved(geometry: Geometry, offsets: Array, placement: Array) -> Array:
    x, y = geometry.places.T
    moved = offsets + placement[:, None, :2]
    moved[..., 0] -= placement[:, 2:] * y
    moved[..., 1] += placement[:, 2:] * x
    return moved


def _real_ratios(offsets: Array, fasteners: tuple[Fastener, ...], gaps: Array) -> Array:
    """Offset over clearance, slots with their ends."""
    left = offsets.copy()
    for i, fastener in enumerate(fasteners):
        if fastener.slot:
            turn = np.radians(fastener.slot.angle)
            along = np.array([np.cos(turn), np.sin(turn)])
            half = fastener.slot.travel / 2.0
            left[:, i] -= np.clip(left[:, i] @ along, -half, half)[:, None] * along
    return np.asarray(np.hypot(left[..., 0], left[..., 1]) / gaps)
