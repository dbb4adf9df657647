"""Letters of the paper: one font shipped with the package, its widths, and the signs that it lacks.

The font is loaded by path, so that the same spec gives the same sheet on every machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache, lru_cache
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from typing import Any

from platemaker.plane import Line, Point
from platemaker.records import Record

FONT = "DejaVuSansCondensed"
RISE, FALL = 0.76, 0.24
"""How far letters reach above and below their line, over the letter size: the font's own ascent and descent."""
CAPITAL = 0.729
"""Height of a capital over the letter size, of the same font."""
UNKNOWN = "\N{REPLACEMENT CHARACTER}"
"""Stands for a letter that the font lacks, so that nobody takes the text for whole."""
DIAMETER, COUNTERBORE, COUNTERSINK, DEPTH = "⌀", "⌴", "⌵", "↧"
"""Signs of ISO 129-1:2018 and ASME Y14.5-2009, 6.3 and figure 6-26 (clauses from memory)."""
POSITION = "⌖"
PERPENDICULAR = "⟂"
FLAT = "⏥"
"""Signs of tolerances of position, perpendicularity and flatness (ISO 1101:2017, ASME Y14.5-2009; from memory)."""
LEAST = 2.5 / CAPITAL
"""Letters of the paper are no smaller, mm: capitals of 2.5 mm, the least nominal size but one of ISO 3098-1:2015 (from
memory), which a print that oil has touched still shows.
"""


class Sign(Record):
    """A sign drawn in lines, in units of the letter size; its line stands on Y = 0."""

    width: float
    lines: tuple[Line, ...]


def _ring(centre: Point, radius: float) -> tuple[Point, ...]:
    turns = (turn * math.tau / 24 for turn in range(25))
    return tuple((centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)) for turn in turns)


def _sign(width: float, *runs: tuple[Point, ...]) -> Sign:
    return Sign(width, tuple(Line(a, b) for run in runs for a, b in pairwise(run)))


SIGNS = {
    POSITION: _sign(
        0.98, _ring((0.46, 0.36), 0.24), ((0.08, 0.36), (0.84, 0.36)), ((0.46, -0.02), (0.46, 0.74))
    ),
    PERPENDICULAR: _sign(0.86, ((0.08, 0.04), (0.78, 0.04)), ((0.43, 0.04), (0.43, 0.72))),
    FLAT: _sign(1.1, ((0.08, 0.1), (0.7, 0.1), (0.98, 0.62), (0.36, 0.62), (0.08, 0.1))),
    DIAMETER: _sign(0.86, _ring((0.42, 0.36), 0.29), ((0.14, -0.02), (0.7, 0.74))),
    COUNTERBORE: _sign(0.94, ((0.08, 0.66), (0.08, 0.04), (0.78, 0.04), (0.78, 0.66))),
    COUNTERSINK: _sign(0.86, ((0.08, 0.7), (0.43, 0.04), (0.78, 0.7))),
    DEPTH: _sign(
        0.86, ((0.1, 0.7), (0.7, 0.7)), ((0.4, 0.7), (0.4, 0.06)), ((0.22, 0.3), (0.4, 0.04), (0.58, 0.3))
    ),
}  # fmt: skip
"""Signs that are drawn: the font lacks the counterbore's, and its others are too small to distinguish on a print."""


def font_path() -> Path:
    """The font's file."""
    return Path(str(files("platemaker.views").joinpath("data", "fonts", f"{FONT}.ttf")))


@cache
def face() -> Any:
    """The font as the PDF library reads it."""
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415 - only when paper is made

    return TTFont(FONT, str(font_path()))


def known(text: str) -> str:
    r"""One line of letters that can be drawn; what the font lacks becomes a visible sign of that.

    >>> known("Платe\n図")
    'Платe �'
    """
    glyphs = face().face.charToGlyph
    return "".join(c if c in SIGNS or ord(c) in glyphs else UNKNOWN for c in " ".join(text.split()))


def pieces(text: str) -> Iterator[tuple[float, str | Sign]]:
    """A text as runs of letters and drawn signs, each with its place along the line in units of the letter size."""
    place, run = 0.0, ""
    for letter in text:
        if letter not in SIGNS:
            run += letter
            continue
        if run:
            yield place, run
            place, run = place + _run_width(run), ""
        yield place, SIGNS[letter]
        place += SIGNS[letter].width
    if run:
        yield place, run


def width_of(text: str, size: float) -> float:
    """Width of a text in letters of `size`, mm."""
    return _width(text) * size


@lru_cache(4096)
def _width(text: str) -> float:
    """Width in units of the letter size. Labels are measured again for every place that is tried."""
    drawn = sum(SIGNS[letter].width for letter in text if letter in SIGNS)
    return drawn + _run_width("".join(letter for letter in text if letter not in SIGNS))


def fitted(text: str, size: float, room: float) -> tuple[str, float]:
    """A text and its letter size, at most `size`, that go into `room`, mm; cut short where even LEAST is too wide."""
    text = known(text)
    wide = width_of(text, size)
    if wide <= room:
        return text, size
    small = max(min(LEAST, size), size * room / wide)
    if small * wide <= size * room * (1 + 1e-9):
        return text, small
    while text and width_of(text.rstrip() + "…", small) > room:
        text = text[:-1]
    return text.rstrip() + "…", small


def wrapped(text: str, size: float, room: float) -> list[str]:
    """A text in lines no wider than `room`, mm, broken at blanks; a single longer word is broken anywhere."""
    lines: list[str] = []
    line = ""
    for word in known(text).split(" "):
        longer = f"{line} {word}" if line else word
        if width_of(longer, size) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while width_of(line, size) > room and len(line) > 1:
            most = next(n for n in range(len(line) - 1, 0, -1) if n == 1 or width_of(line[:n], size) <= room)
            lines.append(line[:most])
            line = line[most:]
    return [*lines, line] if line else lines


@cache
def _run_width(run: str) -> float:
    return float(face().stringWidth(run, 1.0))
