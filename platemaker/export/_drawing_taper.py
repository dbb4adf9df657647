"""Sizes of a planed part: its thickness at the corners of the plan and at both ends of edge view and section."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.export._drawing_slope import profiles_of
from platemaker.export._drawing_tags import dimension_ink
from platemaker.export._drawing_words import Numbers
from platemaker.export._sheet_ink import Align, Ink, Text, View
from platemaker.parts import Part, PlateStock, corners_of, ends_of
from platemaker.plane import Box, Point
from platemaker.views import Cutting, crossings, heights_at

LETTERS = 2.4
"""Size of letters at the corners, mm."""
INSIDE = 1.2
"""How far words stand inside the outline, mm on the sheet."""
BESIDE = 7.0
"""How far a size stands beside a view, mm on the sheet."""


def thickness_ink(part: Part, view: View, numbers: Numbers) -> Iterator[Text]:
    """The thickness at each corner of the plan, inside the outline, and which end is thick."""
    planed, stock = part.planed, part.stock
    if planed is None or not isinstance(stock, PlateStock):
        return
    x0, y0, x1, y1 = view.box(stock.region.bounds)
    for spot in corners_of(part):
        yield _inside(
            f"T{spot.name} = {numbers.fixed(spot.thickness)}", view.at(spot.at), ((x0 + x1) / 2, (y0 + y1) / 2), 1
        )
    _, thick = ends_of(stock.region, planed.face)
    yield _inside("THICK END", view.at(thick.at), ((x0 + x1) / 2, (y0 + y1) / 2), 2)


def _inside(words: str, at: Point, middle: Point, row: int) -> Text:
    """Words beside a place, towards the middle; of two at one place the second row stands nearer to it."""
    left, low = at[0] < middle[0], at[1] < middle[1]
    step = INSIDE + (row - 1) * 1.5 * LETTERS
    y = at[1] + step if low else at[1] - step - LETTERS
    return Text(words, (at[0] + (INSIDE if left else -INSIDE), y), LETTERS, Align.START if left else Align.END)


def edge_sizes(part: Part, placed: View, box: Box, numbers: Numbers) -> Iterator[Ink]:
    """How high a planed part stands at either end of the edge view."""
    high, _ = profiles_of(part)
    yield from _ends(high[0], high[-1], placed, box, numbers)


def end_sizes(part: Part, cutting: Cutting, at: float, view: View, box: Box, numbers: Numbers) -> Iterator[Ink]:
    """The thickness at both ends of a section through a planed part."""
    pieces = crossings(part.stock.region, cutting, at) if isinstance(part.stock, PlateStock) else []
    if pieces:
        left, right = pieces[0][0], pieces[-1][1]
        z0, z1 = heights_at(part, cutting, at, left, right)
        yield from _ends((left, z0), (right, z1), view, box, numbers)


def _ends(left: Point, right: Point, view: View, box: Box, numbers: Numbers) -> Iterator[Ink]:
    for (u, z), edge, side in ((left, box[0], -1), (right, box[2], 1)):
        x, low = view.at((u, 0.0))
        yield from dimension_ink(edge + side * BESIDE, low, view.at((u, z))[1], numbers.fixed(z), x, side)
