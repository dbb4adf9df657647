"""Where single readings want a centre or an edge, and where two of them meet. Arrays over several drawings."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from platemaker.survey._adjustment._statistics import median
from platemaker.survey._arrays import Array

PARALLEL = 0.02
"""Sine of the angle below which two lines are taken as parallel and not made to meet."""


class Locus(NamedTuple):
    """Where a centre may lie: a circle (`radius`) about `at`, or (radius None) the line `at`.p = `offset`."""

    at: Array
    radius: float | None
    offset: Array


def normals(angles: Array) -> Array:
    """Unit vectors at angles, radians: (k, 2)."""
    return np.column_stack([np.cos(angles), np.sin(angles)])


def meet(one: Locus, other: Locus) -> list[Array]:
    """Where two loci meet: two places, one for two lines, none for parallel ones; the nearest where circles miss."""
    if one.radius is None and other.radius is None:
        cross = one.at[:, 0] * other.at[:, 1] - one.at[:, 1] * other.at[:, 0]
        if median(np.abs(cross)) < PARALLEL:
            return []
        cross = np.where(np.abs(cross) < PARALLEL, PARALLEL, cross)
        x = (one.offset * other.at[:, 1] - other.offset * one.at[:, 1]) / cross
        y = (other.offset * one.at[:, 0] - one.offset * other.at[:, 0]) / cross
        return [np.column_stack([x, y])]
    if one.radius is None:
        one, other = other, one
    if other.radius is None:
        along = np.column_stack([-other.at[:, 1], other.at[:, 0]])
        gap = other.offset - (one.at * other.at).sum(axis=1)
        foot = one.at + gap[:, None] * other.at
        half = np.sqrt(np.maximum((one.radius or 0.0) ** 2 - gap**2, 0.0))[:, None]
        return [foot + half * along, foot - half * along]
    arm = other.at - one.at
    length = np.maximum(np.hypot(arm[:, 0], arm[:, 1]), 1e-6)
    unit = arm / length[:, None]
    reach = (length**2 + (one.radius or 0.0) ** 2 - other.radius**2) / (2 * length)
    half = np.sqrt(np.maximum((one.radius or 0.0) ** 2 - reach**2, 0.0))[:, None]
    foot, along = one.at + reach[:, None] * unit, np.column_stack([-unit[:, 1], unit[:, 0]])
    return [foot + half * along, foot - half * along]


def tangents(p: Array, r: float, q: Array, s: float) -> list[tuple[Array, Array]]:
    """Lines n.x = c with n.p - c = r and n.q - c = s."""
    arm = q - p
    length = np.maximum(np.hypot(arm[:, 0], arm[:, 1]), 1e-6)
    base, lean = np.arctan2(arm[:, 1], arm[:, 0]), np.arccos(np.clip((s - r) / length, -1.0, 1.0))
    return [(angle, (normals(angle) * p).sum(axis=1) - r) for angle in (base + lean, base - lean)]


def rays(at: Array, other: Array, turn: float) -> list[Locus]:
    """Lines through `at` that make the angle `turn` with the arm to `other`: two, or one for a straight angle."""
    arm = other - at
    base = np.arctan2(arm[:, 1], arm[:, 0])
    signs = (1, -1) if 1e-6 < abs(turn) < math.pi - 1e-6 else (1,)
    found = [normals(base + sign * turn + math.pi / 2) for sign in signs]
    return [Locus(normal, None, (normal * at).sum(axis=1)) for normal in found]


def spread(locus: Locus, count: int, reach: float) -> list[Array]:
    """Places along a circle, or on a line within `reach` mm of its foot; one place: a circle's on the X side."""
    if locus.radius is not None:
        turns = [math.tau * (k if count == 1 else k + 0.3) / count for k in range(count)]
        return [locus.at + locus.radius * np.array([math.cos(t), math.sin(t)]) for t in turns]
    along = np.column_stack([-locus.at[:, 1], locus.at[:, 0]])
    foot = locus.at * locus.offset[:, None]
    return [foot + step * along for step in ([0.0] if count == 1 else np.linspace(-reach, reach, count))]
