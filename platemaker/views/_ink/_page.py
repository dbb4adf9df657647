"""Ink as markup for the page, whose stylesheet knows it by its looks. Texts have both units for the page's switch."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from platemaker.units import LengthUnit
from platemaker.views._ink._model import Align, Area, Clip, Fill, Hatch, Ink, Raster, Stroke, Text
from platemaker.views._ink._svg import clipped, element, fill_data, raster, region_data, run_data, shape

ADVANCE = 0.6
"""Width of a letter over its height in the monospaced letters of the page; textLength holds every viewer to it."""
MIDDLE = 0.35
"""From a text's line to the middle of its capitals, over the letter size."""
UNDER = "under"
"""The look of what is cut from below: the page hatches it, as it is not seen from above."""
_BACK = {Align.START: 0.5, Align.MIDDLE: 0.0, Align.END: -0.5}


def hatch_id(identity: str) -> str:
    """Id of a picture's pattern for hatching."""
    return f"{identity}-hatch"


def markup(ink: Iterable[Ink], unit: str, identity: str) -> Iterator[str]:
    """Ink as elements; `identity` keeps their ids apart from those of other pictures on the same page."""
    hatch = f"url(#{hatch_id(identity)})"
    for number, one in enumerate(ink):
        if isinstance(one, Stroke):
            yield shape(one, class_=one.look)
        elif isinstance(one, Fill):
            yield element("path", d=fill_data(one), class_=one.look)
        elif isinstance(one, Area):
            fill = hatch if UNDER in one.look.split() else None
            data = "".join(run_data(outline) for outline in one.outlines)
            yield element("path", d=data, class_=one.look, fill_opacity=one.tint, fill=fill)
        elif isinstance(one, Hatch):
            yield element("path", d=region_data(one.region), class_=one.look, fill=hatch)
        elif isinstance(one, Text):
            yield _text(one, unit)
        elif isinstance(one, Raster):
            yield raster(one)
        elif isinstance(one, Clip):
            yield clipped(one, "".join(markup(one.ink, unit, identity)), f"{identity}-clip-{number}")
        elif content := "".join(markup(one.ink, unit, identity)):
            yield element("g", content, class_=one.look)


def _text(text: Text, unit: str) -> str:
    inch = text.text if text.inch is None else text.inch
    words, both = inch if unit == LengthUnit.INCH else text.text, inch != text.text
    long = len(words) * ADVANCE * text.size
    return element(
        "text",
        escape(words),
        x=text.at[0] + _BACK[text.align] * long,
        y=-text.at[1],
        font_size=text.size,
        textLength=long,
        lengthAdjust="spacingAndGlyphs",
        class_=text.look,
        data_mm=text.text if both else None,
        data_in=inch if both else None,
    )
