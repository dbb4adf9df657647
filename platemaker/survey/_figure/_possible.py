"""How features may lie on a casting: holes on one side of its edges, not on each other, near their rough places."""

from __future__ import annotations

import math

import numpy as np

from platemaker.survey._adjustment._equations import Layout
from platemaker.survey._adjustment._shared import ErrorKind
from platemaker.survey._arrays import Array
from platemaker.survey._drawing._clues import Clues
from platemaker.survey._records import Datum, Network

SAME_SIZE = 1.25
"""Holes whose diameters differ by a smaller factor are no hole and its counterbore; common practice, no source."""

FAR_OFF = 5.0
"""Deviations from a rough place or diameter beyond which a figure is not the one that was meant."""
NOMINAL_SIGMA = 0.5
"""Deviation of a nominal diameter, mm; common practice, no source."""
WIDEST_FLAT = 3.0
"""Flats that readings find are no wider, mm, unless wider ones are stated; common practice, no source."""


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


def jaws_as_made(layout: Layout, moved: Array) -> bool:
    """Whether the flats of all jaws are as wide as jaws can be: a misreading of some mm is no matter of flats."""
    for error in layout.shared:
        column = layout.error(error.instrument, error.kind)
        if column is not None and error.kind in (ErrorKind.INSIDE, ErrorKind.OUTSIDE):
            widest = max(WIDEST_FLAT**2, error.mean + FAR_OFF * error.sigma)
            if not -FAR_OFF * max(error.sigma, 1.0) <= moved[column] <= widest:
                return False
    return True


def near_rough(network: Network, layout: Layout, moved: Array) -> bool:
    """Whether features lie, after the best shift and turn, and are as large as was roughly reported on them."""
    rough = {name: found for name in layout.rounds if (found := network.by_name[name].rough) is not None}
    sized = [(name, found.diameter) for name, found in rough.items() if name in layout.sized and found.diameter]
    if any(abs(moved[layout.diameter(name)] - size) > FAR_OFF * NOMINAL_SIGMA for name, size in sized):
        return False
    if len(rough) < 2:
        return True
    here = np.array([complex(*moved[layout.x(name) : layout.x(name) + 2]) for name in rough])
    there = np.array([complex(*found.at) for found in rough.values()])
    arms, wanted = here - here.mean(), there - there.mean()
    turn = np.vdot(arms, wanted)
    left = np.abs(arms * turn / max(abs(turn), 1e-12) - wanted)
    return bool((left <= FAR_OFF * np.array([found.sigma for found in rough.values()])).all())


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
