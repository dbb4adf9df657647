"""The drawing of a part: views, dimensions, tables, notes and title block on as many sheets as the tables need."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

from platemaker.errors import GeometryError
from platemaker.export._sheet._datum_ink import face_ink
from platemaker.export._sheet._drawing_datums import Datums, datums_of
from platemaker.export._sheet._drawing_layout import CAPTION, FOOT, OVER, SIDE, PlacedView, SheetLayout, layouts
from platemaker.export._sheet._drawing_ordinates import RAIL, rail_ink
from platemaker.export._sheet._drawing_plan import CENTRE_PAST, THREAD_APART, caption, edge_ink, marks_ink, zero_ink
from platemaker.export._sheet._drawing_section import AXIS_PAST, CuttingPlane, planes_of
from platemaker.export._sheet._drawing_tables import Block, blocks_of, flowed, left_words, rows_ink
from platemaker.export._sheet._drawing_tags import bend_labels, bent_ink, dimension_ink, mark_labels, plane_ink, tag_ink
from platemaker.export._sheet._drawing_taper import edge_sizes, end_sizes, thickness_labels
from platemaker.export._sheet._drawing_title import TITLE_HEIGHT, About, border_ink, scale_bar_ink, title_ink
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.export._sheet._sheet_paper import MARGIN, Paper, papers
from platemaker.parts import FlatPattern, Part
from platemaker.plane import Box
from platemaker.records import Record, replace
from platemaker.resolved import Cutting, resolved
from platemaker.views import (
    LEAST,
    Ink,
    Lines,
    Page,
    Text,
    finely,
    hole_tags,
    on_paper,
    plan_ink,
    section_ink,
    width_of,
)

CAPTION_SIZE = LEAST
INSET = 3.0
"""Room between the column's rule and its words, mm."""


class _Subject(Record):
    """A part as it is drawn: flat for the plan, whole for the edge view."""

    part: Part
    whole: Part
    bent: FlatPattern | None
    planes: tuple[CuttingPlane, ...]
    datums: Datums
    tags: Mapping[str, str]
    about: About


def drawing_pages(part: Part, about: About) -> tuple[Page, ...]:
    """The sheets of a part's drawing. Raises GeometryError for a part that fits no sheet at any standard scale."""
    bent, flat = resolved(part).bent, resolved(part).flat
    planes = tuple(planes_of(flat, about.thin))
    subject = _Subject(flat, part, bent, planes, datums_of(part), hole_tags(part), about)
    sheets = papers(about.unit, about.paper)
    for layout in layouts(flat, part, subject.planes, sheets, about.projection):
        views, left = _views(subject, layout)
        columns = _columns(subject, layout.paper, left)
        # A small sheet must hold all its words; what is too much for the largest one goes to further sheets.
        if layout.paper.name == sheets[-1].name or (len(columns) <= (_beside(layout.paper) or 1) and not left):
            return tuple(_sheets(subject, layout, views, columns))
    x0, y0, x1, y1 = flat.stock.plan.bounds
    message = f"part '{part.name}', {x1 - x0:g} x {y1 - y0:g} mm, fits no sheet at any standard scale"
    raise GeometryError(message)


def _columns(subject: _Subject, paper: Paper, left: list[str]) -> list[list[Block]]:
    width = paper.column - 2 * INSET
    blocks = blocks_of(subject.part, subject.tags, subject.whole, subject.about, width, left)
    y0, y1 = MARGIN, paper.height - MARGIN
    beside_title = y1 - y0 - TITLE_HEIGHT - 2 * INSET
    full = y1 - y0 - 2 * INSET
    more = [full] * _more_columns(paper) + [beside_title]
    first = [paper.strip - 2 * INSET] * _beside(paper) if paper.strip else [beside_title]
    return flowed(blocks, itertools.chain(first, itertools.cycle(more)))


def _beside(paper: Paper) -> int:
    """Columns of words left of the title block in the strip of the first sheet; 0 where there is no strip."""
    return _more_columns(paper) if paper.strip else 0


def _more_columns(paper: Paper) -> int:
    """Columns of words on a further sheet, left of the one over the title block."""
    return int((paper.words[0] - MARGIN) / paper.column)


def _sheets(subject: _Subject, layout: SheetLayout, views: list[Ink], columns: list[list[Block]]) -> Iterator[Page]:
    paper, per, first = layout.paper, _more_columns(layout.paper) + 1, _beside(layout.paper) or 1
    further = [columns[i : i + per] for i in range(first, len(columns), per)]
    count = 1 + len(further)
    for number, row in enumerate([columns[:first], *further], start=1):
        if number == 2:
            paper = replace(paper, strip=0.0)
        ink: list[Ink] = list(border_ink(paper))
        ink += title_ink(subject.whole, subject.about, paper, layout.scale, (number, count))
        if number == 1:
            ink += views
            spots = [MARGIN + n * paper.column for n in range(first)] if paper.strip else [paper.words[0]]
        else:
            spots = [*(MARGIN + n * paper.column for n in range(per - 1)), paper.words[0]]
        for x, blocks in zip(spots, row, strict=False):
            ink += _column_ink(blocks, x + INSET, paper)
        yield Page(paper.width, paper.height, tuple(ink))


def _column_ink(blocks: list[Block], x: float, paper: Paper) -> Iterator[Ink]:
    y = paper.words[3] - INSET
    for block in blocks:
        yield from rows_ink(block.heading, block.rows, (x, y), paper.column - 2 * INSET)
        y -= block.height


def _views(subject: _Subject, layout: SheetLayout) -> tuple[list[Ink], list[str]]:
    """The ink of all views, and notes on what found no room in them."""
    part, view = subject.part, layout.plan.view
    numbers = subject.about.numbers
    bends = subject.bent.bends if subject.bent else ()
    zone = _zone(layout.plan)
    ink: list[Ink] = [*finely(plan_ink(part, view, CENTRE_PAST, bends=bends, apart=THREAD_APART))]
    ink += [one for plane in subject.planes for one in plane_ink(part, plane, view)]
    ink += zero_ink(view, zone)
    for axis in (0, 1):
        ink += rail_ink(part, axis, view, layout.plan.box[1 - axis], numbers)
    beside = mark_labels(part.marks, view, Lines.of(ink))
    marks = list(marks_ink([mark for mark in part.marks if mark.name not in beside], view))
    more = [*beside.values(), *thickness_labels(part, view, numbers), *bend_labels(part, view, bends)]
    tags, left = tag_ink(part, view, zone, [*ink, *marks], subject.planes, subject.tags, more, subject.datums)
    ink += [*tags, *marks]
    ink += _edge_view(subject, layout.edge, numbers)
    for plane, placed in layout.sections:
        ink += on_paper(section_ink(part, plane.cutting, plane.at, placed.view, AXIS_PAST, apart=THREAD_APART))
        ink.append(_caption(_section_words(plane, numbers), placed.box))
        if part.planed is not None:
            ink += end_sizes(part, plane.cutting, plane.at, placed.view, placed.box, numbers)
    x0, y0, _, _ = layout.paper.views
    ink += scale_bar_ink((x0 + 5, y0 + FOOT / 2 - 1), layout.scale, subject.about.unit)
    return ink, left_words(left)


def _zone(plan: PlacedView) -> Box:
    """Where words about the plan may stand."""
    x0, y0, x1, y1 = plan.box
    return x0 - RAIL, y0 - RAIL, x1 + SIDE, y1 + OVER


def _edge_view(subject: _Subject, edge: PlacedView, numbers: Numbers) -> Iterator[Ink]:
    whole = subject.whole
    yield from finely(edge_ink(whole, edge.view))
    _, y0, x1, y1 = edge.box
    yield from bent_ink(whole, edge.view, numbers)
    words = "BENT, SEEN FROM THE FRONT" if subject.bent else "EDGE, SEEN FROM THE FRONT"
    yield _caption(words, edge.box)
    sized, caption = whole.planed is not None, width_of(words, CAPTION_SIZE)
    yield from face_ink(subject.datums, edge.box, sized=sized, caption=caption)
    if whole.planed is not None:
        yield from edge_sizes(whole, edge.view, edge.box, numbers)
        return
    high = (y1 - y0) / edge.view.scale
    sign = "⌀" if whole.bar else ""
    yield from dimension_ink(x1 + 7.0, y0, y1, sign + numbers.general(high), x1)


def _section_words(plane: CuttingPlane, numbers: Numbers) -> str:
    axis = "Y" if plane.cutting is Cutting.ACROSS_Y else "X"
    return f"SECTION {plane.letter}–{plane.letter} at {axis}{numbers.general(plane.at)}"


def _caption(words: str, box: Box) -> Text:
    x0, y0, x1, _ = box
    return caption(words, ((x0 + x1) / 2, y0 - CAPTION + 1.6), CAPTION_SIZE)
