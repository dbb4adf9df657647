"""Small pieces of SVG: elements, numbers, exact paths of lines and arcs, strokes. Y points up in, down out."""

from __future__ import annotations

import base64
import math
from functools import cache
from html import escape

from platemaker.plane import Arc, Circle, Edge, Line, Loop, Point, Region
from platemaker.views._ink._model import Clip, EllipseCurve, Fill, Raster, Stroke


def number(value: float) -> str:
    """A coordinate with at most 6 decimals, the grid of the spec.

    >>> number(12.50), number(-1e-9)
    ('12.5', '0')
    """
    text = f"{value:z.6f}".rstrip("0").rstrip(".")
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


def shape(stroke: Stroke, **style: str | float | None) -> str:
    """A stroke as the simplest element that draws it."""
    run = stroke.run
    if isinstance(run, Circle):
        return element("circle", cx=run.centre[0], cy=-run.centre[1], r=run.radius, **style)
    if isinstance(run, EllipseCurve):
        (x, y), turn = run.centre, f"rotate({number(-run.angle)} {_point(run.centre)})" if run.angle else None
        return element("ellipse", cx=x, cy=-y, rx=run.first, ry=run.second, transform=turn, **style)
    if len(run) == 1 and isinstance(run[0], Line):
        (x1, y1), (x2, y2) = run[0].start, run[0].end
        return element("line", x1=x1, y1=-y1, x2=x2, y2=-y2, **style)
    return element("path", d=run_data(stroke), **style)


def run_data(stroke: Stroke) -> str:
    """A stroke as path data."""
    if isinstance(stroke.run, Circle):
        return path_data(Loop.circle(stroke.run.centre, stroke.run.radius))
    run = stroke.run.run if isinstance(stroke.run, EllipseCurve) else stroke.run
    # Z is the straight way back.
    drawn = run[:-1] if stroke.closed and isinstance(run[-1], Line) else run
    return f"M{_point(run[0].start)}{''.join(map(piece, drawn))}{'Z' if stroke.closed else ''}"


def fill_data(fill: Fill) -> str:
    """A filled polygon as path data."""
    return "M" + "L".join(map(_point, fill.points)) + "Z"


def raster(one: Raster) -> str:
    """A picture of dots; it stands in the file itself."""
    x0, y0, x1, y1 = one.box
    data = f"data:image/png;base64,{base64.b64encode(one.png).decode()}"
    return element("image", href=data, x=x0, y=-y1, width=x1 - x0, height=y1 - y0, preserveAspectRatio="none")


def clipped(clip: Clip, drawn: str, identity: str) -> str:
    """Markup of which only what lies in the clip's box is seen."""
    (x0, y0, x1, y1), (dx, dy) = clip.box, clip.shift
    window = element("rect", x=x0, y=-y1, width=x1 - x0, height=y1 - y0)
    moved = element("g", drawn, transform=f"translate({dx:.4f} {-dy:.4f})") if clip.shift != (0.0, 0.0) else drawn
    return element("clipPath", window, id=identity) + element("g", moved, clip_path=f"url(#{identity})")


def _point(point: Point) -> str:
    return f"{number(point[0])} {number(-point[1])}"
