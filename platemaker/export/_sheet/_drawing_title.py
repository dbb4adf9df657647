"""Border and title block of a drawing, of our own design: facts in cells, projection sign, scale bar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from platemaker.catalog import Family, ToleranceClass
from platemaker.export._sheet._drawing_faces import SealFace
from platemaker.export._sheet._drawing_words import Numbers, edge_words, stock_words
from platemaker.export._sheet._sheet_paper import MARGIN, Paper, Projection, scale_words
from platemaker.parts import Drafting, Part, Seal
from platemaker.plane import Box, Circle, Point
from platemaker.records import Record, field
from platemaker.resolved import Cutting
from platemaker.units import MM_PER_INCH, LengthUnit, Unit, convert
from platemaker.views import LEAST, Align, Fill, Ink, Pen, Stroke, Text, fitted, frame, known, path

CAPTION, FACT, NAME = LEAST, 3.6, 5.0
ROW, HEAD, WARNING = 9.4, 14.0, 7.0
"""Heights of rows, of the name's row and of the line about the checks, mm."""
TITLE_HEIGHT = HEAD + WARNING + 9 * ROW
"""Height of the whole block, mm."""


class About(Record):
    """What a drawing says of its part beside its shape.

    `volume` is that of the proved solid, mm3, None where it is not known; `standing` what the checks found, in a
    line, empty where that is nothing for the shop; `code` the eight hex digits of the part's spec; `drafting` what the
    spec says of all its drawings; `date` may be empty; `tolerances` the class of ISO 2768-1 for sizes without a
    tolerance of their own;
    `fits` zones of ISO 286 of bores, by hole; `positions` the diameters of the zones in which the axes of holes
    must lie, mm, by hole; `grooves` the O-rings by the names of their grooves; `faces` those that seal; `paper` the
    name of the sheet that was asked for, None for what is usual; `thin` the plane in the part's plan through its least
    metal, where this is thin; `making` are notes for making; `changes` lines of the list of revisions that have no name
    yet: since which one, and what.
    """

    project: str
    unit: str
    code: str
    projection: Projection
    volume: float | None = None
    date: str = ""
    standing: str = ""
    tolerances: ToleranceClass = ToleranceClass.MEDIUM
    fits: Mapping[str, str] = field(default_factory=dict)
    positions: Mapping[str, float] = field(default_factory=dict)
    grooves: Mapping[str, Seal] = field(default_factory=dict)
    faces: tuple[SealFace, ...] = ()
    paper: str | None = None
    thin: tuple[Cutting, float] | None = None
    drafting: Drafting = field(default_factory=Drafting)
    making: tuple[str, ...] = ()
    changes: tuple[tuple[str, str], ...] = ()

    @property
    def revision(self) -> str:
        """The revision's name; empty before the first."""
        return self.drafting.revision.name if self.drafting.revision else ""

    @property
    def state(self) -> str:
        """Which state of the part a sheet shows, in words."""
        return f"revision {self.revision}, spec {self.code}" if self.revision else f"spec {self.code}"

    def number(self, part: Part) -> str:
        """A part's drawing number; empty where the project has none."""
        return f"{self.drafting.number}-{part.name}" if self.drafting.number else ""

    @property
    def numbers(self) -> Numbers:
        """How lengths are written."""
        return Numbers(self.unit, self.tolerances)


def general_words(about: About) -> str:
    """The general tolerance in the title block."""
    return f"ISO 2768-{about.tolerances.value}"


def mass_words(part: Part, volume: float | None, unit: str = "mm") -> str:
    """The finished mass of a piece; density is the catalog's, kg/m3. Pounds where the unit is inch."""
    if volume is None or not part.made:
        return "–"
    grams = volume * part.material.density * 1e-6
    if unit == LengthUnit.INCH:
        return f"{convert(grams, Unit.GRAM, Unit.POUND):.3f} lb"
    return f"{grams / 1000:.3f} kg" if grams >= 100 else f"{grams:.1f} g"


def title_ink(part: Part, about: About, paper: Paper, scale: float, sheet: tuple[int, int]) -> Iterator[Ink]:
    """The title block in the lower right corner."""
    x0, y0, x1, _ = paper.words
    top = y0 + TITLE_HEIGHT
    yield frame((x0, y0, x1, top), Pen.WIDE)
    if about.standing:
        yield from _warning((x0, top - WARNING, x1, top), about.standing)
        top -= WARNING
    yield from _name((x0, y0 + TITLE_HEIGHT - WARNING - HEAD, x1, top), part)
    rows = _facts(part, about, paper, scale, sheet)
    for number, cells in enumerate(rows):
        high = y0 + (len(rows) - number) * ROW
        yield path(((x0, high), (x1, high)), Pen.NARROW)
        left = x0
        for place, (share, words, fact) in enumerate(cells):
            right = left + share * (x1 - x0)
            if place:
                yield path(((left, high), (left, high - ROW)), Pen.NARROW)
            yield from _cell((left, high - ROW, right, high), words, fact)
            left = right
    sign = (x1 - 11.5, y0 + 0.33 * ROW)
    yield from projection_ink(sign, about.projection)


Cells = tuple[tuple[float, str, str], ...]


def _facts(part: Part, about: About, paper: Paper, scale: float, sheet: tuple[int, int]) -> tuple[Cells, ...]:
    """The rows below the name. What the spec leaves out is empty: a blank to fill by hand."""
    numbers, drafting = about.numbers, about.drafting
    quantity = str(part.quantity) if part.made else "existing"
    return (
        ((1.0, "PROJECT", about.project),),
        ((0.5, "OWNER", drafting.owner), (0.5, "DRAWING NUMBER", about.number(part))),
        ((0.3, "REVISION", about.revision), (0.35, "SPEC CODE", about.code), (0.35, "DATE", about.date)),
        ((0.5, "DRAWN", drafting.drawn), (0.5, "CHECKED", drafting.checked)),
        ((0.65, "MATERIAL", part.material.name), (0.35, "MASS", mass_words(part, about.volume, about.unit))),
        (
            (0.65, f"SIZE OVER ALL, {numbers.named}", stock_words(part, numbers)),
            (0.35, "QUANTITY", quantity),
        ),
        ((0.5, "FINISH", _surface(part, part.finish)), (0.5, "TREATMENT", _surface(part, part.treatment))),
        ((0.5, "GENERAL TOLERANCES", general_words(about)), (0.5, "SHARP EDGES", edge_words(part, numbers))),
        (
            (0.17, "SCALE", scale_words(scale)),
            (0.14, "UNIT", numbers.named),
            (0.19, "SHEET", f"{sheet[0]} of {sheet[1]}"),
            (0.18, "PAPER", paper.name),
            (0.32, about.projection.value.split("-")[0].upper() + " ANGLE", ""),
        ),
    )


def _surface(part: Part, words: str) -> str:
    """Finish or treatment; that of sheet for gaskets and of castings that exist is not for the shop to fill in."""
    return words or ("–" if not part.made or part.material.family is Family.GASKET else "")


def _cell(box: Box, words: str, fact: str) -> Iterator[Ink]:
    x0, y0, x1, y1 = box
    caption, small = fitted(words, CAPTION, x1 - x0 - 2)
    yield Text(caption, (x0 + 1.2, y1 - 3.5), small)
    text, size = fitted(fact, FACT, x1 - x0 - 2.4)
    if text:
        yield Text(text, (x0 + 1.2, y0 + 1.4), size)


def _name(box: Box, part: Part) -> Iterator[Ink]:
    x0, y0, x1, _ = box
    title, size = fitted(part.title, NAME, x1 - x0 - 3)
    yield Text(title, (x0 + 1.5, y0 + 7.6), size)
    name, small = fitted(part.name, FACT, x1 - x0 - 3)
    yield Text(name, (x0 + 1.5, y0 + 1.8), small)


def _warning(box: Box, standing: str) -> Iterator[Ink]:
    x0, y0, x1, y1 = box
    yield path(((x0, y0), (x1, y0)), Pen.NARROW)
    yield Fill(((x0, y0), (x0 + 3, y0), (x0 + 3, y1), (x0, y1)))
    text, size = fitted(standing, FACT, x1 - x0 - 6)
    yield Text(text, (x0 + 4.5, (y0 + y1) / 2 - 1.0), size)


def projection_ink(at: Point, projection: Projection) -> Iterator[Ink]:
    """The sign of a projection (ISO 5456-2:1996): a cone's side and, left or right of it, its end."""
    x, y = at[0], at[1] - 0.4
    big, small, length, gap = 1.9, 0.95, 5.0, 8.0
    first = projection is Projection.FIRST_ANGLE
    side, end = (x - gap / 2 - 1, x + gap / 2 + 1) if first else (x + gap / 2 + 1, x - gap / 2 - 1)
    # In first angle the end view stands beyond the wide end, in third angle beside the narrow end that it shows.
    left, right = side - length / 2, side + length / 2
    yield path(((left, y - small), (right, y - big), (right, y + big), (left, y + small)), Pen.WIDE, closed=True)
    yield Stroke(Circle((end, y), big), Pen.WIDE)
    yield Stroke(Circle((end, y), small), Pen.WIDE)
    for start, stop in ((left - 1, right + 1), (end - big - 1, end + big + 1)):
        yield path(((start, y), (stop, y)), Pen.CENTRE)
    yield path(((end, y - big - 0.8), (end, y + big + 0.8)), Pen.CENTRE)


def border_ink(paper: Paper) -> Iterator[Ink]:
    """The border, a rule beside or over the words, and marks in the middle of each side."""
    yield frame((MARGIN, MARGIN, paper.width - MARGIN, paper.height - MARGIN), Pen.WIDE)
    x0 = paper.words[0]
    if paper.strip:
        yield path(((MARGIN, MARGIN + paper.strip), (paper.width - MARGIN, MARGIN + paper.strip)), Pen.NARROW)
    else:
        yield path(((x0, MARGIN), (x0, paper.height - MARGIN)), Pen.NARROW)
    for x in (MARGIN, paper.width - MARGIN):
        way = 4.0 if x == MARGIN else -4.0
        yield path(((x - way, paper.height / 2), (x, paper.height / 2)), Pen.NARROW)
    for y in (MARGIN, paper.height - MARGIN):
        way = 4.0 if y == MARGIN else -4.0
        yield path(((paper.width / 2, y - way), (paper.width / 2, y)), Pen.NARROW)


def scale_bar_ink(at: Point, scale: float, unit: str) -> Iterator[Ink]:
    """A bar of a round length of the part, so that a print that was shrunk shows it; `at` is its left end."""
    inch = unit == "in"
    one = MM_PER_INCH if inch else 10.0
    count = next((n for n in (100, 50, 20, 10, 5, 2, 1) if n * one * scale <= 60), 1)
    parts, length = (count if count <= 5 else 5), count * one * scale
    x, y = at
    for number in range(parts):
        left, right = x + number * length / parts, x + (number + 1) * length / parts
        yield frame((left, y, right, y + 1.6), Pen.NARROW)
        if number % 2 == 0:
            yield Fill(((left, y), (right, y), (right, y + 1.6), (left, y + 1.6)))
    words = f"{count} in of the part" if inch else f"{count * 10} mm of the part"
    yield Text(known(words), (x + length + 2, y - 0.4), LEAST, Align.START)
