"""The paper template: a part in true size, tiled over pages, to be stuck on the metal and punched through."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from platemaker.export._drawing import plan_of
from platemaker.export._drawing_ordinates import datum_of
from platemaker.export._drawing_plan import marks_ink, plan_ink
from platemaker.export._drawing_tags import bend_labels, tag_ink
from platemaker.export._drawing_title import About
from platemaker.export._lettering import fitted, known
from platemaker.export._sheet_ink import Clip, Ink, Page, Pen, Stroke, Text, View, finely, frame, path
from platemaker.export._sheet_paper import papers
from platemaker.parts import Hole, Part, flat_pattern
from platemaker.plane import Box, Point
from platemaker.views import hole_tags

EDGE, FOOT, LAP, AIR = 10.0, 25.0, 14.0, 8.0
"""Margin that printers leave white; room for bars and words; lap of two pages; room round the part, mm."""
PUNCH = 4.0
"""Half the length of a punch cross, mm."""
BAR_MM, BAR_INCH = 100.0, 101.6
"""Lengths of the check bars: 100 mm, and 4 in."""
TRUE = View(1.0, (0.0, 0.0))


@dataclass(frozen=True)
class Tile:
    """A page of the template: its place among the others from 0, and what box of the part it shows, mm."""

    row: int
    column: int
    box: Box


@dataclass(frozen=True)
class Tiling:
    """How a part is spread over pages: the page's size, its window, and the tiles row by row from the top."""

    width: float
    height: float
    tiles: tuple[Tile, ...]
    rows: int
    columns: int

    @property
    def corner(self) -> Point:
        """The window's lower left corner on each page."""
        return EDGE, EDGE + FOOT

    def shift(self, tile: Tile) -> Point:
        """From a place in the part's plan to its place on the tile's page."""
        return self.corner[0] - tile.box[0], self.corner[1] - tile.box[1]


def tiling_of(part: Part, unit: str, chosen: str | None = None) -> Tiling:
    """The fewest pages of the paper chosen, else A4 or Letter, lying or standing, that hold a part in true size."""
    paper = papers(unit, chosen)[0]
    long, short = paper.width, paper.height
    x0, y0, x1, y1 = plan_of(part).bounds
    box = (x0 - AIR, y0 - AIR, x1 + AIR, y1 + AIR)
    return min((_tiled(box, *size) for size in ((long, short), (short, long))), key=lambda one: len(one.tiles))


def _tiled(box: Box, width: float, height: float) -> Tiling:
    wide, high = width - 2 * EDGE, height - 2 * EDGE - FOOT
    columns, rows = _count(box[2] - box[0], wide), _count(box[3] - box[1], high)
    # The pages' joint window stands in the middle of the part.
    left = (box[0] + box[2] - columns * wide + (columns - 1) * LAP) / 2
    top = (box[1] + box[3] + rows * high - (rows - 1) * LAP) / 2
    tiles = []
    for row in range(rows):
        for column in range(columns):
            x, y = left + column * (wide - LAP), top - row * (high - LAP) - high
            tiles.append(Tile(row, column, (x, y, x + wide, y + high)))
    return Tiling(width, height, tuple(tiles), rows, columns)


def _count(length: float, window: float) -> int:
    return max(1, math.ceil((length - LAP) / (window - LAP) - 1e-9))


def template_pages(part: Part, about: About) -> tuple[Page, ...]:
    """The pages of a part's template; a part bent from strip is shown flat."""
    bent = flat_pattern(part)
    flat = bent.part if bent else part
    tiling = tiling_of(flat, about.unit, about.paper)
    bends = bent.bends if bent else ()
    ink = [_thin(finely(one)) for one in plan_ink(flat, TRUE, bends)]
    crosses = [one for hole in flat.holes if to_punch(hole) for one in _punch(hole)]
    x0, y0, x1, y1 = plan_of(flat).bounds
    # The white behind letters must hide no cross.
    around = [*marks_ink(flat.marks, TRUE), *crosses]
    zone = (x0 - 60, y0 - 60, x1 + 60, y1 + 60)
    tags, _ = tag_ink(
        flat, TRUE, zone, around, (), hole_tags(part), datum_of(flat).name, list(bend_labels(flat, TRUE, bends))
    )
    ink += [*around, *tags, *_register(tiling)]
    return tuple(_page(part, about, tiling, number, tuple(ink)) for number in range(len(tiling.tiles)))


def _thin(ink: Ink) -> Ink:
    """Edges as narrow lines: the metal's edge must be read to a quarter of a millimetre."""
    if isinstance(ink, Stroke) and ink.pen in (Pen.WIDE, Pen.WIDE_SMALL):
        return replace(ink, pen=Pen.NARROW)
    return ink


def to_punch(hole: Hole) -> bool:
    """Whether a hole has a place in the plan that can be punched: not one that runs level."""
    return abs(hole.direction[2]) > 1e-9


def _punch(hole: Hole) -> Iterator[Ink]:
    x, y = hole.centre
    yield TRUE.line((x - PUNCH, y), (x + PUNCH, y), Pen.NARROW)
    yield TRUE.line((x, y - PUNCH), (x, y + PUNCH), Pen.NARROW)


def _register(tiling: Tiling) -> Iterator[Ink]:
    """Diamonds in the middle of every lap: the same place on both pages, to be laid on each other.

    They stand at the windows' ends, off the part where it lets them, and look like no hole. Where four pages meet they
    share one.
    """
    spots = set()
    for tile in tiling.tiles:
        x0, y0, x1, y1 = tile.box
        if tile.column + 1 < tiling.columns:
            spots |= {(round(x1 - LAP / 2, 6), round(y, 6)) for y in (y0 + LAP / 2, y1 - LAP / 2)}
        if tile.row + 1 < tiling.rows:
            spots |= {(round(x, 6), round(y0 + LAP / 2, 6)) for x in (x0 + LAP / 2, x1 - LAP / 2)}
    for spot in sorted(spots):
        yield from _diamond(spot)


def _diamond(at: Point) -> Iterator[Ink]:
    (x, y), r = at, 4.0
    yield path(((x - r, y), (x, y - r), (x + r, y), (x, y + r)), Pen.NARROW, closed=True)
    for way in (-1.0, 1.0):
        yield path(((x - r / 2, y - way * r / 2), (x + r / 2, y + way * r / 2)), Pen.FINE)


def _page(part: Part, about: About, tiling: Tiling, number: int, ink: tuple[Ink, ...]) -> Page:
    tile = tiling.tiles[number]
    x0, y0 = tiling.corner
    window = (x0, y0, tiling.width - EDGE, tiling.height - EDGE)
    drawn = [Clip(window, ink, tiling.shift(tile)), frame(window, Pen.FINE), *_foot(part, about, tiling, number)]
    return Page(tiling.width, tiling.height, tuple(drawn))


def _foot(part: Part, about: About, tiling: Tiling, number: int) -> Iterator[Ink]:
    """Check bars and words under the window."""
    tile = tiling.tiles[number]
    for y, length, words in ((EDGE + 17.0, BAR_MM, "100 mm"), (EDGE + 10.0, BAR_INCH, "4 in")):
        yield path(((EDGE, y), (EDGE + length, y)), Pen.WIDE)
        # Measured from outside to outside of the end ticks.
        for x in (EDGE + Pen.NARROW.width / 2, EDGE + length - Pen.NARROW.width / 2):
            yield path(((x, y - 1.8), (x, y + 1.8)), Pen.NARROW)
        yield Text(words, (EDGE + length + 2, y - 1.0), 2.9)
    left = EDGE + BAR_INCH + 16
    room = tiling.width - EDGE - left
    of = f"page {number + 1} of {len(tiling.tiles)}"
    if len(tiling.tiles) > 1:
        of += f": row {tile.row + 1}, column {tile.column + 1}"
    for y, words, size in (
        (EDGE + 18.0, part.title, 3.6),
        (EDGE + 13.2, f"{part.name}, revision {about.revision}", 2.7),
        (EDGE + 9.0, of, 2.7),
    ):
        text, fit = fitted(words, size, room)
        yield Text(text, (left, y), fit)
    text, fit = fitted(" ".join(_advice(part, len(tiling.tiles) > 1)), 2.5, tiling.width - 2 * EDGE)
    yield Text(known(text), (EDGE, EDGE + 2.0), fit)


def _advice(part: Part, many: bool) -> Iterator[str]:
    yield "Print in true size (100 %), measure both bars, then use. Seen from above; punch at the crosses."
    if many:
        yield "Lap the pages so that the diamonds lie on each other."
    if flat_pattern(part):
        yield "Flat blank before bending."
    if not part.made:
        yield "Existing casting: drill only."
