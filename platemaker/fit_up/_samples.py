"""Seeded samples of the holes of both parts.

Arrays lie with the samples along their last axis: the processor then works on many samples at a time.
"""

from __future__ import annotations

import numpy as np

from platemaker.fit_up._arrays import Array
from platemaker.fit_up._records import FitUp, PatternSide, Scatter

HANDFUL = 4096
"""Points drawn at a time: they stay in the processor's cache."""


def draw(question: FitUp, samples: int, seed: int) -> Array:
    """Offsets upper - lower of every hole pair: (2, n, samples), mm, from a seeded generator."""
    generator = np.random.default_rng(seed)
    apart = (question.upper.pattern.array - question.lower.pattern.array).T
    offsets = np.repeat(apart[:, :, None], samples, axis=2)
    for side in (question.upper, question.lower):
        _scatter(offsets, side, generator)
    return offsets


def _scatter(offsets: Array, side: PatternSide, generator: np.random.Generator) -> None:
    """Add one side's errors. Their sign does not matter: they lie about zero alike either way."""
    _, n, samples = offsets.shape
    zones = side.zones
    if zones.any() and side.scatter is Scatter.NORMAL:
        offsets += generator.standard_normal((2, n, samples)) * (zones / 6.0)[:, None]
    elif zones.any():
        within = disc(generator, n * samples).reshape(2, n, samples)
        within *= zones[:, None]
        offsets += within
    if side.pattern.covariance is not None:
        values, vectors = np.linalg.eigh((side.pattern.covariance + side.pattern.covariance.T) / 2)
        root = vectors * np.sqrt(np.maximum(values, 0.0))
        normal = root @ generator.standard_normal((2 * n, samples))
        offsets += normal.reshape(n, 2, samples).transpose(1, 0, 2)


def disc(generator: np.random.Generator, count: int) -> Array:
    """Points spread evenly over the disc of diameter 1: (2, count); those of a square that fall outside are left."""
    found, have = np.empty((2, count)), 0
    while have < count:
        points = generator.random((2, HANDFUL))
        points -= 0.5
        x, y = points
        inside = np.flatnonzero(x * x + y * y <= 0.25)[: count - have]
        found[0, have : have + inside.size], found[1, have : have + inside.size] = x[inside], y[inside]
        have += inside.size
    return found
