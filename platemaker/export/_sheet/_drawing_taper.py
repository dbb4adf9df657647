"""Sizes of a planed part: its thickness at the corners of the plan and at both ends of edge view and section."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.export._sheet._drawing_slope import profiles_of
from platemaker.export._sheet._drawing_tags import dimension_ink
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.parts import Part, corners_of, ends_of
from platemaker.plane import Box, Point
from platemaker.resolved import Cutting, crossings, heights_at
from platemaker.views import Ink, Label, Lettered, Shown, View

LETTERS = 2.4
"""Size of letters at the corners, mm."""
OFF = 1.2
"""Least distance of words from their corner, mm on the sheet."""
BESIDE = 7.0
"""How far a size stands beside a view, mm on the sheet."""


def thickness_labels(part: Part, view: View, numbers: Numbers) -> Iterator[Label]:
    """The thickness at each corner of the plan, and which end is thick."""
    planed = part.planed
    if planed is None:
        return
    for spot in corners_of(part):
        yield _beside(f"T{spot.name} = {numbers.fixed(spot.thickness)}", view.at(spot.at))
    _, thick = ends_of(part.stock.plan, planed.face)
    yield _beside("THICK END", view.at(thick.at))


def _beside(words: str, at: Point) -> Label:
    return Lettered(Shown(words, words), at, OFF, LETTERS, "caption")


def edge_sizes(part: Part, placed: View, box: Box, numbers: Numbers) -> Iterator[Ink]:
    """How high a planed part stands at either end of the edge view."""
    high, _ = profiles_of(part)
    yield from _ends(high[0], high[-1], placed, box, numbers)


def end_sizes(part: Part, cutting: Cutting, at: float, view: View, box: Box, numbers: Numbers) -> Iterator[Ink]:
    """The thickness at both ends of a section through a planed part."""
    pieces = crossings(part.stock.plan, cutting, at)
    if pieces:
        left, right = pieces[0][0], pieces[-1][1]
        z0, z1 = heights_at(part, cutting, at, left, right)
        yield from _ends((left, z0), (right, z1), view, box, numbers)


def _ends(left: Point, right: Point, view: View, box: Box, numbers: Numbers) -> Iterator[Ink]:
    for (u, z), edge, side in ((left, box[0], -1), (right, box[2], 1)):
        x, low = view.at((u, 0.0))
        yield from dimension_ink(edge + side * BESIDE, low, view.at((u, z))[1], numbers.fixed(z), x, side)
