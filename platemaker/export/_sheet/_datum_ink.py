"""Datum features on the sheet: a letter in a frame, a filled triangle on its feature (ISO 5459:2011; from memory)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_datums import Datums
from platemaker.parts import Part, Side
from platemaker.plane import Box, Point
from platemaker.views import (
    CAPITAL,
    LEAST,
    Align,
    Fill,
    Ink,
    Label,
    Pen,
    PlacedLabel,
    Shown,
    Text,
    View,
    frame,
    joined,
    mark_size,
    overlap,
    path,
    width_of,
)

FRAME = 2 * LEAST * CAPITAL
"""Side of a letter's frame and height of a tolerance frame, mm: twice that of its letters (ISO 7083; from memory)."""
TRIANGLE, HALF = 2.4, 1.4
"""Height of the triangle and half its base, mm."""
STEM = 1.2
"""Least length of the line between triangle and frame, mm."""
BESIDE, BESIDE_SIZES = 9.0, 24.0
"""How far left of the edge view the face's triangle stands, mm: beside a view, or beyond the sizes left of it."""
SHARES = (0.3, 0.2, 0.7, 0.8, 0.4, 0.6, 0.1, 0.9, 0.5)
"""Places along an edge at which its triangle may stand."""


class DatumLabel(Label):
    """A datum's letter in its frame; `rim` is how far from the anchor the triangle stands, mm on the sheet."""

    rim: float = 0.0

    @property
    def width(self) -> float:
        """Width of the frame, mm."""
        return max(FRAME, width_of(self.text.metric, self.size) + 2.0)

    @property
    def height(self) -> float:
        """Height of the frame, mm."""
        return FRAME


def hole_labels(part: Part, view: View, datums: Datums) -> Iterator[DatumLabel]:
    """The letters of the datum holes, for the plan."""
    holes = {hole.name: hole for hole in part.holes}
    for one in datums.features:
        if one.hole:
            hole = holes[one.hole]
            lean = math.sqrt(max(abs(hole.direction[2]), 0.1))
            rim = (mark_size(hole) if hole.square else hole.entry_diameter / 2 / lean) * view.scale
            text = Shown(one.letter, one.letter)
            yield DatumLabel(text, view.at(hole.centre), rim + TRIANGLE + STEM, LEAST, "datum", rim=rim)


def edge_spots(datums: Datums, view: View, taken: Sequence[Box], lines: Sequence[Box]) -> Iterator[PlacedLabel]:
    """The letters of datum edges outside the plan, clear of what is `taken` and if it can be of `lines`."""
    for one in datums.features:
        if one.edge is None:
            continue
        upright = abs(one.edge.start[0] - one.edge.end[0]) < abs(one.edge.start[1] - one.edge.end[1])
        way = (-1.0, 0.0) if upright else (0.0, -1.0)
        text = Shown(one.letter, one.letter)
        spots = []
        for share in SHARES:
            at = view.at(one.edge.point(share))
            label = DatumLabel(text, at, 0.0, LEAST, "datum", fixed=True)
            off = TRIANGLE + STEM + (label.width if upright else label.height) / 2
            spots.append(PlacedLabel(label, (at[0] + off * way[0], at[1] + off * way[1])))
        free = [spot for spot in spots if not any(overlap(spot.box, box) for box in taken)]
        clear = [spot for spot in free if not any(overlap(spot.box, box) for box in lines)]
        yield from (clear or free)[:1]


def datum_box(spot: PlacedLabel) -> Box:
    """The box that a placed letter takes with its triangle, mm."""
    return joined(datum_boxes(spot))


def datum_boxes(spot: PlacedLabel) -> tuple[Box, Box]:
    """The boxes of a placed letter's frame and of its triangle, mm."""
    xs, ys = zip(*_triangle(spot), strict=True)
    return spot.box, (min(xs), min(ys), max(xs), max(ys))


def datum_ink(spot: PlacedLabel) -> Iterator[Ink]:
    """A placed letter in its frame, the line to its triangle, and the triangle."""
    base, other, apex = _triangle(spot)
    yield path((apex, _end(spot)), Pen.NARROW)
    yield Fill((base, other, apex))
    yield from _framed(spot.label.text.metric, spot.box)


def face_ink(datums: Datums, box: Box, *, sized: bool, caption: float) -> Iterator[Ink]:
    """The letter of the face, left of the edge view, on a line that carries the face on.

    `sized` where sizes stand left of the view; `caption` is the width of the words below it.
    """
    if not datums.features:
        return
    letter = datums.features[0].letter
    x0, y0, x1, y1 = box
    level, out = (y0, -1.0) if datums.side is Side.BELOW else (y1, 1.0)
    at = x0 - (BESIDE_SIZES if sized else BESIDE)
    yield path(((x0 - 1.0, level), (at - HALF - 1.0, level)), Pen.FINE)
    right = min(at - STEM - 1.0, (x0 + x1 - caption) / 2 - 2.0)
    wide = max(FRAME, width_of(letter, LEAST) + 2.0)
    line = level + out * (TRIANGLE + STEM)
    yield path(((at, level + out * TRIANGLE), (at, line), (right, line)), Pen.NARROW)
    yield Fill(((at - HALF, level), (at + HALF, level), (at, level + out * TRIANGLE)))
    yield from _framed(letter, (right - wide, line - FRAME / 2, right, line + FRAME / 2))


def _framed(letter: str, box: Box) -> Iterator[Ink]:
    x0, y0, x1, y1 = box
    yield Fill(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), 1.0)
    yield frame(box, Pen.NARROW)
    yield Text(letter, ((x0 + x1) / 2, (y0 + y1) / 2 - CAPITAL * LEAST / 2), LEAST, Align.MIDDLE)


def _end(spot: PlacedLabel) -> Point:
    (x, y), (x0, y0, x1, y1) = spot.label.anchor, spot.box
    return min(max(x, x0), x1), min(max(y, y0), y1)


def _triangle(spot: PlacedLabel) -> tuple[Point, Point, Point]:
    """The two ends of its base and its tip, which points from the anchor towards the frame."""
    (x, y), end = spot.label.anchor, _end(spot)
    far = max(math.dist((x, y), end), 1e-9)
    u, v = (end[0] - x) / far, (end[1] - y) / far
    rim = spot.label.rim if isinstance(spot.label, DatumLabel) else 0.0
    base, tip = (x + rim * u, y + rim * v), (x + (rim + TRIANGLE) * u, y + (rim + TRIANGLE) * v)
    return (base[0] - HALF * v, base[1] + HALF * u), (base[0] + HALF * v, base[1] - HALF * u), tip
