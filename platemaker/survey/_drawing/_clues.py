"""Readings as clues to a first drawing: distances of centres, offsets from lines, directions between lines."""

from __future__ import annotations

import itertools
import math

import numpy as np
from msgspec import Struct

from platemaker.records import field, replace
from platemaker.survey._adjustment._equations import Equations, Layout, Observation
from platemaker.survey._adjustment._pictures import scale_of
from platemaker.survey._adjustment._statistics import median
from platemaker.survey._arrays import Array
from platemaker.survey._drawing._loci import PARALLEL
from platemaker.survey._records import EDGE_HALF_DIAMETER, HALF_DIAMETERS, FeatureKind, Network, Reading, ReadingKind

TYPICAL_DIAMETER = 8.0
"""First guess, mm, at a diameter that nobody read and that readings to its sides will settle."""


class Clues(Struct):
    """What is known of each object before anything is placed. Objects: round features first, then edges."""

    rounds: int
    edges: int
    sided: list[bool]
    diameters: Array
    spans: dict[tuple[int, int], float] = field(default_factory=dict)
    stands: dict[tuple[int, int], float] = field(default_factory=dict)
    directions: dict[tuple[int, int], float] = field(default_factory=dict)
    gaps: dict[tuple[int, int], float] = field(default_factory=dict)
    corners: dict[tuple[int, int, int], float] = field(default_factory=dict)
    straights: list[tuple[int, int, int]] = field(default_factory=list)
    scatter: float = 0.05

    @property
    def size(self) -> float:
        """A length of the order of the network, mm."""
        known = [*self.spans.values(), *self.stands.values(), *self.gaps.values()]
        return max(known, default=1.0)

    @property
    def looseness(self) -> float:
        """What a first drawing may be out by, mm."""
        return max(3 * self.scatter, 2e-3 * self.size)

    def touching(self) -> list[set[int]]:
        """For each object the others that share a clue with it."""
        near: list[set[int]] = [set() for _ in range(self.rounds + self.edges)]
        groups = [*self.spans, *self.stands, *self.directions, *self.gaps, *self.corners, *self.straights]
        for group in groups:
            for one in group:
                near[one].update(other for other in group if other != one)
        return near


def clues_of(network: Network, equations: Equations, without: Observation | None = None) -> Clues:
    """The clues of a network; readings of one pair are averaged and corrected for the diameters.

    `without` leaves one reading (or diameter) out.
    """
    layout = equations.layout
    objects = {name: i for i, name in enumerate((*layout.rounds, *layout.edges))}
    if without is not None:
        network = _without(network, without)
    distances, diameters = _centre_distances(network, layout)
    clues = Clues(
        rounds=len(layout.rounds),
        edges=len(layout.edges),
        sided=[network.by_name[name].kind is FeatureKind.EDGE for name in layout.edges],
        diameters=diameters,
        spans={(objects[a], objects[b]): d for (a, b), d in distances.items()},
    )
    stands: dict[tuple[int, int], list[float]] = {}
    for reading in network.readings:
        _add(clues, reading, objects, stands, layout)
    for laid in equations.pictures:
        if scale_of(laid.picture, network) is None:
            continue  # its spans are known but for their scale
        for i, j in itertools.combinations(range(len(laid.names)), 2):
            pair = objects[laid.names[i]], objects[laid.names[j]]
            if pair not in clues.spans and pair[::-1] not in clues.spans:
                clues.spans[pair] = float(np.hypot(*(laid.points[i] - laid.points[j])))
    clues.stands = {pair: median(values) for pair, values in stands.items()}
    lengths = [one.sigma for one in equations.observations if one.is_length]
    clues.scatter = median(lengths) if lengths else 0.05
    return clues


def _without(network: Network, out: Observation) -> Network:
    if out.reading is not None:
        return replace(network, readings=tuple(one for one in network.readings if one is not out.reading))
    features = (replace(one, diameter=None) if one.name == out.features[0] else one for one in network.features)
    return replace(network, features=tuple(features))


def _add(
    clues: Clues,
    reading: Reading,
    objects: dict[str, int],
    stands: dict[tuple[int, int], list[float]],
    layout: Layout,
) -> None:
    kind, names = reading.kind, reading.features
    ids = tuple(objects[name] for name in names)
    lines = [i for i in ids if i >= clues.rounds]
    if kind is ReadingKind.STRAIGHT:
        clues.straights.extend((ids[0], middle, ids[-1]) for middle in ids[1:-1])
    elif kind.unit == "deg" and lines:
        clues.directions[ids[0], ids[1]] = math.radians(reading.value)
    elif kind is ReadingKind.ANGLE:
        clues.corners[ids[0], ids[1], ids[2]] = math.radians(reading.value)
    elif len(lines) == 2:
        clues.directions[ids[0], ids[1]] = 0.0
        clues.gaps[ids[0], ids[1]] = reading.value
    elif lines:
        centre = next(i for i in ids if i < clues.rounds)
        name = layout.rounds[centre]
        half = clues.diameters[layout.sized.index(name)] / 2 if name in layout.sized else 0.0
        distance = max(reading.value - EDGE_HALF_DIAMETER[kind] * half, 0.0)
        stands.setdefault((lines[0], centre), []).append(distance)


def _centre_distances(network: Network, layout: Layout) -> tuple[dict[tuple[str, str], float], Array]:
    """Distances of centres and diameters by linear least squares: every span is one distance plus half diameters.

    A weak guess at every diameter keeps the system regular where nobody read one.
    """
    spans = [r for r in network.readings if r.kind in HALF_DIAMETERS]
    pairs = sorted({tuple(sorted(r.features)) for r in spans})
    column = {pair: i for i, pair in enumerate(pairs)}
    sizes = {name: len(pairs) + i for i, name in enumerate(layout.sized)}
    width = len(pairs) + len(sizes)
    rows = len(spans) + len(sizes)
    matrix, right = np.zeros((rows, width)), np.zeros(rows)
    for row, reading in enumerate(spans):
        matrix[row, column[tuple(sorted(reading.features))]] = 1.0
        for name, factor in zip(reading.features, HALF_DIAMETERS[reading.kind], strict=True):
            if factor:
                matrix[row, sizes[name]] = factor / 2
        right[row] = reading.value
    for row, name in enumerate(layout.sized, start=len(spans)):
        known = network.by_name[name].diameter
        weight = 1.0 if known is not None else 1e-3
        matrix[row, sizes[name]] = weight
        right[row] = weight * (TYPICAL_DIAMETER if known is None else known)
    solved = np.linalg.solve(matrix.T @ matrix + 1e-12 * np.eye(width), matrix.T @ right) if width else right
    distances = {(a, b): max(float(solved[column[a, b]]), 1e-3) for a, b in pairs}
    return distances, np.maximum(solved[len(pairs) :], 0.0)


class Neighbours:
    """The clues of pairs, looked up from either end; `parallel` numbers the edges, alike for parallel ones."""

    def __init__(self, clues: Clues) -> None:
        self.spans = _both_ways(clues.spans)
        self.stands = _both_ways(clues.stands)
        self.directions = _both_ways(clues.directions)
        self.gaps = _both_ways(clues.gaps)
        self.parallel = _parallel_groups(clues)


def _both_ways(pairs: dict[tuple[int, int], float]) -> dict[int, dict[int, float]]:
    found: dict[int, dict[int, float]] = {}
    for (a, b), value in sorted(pairs.items()):
        found.setdefault(a, {})[b] = value
        found.setdefault(b, {})[a] = value
    return found


def _parallel_groups(clues: Clues) -> list[int]:
    """A number per edge, alike for edges known to be parallel."""
    group = list(range(clues.edges))
    for (a, b), turn in clues.directions.items():
        if turn < PARALLEL or turn > math.pi - PARALLEL:
            old, new = group[b - clues.rounds], group[a - clues.rounds]
            group = [new if g == old else g for g in group]
    return group
