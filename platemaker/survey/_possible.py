"""How features may lie on a casting: edges with all holes on one side, holes of one size not on each other, sides."""

from __future__ import annotations

import math

import numpy as np

from platemaker.survey._clues import Clues
from platemaker.survey._equations import Array, Layout
from platemaker.survey._records import Datum, Network

SAME_SIZE = 1.25
"""Holes whose diameters differ by a smaller factor are no hole and its counterbore; common practice, no source."""


def on_one_side(clues: Clues, layout: Layout, moved: Array) -> bool:
    """Whether no edge of the casting has round features on both of its sides."""
    points = moved[: 2 * len(layout.rounds)].reshape(-1, 2)
    for sided, name in zip(clues.sided, layout.edges, strict=True):
        angle, offset = moved[layout.angle(name) : layout.angle(name) + 2]
        heights = points @ np.array([math.cos(angle), math.sin(angle)]) - offset
        if sided and points.size and heights.min() < -3 * clues.scatter and heights.max() > 3 * clues.scatter:
            return False
    return True


def overlap(network: Network, layout: Layout, moved: Array, scatter: float) -> bool:
    """Whether two round features of one kind and size lie on each other, as they cannot on a casting."""
    points = moved[: 2 * len(layout.rounds)].reshape(-1, 2)
    features = [network.by_name[name] for name in layout.rounds]
    near = np.linalg.norm(points[:, None] - points[None], axis=2)
    for i, j in np.argwhere(np.triu(near < max(f.diameter or 0.0 for f in features) + 10 * scatter, 1)):
        one, other = features[i], features[j]
        if one.kind is other.kind and (one.diameter is None) is (other.diameter is None):
            a, b = one.diameter or 10 * scatter, other.diameter or 10 * scatter
            if max(a, b) < SAME_SIZE * min(a, b) and near[i, j] < (a + b) / 2:
                return True
    return False


def on_sides(layout: Layout, datum: Datum, moved: Array, scatter: float) -> bool:
    """Whether the features that the datum states lie left and right of its line do."""
    ys = {name: moved[layout.x(name) + 1] for name in (*datum.left, *datum.right)}
    slack = 3 * scatter
    return all(ys[name] >= -slack for name in datum.left) and all(ys[name] <= slack for name in datum.right)


def all_lengths(layout: Layout, unknowns: Array) -> Array:
    """Distances of every round feature from every other and from every edge: (rounds, rounds + edges)."""
    points = unknowns[: 2 * len(layout.rounds)].reshape(-1, 2)
    lines = unknowns[layout.size - 2 * len(layout.edges) :].reshape(-1, 2)
    heights = points @ np.array([np.cos(lines[:, 0]), np.sin(lines[:, 0])]) - lines[:, 1]
    return np.concatenate([np.linalg.norm(points[:, None] - points[None], axis=2), np.abs(heights)], axis=1)


def differ(layout: Layout, here: Array, there: Array, apart: float) -> bool:
    """Whether two figures are not the same: some distance differs by more than `apart`, mm."""
    return float(np.abs(all_lengths(layout, here) - all_lengths(layout, there)).max(initial=0.0)) > apart
