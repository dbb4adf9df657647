"""Sheets as PDF: vectors in true size, letters from our own font, the same bytes for the same sheets."""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from platemaker.plane import Arc, Circle
from platemaker.units import MM_PER_INCH
from platemaker.views._ink._lettering import FONT, SIGNS, Sign, face, pieces
from platemaker.views._ink._model import Clip, EllipseCurve, Fill, Ink, Page, Pen, Raster, Stroke, Text, on_paper

POINT = 72 / MM_PER_INCH
"""Points of PDF, 1/72 in, in a millimetre."""


def write_pdf(pages: Sequence[Page], path: Path, title: str) -> None:
    """Write sheets to a PDF, one page each, in true size."""
    path.write_bytes(pdf_bytes(pages, title))


def pdf_bytes(pages: Sequence[Page], title: str) -> bytes:
    """The sheets as the bytes of a PDF."""
    from reportlab.pdfbase import pdfmetrics  # noqa: PLC0415 - only when paper is made
    from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415

    pdfmetrics.registerFont(face())
    canvas = Canvas("", invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("platemaker")
    canvas.setProducer("platemaker")
    for page in pages:
        canvas.setPageSize((page.width * POINT, page.height * POINT))
        canvas.scale(POINT, POINT)
        canvas.setLineCap(0)
        canvas.setLineJoin(1)
        _draw(canvas, page.ink)
        canvas.showPage()
    return bytes(canvas.getpdfdata())


def _draw(canvas: Any, ink: Iterable[Ink]) -> None:
    from reportlab.lib.utils import ImageReader  # noqa: PLC0415

    pen: Pen | None = None
    for one in on_paper(ink):
        if isinstance(one, Stroke):
            if one.pen is not pen:
                pen = one.pen
                canvas.setLineWidth(pen.width)
                canvas.setDash(*([list(pen.dashes)] if pen.dashes else []))
            canvas.drawPath(_path(canvas, one), stroke=1, fill=0)
        elif isinstance(one, Fill):
            canvas.setFillGray(one.shade)
            canvas.drawPath(_polygon(canvas, one), stroke=0, fill=1)
            canvas.setFillGray(0)
        elif isinstance(one, Text):
            _text(canvas, one)
        elif isinstance(one, Raster):
            x0, y0, x1, y1 = one.box
            canvas.drawImage(ImageReader(io.BytesIO(one.png)), x0, y0, x1 - x0, y1 - y0)
        else:
            _clipped(canvas, one)


def _clipped(canvas: Any, clip: Clip) -> None:
    x0, y0, x1, y1 = clip.box
    canvas.saveState()
    window = canvas.beginPath()
    window.rect(x0, y0, x1 - x0, y1 - y0)
    canvas.clipPath(window, stroke=0, fill=0)
    canvas.translate(*clip.shift)
    _draw(canvas, clip.ink)
    canvas.restoreState()


def _path(canvas: Any, stroke: Stroke) -> Any:
    drawn = canvas.beginPath()
    if isinstance(stroke.run, Circle):
        drawn.circle(*stroke.run.centre, stroke.run.radius)
        return drawn
    run = stroke.run.run if isinstance(stroke.run, EllipseCurve) else stroke.run
    drawn.moveTo(*run[0].start)
    for edge in run:
        if isinstance(edge, Arc):
            (x, y), r = edge.centre, edge.radius
            sweep = math.degrees(edge.sweep)
            drawn.arcTo(x - r, y - r, x + r, y + r, math.degrees(edge.start_angle), sweep)
        else:
            drawn.lineTo(*edge.end)
    if stroke.closed:
        drawn.close()
    return drawn


def _polygon(canvas: Any, fill: Fill) -> Any:
    drawn = canvas.beginPath()
    drawn.moveTo(*fill.points[0])
    for point in fill.points[1:]:
        drawn.lineTo(*point)
    drawn.close()
    return drawn


def _text(canvas: Any, text: Text) -> None:
    canvas.saveState()
    canvas.translate(*text.start)
    if text.turned:
        canvas.rotate(90)
    signs = iter([letter for letter in text.text if letter in SIGNS])
    for place, piece in pieces(text.text):
        if isinstance(piece, Sign):
            _unseen(canvas, next(signs), place * text.size, text.size)
            canvas.setLineWidth(0.08 * text.size)
            canvas.setDash()
            for line in piece.lines:
                (x0, y0), (x1, y1) = line.start, line.end
                size = text.size
                canvas.line((place + x0) * size, y0 * size, (place + x1) * size, y1 * size)
        else:
            canvas.setFont(FONT, text.size)
            canvas.drawString(place * text.size, 0, piece)
    canvas.restoreState()


def _unseen(canvas: Any, letter: str, place: float, size: float) -> None:
    """A letter that is not drawn: what is drawn in lines is found by a search and copied with the words about it."""
    canvas.saveState()
    canvas.setFont(FONT, size)
    # The font lacks most signs: a letter that it has stands for the sign, which the text's own mark names.
    canvas.addLiteral(f"/Span <</ActualText <FEFF{ord(letter):04X}>>> BDC")
    canvas.drawString(place, 0, "o", mode=3)
    canvas.addLiteral("EMC")
    canvas.restoreState()
