"""The paper template: a part in true size, tiled over pages, to be stuck on the metal and punched through."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.export._sheet._drawing_plan import CENTRE_PAST, marks_ink
from platemaker.export._sheet._drawing_tags import bend_labels, mark_labels, tag_ink
from platemaker.export._sheet._drawing_title import About
from platemaker.export._sheet._tiles import Tiling, punch_ink, tiled_pages, tiling_of_box
from platemaker.parts import Hole, Part
from platemaker.records import replace
from platemaker.resolved import resolved
from platemaker.views import TRUE, Ink, Lines, Page, Pen, Stroke, finely, hole_tags, plan_ink


def tiling_of(part: Part, unit: str, chosen: str | None = None) -> Tiling:
    """The fewest pages of the paper chosen, else A4 or Letter, lying or standing, that hold a part in true size."""
    return tiling_of_box(resolved(part).flat.stock.plan.bounds, unit, chosen)


def template_pages(part: Part, about: About) -> tuple[Page, ...]:
    """The pages of a part's template; a part bent from strip is shown flat."""
    bent, flat = resolved(part).bent, resolved(part).flat
    tiling, bends = tiling_of(flat, about.unit, about.paper), bent.bends if bent else ()
    ink = [_thin(one) for one in finely(plan_ink(flat, TRUE, CENTRE_PAST, bends=bends))]
    crosses = [one for hole in flat.holes if to_punch(hole) for one in punch_ink(hole.centre)]
    x0, y0, x1, y1 = flat.stock.plan.bounds
    # Letters that would stand on a line have a leader to their place instead; the white behind them must hide no cross.
    led = mark_labels(flat.marks, TRUE, Lines.of([*ink, *crosses]))
    around = [*marks_ink([mark for mark in flat.marks if mark.name not in led], TRUE), *crosses]
    zone = (x0 - 60, y0 - 60, x1 + 60, y1 + 60)
    more = [*led.values(), *bend_labels(flat, TRUE, bends)]
    tags, _ = tag_ink(flat, TRUE, zone, [*ink, *around], (), hole_tags(part), more)
    titles = part.title, f"{part.name}, {about.state}"
    return tiled_pages(tiling, (*ink, *around, *tags), titles, " ".join(_advice(part)))


def _thin(ink: Ink) -> Ink:
    """Edges as narrow lines: the metal's edge must be read to a quarter of a millimetre."""
    if isinstance(ink, Stroke) and ink.pen in (Pen.WIDE, Pen.WIDE_SMALL):
        return replace(ink, pen=Pen.NARROW)
    return ink


def to_punch(hole: Hole) -> bool:
    """Whether a hole has a place in the plan that can be punched: not one that runs level."""
    return not hole.level


def _advice(part: Part) -> Iterator[str]:
    yield "Print in true size (100 %), measure both bars, then use. Seen from above; punch at the crosses."
    if resolved(part).bent:
        yield "Flat blank before bending."
    if not part.made:
        yield "Existing casting: drill only."
