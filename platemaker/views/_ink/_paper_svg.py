"""Sheets as SVG: the same ink as the PDF, in true size, one sheet below another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from platemaker.views._ink._lettering import FONT, Sign, pieces, width_of
from platemaker.views._ink._model import Fill, Ink, Page, Raster, Stroke, Text, View, on_paper
from platemaker.views._ink._svg import clipped, edge_data, element, fill_data, raster, shape

BETWEEN = 6.0
"""Room between two sheets, mm."""
_FAMILY = f"'{FONT}', 'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif"


def svg_of(pages: Sequence[Page], title: str) -> str:
    """The sheets as one SVG, in mm. Letters are held to our own font's widths whatever font the viewer has."""
    wide = max(page.width for page in pages)
    high = sum(page.height for page in pages) + BETWEEN * (len(pages) - 1)
    sheets, top = [], 0.0
    for number, page in enumerate(pages, start=1):
        paper = element("rect", x=0.0, y=-page.height, width=page.width, height=page.height, fill="#fff", stroke="none")
        body = "".join(_drawn(page.ink, f"p{number}"))
        sheets.append(element("g", paper + body, transform=f"translate(0 {top + page.height:.3f})"))
        top += page.height + BETWEEN
    return element(
        "svg",
        element("title", escape(title)) + "".join(sheets),
        xmlns="http://www.w3.org/2000/svg",
        width=f"{wide:.3f}mm",
        height=f"{high:.3f}mm",
        viewBox=f"0 0 {wide:.3f} {high:.3f}",
        font_family=_FAMILY,
        fill="none",
        stroke="#000",
        stroke_linejoin="round",
    )


def _drawn(ink: Iterable[Ink], identity: str) -> Iterator[str]:
    for number, one in enumerate(on_paper(ink)):
        if isinstance(one, Stroke):
            dashes = " ".join(f"{length:g}" for length in one.pen.dashes) or None
            yield shape(one, stroke_width=one.pen.width, stroke_dasharray=dashes)
        elif isinstance(one, Fill):
            shade = round(255 * one.shade)
            yield element("path", d=fill_data(one), fill=f"rgb({shade},{shade},{shade})", stroke="none")
        elif isinstance(one, Text):
            yield _text(one)
        elif isinstance(one, Raster):
            yield raster(one)
        else:
            name = f"{identity}-{number}"
            yield clipped(one, "".join(_drawn(one.ink, name)), name)


def _text(text: Text) -> str:
    parts = []
    for place, piece in pieces(text.text):
        x = place * text.size
        if isinstance(piece, Sign):
            sign = View(text.size, (x, 0.0))
            lines = (edge_data(sign.edge(line)) for line in piece.lines)
            parts.append(element("path", d="".join(lines), stroke_width=0.08 * text.size))
        elif letters := piece.strip():
            # Viewers leave out blanks at the ends of a run: it begins where its first letter stands.
            x += width_of(piece[: len(piece) - len(piece.lstrip())], text.size)
            parts.append(
                element(
                    "text", escape(letters), x=x, y=0.0, font_size=text.size, textLength=width_of(letters, text.size),
                    lengthAdjust="spacingAndGlyphs", fill="#000", stroke="none",
                )
            )  # fmt: skip
    (x, y), turn = text.start, " rotate(-90)" if text.turned else ""
    return element("g", "".join(parts), transform=f"translate({x:.4f} {-y:.4f}){turn}")
