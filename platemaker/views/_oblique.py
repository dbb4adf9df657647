"""Pieces in space as they are seen from the front, the right and above: filled, the nearer over the farther.

For orientation, not for measuring: arcs are short straight lines, and pieces that reach round each other may be
painted in the wrong order.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from platemaker.parts import Vec3
from platemaker.plane import Arc, Box, Loop, Point, Region
from platemaker.records import Record
from platemaker.space import Cylinder, Frame, Prism, perpendiculars, sub
from platemaker.views._ink._model import Fill, Ink, Pen, path

AROUND, DOWN = math.radians(30.0), math.radians(25.0)
"""How far the view is turned round Z and looks down."""
SIN_AROUND, COS_AROUND, SIN_DOWN, COS_DOWN = math.sin(AROUND), math.cos(AROUND), math.sin(DOWN), math.cos(DOWN)
CHORDS = 10
"""Straight lines that stand for an arc."""
SMOOTH = math.radians(30.0)
"""Sides that meet at less have no edge between them."""
SAME = 1e-3
"""Overlap of boxes, mm, that is none: pieces touch."""


class Shaded(Record):
    """A thing of one shade, 0 black to 1 white: prisms and cylinders in one frame."""

    figures: tuple[Prism | Cylinder, ...]
    shade: float


def seen_at(point: Vec3) -> Point:
    """Where a point is seen."""
    x, y, z = point
    back = x * SIN_AROUND + y * COS_AROUND
    return x * COS_AROUND - y * SIN_AROUND, z * COS_DOWN + back * SIN_DOWN


def seen_box(pieces: Sequence[Shaded]) -> Box:
    """The box round all pieces as they are seen."""
    points = [seen_at(point) for piece in pieces for figure in piece.figures for point in _corners(figure)]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def oblique_ink(pieces: Sequence[Shaded], scale: float, shift: Point) -> Iterator[Ink]:
    """The pieces from the farthest to the nearest, scaled and then shifted, mm of the sheet."""

    def at(point: Vec3) -> Point:
        x, y = seen_at(point)
        return shift[0] + scale * x, shift[1] + scale * y

    solids = [(_Solid(figure), piece.shade) for piece in pieces for figure in piece.figures]
    for solid, shade in _farthest_first(solids):
        for polygons, edges in solid.faces():
            fills = [tuple(at(point) for point in ring) for ring in polygons]
            yield Fill(fills[0], shade)
            yield from (Fill(ring, 1.0) for ring in fills[1:])
            yield from (path((at(a), at(b)), Pen.NARROW) for a, b in edges)


def _towards(way: Vec3) -> float:
    """How far a direction points to the viewer."""
    x, y, z = way
    return z * SIN_DOWN - (x * SIN_AROUND + y * COS_AROUND) * COS_DOWN


def _corners(figure: Prism | Cylinder) -> list[Vec3]:
    prism = _as_prism(figure)
    ring = [point for loop in prism.region.loops for point in _ring(loop)]
    return [prism.frame.to_world((x, y, z)) for x, y in ring for z in (0.0, prism.height)]


def _as_prism(figure: Prism | Cylinder) -> Prism:
    if isinstance(figure, Prism):
        return figure
    frame = Frame(figure.start, *perpendiculars(sub(figure.end, figure.start)))
    return Prism(Region.of(Loop.circle((0.0, 0.0), figure.radius)), frame, figure.length)


def _ring(loop: Loop) -> list[Point]:
    counts = ((edge, CHORDS if isinstance(edge, Arc) else 1) for edge in loop.edges)
    return [edge.point(n / count) for edge, count in counts for n in range(count)]


class _Solid:
    """A figure with its corners in space."""

    def __init__(self, figure: Prism | Cylinder) -> None:
        self.prism = _as_prism(figure)
        xs, ys, zs = zip(*_corners(self.prism), strict=True)
        self.low, self.high = (min(xs), min(ys), min(zs)), (max(xs), max(ys), max(zs))

    def hides(self, other: _Solid) -> bool | None:
        """Whether it may stand before another, by a plane along an axis between them; None where there is none."""
        for axis, way in ((2, (0.0, 0.0, 1.0)), (1, (0.0, 1.0, 0.0)), (0, (1.0, 0.0, 0.0))):
            sign = _towards(way) > 0
            if self.low[axis] >= other.high[axis] - SAME:
                return sign
            if other.low[axis] >= self.high[axis] - SAME:
                return not sign
        return None

    @property
    def near(self) -> float:
        """How near its middle is to the viewer."""
        x, y, z = ((a + b) / 2 for a, b in zip(self.low, self.high, strict=True))
        return _towards((x, y, z))

    def faces(self) -> Iterator[tuple[list[list[Vec3]], list[tuple[Vec3, Vec3]]]]:
        """Each face that is seen, the farther first: its rings, the outer one first, and its edges."""
        frame, height = self.prism.frame, self.prism.height
        ring = _ring(self.prism.region.outer)
        ways = [(b[1] - a[1], a[0] - b[0]) for a, b in pairwise([*ring, ring[0]])]
        seen = [_towards(frame.turn((*way, 0.0))) > 0 for way in ways]
        sides = []
        for place, (a, b) in enumerate(pairwise([*ring, ring[0]])):
            if seen[place]:
                quad = [frame.to_world((*p, z)) for p, z in ((a, 0.0), (b, 0.0), (b, height), (a, height))]
                edges = [(quad[0], quad[1]), (quad[2], quad[3])]
                for line, beside in (((quad[3], quad[0]), place - 1), ((quad[1], quad[2]), (place + 1) % len(ways))):
                    if not seen[beside] or _bend(ways[place], ways[beside]) > SMOOTH:
                        edges.append(line)
                sides.append((_towards(frame.to_world((*a, height / 2))), [quad], edges))
        for _, rings, edges in sorted(sides, key=lambda one: one[0]):
            yield rings, edges
        level = height if _towards(frame.z_axis) > 0 else 0.0
        rings = [[frame.to_world((*p, level)) for p in _ring(loop)] for loop in self.prism.region.loops]
        yield rings, [pair for ring in rings for pair in pairwise([*ring, ring[0]])]


def _bend(a: Point, b: Point) -> float:
    return abs(math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]))


def _farthest_first(solids: Sequence[tuple[_Solid, float]]) -> Iterator[tuple[_Solid, float]]:
    """So that none hides one that comes after it; where all are hidden by another, the farthest middle."""
    left = sorted(solids, key=lambda one: one[0].near)
    while left:
        free = (
            one for one in left
            if not any(one[0].hides(other[0]) for other in left if other is not one)
        )  # fmt: skip
        chosen = next(free, left[0])
        left.remove(chosen)
        yield chosen
