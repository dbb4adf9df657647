"""Reads PDFs back from disk with another library than wrote them, and measures them against the part."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from platemaker.export._differs import differs
from platemaker.export._sheet._template import to_punch
from platemaker.export._sheet._tiles import BAR_INCH, BAR_MM, PUNCH, Tiling
from platemaker.parts import Part
from platemaker.plane import Line, Point
from platemaker.records import Record
from platemaker.views import POINT

_differs = partial(differs, due="it was drawn")

SAME = 0.01
"""Largest difference of a length or place read from a PDF, mm: the file holds five decimals of a point."""


class PdfPage(Record):
    """A page: size, mm, its straight strokes of two points, in mm from the lower left corner, and its words.

    Strokes take as long to read as all else together: they are there where they were asked for.
    """

    width: float
    height: float
    lines: tuple[Line, ...]
    words: tuple[str, ...]


class PdfReading(Record):
    """What a PDF holds."""

    file: str
    pages: tuple[PdfPage, ...]


def read_pdf(path: Path, *, lines: bool = False) -> PdfReading:
    """Measure a PDF on disk, its `lines` where they are wanted. Raises ProofError naming a file that cannot be read."""
    import pypdfium2  # type: ignore[import-untyped]  # noqa: PLC0415 - only when paper is read

    try:
        document = pypdfium2.PdfDocument(path)
    except (pypdfium2.PdfiumError, OSError) as cause:
        raise _differs(path, f"cannot be read: {cause}") from cause
    try:
        pages = []
        for page in document:
            text = page.get_textpage()
            words = tuple(text.get_text_range().split())
            text.close()
            found = tuple(_lines(page)) if lines else ()
            pages.append(PdfPage(page.get_width() / POINT, page.get_height() / POINT, found, words))
            page.close()
        return PdfReading(path.name, tuple(pages))
    finally:
        document.close()


def prove_drawing(part: Part, path: Path, pages: int, code: str, tags: Mapping[str, str]) -> PdfReading:
    """Read a drawing back: its number of sheets, and on them the part's name, spec code and the tag of every hole."""
    return prove_pages(path, pages, (part.name, code, *tags.values()))


def prove_pages(path: Path, pages: int, words: Iterable[str]) -> PdfReading:
    """Read a PDF back: its number of pages, and words that stand on one of them."""
    reading = read_pdf(path)
    if len(reading.pages) != pages:
        raise _differs(path, f"{len(reading.pages)} pages instead of {pages}")
    found = {word.strip(",.;") for page in reading.pages for word in page.words}
    for due in words:
        if due not in found:
            raise _differs(path, f"the word '{due}' is not on it")
    return reading


def prove_template(part: Part, path: Path, tiling: Tiling) -> PdfReading:
    """Read a template back: its pages in size, both bars on each, and every punch cross at its hole.

    `part` is flat where it is bent from strip. Raises ProofError naming file and difference.
    """
    return prove_tiles(path, tiling, [(hole.name, hole.centre) for hole in part.holes if to_punch(hole)])


def prove_tiles(path: Path, tiling: Tiling, punched: Sequence[tuple[str, Point]]) -> PdfReading:
    """Read tiled pages back: pages in size, both bars on each, and a punch cross at every place that a page shows."""
    reading = read_pdf(path, lines=True)
    if len(reading.pages) != len(tiling.tiles):
        raise _differs(path, f"{len(reading.pages)} pages instead of {len(tiling.tiles)}")
    for number, (page, tile) in enumerate(zip(reading.pages, tiling.tiles, strict=True), start=1):
        if abs(page.width - tiling.width) > SAME or abs(page.height - tiling.height) > SAME:
            raise _differs(path, f"page {number} is {page.width:.2f} x {page.height:.2f} mm")
        lengths = [line.length for line in page.lines]
        for bar in (BAR_MM, BAR_INCH):
            if not any(abs(length - bar) <= SAME for length in lengths):
                raise _differs(path, f"page {number} has no bar of {bar:g} mm")
        arms = {_rounded(line.point(0.5)) for line in page.lines if abs(line.length - 2 * PUNCH) <= SAME}
        dx, dy = tiling.shift(tile)
        for name, (x, y) in punched:
            shown = tile.box[0] < x < tile.box[2] and tile.box[1] < y < tile.box[3]
            if shown and not _near((x + dx, y + dy), arms):
                raise _differs(path, f"page {number} has no punch cross for hole '{name}'")
    return reading


def bars_of(reading: PdfReading) -> tuple[float, float]:
    """The lengths, mm, of the two check bars: of each page's stroke nearest to one, that which is furthest off."""
    found = []
    for bar in (BAR_MM, BAR_INCH):
        nearest = [min((line.length for line in page.lines), key=lambda it: abs(it - bar)) for page in reading.pages]
        found.append(max(nearest, key=lambda it: abs(it - bar)))
    return found[0], found[1]


def _near(at: tuple[float, float], found: set[tuple[int, int]]) -> bool:
    x, y = _rounded(at)
    return any((x + i, y + j) in found for i in (-1, 0, 1) for j in (-1, 0, 1))


def _rounded(at: tuple[float, float]) -> tuple[int, int]:
    return round(at[0] / SAME), round(at[1] / SAME)


def _lines(page: Any) -> Iterator[Line]:
    """The strokes of a page that are one straight line."""
    from pypdfium2 import raw  # noqa: PLC0415

    x, y = ctypes.c_float(), ctypes.c_float()
    for found in page.get_objects(filter=(raw.FPDF_PAGEOBJ_PATH,)):
        if raw.FPDFPath_CountSegments(found.raw) != 2:
            continue
        matrix, ends = found.get_matrix(), []
        for number in (0, 1):
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(found.raw, number), x, y)
            across, up = matrix.on_point(x.value, y.value)
            ends.append((across / POINT, up / POINT))
        if math.dist(*ends) > 0:
            yield Line(ends[0], ends[1])
