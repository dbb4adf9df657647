"""The hull of discs: the shortest closed run of lines and arcs round a set of circles."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.errors import GeometryError
from platemaker.parts._records._figures import GRID, on_grid
from platemaker.plane import Arc, Circle, Line, Loop, Point

LEVEL = 1e-9
"""Discs that reach as low as each other to this, mm, as those of a turned row do, begin with the first of the row; and
directions that differ by less, radians, are one."""


def hull_of_discs(discs: Sequence[Circle], tag: str = "") -> Loop:
    """The convex hull of `discs` as one counter-clockwise loop of tangent lines and arcs.

    Their centres are taken on the grid of coordinates, so that a spot of two joints is one disc. Found by turning a
    tangent line round the discs (gift wrapping). Raises GeometryError without any disc.
    """
    placed = dict.fromkeys(Circle((on_grid(one.centre[0]), on_grid(one.centre[1])), one.radius) for one in discs)
    outer = [disc for disc in placed if not any(_holds(other, disc) for other in placed)]
    if not outer:
        message = "a hull needs at least one disc"
        raise GeometryError(message)
    stops = _without_flats(_wrapped(outer)) if len(outer) > 1 else [(outer[0], 0.0)]
    if len(stops) == 1:
        disc = stops[0][0]
        return Loop.circle(disc.centre, disc.radius, tag)
    edges: list[Line | Arc] = []
    for i, (disc, angle) in enumerate(stops):
        before, leaving = stops[i - 1], angle
        entering = before[1]
        start, end = _on(disc, entering), _on(disc, leaving)
        edges.append(Arc(start, end, disc.centre, disc.radius, True, tag))
        edges.append(Line(end, _on(stops[(i + 1) % len(stops)][0], leaving), tag))
    return Loop(tuple(edges))


def _without_flats(stops: list[tuple[Circle, float]]) -> list[tuple[Circle, float]]:
    """The stops but those that the line to the next one only grazes, as the grid sets discs of a turned row off it."""
    turns = [(angle - stops[i - 1][1]) % math.tau for i, (_, angle) in enumerate(stops)]
    return [stop for stop, turn in zip(stops, turns, strict=True) if stop[0].radius * turn > GRID]


def _wrapped(discs: list[Circle]) -> list[tuple[Circle, float]]:
    """Discs in order round the hull, each with the outward direction (radians) of the tangent line that leaves it."""
    lowest = min(disc.centre[1] - disc.radius for disc in discs)
    # The row's first disc is a corner; the line along the row may pass those between by.
    row = (disc for disc in discs if disc.centre[1] - disc.radius <= lowest + LEVEL)
    first = min(row, key=lambda disc: disc.centre[0])
    at, angle = first, -math.pi / 2
    stops: list[tuple[Circle, float]] = []
    for _ in range(2 * len(discs)):  # a hull of n discs has 2 n - 1 stops at most
        here, facing = at, angle
        turn, at = min(
            ((_turn_to(here, other, facing), other) for other in discs if other != here),
            key=lambda pair: (pair[0], -math.dist(here.centre, pair[1].centre)),
        )
        angle += turn
        if angle > 3 * math.pi / 2 - LEVEL and stops and here == first:
            return stops
        stops.append((here, angle))
    message = "no closed outline goes round these discs"
    raise GeometryError(message)


def _turn_to(a: Circle, b: Circle, angle: float) -> float:
    """How far the outward direction must turn on, from `angle`, until one line touches both discs, radians."""
    dx, dy = b.centre[0] - a.centre[0], b.centre[1] - a.centre[1]
    normal = math.atan2(dy, dx) - math.acos(max(-1.0, min(1.0, (a.radius - b.radius) / math.hypot(dx, dy))))
    turn = (normal - angle) % math.tau
    return 0.0 if turn > math.tau - LEVEL else turn


def _on(disc: Circle, angle: float) -> Point:
    return disc.centre[0] + disc.radius * math.cos(angle), disc.centre[1] + disc.radius * math.sin(angle)


def _holds(a: Circle, b: Circle) -> bool:
    """Whether disc a holds another disc b inside it."""
    return a != b and math.dist(a.centre, b.centre) <= a.radius - b.radius
