"""Offsets: a region grown outwards or inwards by a distance, or by a distance for each boundary piece.

Grown outwards, a region is united with everything within the distance of its boundary: a strip along each piece, and
a wedge of a disc at each corner that points out. The raw curve drawn here is the sum of all their boundaries, in which
the shared sides cancel; as every strip and wedge winds forwards, what the raw curve winds round is exactly the union.
At a corner that points in the curve runs through the corner itself, and a hollow arc tighter than the distance runs
through its centre. Inwards the same is done on the other side of the boundary.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import TypeAlias

from platemaker.errors import GeometryError
from platemaker.plane._arrange import regions_where
from platemaker.plane._shapes import Arc, Edge, Line, Region
from platemaker.plane._table import TOUCH
from platemaker.remembered import remembered

Distance: TypeAlias = float | Mapping[str, float] | Callable[[Edge], float]
"""A distance, mm, for every piece; or by the tag of a piece, where a tag not named has 0; or by a rule of the piece."""

STRAIGHT_ON = 1e-10
"""Ends nearer than this, mm, are joined without a piece between; a hundredth of TOUCH, so that no wall sees it."""


@remembered(256)
def offset(region: Region, distance: Distance, *, corner_tag: str | None = None) -> tuple[Region, ...]:
    """The region grown by `distance`, mm, or shrunk where it is below 0; empty when nothing is left.

    Corners are round: the result is everything within the distance of the region, or everything in it that is at
    least the distance from the boundary. Pieces keep their tags; the arc at a corner has the tag of the piece before
    it, or `corner_tag`. With distances by piece each piece keeps its own distance from all around it, also past its
    ends. Raises GeometryError when some distances are above and some below 0.

    >>> from platemaker.plane._shapes import Loop
    >>> [grown] = offset(Region(Loop.rectangle(10.0, 10.0)), 1.0)
    >>> math.isclose(grown.area, 100 + 40 * 1 + math.pi * 1**2)
    True
    >>> offset(Region(Loop.rectangle(10.0, 10.0)), -5.0)
    ()
    """
    return regions_where(list(offset_edges(region, distance, corner_tag)))


def offset_edges(region: Region, distance: Distance, corner_tag: str | None = None) -> Iterator[Edge]:
    """The raw curve of an offset: closed loops that wind once or more round the result and nowhere else."""
    sizes = [[distance_of(edge, distance) for edge in loop.edges] for loop in region.loops]
    every = [size for loop_sizes in sizes for size in loop_sizes]
    if min(every) < 0 < max(every):
        message = f"an offset goes one way, met distances from {min(every):g} to {max(every):g} mm"
        raise GeometryError(message)
    least = min(every, key=abs)
    for loop, loop_sizes in zip(region.loops, sizes, strict=True):
        yield from raw_curve(loop.edges, least, corner_tag)
        for edge, size in zip(loop.edges, loop_sizes, strict=True):
            if abs(size) > abs(least):
                yield from _capsule(edge, size)


def distance_of(edge: Edge, distance: Distance) -> float:
    """The distance that is meant for one boundary piece, mm."""
    if isinstance(distance, Mapping):
        return distance.get(edge.tag, 0.0)
    return distance(edge) if callable(distance) else distance


def _capsule(edge: Edge, distance: float) -> Iterator[Edge]:
    """Everything within a distance of one piece: its offset there and back again; run backwards to be taken away."""
    around = raw_curve((edge, edge.reversed()), abs(distance), edge.tag)
    return around if distance > 0 else (piece.reversed() for piece in around)


def raw_curve(edges: Sequence[Edge], distance: float, corner_tag: str | None = None) -> Iterator[Edge]:
    """A closed run of edges set off to the right by `distance` (to the left below 0), with what joins them."""
    edges = [edge for edge in edges if edge.start != edge.end]
    if distance == 0:
        yield from edges
        return
    sides = [_set_off(edge, distance) for edge in edges]
    for k, edge in enumerate(edges):
        yield from sides[k]
        after = edges[(k + 1) % len(edges)]
        here, there = sides[k][-1].end, sides[(k + 1) % len(edges)][0].start
        if math.dist(here, there) > STRAIGHT_ON:
            yield from _joined(edge, after, here, there, distance, edge.tag if corner_tag is None else corner_tag)


def _set_off(edge: Edge, distance: float) -> tuple[Edge, ...]:
    """One piece set off to its right; an arc that would turn inside out goes through its centre instead."""
    begin, end = _right(edge, 0.0), _right(edge, 1.0)
    start = edge.start[0] + distance * begin.real, edge.start[1] + distance * begin.imag
    stop = edge.end[0] + distance * end.real, edge.end[1] + distance * end.imag
    if isinstance(edge, Line):
        return (Line(start, stop, edge.tag),)
    radius = edge.radius + (distance if edge.ccw else -distance)
    if radius > TOUCH:
        return (Arc(start, stop, edge.centre, radius, edge.ccw, edge.tag),)
    return tuple(Line(a, b, edge.tag) for a, b in pairwise((start, edge.centre, stop)))


def _right(edge: Edge, share: float) -> complex:
    """Unit direction to the right of travel at an end of a piece."""
    if isinstance(edge, Line):
        way = complex(*edge.end) - complex(*edge.start)
        return -1j * way / abs(way)
    spoke = complex(*(edge.end if share else edge.start)) - complex(*edge.centre)
    return spoke / abs(spoke) if edge.ccw else -spoke / abs(spoke)


def _joined(
    before: Edge, after: Edge, here: tuple[float, float], there: tuple[float, float], distance: float, tag: str
) -> Iterator[Edge]:
    """From one set-off piece to the next: round a corner that points to that side, through one that points away."""
    turn = cmath.phase(_right(after, 0.0) / _right(before, 1.0))
    doubles_back = math.pi - abs(turn) < 1e-6
    if doubles_back or turn * distance > 0:
        yield Arc(here, there, before.end, abs(distance), distance > 0, tag)
    else:
        yield Line(here, before.end, tag)
        yield Line(before.end, there, tag)
