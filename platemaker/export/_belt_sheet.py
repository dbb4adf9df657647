"""The belt's sheet: its plane to a standard scale, with a list of pulleys and spans for the bench."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from platemaker.export._reading._read_pdf import PdfReading, prove_pages
from platemaker.export._sheet._sheet_paper import MARGIN, SCALES, Paper, papers, scale_words
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.resolved import ResolvedBelt, Running
from platemaker.units import LengthUnit, format_length
from platemaker.views import (
    LEAST,
    Align,
    Ink,
    Lettered,
    Lines,
    Page,
    Pen,
    Shown,
    Text,
    View,
    belt_box,
    belt_boxes,
    belt_ink,
    belt_labels,
    frame,
    grown,
    known,
    label_ink,
    place,
    shown,
    wrapped,
    write_pdf,
)

SIZE, ROW, HEAD = LEAST, 4.7, 4.2
"""Size of letters, height of a row, size of the scale's letters, mm."""
AIR = 18.0
"""Room round the picture for its words, mm."""
LARGE = 0.2
"""Scale below which a larger paper is taken."""
DATUM = "A"
GUARD = "A rotating belt maims: fit a guard over belt and pulleys before the engine runs."


def write_belt_sheet(stack: Stack, belt: ResolvedBelt, file: Path) -> PdfReading:
    """Write the belt's sheet and read it back. ProofError where it differs."""
    page = belt_page(stack, belt)
    write_pdf((page,), file, f"{stack.title}: belt")
    return prove_pages(file, 1, ("BELT", "guard"))


def belt_page(stack: Stack, belt: ResolvedBelt) -> Page:
    """The one page."""
    paper, view, scale = _laid(stack, belt)
    ink: list[Ink] = [frame((MARGIN, MARGIN, paper.width - MARGIN, paper.height - MARGIN), Pen.WIDE)]
    ink += _picture(belt, view, stack.unit)
    ink += _words(stack, belt, paper, scale)
    return Page(paper.width, paper.height, tuple(ink))


def _laid(stack: Stack, belt: ResolvedBelt) -> tuple[Paper, View, float]:
    """The smallest paper on which the belt is drawn at `LARGE` or more, else the largest; the belt in its middle."""
    x0, y0, x1, y1 = belt_box(belt)
    for paper in papers(stack.unit, stack.drafting.paper):
        left, low, right, high = paper.views
        room_x, room_y = right - left - 2 * AIR, high - low - 2 * AIR
        scale = next((one for one in SCALES if one * (x1 - x0) <= room_x and one * (y1 - y0) <= room_y), SCALES[-1])
        middle = (left + right) / 2, (low + high) / 2
        laid = paper, View(scale, (middle[0] - scale * (x0 + x1) / 2, middle[1] - scale * (y0 + y1) / 2)), scale
        if scale >= LARGE and len(_rows(stack, belt, paper)) * ROW <= paper.words[3] - paper.words[1] - 2 * ROW:
            break
    return laid


def _picture(belt: ResolvedBelt, view: View, unit: str) -> Iterator[Ink]:
    """The belt with words at pulleys and spans, clear of the belt and of each other."""
    busy = [grown(box, 0.8) for box in belt_boxes(belt, view)]
    for wheel, one in zip(belt.path.wheels, belt.pulleys, strict=True):
        busy.append(grown((*view.at(wheel.centre),) * 2, 0.8 * view.scale * one.rim / 2))
    yield from belt_ink(belt, view, SIZE)
    labels = belt_labels(belt, view, SIZE, Lettered)
    words = [known(label.text.of(unit)) for label in labels]
    said = [replace(label, text=Shown(text, text)) for label, text in zip(labels, words, strict=True)]
    datum = Lettered(Shown(DATUM, DATUM), view.at(belt.path.wheels[0].centre), SIZE, SIZE, "datum", framed=True)
    lines = Lines.of(belt_ink(belt, view, SIZE))
    first = place([datum], lines=lines)
    yield from label_ink([*first, *place(said, [*busy, *(spot.box for spot in first)], lines=lines)])


def _length(value: float, unit: str) -> str:
    return format_length(value, LengthUnit(unit), 2 if unit == LengthUnit.INCH else 1)


def _words(stack: Stack, belt: ResolvedBelt, paper: Paper, scale: float) -> Iterator[Ink]:
    left, low, right, high = paper.words
    left += 4.0
    y = high - 8.0
    yield Text("BELT", (left, y), 5.0)
    yield Text(scale_words(scale), (right - 3.0, y), HEAD, Align.END)
    rows = _rows(stack, belt, paper)
    room = int((y - low) / ROW) - 1
    if len(rows) > room:
        rows = [*rows[: room - 1], "More on the page, report.html."]
    yield from (Text(row, (left, y - ROW * number), SIZE) for number, row in enumerate(rows, 1))


def _rows(stack: Stack, belt: ResolvedBelt, paper: Paper) -> list[str]:
    """The words in lines of the paper."""
    wide = paper.words[2] - paper.words[0] - 7.0
    return [piece for line in _lines(stack, belt) for piece in wrapped(known(line), SIZE, wide) or [""]]


def _lines(stack: Stack, belt: ResolvedBelt) -> Iterator[str]:
    drive, fitted, case = belt.belt, belt.fitted, belt.case(Running.DRIVING)
    yield stack.title
    yield f"Seen along datum {DATUM}, the axis of {belt.pulleys[0].title}, towards the engine."
    yield ""
    strands = f"{drive.strands:g} mm wide" if belt.is_toothed else f"{drive.strands:g} ribs or strands"
    yield f"{drive.section.section}, {strands}, length {_length(fitted.length, stack.unit)}"
    yield f"tension as fitted {belt.tension:.0f} N in every span"
    if drive.mover is not None:
        setting = belt.pulleys[drive.mover].setting
        unit = setting.unit if setting else "mm"
        stops = (("fitting", fitted.loose), ("tight", fitted.at), ("taken up", fitted.taken_up))
        said = ", ".join(
            f"{word} {shown(one, unit, 1, sign=True).of(stack.unit) or 'out of reach'}" for word, one in stops
        )
        yield f"travel of {belt.pulleys[drive.mover].title}: {said}"
    yield ""
    yield f"PULLEYS: diameter, middle right and up from datum {DATUM}, wrap, load driving, load standing"
    standing, (x0, y0) = belt.case(Running.STANDING), belt.path.wheels[0].centre
    for at, one in enumerate(belt.pulleys):
        loads = f"{math.hypot(*case.forces[at]):.0f} N, {math.hypot(*standing.forces[at]):.0f} N"
        x, y = belt.path.wheels[at].centre
        middle = f"{_length(x - x0, stack.unit)} and {_length(y - y0, stack.unit)}"
        wrap = f"{math.degrees(belt.path.wraps[at]):.1f} deg"
        yield f"{one.title}: {_length(one.rim, stack.unit)}, {middle}, {wrap}, {loads}"
    yield ""
    yield "SPANS: length, tension driving, pitch plucked at rest"
    for at, span in enumerate(belt.path.spans):
        pitch = belt.frequency(at)
        heard = "slack" if pitch is None else f"{pitch:.0f} Hz"
        yield f"{span.tag}: {_length(span.length, stack.unit)}, {case.tensions[at]:.0f} N, {heard}"
    yield ""
    yield GUARD
