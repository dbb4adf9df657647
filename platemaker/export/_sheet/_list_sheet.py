"""Lists on paper: tables under headings that flow over as many sheets as they need, with pictures between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.export._sheet._sheet_paper import Paper
from platemaker.records import Record
from platemaker.views import LEAST, Align, Clip, Ink, Page, Pen, Text, fitted, known, path, wrapped

EDGE, HEAD = 12.0, 26.0
"""Margin of the sheet and height of its head, mm."""
SIZE, LINE, PAD, HEADING = LEAST, 4.4, 1.6, 4.2
"""Size of letters, height of a line, room of a row over its lines, and size of a heading, mm."""
AIR = 5.0
"""Room over a heading, mm."""
INSET = 1.2
"""Room between words and the side of their column, mm."""


class Column(Record):
    """A column of a table: its heading, its share of the width, and how its words stand."""

    heading: str
    share: float
    align: Align = Align.START


class Table(Record):
    """Rows under a heading; `note` stands below the heading in full lines."""

    heading: str
    columns: tuple[Column, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    note: str = ""


class BoxedInk(Record):
    """Ink in a box of `width` by `height`, mm, whose lower left corner is its zero, beside words in lines."""

    width: float
    height: float
    ink: tuple[Ink, ...]
    heading: str
    words: tuple[str, ...]


class Head(Record):
    """What stands at the head of each sheet: title, what the sheets are, lines under the title, a loud warning."""

    title: str
    kind: str
    lines: tuple[str, ...] = ()
    warning: str = ""


class _Strip(Record):
    """A piece that is not broken over sheets: its height, mm, and its ink from its upper left corner downwards.

    `again` is what a sheet begins with that begins with this strip; `joins` keeps it with the next one.
    """

    height: float
    ink: tuple[Ink, ...]
    again: _Strip | None = None
    joins: bool = False


def width_of_lists(paper: Paper) -> float:
    """Width of tables and pictures, mm."""
    return paper.width - 2 * EDGE


def list_pages(paper: Paper, head: Head, pieces: Sequence[Table | BoxedInk]) -> tuple[Page, ...]:
    """The sheets, lying on their long side; words of one piece that find no room go on with their heads repeated."""
    width, room = width_of_lists(paper), paper.height - 2 * EDGE - HEAD
    sheets: list[list[_Strip]] = [[]]
    left = room
    strips = [strip for piece in pieces for strip in _strips(piece, width)]
    for place, strip in enumerate(strips):
        needed, at = strip.height, place
        while strips[at].joins and at + 1 < len(strips):
            at += 1
            needed += strips[at].height
        if needed > left and sheets[-1]:
            sheets.append([strip.again] if strip.again else [])
            left = room - (strip.again.height if strip.again else 0.0)
        sheets[-1].append(strip)
        left -= strip.height
    return tuple(_page(paper, head, row, (number, len(sheets))) for number, row in enumerate(sheets, start=1))


def _page(paper: Paper, head: Head, strips: Sequence[_Strip], sheet: tuple[int, int]) -> Page:
    ink: list[Ink] = list(_head(paper, head, sheet))
    y = paper.height - EDGE - HEAD
    whole = (0.0, 0.0, paper.width, paper.height)
    for strip in strips:
        ink.append(Clip(whole, strip.ink, (EDGE, y)))
        y -= strip.height
    return Page(paper.width, paper.height, tuple(ink))


def _head(paper: Paper, head: Head, sheet: tuple[int, int]) -> Iterator[Ink]:
    right, top = paper.width - EDGE, paper.height - EDGE
    title, size = fitted(head.title, 6.0, right - EDGE - 80)
    yield Text(title, (EDGE, top - 5.5), size)
    yield Text(head.kind, (right, top - 5.5), 5.0, Align.END)
    yield Text(f"sheet {sheet[0]} of {sheet[1]}", (right, top - 12.0), SIZE, Align.END)
    for place, line in enumerate(head.lines[:2]):
        words, small = fitted(line, SIZE, right - EDGE - 40)
        yield Text(words, (EDGE, top - 12.0 - 5.0 * place), small)
    if head.warning:
        words, small = fitted(head.warning, HEADING, 0.6 * (right - EDGE))
        yield Text(words, (right, top - 17.5), small, Align.END)
    yield path(((EDGE, top - 20.0), (right, top - 20.0)), Pen.WIDE)


def _strips(piece: Table | BoxedInk, width: float) -> Iterator[_Strip]:
    if isinstance(piece, BoxedInk):
        yield _picture(piece, width)
        return
    if not piece.rows and not piece.note:
        return
    yield _heading(piece.heading, joins=True)
    for line in wrapped(piece.note, SIZE, width) if piece.note else ():
        yield _Strip(LINE, (Text(line, (0.0, -LINE + 1.2), SIZE),), joins=bool(piece.rows))
    if piece.rows:
        heads = _row(piece.columns, [column.heading for column in piece.columns], width, Pen.NARROW)
        yield _Strip(heads.height, heads.ink, joins=True)
        again = _heading(f"{piece.heading} (continued)")
        both = _Strip(again.height + heads.height, (*again.ink, *_lowered(heads.ink, again.height)))
        for cells in piece.rows:
            row = _row(piece.columns, cells, width, Pen.FINE)
            yield _Strip(row.height, row.ink, both)


def _heading(words: str, *, joins: bool = False) -> _Strip:
    high = AIR + HEADING + 1.0
    return _Strip(high, (Text(known(words), (0.0, -high + 2.0), HEADING),), joins=joins)


def _lowered(ink: Sequence[Ink], by: float) -> tuple[Ink, ...]:
    return (Clip((-1e4, -1e4, 1e4, 1e4), tuple(ink), (0.0, -by)),)


def _row(columns: Sequence[Column], cells: Sequence[str], width: float, rule: Pen) -> _Strip:
    lines = [wrapped(cell, SIZE, column.share * width - 2 * INSET) for column, cell in zip(columns, cells, strict=True)]
    high = max(1, *map(len, lines)) * LINE + PAD
    ink: list[Ink] = [path(((0.0, -high), (width, -high)), rule)]
    x = 0.0
    for column, own in zip(columns, lines, strict=True):
        at = x + INSET if column.align is Align.START else x + column.share * width - INSET
        ink += [Text(line, (at, -LINE * (place + 1) + 0.6), SIZE, column.align) for place, line in enumerate(own)]
        x += column.share * width
    return _Strip(high, tuple(ink))


def _picture(piece: BoxedInk, width: float) -> _Strip:
    """A picture with its heading and its words right of it."""
    beside = piece.width + 6.0
    lines = [line for words in piece.words for line in (wrapped(words, SIZE, width - beside) or [""])]
    heading = _heading(piece.heading)
    high = heading.height + max(piece.height, LINE * len(lines)) + PAD
    words = tuple(
        Text(line, (beside, -heading.height - LINE * (place + 1) + 0.6), SIZE) for place, line in enumerate(lines)
    )
    drawn = Clip((-1e4, -1e4, 1e4, 1e4), piece.ink, (0.0, -heading.height - piece.height))
    return _Strip(high, (*heading.ink, drawn, *words, path(((0.0, -high), (width, -high)), Pen.FINE)))
