"""What pictures are made of: lines, arcs, areas, hatches and texts in mm, X to the right, Y up.

Paper is drawn with the pens that these name; the page's stylesheet gives colours by their `look`, words of classes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from enum import Enum
from functools import cached_property
from typing import TypeAlias

from platemaker.plane import Arc, Box, Circle, Edge, Line, Loop, Point, Region, rotated
from platemaker.records import Record, replace
from platemaker.resolved import Cutting, crossings
from platemaker.views._ink._lettering import FALL, RISE, width_of

HATCH_PITCH, HATCH_TURN = 2.6, 45.0
"""Distance between hatch lines on paper, mm, and their slope, degrees."""


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


class EllipseCurve(Record):
    """A whole ellipse: half axes, mm, and the angle of the first from X, degrees."""

    centre: Point
    first: float
    second: float
    angle: float = 0.0

    @cached_property
    def run(self) -> tuple[Line, ...]:
        """Its outline as straight pieces."""
        (x, y), (u, v) = self.centre, (math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle)))
        along = [(self.first * math.cos(t), self.second * math.sin(t)) for t in (k * math.tau / 72 for k in range(73))]
        return _lines((x + a * u - b * v, y + a * v + b * u) for a, b in along)


class Stroke(Record):
    """A run of lines and arcs, each beginning where the one before ends, or one whole circle or ellipse."""

    run: tuple[Edge, ...] | Circle | EllipseCurve
    pen: Pen
    closed: bool = False
    look: str = ""

    @property
    def boxes(self) -> list[Box]:
        """The boxes of its pieces."""
        run = self.run.run if isinstance(self.run, EllipseCurve) else self.run
        return [run.bounds] if isinstance(run, Circle) else [edge.bounds for edge in run]

    @property
    def bounds(self) -> Box:
        """The box that holds it."""
        x0, y0, x1, y1 = zip(*self.boxes, strict=True)
        return min(x0), min(y0), max(x1), max(y1)


class Area(Record):
    """A region by its outlines. The page fills it, with `tint` of its full colour; paper shows the outlines alone."""

    outlines: tuple[Stroke, ...]
    look: str
    tint: float | None = None


class Hatch(Record):
    """Hatching over a region of a part that is laid on the sheet by a view."""

    region: Region
    view: View
    look: str

    @property
    def lines(self) -> Iterator[Stroke]:
        """Slanting lines: where level lines meet the region turned back, turned again."""
        pitch = HATCH_PITCH / self.view.scale
        level_face = rotated(self.region, -HATCH_TURN)
        _, low, _, high = level_face.bounds
        for row in range(math.ceil(low / pitch), math.ceil(high / pitch)):
            for u0, u1 in crossings(level_face, Cutting.ACROSS_Y, row * pitch):
                ends = rotated(Line((u0, row * pitch), (u1, row * pitch)), HATCH_TURN)
                yield Stroke((self.view.edge(ends),), Pen.FINE)


class Group(Record):
    """Ink that the page marks together."""

    ink: tuple[Ink, ...]
    look: str


SMALL_HIDDEN, SMALL_CIRCLE = 8.0, 3.2
"""Hidden figures narrower, and circles of less diameter, mm, are drawn by a finer pen, to keep them apart."""


def on_paper(ink: Iterable[Ink]) -> Iterator[Stroke | Fill | Text | Clip | Raster]:
    """Ink as a sheet shows it: areas by their outlines, hatches by their lines, groups opened."""
    for one in ink:
        if isinstance(one, Area):
            yield from one.outlines
        elif isinstance(one, Hatch):
            yield from one.lines
        elif isinstance(one, Group):
            yield from on_paper(one.ink)
        elif isinstance(one, Clip):
            yield replace(one, ink=tuple(on_paper(one.ink)))
        else:
            yield one


def finely(ink: Iterable[Ink]) -> Iterator[Ink]:
    """Ink on paper whose small hidden figures have short dashes and whose small circles are lighter."""
    for one in on_paper(ink):
        if isinstance(one, Clip):
            yield replace(one, ink=tuple(finely(one.ink)))
        elif isinstance(one, Stroke):
            yield replace(one, pen=_finer(one))
        else:
            yield one


def _finer(stroke: Stroke) -> Pen:
    if stroke.pen is Pen.WIDE and isinstance(stroke.run, Circle) and 2 * stroke.run.radius < SMALL_CIRCLE:
        return Pen.WIDE_SMALL
    if stroke.pen is Pen.HIDDEN and _narrowest(stroke) < SMALL_HIDDEN:
        return Pen.HIDDEN_SMALL
    return stroke.pen


def _narrowest(stroke: Stroke) -> float:
    """The lesser side of a figure's box; of a line its length."""
    x0, y0, x1, y1 = stroke.bounds
    sides = x1 - x0, y1 - y0
    return min(sides) if stroke.closed else max(sides)


class Fill(Record):
    """A filled polygon: `shade` 0 is black, 1 white."""

    points: tuple[Point, ...]
    shade: float = 0.0
    look: str = ""


class Text(Record):
    """A line of letters of `size`, mm. `turned` stands on its side and reads from below to above.

    `inch` is what the page shows instead where its reader wants inches.
    """

    text: str
    at: Point
    size: float
    align: Align = Align.START
    turned: bool = False
    look: str = ""
    inch: str | None = None

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


class Clip(Record):
    """Ink, moved by `shift`, of which only what lies in `box` is seen."""

    box: Box
    ink: tuple[Ink, ...]
    shift: Point = (0.0, 0.0)


class Raster(Record):
    """A picture of dots, a PNG, that fills a box, mm."""

    png: bytes
    box: Box


Ink: TypeAlias = "Stroke | Fill | Text | Clip | Area | Hatch | Group | Raster"


class Page(Record):
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
    for one in on_paper(ink):
        if isinstance(one, Text):
            yield one
        elif isinstance(one, Clip):
            dx, dy = one.shift
            yield from (replace(text, at=(text.at[0] + dx, text.at[1] + dy)) for text in texts_in(one.ink))


class View(Record):
    """A plane of a part laid on a sheet: `scale` paper mm for each mm, `origin` where its zero stands."""

    scale: float
    origin: Point

    def at(self, point: Point) -> Point:
        """Where a point of the part stands on the sheet."""
        return self.origin[0] + self.scale * point[0], self.origin[1] + self.scale * point[1]

    def box(self, box: Box) -> Box:
        """Where a box of the part stands on the sheet."""
        return *self.at((box[0], box[1])), *self.at((box[2], box[3]))

    def edge(self, edge: Edge) -> Edge:
        """A piece of the part on the sheet."""
        start, end = self.at(edge.start), self.at(edge.end)
        if isinstance(edge, Line):
            return Line(start, end)
        return Arc(start, end, self.at(edge.centre), self.scale * edge.radius, edge.ccw)

    def loop(self, loop: Loop, pen: Pen, look: str = "") -> Stroke:
        """A closed loop of the part."""
        whole = loop.as_circle()
        if whole is not None:
            return self.circle(whole.centre, whole.radius, pen, look)
        return Stroke(tuple(self.edge(edge) for edge in loop.edges), pen, True, look)

    def area(self, region: Region, pen: Pen, look: str, tint: float | None = None) -> Area:
        """A region of the part."""
        return Area(tuple(self.loop(loop, pen) for loop in region.loops), look, tint)

    def circle(self, centre: Point, radius: float, pen: Pen, look: str = "") -> Stroke:
        """A whole circle of the part."""
        return Stroke(Circle(self.at(centre), self.scale * radius), pen, look=look)

    def line(self, start: Point, end: Point, pen: Pen, look: str = "") -> Stroke:
        """A straight line of the part."""
        return Stroke((Line(self.at(start), self.at(end)),), pen, look=look)

    def cross(self, centre: Point, reach: float, pen: Pen, look: str = "") -> Iterator[Stroke]:
        """A level and an upright line of the part through a point, each `reach` long to either side."""
        x, y = centre
        yield self.line((x - reach, y), (x + reach, y), pen, look)
        yield self.line((x, y - reach), (x, y + reach), pen, look)

    def path(self, points: Iterable[Point], pen: Pen, look: str = "", *, closed: bool = False) -> Stroke:
        """Straight lines through points of the part."""
        return path([self.at(point) for point in points], pen, look, closed=closed)


TRUE = View(1.0, (0.0, 0.0))
"""A part in true size, its zero in the sheet's corner."""


def path(points: Iterable[Point], pen: Pen, look: str = "", *, closed: bool = False) -> Stroke:
    """Straight lines through points of the sheet."""
    row = list(points)
    return Stroke(_lines([*row, row[0]] if closed else row), pen, closed, look)


def _lines(points: Iterable[Point]) -> tuple[Line, ...]:
    return tuple(Line(a, b) for a, b in itertools.pairwise(points))


def frame(box: Box, pen: Pen, look: str = "") -> Stroke:
    """A rectangle on the sheet."""
    x0, y0, x1, y1 = box
    return path(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pen, look, closed=True)


def on_white(text: Text) -> Iterator[Ink]:
    """A text with white behind its letters, so that a line that passes does not cross them out."""
    (x0, y0, x1, y1), rim = text.box, 0.1 * text.size
    if text.turned:
        yield Fill(((x0, y0), (x1 - rim, y0), (x1 - rim, y1), (x0, y1)), 1.0)
    else:
        yield Fill(((x0, y0 + rim), (x1, y0 + rim), (x1, y1), (x0, y1)), 1.0)
    yield text


def arrow(tip: Point, towards: Point, length: float = 2.6, look: str = "", *, slim: float = 0.17) -> Fill:
    """A filled arrowhead whose tip stands at `tip` and points along the unit vector `towards`."""
    (x, y), (dx, dy), half = tip, towards, slim * length
    base = (x - length * dx, y - length * dy)
    return Fill(
        (tip, (base[0] - half * dy, base[1] + half * dx), (base[0] + half * dy, base[1] - half * dx)), look=look
    )
