"""What the readings leave free: islands, features that can still move, and readings that would hold them."""

from __future__ import annotations

import itertools

import numpy as np

from platemaker.records import Record
from platemaker.survey._adjustment._adjust import Adjusted, lever_of, rigid_basis
from platemaker.survey._adjustment._equations import Equations, Layout
from platemaker.survey._adjustment._statistics import median
from platemaker.survey._arrays import Array
from platemaker.survey._records import Network

STILL = 0.05
"""A feature that moves by a smaller share of the widest motion is not named as free to move."""


class Candidate(Record):
    """A reading that could be taken: centre to centre, edge to centre, or a diameter (one name)."""

    features: tuple[str, ...]

    def __str__(self) -> str:
        return f"diameter of {self.features[0]}" if len(self.features) == 1 else "-".join(self.features)


def islands(network: Network) -> list[tuple[str, ...]]:
    """Groups of features that readings join, largest first."""
    group = {feature.name: {feature.name} for feature in network.features}
    for reading in network.readings:
        joined = set().union(*(group[name] for name in reading.features))
        for name in joined:
            group[name] = joined
    for picture in network.pictures:
        joined = set().union(*(group[name] for name in picture.points))
        for name in joined:
            group[name] = joined
    found = {tuple(sorted(members)) for members in group.values()}
    return sorted(found, key=lambda names: (-len(names), names))


def candidates(layout: Layout, unknowns: Array, taken: set[frozenset[str]]) -> tuple[list[Candidate], Array]:
    """Readings not yet taken and their derivatives: centre to centre and edge to centre."""
    n, first = len(layout.rounds), layout.size - 2 * len(layout.edges)
    points = unknowns[: 2 * n].reshape(-1, 2)
    pairs = [
        (a, b)
        for a, b in itertools.combinations(range(n), 2)
        if frozenset((layout.rounds[a], layout.rounds[b])) not in taken
    ]
    stands = [
        (e, a)
        for e, a in itertools.product(range(len(layout.edges)), range(n))
        if frozenset((layout.edges[e], layout.rounds[a])) not in taken
    ]
    rows = np.zeros((len(pairs) + len(stands), layout.size))
    if pairs:
        a, b = np.array(pairs).T
        arms = points[b] - points[a]
        units = arms / np.maximum(np.hypot(arms[:, 0], arms[:, 1]), 1e-9)[:, None]
        at = np.arange(len(pairs))
        for axis in (0, 1):
            rows[at, 2 * b + axis] = units[:, axis]
            rows[at, 2 * a + axis] = -units[:, axis]
    if stands:
        e, a = np.array(stands).T
        at, cos, sin = len(pairs) + np.arange(len(stands)), *_normal(unknowns[first + 2 * e])
        rows[at, 2 * a], rows[at, 2 * a + 1] = cos, sin
        rows[at, first + 2 * e] = cos * points[a, 1] - sin * points[a, 0]
        rows[at, first + 2 * e + 1] = -1.0
    names = [Candidate((layout.rounds[i], layout.rounds[j])) for i, j in pairs]
    return names + [Candidate((layout.edges[i], layout.rounds[j])) for i, j in stands], rows


def _normal(angle: Array) -> tuple[Array, Array]:
    return np.cos(angle), np.sin(angle)


def taken_pairs(network: Network) -> set[frozenset[str]]:
    """Pairs of features between which something was read."""
    return {frozenset(reading.features) for reading in network.readings if len(reading.features) == 2}


def loose_modes(equations: Equations, solved: Adjusted) -> Array:
    """Motions (in mm, columns) that the readings do not hold, rigid motion left out.

    A motion counts as free when its standard deviation h exceeds sqrt(2 L s), with L the extent and s the middle
    standard deviation of the readings: moving a point by h across a span L then alters the span by h^2 / 2L = s,
    so that no reading would notice.
    """
    layout = equations.layout
    lever = lever_of(layout, solved.unknowns)
    scale = layout.scale(lever)
    modes = rigid_basis(layout, solved.unknowns, scale)
    scaled = solved.whitened * scale
    normal = scaled.T @ scaled
    spread = median(equations.sigmas)
    values, vectors = np.linalg.eigh(normal + np.diag(normal).max(initial=1.0) * (modes @ modes.T))
    return np.asarray(vectors[:, values < 1.0 / (4.0 * lever * spread)])


def movers(layout: Layout, solved: Adjusted, free: Array) -> list[str]:
    """The fewest features whose motion accounts for the free modes: the rest is held still as one rigid body."""
    unknowns = solved.unknowns
    scale = layout.scale(lever_of(layout, unknowns))
    rigid = layout.rigid_modes(unknowns) / scale[:, None]
    fewest: list[str] | None = None
    for still in _bodies(layout):
        rows = np.concatenate([_rows(layout, name) for name in still])
        blend = np.linalg.lstsq(rigid[rows], -free[rows], rcond=None)[0]
        motion = free + rigid @ blend
        least = max(STILL * float(np.abs(motion).max()), 1e-4)
        moved = [name for name in (*layout.rounds, *layout.edges) if np.abs(motion[_rows(layout, name)]).max() > least]
        if not set(still) & set(moved) and (fewest is None or len(moved) < len(fewest)):
            fewest = moved
    sizes = [n for n in layout.sized if np.abs(free[layout.diameter(n)]).max() > 0.1]
    return (fewest if fewest is not None else list(layout.rounds)) or [f"the diameter of {name}" for name in sizes]


def _bodies(layout: Layout) -> list[tuple[str, ...]]:
    names = (*layout.rounds, *layout.edges)
    return list(itertools.combinations(names, 2))


def _rows(layout: Layout, name: str) -> Array:
    start = layout.x(name) if name in layout.rounds else layout.angle(name)
    return np.array([start, start + 1])


def cures(network: Network, layout: Layout, solved: Adjusted, free: Array) -> list[Candidate]:
    """Readings which together hold every free motion: each time the one that feels what is left most."""
    names, rows = candidates(layout, solved.unknowns, taken_pairs(network))
    unread = [name for name in layout.sized if network.by_name[name].diameter is None]
    for name in unread:
        row = np.zeros(layout.size)
        row[layout.diameter(name)] = 1.0
        names.append(Candidate((name,)))
        rows = np.vstack([rows, row])
    scale = layout.scale(lever_of(layout, solved.unknowns))
    felt = (rows * scale) @ free
    chosen: list[Candidate] = []
    while felt.size and len(chosen) < free.shape[1]:
        strength = np.linalg.norm(felt, axis=1)
        best = int(np.argmax(np.round(strength, 9)))
        if strength[best] < 1e-6:
            break
        chosen.append(names[best])
        direction = felt[best] / strength[best]
        felt = felt - np.outer(felt @ direction, direction)
    return chosen
