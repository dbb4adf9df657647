"""Edges, loops, regions, circles and points moved, turned and mirrored. Tags stay with their pieces."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeVar

from platemaker.plane._shapes import Arc, Circle, Edge, Line, Loop, Point, Region
from platemaker.records import replace

Figure = TypeVar("Figure", bound=Point | Edge | Circle | Loop | Region)


def moved(figure: Figure, dx: float, dy: float) -> Figure:
    """The figure moved by (dx, dy), mm.

    >>> moved(Circle((1.0, 2.0), 3.0), 10.0, 0.0)
    Circle(centre=(11.0, 2.0), radius=3.0)
    """
    result: Figure = _mapped(figure, lambda p: (p[0] + dx, p[1] + dy), mirrors=False)
    return result


def rotated(figure: Figure, angle: float, about: Point = (0.0, 0.0)) -> Figure:
    """The figure turned counter-clockwise by `angle` degrees about a point; quarter turns are exact.

    >>> rotated((1.0, 0.0), 90.0)
    (0.0, 1.0)
    """
    quarters, rest = divmod(angle, 90.0)
    if rest == 0.0:
        c, s = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    else:
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    x0, y0 = about

    def turn(p: Point) -> Point:
        x, y = p[0] - x0, p[1] - y0
        return x0 + c * x - s * y, y0 + s * x + c * y

    result: Figure = _mapped(figure, turn, mirrors=False)
    return result


def mirrored(figure: Figure, angle: float = 90.0, about: Point = (0.0, 0.0)) -> Figure:
    """The figure mirrored in the line through `about` at `angle` degrees from X: 90 swaps left and right.

    Loops travel on in the same sense, so a counter-clockwise outline stays one.

    >>> mirrored((1.0, 2.0))
    (-1.0, 2.0)
    """
    x0, y0 = about
    flipped: Figure = _mapped(figure, lambda p: (p[0], 2 * y0 - p[1]), mirrors=True)
    return rotated(flipped, 2 * angle, (x0, y0))


def _mapped(figure: Any, rule: Callable[[Point], Point], *, mirrors: bool) -> Any:
    """The figure with every point sent through `rule`; one that mirrors turns arcs and loops about."""
    if isinstance(figure, Line):
        return replace(figure, start=rule(figure.start), end=rule(figure.end))
    if isinstance(figure, Arc):
        start, end, centre = rule(figure.start), rule(figure.end), rule(figure.centre)
        return replace(figure, start=start, end=end, centre=centre, ccw=figure.ccw != mirrors)
    if isinstance(figure, Circle):
        return Circle(rule(figure.centre), figure.radius)
    if isinstance(figure, Loop):
        loop = Loop(tuple(_mapped(edge, rule, mirrors=mirrors) for edge in figure.edges))
        return loop.reversed() if mirrors else loop
    if isinstance(figure, Region):
        outer, *holes = (_mapped(loop, rule, mirrors=mirrors) for loop in figure.loops)
        return Region(outer, tuple(holes))
    return rule(figure)
