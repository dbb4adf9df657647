"""What a waterjet or laser cuts of a part: outline and what goes right through, each hole once, at the size to cut."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import Family
from platemaker.export._ascii import plain
from platemaker.export._flat._drawing import Drawing, mark_notes, marked, outlined
from platemaker.export._names import NOTE, OUTLINE, number
from platemaker.parts import Hole, Kind, Operation, Part
from platemaker.plane import Circle, Loop, Region, subtract, without_slivers
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.views import Stroke, Text

INSIDE, UNDERSIZE = "CUT_INSIDE", "CUT_UNDERSIZE"
STOCK_LEFT = 1.0
"""A hole that is tapped or bored afterwards is cut this much smaller in diameter, mm. Common practice, no source."""


class ProfileCut(Record):
    """The metal that is left after cutting, and the holes that are cut undersize as circles.

    `skipped` are the names of holes that are not cut right through square to the face: they are drilled afterwards.
    """

    regions: tuple[Region, ...]
    undersize: tuple[Circle, ...]
    skipped: tuple[str, ...]


def is_profile_cut(part: Part) -> bool:
    """Whether a part is cut from sheet or plate: not one turned, of round bar, or there already."""
    return part.made and part.kind not in (Kind.BOSS, Kind.RAIL, Kind.CASTING)


def size_to_cut(hole: Hole, *, soft: bool) -> float:
    """The diameter to cut of a hole, mm: the narrowest step; 1 mm less where it is tapped or bored afterwards.

    A hole in a gasket, `soft`, is cut to its size.
    """
    size = min(step.wide for step in hole.bored)
    return max(size - STOCK_LEFT, size / 2) if _finished_later(hole) and not soft else size


def _finished_later(hole: Hole) -> bool:
    return hole.tapping is not None or any(step.operation is Operation.BORE for step in hole.bored)


def profile_cut(part: Part) -> ProfileCut:
    """What is cut of a part; of one bent from strip, of its flat blank."""
    flat, soft = resolved(part).flat, part.material.family is Family.GASKET
    through = [hole for hole in flat.holes if hole.square and hole.through]
    circles = {hole.name: Circle(hole.centre, size_to_cut(hole, soft=soft) / 2) for hole in through}
    openings = [cut.regions for cut in flat.profiles if cut.through]
    round_ones = [(Region.of(Loop.circle(one.centre, one.radius)),) for one in circles.values()]
    left = subtract((flat.stock.plan,), *openings, *round_ones)
    later = tuple(circles[hole.name] for hole in through if _finished_later(hole) and not soft)
    skipped = tuple(hole.name for hole in flat.holes if hole.name not in circles)
    return ProfileCut(tuple(map(without_slivers, left)), later, skipped)


def profile_drawing(part: Part) -> Drawing:
    """The drawing of what is cut through."""
    cut = profile_cut(part)
    shapes = [*(drawn for region in cut.regions for drawn in _drawn(region, cut)), *marked(resolved(part).flat)]
    x0, y0, x1, y1 = resolved(part).flat.stock.plan.bounds
    height = min(5.0, max(1.0, (x1 - x0 + y1 - y0) / 100))
    lines = enumerate(profile_notes(part), start=2)
    texts = (Text(line, (x0, y0 - 2 * height * row), height, look=NOTE) for row, line in lines)
    return Drawing((*shapes, *texts), (x0, y0, x1, y1))


def _drawn(region: Region, cut: ProfileCut) -> Iterator[Stroke]:
    yield outlined(OUTLINE, region.outer)
    for loop in region.holes:
        circle = loop.as_circle()
        layer = UNDERSIZE if circle and any(_same(circle, one) for one in cut.undersize) else INSIDE
        yield outlined(layer, loop)


def _same(a: Circle, b: Circle) -> bool:
    return max(abs(a.radius - b.radius), *(abs(p - q) for p, q in zip(a.centre, b.centre, strict=True))) < 1e-6


def profile_notes(part: Part) -> Iterator[str]:
    """The lines under the drawing: what it is, of what, and what is made afterwards."""
    flat, cut = resolved(part).flat, profile_cut(part)
    thick = number(flat.stock.height)
    yield f"{plain(part.name)}: {plain(part.title)}, quantity {part.quantity}"
    yield f"material {plain(part.material.name)}, {thick} mm thick; all sizes mm; seen from above"
    yield "waterjet or laser: cut through all CUT layers; lines are the finished edge, the cutter's kerf is not in them"
    if cut.undersize:
        left = number(STOCK_LEFT)
        yield f"CUT_UNDERSIZE: holes tapped or bored afterwards, {left} mm smaller in diameter than drill or bore"
    if cut.skipped:
        yield f"not in this file, drilled afterwards by the hole table: {plain(', '.join(cut.skipped))}"
    if any(not one.through for one in flat.profiles) or flat.planed:
        yield f"pockets, grooves and planed faces are milled afterwards: see {plain(part.name)}.dxf and the drawing"
    if part.strip is not None:
        yield "flat blank before bending: see the drawing for bends"
    if part.edge_break:
        yield f"{plain(part.name)}: break sharp edges {number(part.edge_break)} mm"
    yield from mark_notes(part)
    yield from (f"{plain(part.name)}: {plain(line)}" for line in part.note.splitlines() if line.strip())
