"""The belt and its pulleys as meshes of the stack: for looking at, nothing is measured on them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.parts import Stack
from platemaker.plane import Point
from platemaker.report._mesh import Mesh, prism_between
from platemaker.resolved import ResolvedBelt, resolved_stack

RUBBER, STEEL = "#2b2f33", "#a7adb2"
STEP = math.radians(6)
"""Angle between two corners of a round figure."""


def belt_meshes(stack: Stack) -> Iterator[Mesh]:
    """The belt as a band, and each pulley as a drum; none without a belt."""
    belt = resolved_stack(stack).belt
    if belt is None:
        return
    yield _band(belt)
    for place, one in enumerate(belt.pulleys):
        (x, y), half = belt.path.wheels[place].centre, (one.width or belt.belt.width) / 2
        turns = [STEP * k for k in range(round(math.tau / STEP))]
        ring = [(x + one.rim / 2 * math.cos(t), y + one.rim / 2 * math.sin(t)) for t in turns]
        yield _drum(f"pulley {one.name}", belt, ring, half, -belt.belt.off_line(one))


def _band(belt: ResolvedBelt) -> Mesh:
    """The belt's back as it stands, seen from both sides."""
    points: list[Point] = []
    for edge in belt.path.edges:
        count = 1 if edge.length < 1 or not hasattr(edge, "sweep") else max(2, math.ceil(edge.length / 5))
        points += [edge.point(k / count) for k in range(count)]
    half = belt.belt.width / 2
    vertices = [belt.belt.frame.to_world((x, y, side)) for side in (-half, half) for x, y in points]
    number = len(points)
    triangles = []
    for k in range(number):
        a, b = k, (k + 1) % number
        c, d = a + number, b + number
        triangles += [(a, b, c), (b, d, c), (a, c, b), (b, c, d)]
    return Mesh("belt", vertices, triangles, RUBBER)


def _drum(name: str, belt: ResolvedBelt, ring: Sequence[Point], half: float, at: float) -> Mesh:
    low, high = ([belt.belt.frame.to_world((x, y, at + side)) for x, y in ring] for side in (-half, half))
    return Mesh(name, *prism_between(low, high), STEEL)
