"""Letters as lines that a cutter follows: single strokes, or the outlines of the paper's font."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import Any, TypeAlias

from platemaker.plane import Line, Point
from platemaker.views._ink._lettering import CAPITAL, font_path
from platemaker.views._ink._model import Pen, Stroke

HIGH, BETWEEN, BLANK, NARROW = 6.0, 1.5, 3.0, 0.7
"""Height of a capital, room between letters and width of a blank in the units of the strokes' table; how far its
letters are narrowed."""
CHORD = 0.003
"""How far the chord of an outline's curve lies off it at most, over the height of a capital."""
SHORTEST = 0.02
"""No piece of an outline is shorter, mm."""
Run: TypeAlias = tuple[Point, ...]


def engraved(text: str, at: Point, height: float, letters: str, look: str) -> tuple[Stroke, ...]:
    """A text's letters, capitals `height` mm high, from `at` on; `letters` are "strokes" or "outlines"."""
    runs = _outlines(text) if letters == "outlines" else _strokes(text)
    placed = [([(at[0] + height * x, at[1] + height * y) for x, y in run], closed) for run, closed in runs]
    return tuple(Stroke(_lines(points, closed), Pen.NARROW, closed, look) for points, closed in placed)


def _lines(points: list[Point], closed: bool) -> tuple[Line, ...]:
    """The lines of a run, of a closed one without what is shorter than a cutter follows."""
    if not closed:
        return tuple(Line(a, b) for a, b in pairwise(points))
    kept = points[:1]
    for point in points[1:]:
        if min(math.dist(point, kept[-1]), math.dist(point, kept[0])) >= SHORTEST:
            kept.append(point)
    return tuple(Line(a, b) for a, b in pairwise([*kept, kept[0]]))


def _strokes(text: str) -> Iterator[tuple[Run, bool]]:
    """Runs of the strokes' table, in heights of a capital; small letters are capitals."""
    x = 0.0
    for letter in text.upper():
        width, runs = _table().get(letter, (BLANK, ()))
        yield from ((tuple((NARROW * (x + u) / HIGH, v / HIGH) for u, v in run), False) for run in runs)
        x += width + BETWEEN


@cache
def _table() -> dict[str, tuple[float, tuple[Run, ...]]]:
    """By letter: its width and its strokes."""
    found = {}
    for line in files("platemaker.views").joinpath("data", "strokes.txt").read_text(encoding="utf-8").splitlines():
        letter, width, strokes = line[0], *line[2:].split(" ", maxsplit=1)
        runs = (stroke.split() for stroke in strokes.split("|"))
        found[letter] = float(width), tuple(tuple(_point(pair) for pair in run) for run in runs)
    return found


def _point(pair: str) -> Point:
    x, y = map(float, pair.split(","))
    return x, y


def _outlines(text: str) -> Iterator[tuple[Run, bool]]:
    """Closed outlines of the font's letters, in heights of a capital."""
    font = _font()
    glyphs, names, unit = font.getGlyphSet(), font.getBestCmap(), CAPITAL * font["head"].unitsPerEm
    x = 0.0
    for letter in text:
        glyph = glyphs[names[ord(letter)]]
        for run in _contours(glyph, glyphs, CHORD * unit):
            yield tuple(((x + u) / unit, v / unit) for u, v in run), True
        x += glyph.width


def _contours(glyph: Any, glyphs: Any, off: float) -> Iterator[Run]:
    """A glyph's closed runs of lines and parabolas, these by chords at most `off` them, in the font's units."""
    from fontTools.pens.basePen import decomposeQuadraticSegment  # type: ignore[import-untyped]  # noqa: PLC0415
    from fontTools.pens.recordingPen import DecomposingRecordingPen  # type: ignore[import-untyped]  # noqa: PLC0415

    pen = DecomposingRecordingPen(glyphs)
    glyph.draw(pen)
    run: list[Point] = []
    for step, points in pen.value:
        if step == "closePath":
            yield tuple(run)
        elif step == "qCurveTo":
            for control, end in decomposeQuadraticSegment(points):
                run += _chords(run[-1], control, end, off)
        else:
            run = [*(run if step == "lineTo" else ()), points[0]]


def _chords(start: Point, control: Point, end: Point, off: float) -> Iterator[Point]:
    """Points along a parabola: n chords of its parameter lie |a - 2b + c| / (4 n²) off it."""
    bend = math.hypot(*(a - 2 * b + c for a, b, c in zip(start, control, end, strict=True)))
    count = max(1, math.ceil(math.sqrt(bend / 4 / off)))
    for number in range(1, count + 1):
        t = number / count
        x, y = ((1 - t) ** 2 * a + 2 * t * (1 - t) * b + t * t * c for a, b, c in zip(start, control, end, strict=True))
        yield x, y


@cache
def _font() -> Any:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]  # noqa: PLC0415 - only where letters are engraved

    return TTFont(str(font_path()), lazy=True)
