"""The first-article sheet on paper: a table with limits and blanks on as many pages as it needs, and a sketch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_datums import datums_of
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._drawing_words import Numbers
from platemaker.export._sheet._first_article import Measure
from platemaker.export._sheet._first_article_sketch import sketch_ink
from platemaker.export._sheet._sheet_paper import list_paper
from platemaker.parts import Part
from platemaker.plane import Point
from platemaker.views import LEAST, Align, Ink, Page, Pen, Text, fitted, frame, path, wrapped

EDGE, HEAD, FOOT, ROW, SIZE = 12.0, 41.0, 22.0, 9.6, LEAST
LINE = 4.3
"""Margin, heights of head, foot and row, letter size, and height of a line in a row, mm."""
COLUMNS = (
    ("No.", 0.06, Align.START),
    ("MEASURE", 0.33, Align.START),
    ("NOMINAL", 0.11, Align.END),
    ("LEAST", 0.11, Align.END),
    ("MOST", 0.11, Align.END),
    ("READS", 0.16, Align.START),
    ("OK", 0.12, Align.START),
)
"""Heading of each column, its share of the width, and how its words stand."""


def first_article_pages(part: Part, about: About, measures: Sequence[Measure]) -> tuple[Page, ...]:
    """The pages of a part's first-article sheet, standing A4 or Letter; the last one is the sketch with balloons."""
    paper = list_paper(about.unit, about.paper)
    width, height = paper.height, paper.width
    rows = int((height - 2 * EDGE - HEAD - FOOT - ROW) / ROW)
    chunks = [measures[i : i + rows] for i in range(0, len(measures), rows)] or [[]]
    pages, first = [], 1
    for number, chunk in enumerate(chunks, start=1):
        ink = [
            *_head(part, about, (number, len(chunks) + 1), width, height),
            *_table(chunk, first, about.numbers, width, height),
            *_foot(width),
        ]
        pages.append(Page(width, height, tuple(ink)))
        first += len(chunk)
    last = (len(chunks) + 1, len(chunks) + 1)
    sketch = sketch_ink(part, measures, (EDGE, EDGE, width - EDGE, height - EDGE - HEAD + 6.0))
    return (*pages, Page(width, height, (*_head(part, about, last, width, height), *sketch)))


def _head(part: Part, about: About, sheet: tuple[int, int], width: float, height: float) -> Iterator[Ink]:
    top, room = height - EDGE, width - 2 * EDGE
    title, size = fitted(part.title, 5.0, room - 60)
    yield Text(title, (EDGE, top - 6), size)
    yield Text("FIRST ARTICLE", (width - EDGE, top - 6), 4.0, Align.END)
    yield Text(f"sheet {sheet[0]} of {sheet[1]}", (width - EDGE, top - 11.5), SIZE, Align.END)
    about_part = f"{part.name}, {about.state}, {part.material.name}, quantity {part.quantity}"
    words, small = fitted(about_part, SIZE, room - 40)
    yield Text(words, (EDGE, top - 11.5), small)
    words, small = fitted(about.project, SIZE, room)
    yield Text(words, (EDGE, top - 16.5), small)
    advice = (
        f"All in {about.numbers.named}. {_places_words(part)} A basic place has no limits: the true position has. "
        "Readings into the YAML file of the same name, in mm."
    )
    for place, line in enumerate(wrapped(advice, SIZE, room)[:2]):
        yield Text(line, (EDGE, top - 22.5 - LINE * place), SIZE)
    yield path(((EDGE, top - 32.5), (width - EDGE, top - 32.5)), Pen.WIDE)


def _places_words(part: Part) -> str:
    """Which datums places are measured from, by their letters on the drawing."""
    if part.strip is not None:
        return "Places are along the legs."
    letters = datums_of(part).letters
    if len(letters) < 2:
        return "Places are from the datum hole, which the drawing frames." if part.holes else ""
    along = f", turned so that {letters[2]} is in its direction" if len(letters) > 2 else ""
    return f"Places are from datum {letters[1]} on face {letters[0]}{along}."


def _table(measures: Sequence[Measure], first: int, numbers: Numbers, width: float, height: float) -> Iterator[Ink]:
    room, top = width - 2 * EDGE, height - EDGE - HEAD + 6.0
    left = EDGE
    spots = []
    for heading, share, align in COLUMNS:
        spots.append((left + 1.2 if align is Align.START else left + share * room - 1.5, share * room, align))
        yield Text(heading, (spots[-1][0], top - ROW + 3.2), SIZE, align)
        left += share * room
    for row, measure in enumerate(measures, start=1):
        y = top - (row + 1) * ROW
        for text, (x, wide, align) in zip(_cells(measure, first + row - 1, numbers), spots, strict=False):
            yield from _words(text, (x, y), wide - 2, align)
    bottom = top - (len(measures) + 1) * ROW
    for row in range(len(measures) + 1):
        y = top - (row + 1) * ROW
        yield path(((EDGE, y), (width - EDGE, y)), Pen.FINE if row else Pen.NARROW)
    x = EDGE
    for _, share, _ in COLUMNS[:-1]:
        x += share * room
        yield path(((x, bottom), (x, top)), Pen.FINE)
    yield frame((EDGE, bottom, width - EDGE, top), Pen.NARROW)


def _words(text: str, at: Point, room: float, align: Align) -> Iterator[Ink]:
    """The words of a cell in one line or two; `at` is on the rule below it."""
    lines = wrapped(text, SIZE, room)
    if len(lines) > 2:
        lines = [lines[0], fitted(" ".join(lines[1:]), SIZE, room)[0]]
    high = at[1] + (3.2 if len(lines) == 1 else 5.6)
    for place, line in enumerate(lines):
        yield Text(line, (at[0], high - LINE * place), SIZE, align)


def _cells(measure: Measure, number: int, numbers: Numbers) -> Iterator[str]:
    yield str(number)
    yield measure.what
    if measure.nominal is None:
        yield from ("", "", "")
        return
    shown = "{:.3f}°".format if measure.is_angle else numbers.fixed
    yield shown(measure.nominal)
    if measure.zone:
        yield from ("basic", "basic")
        return
    if measure.tolerance is None:
        yield from ("–", "–")
        return
    lower, upper = measure.tolerance
    yield shown(measure.nominal + lower)
    yield shown(measure.nominal + upper)


def _foot(width: float) -> Iterator[Ink]:
    third = (width - 2 * EDGE) / 3
    for place, words in enumerate(("Measured by", "Instruments", "Date")):
        x = EDGE + place * third
        yield path(((x, EDGE + 8), (x + third - 5, EDGE + 8)), Pen.FINE)
        yield Text(words, (x, EDGE + 3.5), SIZE)
