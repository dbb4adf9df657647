"""Sheets as SVG: the same ink as the PDF, in true size, one sheet below another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from platemaker.plane import Circle, Line, Point
from platemaker.views._ink._lettering import FONT, Sign, pieces, width_of
from platemaker.views._ink._sheet_ink import Clip, Fill, Ink, Page, Stroke, Text
from platemaker.views._svg import edge_data, element

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
    for number, one in enumerate(ink):
        if isinstance(one, Stroke):
            yield _stroke(one)
        elif isinstance(one, Fill):
            shade = round(255 * one.shade)
            yield element("path", d=_run(one.points) + "Z", fill=f"rgb({shade},{shade},{shade})", stroke="none")
        elif isinstance(one, Text):
            yield _text(one)
        else:
            yield _clipped(one, f"{identity}-{number}")


def _clipped(clip: Clip, identity: str) -> str:
    x0, y0, x1, y1 = clip.box
    window = element("rect", x=x0, y=-y1, width=x1 - x0, height=y1 - y0)
    drawn = "".join(_drawn(clip.ink, identity))
    dx, dy = clip.shift
    moved = element("g", drawn, transform=f"translate({dx:.4f} {-dy:.4f})") if clip.shift != (0.0, 0.0) else drawn
    return element("clipPath", window, id=identity) + element("g", moved, clip_path=f"url(#{identity})")


def _stroke(stroke: Stroke) -> str:
    pen = stroke.pen
    dashes = " ".join(f"{length:g}" for length in pen.dashes) or None
    if isinstance(stroke.run, Circle):
        (x, y), r = stroke.run.centre, stroke.run.radius
        return element("circle", cx=x, cy=-y, r=r, stroke_width=pen.width, stroke_dasharray=dashes)
    first, *rest = (edge_data(edge) for edge in stroke.run)
    # Each piece begins where the one before ends: only the first needs its move.
    data = first + "".join(piece[_command(piece) :] for piece in rest) + ("Z" if stroke.closed else "")
    return element("path", d=data, stroke_width=pen.width, stroke_dasharray=dashes)


def _command(piece: str) -> int:
    return next(place for place, letter in enumerate(piece) if letter in "LA")


def _run(points: Iterable[Point]) -> str:
    return "M" + "L".join(f"{x:.4f} {-y:.4f}" for x, y in points)


def _text(text: Text) -> str:
    parts = []
    for place, piece in pieces(text.text):
        x = place * text.size
        if isinstance(piece, Sign):
            lines = (_run(_scaled(line, x, text.size)) for line in piece.lines)
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


def _scaled(line: Line, x: float, size: float) -> tuple[Point, Point]:
    (x0, y0), (x1, y1) = line.start, line.end
    return (x + x0 * size, y0 * size), (x + x1 * size, y1 * size)
