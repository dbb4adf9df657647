"""What stands round a view: the SVG element itself, its hatching, and the size over all."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.resources import files

from platemaker.plane import Box, Point
from platemaker.records import Record, replace
from platemaker.views._ink._model import Group, Ink, Pen, Stroke, path
from platemaker.views._ink._page import hatch_id, markup
from platemaker.views._ink._svg import element
from platemaker.views._labels import Label
from platemaker.views._numbers import shown


class Sheet(Record):
    """How a view leaves: `identity` keeps its ids apart from those of other views on the same page.

    `alone` puts the stylesheet into it, so that the file can be opened by itself.
    """

    identity: str
    alone: bool = False


def letter_size(box: Box, letters: int) -> float:
    """Size of letters, mm, so that about `letters` of them are as wide as the view; tall views count by height."""
    return max(box[2] - box[0], 1.6 * (box[3] - box[1]), 1e-3) / letters


def finished(ink: Iterable[Ink], extent: Box, sheet: Sheet, words: str, unit: str = "mm", more_style: str = "") -> str:
    """A whole view as markup: `extent` is what it shows, in mm, Y up. Alone it has its style, and `more_style`."""
    x0, y0, x1, y1 = extent
    pitch = letter_size(extent, 68) * 0.55
    strokes = element("path", d=f"M0 0V{pitch:.6f}", class_="hatch")
    pattern = element(
        "pattern",
        strokes,
        id=hatch_id(sheet.identity),
        patternUnits="userSpaceOnUse",
        width=pitch,
        height=pitch,
        patternTransform="rotate(45)",
    )
    styles = "".join(map(stylesheet, filter(None, ("plan.css", more_style))))
    head = (element("style", styles) if sheet.alone else "") + element("defs", pattern)
    back = element("rect", x=x0, y=-y1, width=x1 - x0, height=y1 - y0, class_="back")
    return element(
        "svg",
        head + back + "".join(markup(ink, unit, sheet.identity)),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"{x0:.6f} {-y1:.6f} {x1 - x0:.6f} {y1 - y0:.6f}",
        class_="view",
        role="img",
        aria_label=words,
    )


def stylesheet(name: str) -> str:
    """A data file of this room as text."""
    return files("platemaker.views").joinpath("data", name).read_text(encoding="utf-8")


def size_lines(box: Box, size: float) -> tuple[Group, list[Label]]:
    """The size over all of a view: lines below and left of it, and their numbers."""
    x0, y0, x1, y1 = box
    low, left = y0 - 3.2 * size, x0 - 3.2 * size
    drawn = [path(((x0, low), (x1, low)), Pen.NARROW), path(((left, y0), (left, y1)), Pen.NARROW)]
    for at in (x0, x1):
        drawn += [path(((at, y0 - 0.8 * size), (at, low - 0.5 * size)), Pen.FINE), _tick((at, low), size)]
    for at in (y0, y1):
        drawn += [path(((x0 - 0.8 * size, at), (left - 0.5 * size, at)), Pen.FINE), _tick((left, at), size)]
    wide, high = shown(x1 - x0, named=False), shown(y1 - y0, named=False)
    below = Label(wide, ((x0 + x1) / 2, low - 0.9 * size), 0.0, size, "size", fixed=True)
    beside = Label(high, (left, (y0 + y1) / 2), 0.0, size, "size", fixed=True)
    shift = left - beside.width / 2 - 0.4 * size
    return Group(tuple(drawn), "sizes"), [below, replace(beside, anchor=(shift, beside.anchor[1]))]


def _tick(at: Point, size: float) -> Stroke:
    half = 0.35 * size
    return path(((at[0] - half, at[1] - half), (at[0] + half, at[1] + half)), Pen.WIDE, "tick")
