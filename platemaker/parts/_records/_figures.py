"""Spec shapes and patterns to exact figures of the plane."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise

from platemaker.errors import SpecError
from platemaker.plane import Loop, Point, self_contact
from platemaker.spec import (
    CirclePattern,
    CircleShape,
    Pattern,
    PointsPattern,
    RectanglePattern,
    RectangleShape,
    RowPattern,
    Shape,
    SlotShape,
)

GRID = 1e-6
"""Coordinates are rounded to this, mm, once: when they come in."""


def on_grid(value: float) -> float:
    """`value` rounded to the grid of spec coordinates, mm."""
    return round(value, 6) + 0.0


def turned(point: Point, at: Point, turn: float) -> Point:
    """`point` of a frame that is turned by `turn` degrees and moved to `at`, seen from outside."""
    if turn == 0.0:
        return point[0] + at[0], point[1] + at[1]
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return at[0] + c * point[0] - s * point[1], at[1] + s * point[0] + c * point[1]


def sharp_corners(shape: Shape) -> tuple[list[Point], list[float]]:
    """The sharp corners of a shape with their radii, mm, before placing: a circle has none."""
    if isinstance(shape, RectangleShape):
        w, h = shape.rectangle[0] / 2, shape.rectangle[1] / 2
        return [(-w, -h), (w, -h), (w, h), (-w, h)], [shape.corner_radius] * 4
    if isinstance(shape, SlotShape):
        w, h = shape.slot[0] / 2, shape.slot[1] / 2
        return [(-w, -h), (w, -h), (w, h), (-w, h)], [h] * 4
    if isinstance(shape, CircleShape):
        r = shape.circle / 2
        return [(-r, -r), (r, -r), (r, r), (-r, r)], [r] * 4
    return [(x, y) for x, y, _ in shape.loop], [radius for *_, radius in shape.loop]


def loop_of(shape: Shape, tag: str, at: Point = (0.0, 0.0), turn: float = 0.0) -> Loop:
    """The closed loop of a spec shape, its pieces named `tag`, in a frame at `at` turned by `turn` degrees.

    Raises SpecError for a loop that crosses or touches itself.
    """
    if isinstance(shape, CircleShape):
        x, y = turned(shape.at, at, turn)
        return Loop.circle((on_grid(x), on_grid(y)), shape.circle / 2, tag)
    if isinstance(shape, SlotShape):
        x, y = turned(shape.at, at, turn)
        return Loop.slot(*shape.slot, (on_grid(x), on_grid(y)), shape.turn + turn, tag)
    corners, radii = sharp_corners(shape)
    points = placed_points(corners, shape.at, shape.turn, at, turn)
    for point, following in pairwise((*points, points[0])):
        if math.dist(point, following) < GRID:
            problem = f"two corners of one outline lie at ({point[0]:g}, {point[1]:g})"
            raise SpecError(problem, allowed="each corner once")
    loop = Loop.rounded(points, radii, tag)
    if (met := self_contact(loop)) is not None:
        problem = f"an outline crosses or touches itself at ({met[0]:z.3f}, {met[1]:z.3f})"
        raise SpecError(problem, allowed="corners in their order round an outline that keeps clear of itself")
    return loop


def placed_points(points: Iterable[Point], own_at: Point, own_turn: float, at: Point, turn: float) -> list[Point]:
    """Points of a figure that is placed in a frame that is itself placed, rounded to the grid."""
    placed = [turned(turned(point, own_at, own_turn), at, turn) for point in points]
    return [(on_grid(x), on_grid(y)) for x, y in placed]


def spots_of(pattern: Pattern, surveyed: Mapping[str, Point] | None = None) -> dict[str, Point]:
    """The spots of a pattern by name, in its joint's frame, mm. `surveyed` are a survey's coordinates."""
    if isinstance(pattern, CirclePattern):
        step = 360.0 / pattern.count
        found = _numbered(
            turned((pattern.circle / 2, 0.0), (0.0, 0.0), pattern.start + step * i) for i in range(pattern.count)
        )
    elif isinstance(pattern, RectanglePattern):
        found = _numbered(_rectangle_spots(pattern))
    elif isinstance(pattern, RowPattern):
        found = _numbered((x, 0.0) for x in pattern.row)
    elif isinstance(pattern, PointsPattern):
        found = dict(pattern.points) if isinstance(pattern.points, dict) else _numbered(pattern.points)
    else:
        found = dict(surveyed or {})
    return {name: placed_points([point], pattern.at, pattern.turn, (0.0, 0.0), 0.0)[0] for name, point in found.items()}


def _numbered(points: Iterable[Point]) -> dict[str, Point]:
    return {str(number): point for number, point in enumerate(points, 1)}


def _rectangle_spots(pattern: RectanglePattern) -> list[Point]:
    """Counter-clockwise round the sides, from the corner at least X and least Y."""
    (w, h), (nx, ny) = pattern.rectangle, pattern.rows
    xs = [-w / 2 + w * i / (nx - 1) for i in range(nx)]
    ys = [-h / 2 + h * i / (ny - 1) for i in range(ny)]
    return [
        *((x, -h / 2) for x in xs),
        *((w / 2, y) for y in ys[1:]),
        *((x, h / 2) for x in reversed(xs[:-1])),
        *((-w / 2, y) for y in reversed(ys[1:-1])),
    ]
