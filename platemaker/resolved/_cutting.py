"""Cutting planes: upright planes square to X or Y, and where they meet regions, bores and cones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum
from itertools import pairwise

from platemaker.parts import Vec3
from platemaker.plane import Edge, Line, Loop, Point, Region
from platemaker.space import along, perpendiculars, sub

ALONG = 1e-9
"""Two directions whose sine or cosine is below this are parallel or square."""
SPOKES = 144
"""Lines along a bore whose crossings with an oblique plane stand for an ellipse: within 0.024 % of its radius."""
CORNER = 2e-6
"""A plane nearer than this, mm, to a corner of a region goes through it."""
NEAR = 1e-6
"""Points of a curve nearer than this, mm, are one."""


class Cutting(StrEnum):
    """The plane that cuts: square to Y, so that X runs to the right, or square to X, so that Y does."""

    ACROSS_Y = "y"
    ACROSS_X = "x"

    @property
    def fixed(self) -> int:
        """Which coordinate the plane holds fixed."""
        return 1 if self is Cutting.ACROSS_Y else 0

    def flat(self, point: Vec3) -> Point:
        """A point of the part as it is seen in the section."""
        return point[1 - self.fixed], point[2]

    def in_plan(self, along: float, at: float) -> Point:
        """The place in the plan of a point of the section."""
        return (along, at) if self is Cutting.ACROSS_Y else (at, along)


def crossings(region: Region, cutting: Cutting, at: float) -> list[tuple[float, float]]:
    """Where the plane meets a region: the pieces inside it, from and to, mm.

    >>> crossings(Region.of(Loop.rectangle(10, 4)), Cutting.ACROSS_Y, 0.5)
    [(-5.0, 5.0)]
    """
    # A plane through a corner or along an edge would meet it twice or not at all: it is laid a nanometre beside it.
    corner = any(abs(end - at) < CORNER for edge in region.edges for end in _ends(edge, cutting))
    level = at + 1.234e-6 if corner else at
    found = sorted(value for edge in region.edges for value in _meets(edge, cutting, level))
    return list(zip(found[::2], found[1::2], strict=False))


def _ends(edge: Edge, cutting: Cutting) -> Iterator[float]:
    """Where an edge begins and, of an arc, where its circle turns back, on the axis that the plane holds fixed."""
    fixed = cutting.fixed
    yield edge.start[fixed]
    if not isinstance(edge, Line):
        yield from (edge.centre[fixed] - edge.radius, edge.centre[fixed] + edge.radius)


def _meets(edge: Edge, cutting: Cutting, level: float) -> Iterator[float]:
    fixed, free = cutting.fixed, 1 - cutting.fixed
    if isinstance(edge, Line):
        before, after = edge.start[fixed] - level, edge.end[fixed] - level
        if (before < 0) != (after < 0):
            yield edge.start[free] + before / (before - after) * (edge.end[free] - edge.start[free])
        return
    off = level - edge.centre[fixed]
    half = half_chord(edge.radius, off)
    for sign in (-1.0, 1.0) if half > 0 else ():
        point = [0.0, 0.0]
        point[fixed], point[free] = off, sign * half
        if edge.covers(math.atan2(point[1], point[0])):
            yield edge.centre[free] + sign * half


def half_chord(radius: float, off: float) -> float:
    """Half of the chord of a circle at a distance from its centre, mm; 0 where there is none."""
    return math.sqrt(radius**2 - off**2) if abs(off) < radius else 0.0


def polygon(points: Sequence[Point]) -> Region:
    """The region within straight lines through points."""
    return Region.of(Loop.rounded(points))


def cut_round(
    ends: tuple[Vec3, Vec3], axis: Vec3, radii: tuple[float, float], cutting: Cutting, at: float
) -> Region | None:
    """The section of a round figure between two ends of its axis, each with its radius; None where there is none.

    A cylinder along the plane gives a rectangle, one square to it a circle, a cone through its axis a triangle. Every
    other section is bounded by ellipse or hyperbola; straight lines between points of it stand for these.
    """
    fixed, (start, end), (wide, narrow) = cutting.fixed, ends, radii
    off = start[fixed] - at
    if abs(axis[fixed]) > 1 - ALONG:
        share = -off / (end[fixed] - start[fixed])
        radius = wide + share * (narrow - wide)
        return Region.of(Loop.circle(cutting.flat(start), radius)) if 0 < share < 1 and radius > 0 else None
    if abs(axis[fixed]) < ALONG and (wide == narrow or abs(off) < ALONG):
        (u, z), (v, w), (du, dz) = cutting.flat(start), cutting.flat(end), cutting.flat(axis)
        a, b = half_chord(wide, off), half_chord(narrow, off)
        if a <= 0:
            return None
        tip = [(v - b * dz, w + b * du), (v + b * dz, w - b * du)] if b > 0 else [(v, w)]
        return polygon([(u - a * dz, z + a * du), *tip, (u + a * dz, z - a * du)])
    return _around([cutting.flat(point) for point in _pierced(ends, axis, radii, fixed, at)])


def _pierced(ends: tuple[Vec3, Vec3], axis: Vec3, radii: tuple[float, float], fixed: int, at: float) -> Iterator[Vec3]:
    """Points of a round figure's surface in a plane: on its straight lines along, and on the rims of its ends."""
    across = perpendiculars(axis)
    steep = math.hypot(across[0][fixed], across[1][fixed])
    middle = math.atan2(across[1][fixed], across[0][fixed])
    for end, radius in zip(ends, radii, strict=True):
        cosine = (at - end[fixed]) / (radius * steep) if radius > 0 else math.inf
        if abs(cosine) < 1:
            yield from (_rim(end, radius, across, middle + turn) for turn in (math.acos(cosine), -math.acos(cosine)))
    for spoke in range(SPOKES):
        a, b = (_rim(end, radius, across, spoke * math.tau / SPOKES) for end, radius in zip(ends, radii, strict=True))
        before, after = a[fixed] - at, b[fixed] - at
        if (before < 0) != (after < 0):
            yield along(a, before / (before - after), sub(b, a))


def _rim(centre: Vec3, radius: float, across: tuple[Vec3, Vec3], angle: float) -> Vec3:
    return along(along(centre, radius * math.cos(angle), across[0]), radius * math.sin(angle), across[1])


def _around(points: Sequence[Point]) -> Region | None:
    """The region within points of the boundary of a figure that bulges everywhere; None where they span none."""
    if len(points) < 3:
        return None
    x, y = (math.fsum(values) / len(points) for values in zip(*points, strict=True))
    ordered = sorted(points, key=lambda point: math.atan2(point[1] - y, point[0] - x))
    corners = [one for one, after in pairwise((*ordered, ordered[0])) if math.dist(one, after) > NEAR]
    found = polygon(corners) if len(corners) > 2 else None
    return found if found is not None and found.area > NEAR else None
