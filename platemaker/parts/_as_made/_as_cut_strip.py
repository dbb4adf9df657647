"""Bent parts as they were really made: legs, bends and holes read in the folded part, carried over to the flat."""

from __future__ import annotations

from platemaker.errors import GeometryError
from platemaker.parts._as_made._as_built import AsBuilt
from platemaker.parts._as_made._as_cut_figures import marked, milled
from platemaker.parts._as_made._as_cut_holes import sized
from platemaker.parts._as_made._measure_ids import (
    LENGTH_X,
    LENGTH_Y,
    THICKNESS,
    bend_id,
    hole_id,
    is_of_bending,
    leg_id,
)
from platemaker.parts._flat import flat_pattern, leg_of
from platemaker.parts._records._cuts import Cut, Hole, Profile
from platemaker.parts._records._part import Part
from platemaker.parts._records._stock import Bend, StripStock
from platemaker.plane import moved
from platemaker.records import replace


def bent_as_cut(part: Part, stock: StripStock, sheet: AsBuilt, lost: list[str]) -> Part:
    """A bent part as it reads; what cannot be carried over goes into `lost`, with the reason.

    The length of the flat blank shows nothing more where every leg was read, and not which leg it is longer in where
    one was not.
    """
    made = _strip(stock, sheet, lost)
    if sheet.value(LENGTH_X) is not None and any(sheet.value(leg_id(n)) is None for n, _ in enumerate(stock.legs, 1)):
        lost.append(f"{LENGTH_X}: the flat length does not show which leg is longer, read every leg")
    before, after = flat_pattern(part), flat_pattern(replace(part, stock=made, cuts=()))
    shifts = [b - a for a, b in zip(before.starts, after.starts, strict=True)] if before and after else []
    cuts: list[Cut] = []
    for cut in part.cuts:
        if isinstance(cut, Hole):
            cuts.append(_hole(cut, stock, made, sheet))
        elif isinstance(cut, Profile):
            shift = shifts[cut.leg] if cut.leg is not None and shifts else 0.0
            done = milled(cut, made.thickness, sheet, lost)
            cuts.append(replace(done, regions=tuple(moved(one, shift, 0.0) for one in done.regions)) if shift else done)
    marks = marked(part.marks, made.thickness)
    return _on_its_foot(part, replace(part, stock=made, cuts=tuple(cuts), marks=marks))


def _strip(stock: StripStock, sheet: AsBuilt, lost: list[str]) -> StripStock:
    """The strip with legs and bends as read; as drawn, and so reported, where they leave a leg no straight piece."""
    bends = []
    for number, bend in enumerate(stock.bends, 1):
        angle = sheet.value(bend_id(number, "angle"))
        signed = bend.angle if angle is None else (angle if bend.angle > 0 else -angle)
        bends.append(Bend(signed, sheet.value(bend_id(number, "radius")) or bend.radius))
    legs = tuple(sheet.value(leg_id(number)) or leg for number, leg in enumerate(stock.legs, 1))
    try:
        return StripStock(
            sheet.value(LENGTH_Y) or stock.width, sheet.value(THICKNESS) or stock.thickness, legs, tuple(bends)
        )
    except GeometryError:
        read = [one.id for one in sheet.measures if one.reads is not None and is_of_bending(one.id)]
        lost.append(f"{', '.join(read)}: they leave a leg no straight piece")
        return stock


def _hole(hole: Hole, drawn: StripStock, made: StripStock, sheet: AsBuilt) -> Hole:
    """A hole in its leg: along it from where it begins, or from its free end, and across from the edge of least Y."""
    leg = leg_of(hole, drawn)
    along, across = drawn.along_leg(leg, hole.at), hole.at[1]
    begin, end, aside = (sheet.value(hole_id(hole.name, word)) for word in ("along", "from_end", "across"))
    if begin is not None:
        along = begin
    elif end is not None:
        along = made.legs[leg] - end
    if aside is not None:
        across = aside - made.width / 2
    at, direction = made.leg_point(leg, along, across)
    return sized(replace(hole, at=at, direction=direction), sheet, made.thickness - drawn.thickness)


def _on_its_foot(drawn: Part, made: Part) -> Part:
    """The part stood so that the hole which gives it its place, the first over another part's, is where it was."""
    foot = next((n for n, hole in enumerate(drawn.holes) if hole.over), None)
    if foot is None or len(drawn.places) != 1:
        return made
    before, after, place = drawn.holes[foot], made.holes[foot], drawn.places[0]
    # The far face lies on the other part: a thicker bar grows away from it.
    (x0, y0, z0), (x1, y1, z1) = before.point(before.depth), after.point(after.depth)
    return replace(made, places=(place.moved(place.turn((x0 - x1, y0 - y1, z0 - z1))),))
