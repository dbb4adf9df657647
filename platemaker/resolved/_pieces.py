"""Whether the cuts leave a plate in one piece: its layers hang together where their regions overlap."""

from __future__ import annotations

from itertools import product

from platemaker.parts import Part
from platemaker.plane import Edge, Point, Region, contains, intersect
from platemaker.resolved._part import resolved

JUST_INSIDE = 1e-6
"""Material lies to the left of a boundary: this far, mm, is inside it and short of whatever comes next."""
FEW = 8
"""Points of a region's boundary to try before two regions are intersected in full."""


def count_pieces(part: Part) -> int:
    """How many pieces the square cuts of a plate leave; an empty layer parts what lies above from what lies below."""
    pieces = [(number, region) for number, layer in enumerate(resolved(part).layers) for region in layer.regions]
    if len(pieces) < 2:
        return len(pieces)
    neighbours = [(i, j) for i, j in product(range(len(pieces)), repeat=2) if pieces[j][0] == pieces[i][0] + 1]
    body = list(range(len(pieces)))
    for meet in (_share_a_point, _overlap):  # the quick test first: it leaves little to the other
        for i, j in neighbours:
            if body[i] != body[j] and meet(pieces[i][1], pieces[j][1]):
                kept, gone = body[i], body[j]
                body = [kept if name == gone else name for name in body]
    return len(set(body))


def _share_a_point(a: Region, b: Region) -> bool:
    return any(contains(b, _just_inside(edge)) for edge in a.edges[:FEW])


def _overlap(a: Region, b: Region) -> bool:
    return bool(intersect(a, b))


def _just_inside(edge: Edge) -> Point:
    (x, y), (u, v) = edge.point(0.5), edge.tangent(0.5)
    return x - JUST_INSIDE * v, y + JUST_INSIDE * u
