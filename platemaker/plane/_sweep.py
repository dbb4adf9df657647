"""Figures swept along a straight way, and what is left of one that keeps inside by as much: exact on lines and arcs.

The way is short and lies half before and half behind: every wall that faces along it moves out, or in, by its half.
Corners keep their radius, as they do when one cutter follows a longer way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from platemaker.plane._arrange import regions_where
from platemaker.plane._boolean import subtract
from platemaker.plane._shapes import Arc, Edge, Line, Loop, Point, Region
from platemaker.plane._transform import moved

NOTHING = 1e-12
"""Gaps shorter than this, mm, are none; nor are pieces of an arc that are a smaller share of it."""
ALONG = 1e-9
"""Sine of the angle between a piece and the way below which it runs along it."""


def swept(region: Region, way: Point) -> tuple[Region, ...]:
    """All that a region covers while it moves along `way`, mm, half of it to either side of where it lies.

    >>> [one.bounds for one in swept(Region(Loop.rectangle(10.0, 4.0)), (2.0, 0.0))]
    [(-6.0, -2.0, 6.0, 2.0)]
    """
    return regions_where([edge for loop in region.loops for edge in _convolved(loop, way)])


def kept(region: Region, way: Point) -> tuple[Region, ...]:
    """What of a region lies in it wherever it stands while it moves along `way`; empty where it is too narrow.

    >>> [one.bounds for one in kept(Region(Loop.rectangle(10.0, 4.0)), (2.0, 0.0))]
    [(-4.0, -2.0, 4.0, 2.0)]
    """
    x0, y0, x1, y1 = region.bounds
    far = 2 * math.hypot(*way) + 1.0
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    wide, narrow = (Region(Loop.rectangle(x1 - x0 + n * far, y1 - y0 + n * far, centre=middle)) for n in (4, 2))
    return subtract(narrow, *(swept(one, way) for one in subtract(wide, region)))


def _convolved(loop: Loop, way: Point) -> Iterator[Edge]:
    """The loop with each piece moved half the way to the side that it faces, and joined by whole ways.

    Round a point it winds as often as the region has pieces on the way through that point, so at least once exactly
    where the moving region comes by.
    """
    pieces = [piece for edge in loop.edges for piece in _split(edge, way)]
    sides = [_side(piece, way) for piece in pieces]
    if not any(sides):
        return
    last = next(side for side in reversed(sides) if side)
    shifted: list[Edge] = []
    for piece, side in zip(pieces, sides, strict=True):
        last = side or last
        shifted.append(moved(piece, last / 2 * way[0], last / 2 * way[1]))
    for piece, following in pairwise((*shifted, shifted[0])):
        yield piece
        if math.dist(piece.end, following.start) > NOTHING:
            yield Line(piece.end, following.start, piece.tag)


def _split(edge: Edge, way: Point) -> list[Edge]:
    """An edge, or the pieces of an arc between the places where it runs along the way."""
    if isinstance(edge, Line):
        return [edge]
    across = math.atan2(way[0], -way[1])
    shares = (_share(edge, angle) for angle in (across, across + math.pi))
    turns = sorted(share for share in shares if NOTHING < share < 1 - NOTHING)
    stops = [edge.start, *(edge.point(share) for share in turns), edge.end]
    return [Arc(a, b, edge.centre, edge.radius, edge.ccw, edge.tag) for a, b in pairwise(stops)]


def _share(arc: Arc, angle: float) -> float:
    """How far along an arc an angle comes, as a share of its sweep; above 1 where it does not."""
    turn = (angle - arc.start_angle) if arc.ccw else (arc.start_angle - angle)
    return (turn % math.tau) / abs(arc.sweep)


def _side(piece: Edge, way: Point) -> int:
    """Which way a piece faces, matter on its left: 1 along the way, -1 against it, 0 where it runs with it."""
    u, v = piece.tangent(0.5)
    facing = v * way[0] - u * way[1]
    return 0 if abs(facing) <= ALONG * math.hypot(*way) else int(math.copysign(1, facing))
