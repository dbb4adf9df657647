"""What a sheet of paper holds: strokes, fills and texts in mm, X to the right, Y up from the lower left corner."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from typing import TypeAlias

from platemaker.plane import Arc, Box, Circle, Line, Loop, Point
from platemaker.views._ink._lettering import FALL, RISE, width_of


class Pen(Enum):
    """Kinds of lines (ISO 128-2:2020): width and lengths of dash and gap by turns, mm.

    Wide lines are twice as wide as narrow ones; dashes and gaps follow the standard's multiples of the width in
    round numbers (from memory).
    """

    WIDE = (0.5, ())
    NARROW = (0.25, ())
    HIDDEN = (0.25, (2.4, 1.0))
    HIDDEN_SMALL = (0.18, (1.0, 0.5))
    WIDE_SMALL = (0.3, ())
    CENTRE = (0.18, (6.0, 1.0, 0.6, 1.0))
    PLANE = (0.25, (8.0, 1.2, 0.8, 1.2))
    PLANE_END = (0.7, ())
    BEND = (0.25, (8.0, 1.0, 0.6, 1.0, 0.6, 1.0))
    FINE = (0.13, ())

    @property
    def width(self) -> float:
        """Width, mm."""
        return float(self.value[0])

    @property
    def dashes(self) -> tuple[float, ...]:
        """Dash, gap, dash, gap ... mm; empty for a continuous line."""
        return tuple(self.value[1])


class Align(Enum):
    """Which point of a text's line stands at its place."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True)
class Stroke:
    """A run of lines and arcs, each beginning where the one before ends, or one whole circle."""

    run: tuple[Line | Arc, ...] | Circle
    pen: Pen
    closed: bool = False


SMALL_HIDDEN, SMALL_CIRCLE = 8.0, 3.2
"""Hidden figures narrower, and circles of less diameter, mm, are drawn by a finer pen, to keep them apart."""


def finely(ink: Ink) -> Ink:
    """Ink whose small hidden figures have short dashes and whose small circles are lighter."""
    if isinstance(ink, Clip):
        return replace(ink, ink=tuple(finely(one) for one in ink.ink))
    if not isinstance(ink, Stroke):
        return ink
    if ink.pen is Pen.WIDE and isinstance(ink.run, Circle) and 2 * ink.run.radius < SMALL_CIRCLE:
        return replace(ink, pen=Pen.WIDE_SMALL)
    if ink.pen is Pen.HIDDEN and _narrowest(ink) < SMALL_HIDDEN:
        return replace(ink, pen=Pen.HIDDEN_SMALL)
    return ink


def _narrowest(stroke: Stroke) -> float:
    """The lesser side of a figure's box; of a line its length."""
    if isinstance(stroke.run, Circle):
        return 2 * stroke.run.radius
    boxes = [edge.bounds for edge in stroke.run]
    wide = max(box[2] for box in boxes) - min(box[0] for box in boxes)
    high = max(box[3] for box in boxes) - min(box[1] for box in boxes)
    return min(wide, high) if stroke.closed else max(wide, high)


@dataclass(frozen=True)
class Fill:
    """A filled polygon: `shade` 0 is black, 1 white."""

    points: tuple[Point, ...]
    shade: float = 0.0


@dataclass(frozen=True)
class Text:
    """A line of letters of `size`, mm. `turned` stands on its side and reads from below to above."""

    text: str
    at: Point
    size: float
    align: Align = Align.START
    turned: bool = False

    @property
    def width(self) -> float:
        """Length of the line, mm."""
        return width_of(self.text, self.size)

    @property
    def start(self) -> Point:
        """Where the first letter begins."""
        back = {Align.START: 0.0, Align.MIDDLE: 0.5, Align.END: 1.0}[self.align] * self.width
        x, y = self.at
        return (x, y - back) if self.turned else (x - back, y)

    @property
    def box(self) -> Box:
        """The box that holds its letters, mm."""
        (x, y), wide, up, down = self.start, self.width, RISE * self.size, FALL * self.size
        return (x - up, y, x + down, y + wide) if self.turned else (x, y - down, x + wide, y + up)


@dataclass(frozen=True)
class Clip:
    """Ink, moved by `shift`, of which only what lies in `box` is seen."""

    box: Box
    ink: tuple[Ink, ...]
    shift: Point = (0.0, 0.0)


Ink: TypeAlias = "Stroke | Fill | Text | Clip"


@dataclass(frozen=True)
class Page:
    """A sheet: width and height, mm, and what is on it, painted in this order."""

    width: float
    height: float
    ink: tuple[Ink, ...]

    @property
    def texts(self) -> tuple[Text, ...]:
        """All texts on the sheet, those in clips too."""
        return tuple(texts_in(self.ink))


def texts_in(ink: Iterable[Ink]) -> Iterator[Text]:
    """The texts among some ink."""
    for one in ink:
        if isinstance(one, Text):
            yield one
        elif isinstance(one, Clip):
            dx, dy = one.shift
            yield from (replace(text, at=(text.at[0] + dx, text.at[1] + dy)) for text in texts_in(one.ink))


@dataclass(frozen=True)
class View:
    """A plane of a part laid on a sheet: `scale` paper mm for each mm, `origin` where its zero stands."""

    scale: float
    origin: Point

    def at(self, point: Point) -> Point:
        """Where a point of the part stands on the sheet."""
        return self.origin[0] + self.scale * point[0], self.origin[1] + self.scale * point[1]

    def box(self, box: Box) -> Box:
        """Where a box of the part stands on the sheet."""
        return *self.at((box[0], box[1])), *self.at((box[2], box[3]))

    def edge(self, edge: Line | Arc) -> Line | Arc:
        """A piece of the part on the sheet."""
        start, end = self.at(edge.start), self.at(edge.end)
        if isinstance(edge, Line):
            return Line(start, end)
        return Arc(start, end, self.at(edge.centre), self.scale * edge.radius, edge.ccw)

    def loop(self, loop: Loop, pen: Pen) -> Stroke:
        """A closed loop of the part."""
        whole = loop.as_circle()
        if whole is not None:
            return self.circle(whole.centre, whole.radius, pen)
        return Stroke(tuple(self.edge(edge) for edge in loop.edges), pen, closed=True)

    def circle(self, centre: Point, radius: float, pen: Pen) -> Stroke:
        """A whole circle of the part."""
        return Stroke(Circle(self.at(centre), self.scale * radius), pen)

    def line(self, start: Point, end: Point, pen: Pen) -> Stroke:
        """A straight line of the part."""
        return Stroke((Line(self.at(start), self.at(end)),), pen)

    def path(self, points: Iterable[Point], pen: Pen, *, closed: bool = False) -> Stroke:
        """Straight lines through points of the part."""
        return path([self.at(point) for point in points], pen, closed=closed)


def path(points: Iterable[Point], pen: Pen, *, closed: bool = False) -> Stroke:
    """Straight lines through points of the sheet."""
    row = list(points)
    if closed:
        row.append(row[0])
    return Stroke(tuple(Line(a, b) for a, b in itertools.pairwise(row)), pen, closed)


def frame(box: Box, pen: Pen) -> Stroke:
    """A rectangle on the sheet."""
    x0, y0, x1, y1 = box
    return path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pen, closed=True)


def on_white(text: Text) -> Iterator[Ink]:
    """A text with white behind its letters, so that a line that passes does not cross them out."""
    (x0, y0, x1, y1), rim = text.box, 0.1 * text.size
    if text.turned:
        yield Fill(((x0, y0), (x1 - rim, y0), (x1 - rim, y1), (x0, y1)), 1.0)
    else:
        yield Fill(((x0, y0 + rim), (x1, y0 + rim), (x1, y1), (x0, y1)), 1.0)
    yield text


def arrow(tip: Point, towards: Point, length: float = 2.6) -> Fill:
    """A filled arrowhead whose tip stands at `tip` and points along the unit vector `towards`."""
    (x, y), (dx, dy), half = tip, towards, 0.17 * length
    base = (x - length * dx, y - length * dy)
    return Fill((tip, (base[0] - half * dy, base[1] + half * dx), (base[0] + half * dy, base[1] - half * dx)))
