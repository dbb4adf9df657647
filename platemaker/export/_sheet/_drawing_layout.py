"""Where the views of a drawing stand: sheet and scale chosen so that everything fits at a standard scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_ordinates import RAIL
from platemaker.export._sheet._drawing_plan import edge_box
from platemaker.export._sheet._drawing_section import CuttingPlane
from platemaker.export._sheet._drawing_title import TITLE_HEIGHT
from platemaker.export._sheet._sheet_paper import SCALES, Paper, Projection
from platemaker.parts import Part
from platemaker.plane import Box, Point
from platemaker.records import Record, replace
from platemaker.resolved import Cutting
from platemaker.views import View

SIDE, CAPTION, GAP = 22.0, 8.0, 6.0
"""Room right of the views for sizes and letters, for a view's caption, and least room between views, mm."""
OVER = 13.0
"""Room over the plan for the letters of planes, mm."""
SMALL = 45.0
"""Parts whose longest side is shorter, mm, are drawn enlarged."""
SLIM = 4.0
"""A part so many times as long as it is wide is a bar."""
FOOT = 9.0
"""Room at the foot of the views for the scale bar, mm."""


class PlacedView(Record):
    """A view on the sheet: `frame` turns the part's mm to places, `box` is what it covers without its dimensions."""

    view: View
    box: Box


class SheetLayout(Record):
    """Sheet, scale, and the places of plan, edge view and sections."""

    paper: Paper
    scale: float
    plan: PlacedView
    edge: PlacedView
    sections: tuple[tuple[CuttingPlane, PlacedView], ...]


class _Block(Record):
    """A view that wants room: its extent in the part's mm, and the room it takes on the sheet."""

    box: Box
    left: float
    right: float
    above: float
    below: float

    def size(self, scale: float) -> tuple[float, float]:
        x0, y0, x1, y1 = self.box
        return self.left + scale * (x1 - x0) + self.right, self.below + scale * (y1 - y0) + self.above


def section_box(part: Part, plane: CuttingPlane) -> Box:
    """The box of a section over all, mm."""
    x0, y0, x1, y1 = part.stock.plan.bounds
    low, high = (x0, x1) if plane.cutting is Cutting.ACROSS_Y else (y0, y1)
    return low, 0.0, high, edge_box(part)[3]


def layouts(
    part: Part, whole: Part, planes: Sequence[CuttingPlane], sheets: Sequence[Paper], projection: Projection
) -> Iterator[SheetLayout]:
    """Every sheet and scale at which the views fit, best first: true size if it fits, the small sheet if it fits.

    A bar may lie along the whole sheet over its words, since it would be too small beside them.
    """
    x0, y0, x1, y1 = part.stock.plan.bounds
    longest = max(x1 - x0, y1 - y0)
    most = 1.0 if longest >= SMALL else max(scale for scale in SCALES if scale == 1.0 or scale * longest <= 80.0)
    slim = longest >= SLIM * min(x1 - x0, y1 - y0)
    wide = [replace(paper, strip=TITLE_HEIGHT) for paper in sheets] if slim else []
    for scale in SCALES:
        if scale > most:
            continue
        for paper in (*sheets, *wide):
            found = _laid(part, whole, planes, paper, scale, projection)
            if found:
                yield found


def _laid(
    part: Part, whole: Part, planes: Sequence[CuttingPlane], paper: Paper, scale: float, projection: Projection
) -> SheetLayout | None:
    plan = _Block(part.stock.plan.bounds, RAIL, SIDE, OVER, RAIL)
    edge = _Block(edge_box(whole), RAIL, SIDE, 2.0, CAPTION)
    cuts = [_Block(section_box(part, plane), RAIL, SIDE, 2.0, CAPTION) for plane in planes]
    x0, y0, x1, y1 = paper.views
    room = (x0, y0 + FOOT, x1, y1)
    first = projection is Projection.FIRST_ANGLE
    main = [edge, plan] if first else [plan, edge]
    for columns in ([[*cuts, *main]] if first else [[*main, *cuts]], [main, cuts]):
        places = _stacked(columns, room, scale)
        if places is not None:
            views = {id(block): _placed(block, at, scale) for block, at in places}
            sections = tuple((plane, views[id(cut)]) for plane, cut in zip(planes, cuts, strict=True))
            return SheetLayout(paper, scale, views[id(plan)], views[id(edge)], sections)
    return None


def _stacked(columns: list[list[_Block]], room: Box, scale: float) -> list[tuple[_Block, Point]] | None:
    """Lower left corners of blocks in columns, spread over the room; None where they do not fit."""
    columns = [column for column in columns if column]
    wide = [max(block.size(scale)[0] for block in column) for column in columns]
    x0, y0, x1, y1 = room
    spare = x1 - x0 - sum(wide)
    if spare < 0:
        return None
    places, x = [], x0 + spare / (len(columns) + 1)
    for column, width in zip(columns, wide, strict=True):
        high = sum(block.size(scale)[1] for block in column) + GAP * (len(column) - 1)
        free = y1 - y0 - high
        if free < 0:
            return None
        more = min(free / (len(column) + 1), 14.0)
        y = y1 - (free - more * (len(column) - 1)) / 2
        for block in column:
            y -= block.size(scale)[1]
            places.append((block, (x, y)))
            y -= GAP + more
        x += width + spare / (len(columns) + 1)
    return places


def _placed(block: _Block, corner: Point, scale: float) -> PlacedView:
    x0, y0, x1, y1 = block.box
    left, low = corner[0] + block.left, corner[1] + block.below
    view = View(scale, (left - scale * x0, low - scale * y0))
    return PlacedView(view, (left, low, left + scale * (x1 - x0), low + scale * (y1 - y0)))
