"""Drawings in true size, tiled over pages with check bars, to be laid on the metal and punched through."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.export._sheet._sheet_paper import papers
from platemaker.plane import Box, Point
from platemaker.records import Record
from platemaker.views import LEAST, TRUE, Clip, Ink, Page, Pen, Text, fitted, frame, path, wrapped

EDGE, FOOT, LAP, AIR = 10.0, 31.0, 14.0, 8.0
"""Margin that printers leave white; room for bars and words; lap of two pages; room round the part, mm."""
PUNCH = 4.0
"""Half the length of a punch cross, mm."""
BAR_MM, BAR_INCH = 100.0, 101.6
"""Lengths of the check bars: 100 mm, and 4 in."""


class Tile(Record):
    """A page of the template: its place among the others from 0, and what box of the part it shows, mm."""

    row: int
    column: int
    box: Box


class Tiling(Record):
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


def tiling_of_box(box: Box, unit: str, chosen: str | None = None) -> Tiling:
    """The fewest pages of the paper chosen, else A4 or Letter, lying or standing, that hold a box in true size."""
    paper = papers(unit, chosen)[0]
    long, short = paper.width, paper.height
    x0, y0, x1, y1 = box
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


def punch_ink(at: Point) -> Iterator[Ink]:
    """A punch cross."""
    x, y = at
    yield TRUE.line((x - PUNCH, y), (x + PUNCH, y), Pen.NARROW)
    yield TRUE.line((x, y - PUNCH), (x, y + PUNCH), Pen.NARROW)


def tiled_pages(tiling: Tiling, ink: tuple[Ink, ...], titles: tuple[str, str], advice: str) -> tuple[Page, ...]:
    """The pages of a drawing in true size, with a title, a line under it and a line of advice on each."""
    whole = (*ink, *_register(tiling))
    if len(tiling.tiles) > 1:
        advice = f"{advice} Lap the pages so that the diamonds lie on each other."
    return tuple(_page(tiling, number, whole, titles, advice) for number in range(len(tiling.tiles)))


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


def _page(tiling: Tiling, number: int, ink: tuple[Ink, ...], titles: tuple[str, str], advice: str) -> Page:
    tile = tiling.tiles[number]
    x0, y0 = tiling.corner
    window = (x0, y0, tiling.width - EDGE, tiling.height - EDGE)
    drawn = [Clip(window, ink, tiling.shift(tile)), frame(window, Pen.FINE), *_foot(tiling, number, titles, advice)]
    return Page(tiling.width, tiling.height, tuple(drawn))


def _foot(tiling: Tiling, number: int, titles: tuple[str, str], advice: str) -> Iterator[Ink]:
    """Check bars and words under the window."""
    tile = tiling.tiles[number]
    for y, length, words in ((EDGE + 23.0, BAR_MM, "100 mm"), (EDGE + 16.0, BAR_INCH, "4 in")):
        yield path(((EDGE, y), (EDGE + length, y)), Pen.WIDE)
        # Measured from outside to outside of the end ticks.
        for x in (EDGE + Pen.NARROW.width / 2, EDGE + length - Pen.NARROW.width / 2):
            yield path(((x, y - 1.8), (x, y + 1.8)), Pen.NARROW)
        yield Text(words, (EDGE + length + 2, y - 1.2), LEAST)
    left = EDGE + BAR_INCH + 16
    room = tiling.width - EDGE - left
    of = f"page {number + 1} of {len(tiling.tiles)}"
    if len(tiling.tiles) > 1:
        of += f": row {tile.row + 1}, column {tile.column + 1}"
    for y, words, size in ((EDGE + 24.0, titles[0], 3.8), (EDGE + 18.6, titles[1], LEAST), (EDGE + 13.6, of, LEAST)):
        text, fit = fitted(words, size, room)
        yield Text(text, (left, y), fit)
    for place, line in enumerate(wrapped(advice, LEAST, tiling.width - 2 * EDGE)[:2]):
        yield Text(line, (EDGE, EDGE + 7.0 - 4.7 * place), LEAST)
