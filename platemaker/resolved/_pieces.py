"""Whether the cuts leave a plate in one piece: its layers hang together where their regions overlap."""

from __future__ import annotations

from itertools import pairwise

from platemaker.parts import Part
from platemaker.plane import neighbours, overlap
from platemaker.resolved._part import resolved


def count_pieces(part: Part) -> int:
    """How many pieces the square cuts of a plate leave; an empty layer parts what lies above from what lies below."""
    layers = [layer.regions for layer in resolved(part).layers]
    bodies = _Bodies(sum(len(regions) for regions in layers))
    base = 0
    for lower, upper in pairwise(layers):
        for i, j in neighbours(lower, upper):
            one, other = base + i, base + len(lower) + j
            if bodies.of(one) != bodies.of(other) and overlap(lower[i], upper[j]):
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
