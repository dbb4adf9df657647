"""A joint's film for the fitter, to lay a pressure film beside: its cases in one scale, bolts and the leak's way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from platemaker.export._sheet._list_sheet import LINE, SIZE, BoxedInk
from platemaker.fields import FilmCase, SealAnswer, film_grid, slanted
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.views import (
    TRUE,
    Align,
    Clip,
    Fill,
    Ink,
    Pen,
    Raster,
    Text,
    View,
    dots,
    frame,
    known,
    on_white,
    path,
    round_step,
    wrapped,
)

WIDE, HIGH, APART = 65.0, 46.0, 4.0
"""Room of one film, which is the bow's too, and between two, mm."""
IN_A_ROW = 4
BAR = (110.0, 5.0)
"""Length and height of the scale of pressure, mm."""
STEPS, RIM = 256, 0.45
"""Shades of the scale, and half the width of the white under a line, mm."""
BOLT, RING = 1.1, 2.4
"""Radius of a bolt's mark, and of the ring where a leak meets most, mm."""
LINES = 3
"""Lines of words over a film."""


class FilmShown(Record):
    """A joint's film, and what is said of it in lines."""

    answer: SealAnswer
    words: tuple[str, ...]


def film_pictures(film: FilmShown, heading: str) -> Iterator[BoxedInk]:
    """What the film is of, beside the scale; then its cases in rows, and the gap between the faces as bolted up."""
    answer, cases = film.answer, film.answer.field.cases
    most = max(max(case.pressure) for case in cases)
    signs = (
        "Pressure between the faces, MPa, in one scale for all cases; grey: they do not touch. "
        "Circles: bolts, by their holes. Dashes: the way of a leak; ring: where it meets most."
    )
    yield BoxedInk(BAR[0] + 12.0, BAR[1] + LINE + 1.0, tuple(_scale(most)), heading, (signs, *film.words))
    panels = [tuple(_film(answer, case, most)) for case in cases]
    panels.append(tuple(_bow(answer)))
    for first in range(0, len(panels), IN_A_ROW):
        row = panels[first : first + IN_A_ROW]
        ink = [one for place, panel in enumerate(row) for one in _moved(panel, place * (WIDE + APART))]
        high = HIGH + LINES * LINE
        yield BoxedInk(IN_A_ROW * WIDE, high, tuple(ink), heading if first == 0 else f"{heading} (continued)", ())


def _moved(ink: Sequence[Ink], across: float) -> Iterator[Ink]:
    yield Clip((across, -10.0, across + WIDE, HIGH + 10 * LINE), tuple(ink), (across, 0.0))


def _scale(most: float) -> Iterator[Ink]:
    """The scale of pressure with round numbers under it."""
    import numpy as np  # noqa: PLC0415 - only where there is a film

    foot = LINE + 1.0
    shades = np.linspace(most / STEPS, most, STEPS)[None, :]
    box = (0.0, foot, BAR[0], foot + BAR[1])
    yield Raster(dots(shades, most), box)
    yield frame(box, Pen.FINE)
    step = round_step(most / 6)
    for number in range(math.floor(most / step) + 1):
        x = BAR[0] * number * step / most
        yield path(((x, foot), (x, foot - 1.0)), Pen.FINE)
        yield Text(f"{number * step:g}", (x, 0.6), SIZE, Align.START if number == 0 else Align.MIDDLE)


def _film(answer: SealAnswer, case: FilmCase, most: float) -> Iterator[Ink]:
    """One case with its words over it."""
    mesh = answer.field.finest
    rows, columns = mesh.shape
    view = _laid(mesh.start, columns * mesh.pitch, rows * mesh.pitch)
    (x0, y0), (x1, y1) = (
        view.at(mesh.start),
        view.at((mesh.start[0] + columns * mesh.pitch, mesh.start[1] + rows * mesh.pitch)),
    )
    yield Raster(dots(film_grid(mesh, case.pressure), most), (x0, y0, x1, y1))
    for region in (*answer.given.outline, *answer.given.opened):
        yield from (view.loop(loop, Pen.NARROW) for loop in region.loops)
    for bolt in answer.given.bolts:
        yield from _bolt(bolt.spot, view.at(answer.given.joint.joint.spots[bolt.spot]))
    if len(case.path) > 1:
        yield from _on_white([view.at(point) for point in case.path], Pen.HIDDEN)
    if case.at is not None:
        yield from _on_white(_round(view.at(case.at), RING), Pen.NARROW)
    yield from _words((f"{case.words}: {answer.met(case)}",))


def _laid(start: tuple[float, float], wide: float, high: float) -> View:
    scale = min(WIDE / wide, HIGH / high)
    left, foot = (WIDE - scale * wide) / 2, HIGH - scale * high
    return View(scale, (left - scale * start[0], foot - scale * start[1]))


def _bolt(name: str, at: tuple[float, float]) -> Iterator[Ink]:
    yield Fill(tuple(_round(at, BOLT)), 1.0)
    yield TRUE.circle(at, BOLT, Pen.NARROW)
    yield from on_white(Text(known(name), (at[0] + BOLT + 0.8, at[1] + 0.6), SIZE))


def _round(at: Point, radius: float) -> list[Point]:
    turns = (turn * math.tau / 24 for turn in range(25))
    return [(at[0] + radius * math.cos(turn), at[1] + radius * math.sin(turn)) for turn in turns]


def _on_white(points: Sequence[Point], pen: Pen) -> Iterator[Ink]:
    """A line with a white rim, so that it is seen on the dark end of the scale."""
    for a, b in itertools.pairwise(points):
        long = math.dist(a, b) or 1.0
        x, y = RIM * (b[0] - a[0]) / long, RIM * (b[1] - a[1]) / long
        (ax, ay), (bx, by) = (a[0] - x, a[1] - y), (b[0] + x, b[1] + y)
        yield Fill(((ax + y, ay - x), (bx + y, by - x), (bx - y, by + x), (ax - y, ay + x)), 1.0)
    yield path(points, pen)


def _words(lines: Sequence[str]) -> Iterator[Ink]:
    """Words over a panel, from the top down."""
    rows = [row for line in lines for row in wrapped(line, SIZE, WIDE)][:LINES]
    for place, row in enumerate(rows):
        yield Text(row, (0.0, HIGH + LINES * LINE - LINE * (place + 1) + 1.2), SIZE)


def _bow(answer: SealAnswer) -> Iterator[Ink]:
    """The gap between the faces as bolted up to the low end, magnified."""
    mesh, case = answer.field.finest, answer.field.cases[0]
    shown = slanted(mesh, case)
    corners = [(float(x), float(y)) for line in shown.lines for x, y in line]
    if not corners:
        return
    x0, y0 = (min(one[k] for one in corners) for k in (0, 1))
    x1, y1 = (max(one[k] for one in corners) for k in (0, 1))
    view = _laid((x0, y0), x1 - x0, max(y1 - y0, 1.0))
    for line in shown.lines:
        yield view.path([(float(x), float(y)) for x, y in line], Pen.FINE)
    gap = f"gap between the faces, {case.name}, {shown.magnified} times as high; up: further apart"
    yield from _words((gap, f"{shown.span * 1000:.0f} µm in all"))
