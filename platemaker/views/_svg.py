"""Small pieces of SVG: elements, numbers, and exact paths of lines and arcs. Y points up in, down out."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import cache
from html import escape

from platemaker.plane import Arc, Box, Edge, Loop, Point, Region


def number(value: float) -> str:
    """A coordinate with at most 6 decimals, the grid of the spec.

    >>> number(12.50), number(-1e-9)
    ('12.5', '0')
    """
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(tag: str, content: str = "", /, **attributes: str | float | None) -> str:
    """An element; a trailing underscore of an attribute's name is dropped, others become hyphens. `content` is markup.

    >>> element("text", "a", class_="tag", stroke_width=2.0, data_x=None)
    '<text class="tag" stroke-width="2">a</text>'
    """
    words = "".join(
        f' {_hyphened(name)}="{escape(value) if isinstance(value, str) else number(value)}"'
        for name, value in attributes.items()
        if value is not None
    )
    return f"<{tag}{words}>{content}</{tag}>"


@cache
def _hyphened(name: str) -> str:
    return name.rstrip("_").replace("_", "-")


def group(parts: Iterable[str], class_: str) -> str:
    """A `g` with a class round some markup; empty when there is nothing in it."""
    content = "".join(parts)
    return element("g", content, class_=class_) if content else ""


def path_data(loop: Loop) -> str:
    """A loop as path data: straight pieces L, arcs A with their own radius."""
    return f"M{_point(loop.edges[0].start)}{''.join(piece(edge) for edge in loop.edges)}Z"


def region_data(region: Region) -> str:
    """All loops of a region as one path; holes run the other way, so that both fill rules leave them open."""
    return "".join(path_data(loop) for loop in region.loops)


def edge_data(edge: Edge) -> str:
    """One piece as a path of its own."""
    return f"M{_point(edge.start)}{piece(edge)}"


def piece(edge: Edge) -> str:
    """The path command that travels one piece from where the pen stands."""
    if isinstance(edge, Arc):
        large = int(abs(edge.sweep) > math.pi)
        # Counter-clockwise with Y up is what SVG, with Y down, calls the negative angle direction.
        return f"A{number(edge.radius)} {number(edge.radius)} 0 {large} {int(not edge.ccw)} {_point(edge.end)}"
    return f"L{_point(edge.end)}"


def polyline_data(points: Iterable[Point], *, closed: bool = False) -> str:
    """Straight pieces through points."""
    return "M" + "L".join(_point(point) for point in points) + ("Z" if closed else "")


def line(start: Point, end: Point, class_: str | None = None) -> str:
    """A straight line."""
    return element("line", x1=start[0], y1=-start[1], x2=end[0], y2=-end[1], class_=class_)


def circle(centre: Point, radius: float, class_: str | None = None) -> str:
    """A whole circle."""
    return element("circle", cx=centre[0], cy=-centre[1], r=radius, class_=class_)


def rectangle(box: Box, class_: str | None = None) -> str:
    """A rectangle that fills a box."""
    x0, y0, x1, y1 = box
    return element("rect", x=x0, y=-y1, width=x1 - x0, height=y1 - y0, class_=class_)


def _point(point: Point) -> str:
    return f"{number(point[0])} {number(-point[1])}"
