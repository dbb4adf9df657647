"""Whether the cuts leave a plate in one piece: its layers hang together where their regions overlap."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from platemaker.parts import Part
from platemaker.plane import Edge, Point, Region, contains_each, intersect, neighbours
from platemaker.resolved._part import resolved

JUST_INSIDE = 1e-6
"""Material lies to the left of a boundary: this far, mm, is inside it and short of whatever comes next."""
FEW = 8
"""Points of a region's boundary to try before two regions are intersected in full."""


def count_pieces(part: Part) -> int:
    """How many pieces the square cuts of a plate leave; an empty layer parts what lies above from what lies below."""
    layers = [layer.regions for layer in resolved(part).layers]
    bodies = _Bodies(sum(len(regions) for regions in layers))
    base = 0
    for lower, upper in pairwise(layers):
        pairs = [(i, j, base + i, base + len(lower) + j) for i, j in neighbours(lower, upper)]
        for i, j in _sharing_a_point(lower, upper, [(i, j) for i, j, _, _ in pairs]):
            bodies.join(base + i, base + len(lower) + j)
        for i, j, one, other in pairs:  # the quick test came first: it leaves little to this one
            if bodies.of(one) != bodies.of(other) and intersect(lower[i], upper[j]):
                bodies.join(one, other)
        base += len(lower)
    return bodies.count


class _Bodies:
    """Regions put together to bodies, one join after another."""

    def __init__(self, count: int) -> None:
        self._joined_to = list(range(count))
        self.count = count

    def of(self, region: int) -> int:
        while self._joined_to[region] != region:
            self._joined_to[region] = region = self._joined_to[self._joined_to[region]]
        return region

    def join(self, one: int, other: int) -> None:
        kept, gone = self.of(one), self.of(other)
        if kept != gone:
            self._joined_to[gone] = kept
            self.count -= 1


def _sharing_a_point(
    lower: Sequence[Region], upper: Sequence[Region], pairs: Sequence[tuple[int, int]]
) -> Iterator[tuple[int, int]]:
    """Pairs of which a point just inside the boundary of one lies in the other."""
    for one, other, asked in ((upper, lower, pairs), (lower, upper, [(j, i) for i, j in pairs])):
        by_region: dict[int, list[int]] = defaultdict(list)
        for i, j in asked:
            by_region[i].append(j)
        for i, others in by_region.items():
            points = [(j, _just_inside(edge)) for j in others for edge in one[j].edges[:FEW]]
            inside = contains_each(other[i], [point for _, point in points])
            for j in {j for (j, _), within in zip(points, inside, strict=True) if within}:
                yield (i, j) if other is lower else (j, i)


def _just_inside(edge: Edge) -> Point:
    (x, y), (u, v) = edge.point(0.5), edge.tangent(0.5)
    return x - JUST_INSIDE * v, y + JUST_INSIDE * u
