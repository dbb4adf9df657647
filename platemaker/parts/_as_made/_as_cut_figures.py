"""Figures of the plan as they were really cut: as wide and as high as they read."""

from __future__ import annotations

from platemaker.parts._as_made._as_built import AsBuilt, figures_of, middle_of, sizes_of
from platemaker.parts._as_made._measure_ids import cut_id, measure_id
from platemaker.parts._records._cuts import Mark, Profile
from platemaker.parts._records._figures import GRID
from platemaker.plane import Loop, Point, Region, kept, moved, offset, subtract, swept
from platemaker.records import replace


def growth(region: Region, sheet: AsBuilt, id_: str) -> Point:
    """How much wider and higher than drawn a figure reads, mm; 0 where it was not read."""
    circle, (x0, y0, x1, y1) = region.outer.as_circle(), region.bounds
    if circle is not None:
        more = _more(sheet, measure_id(id_, "diameter"), 2 * circle.radius)
        return more, more
    return _more(sheet, measure_id(id_, "x"), x1 - x0), _more(sheet, measure_id(id_, "y"), y1 - y0)


def _more(sheet: AsBuilt, id_: str, drawn: float) -> float:
    read = sheet.value(id_)
    # A sheet's nominals are rounded to the grid; what reads its nominal was cut as drawn.
    return 0.0 if read is None or abs(read - drawn) <= GRID else read - drawn


def _off(sheet: AsBuilt, id_: str, region: Region) -> Point:
    """How far from where it is drawn the middle of a figure reads, mm."""
    x, y = (_more(sheet, place, drawn) for place, drawn in middle_of(id_, region, sheet.datum).items())
    return x, y


def resized(region: Region, sheet: AsBuilt, id_: str) -> tuple[Region, ...]:
    """A figure as it reads: a disc by its diameter, else each wall moved by half of what the figure reads more.

    Corner radii stay the cutter's. A figure that reads narrower may come apart, or be gone.
    """
    ways = growth(region, sheet, id_)
    return _grown(region, ways) if any(ways) else (region,)


def _groove(region: Region, sheet: AsBuilt, id_: str, width: float) -> tuple[Region, ...]:
    """A groove round something: over all it reads by its outer wall, and its inner one stands its width inside.

    Where only the width was read, either wall has moved by half of it.
    """
    inner = Region.of(region.holes[0])
    wider, ways = _more(sheet, measure_id(id_, "width"), width), growth(region, sheet, id_)
    if ways == (0.0, 0.0) and wider == 0.0:
        return (region,)
    outside = resized(Region.of(region.outer), sheet, id_)
    inside = _grown(inner, ways)
    out = 0.0 if any(ways) else wider / 2
    outside = tuple(one for part in outside for one in (offset(part, out) if out else (part,)))
    inside = tuple(one for part in inside for one in (offset(part, out - wider) if wider else (part,)))
    return subtract(outside, *inside)


def _grown(region: Region, ways: Point) -> tuple[Region, ...]:
    circle = None if region.holes else region.outer.as_circle()
    if circle is not None and ways[0] == ways[1]:
        return (Region.of(Loop.circle(circle.centre, circle.radius + ways[0] / 2, region.outer.edges[0].tag)),)
    found: tuple[Region, ...] = (region,)
    for way in ((ways[0], 0.0), (0.0, ways[1])):
        if any(way):
            moving = swept if sum(way) > 0 else kept
            found = tuple(piece for one in found for piece in moving(one, (abs(way[0]), abs(way[1]))))
    return found


def marked(marks: tuple[Mark, ...], thick: float) -> tuple[Mark, ...]:
    """Marks of a plate or strip that is `thick`, mm: those of the upper face stay on it."""
    return tuple(replace(mark, at=(*mark.at[:2], thick)) if mark.at[2] > 0 else mark for mark in marks)


def milled(cut: Profile, thick: float, sheet: AsBuilt, lost: list[str]) -> Profile:
    """A milled figure as it reads: sizes, depth and mouth. One that its readings leave nothing of stays as drawn."""
    regions: list[Region] = []
    for id_, region in figures_of(cut):
        known = sizes_of(cut, id_, region)
        width = known.get(measure_id(id_, "width"))
        found = resized(region, sheet, id_) if width is None else _groove(region, sheet, id_, width)
        if not found:
            read = [one for one in known if sheet.value(one) is not None]
            lost.append(f"{', '.join(read)}: nothing would be left of the figure")
        off = _off(sheet, id_, region)
        regions += [moved(one, *off) if any(off) else one for one in found or (region,)]
    done = tuple(regions)
    return replace(
        cut,
        regions=done,
        depth=thick if cut.through else sheet.value(cut_id(cut.name, "depth")) or cut.depth,
        mouth_radius=sheet.value(cut_id(cut.name, "mouth_radius")) or cut.mouth_radius,
        mouth_chamfer=sheet.value(cut_id(cut.name, "mouth_chamfer")) or cut.mouth_chamfer,
        # What limits a figure, and what other cutters would give, is reported on the one that was drawn.
        opened=cut.opened if done == cut.regions else None,
    )
