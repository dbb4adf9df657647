"""Flat patterns: a bent strip before bending."""

from __future__ import annotations

from platemaker.catalog import Family
from platemaker.formulas import BendStock, bend_allowance
from platemaker.parts._records._cuts import Hole, Planed, Vec3
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._part import Part
from platemaker.parts._records._stock import PlateStock, StripStock
from platemaker.plane import Loop, Region
from platemaker.records import Record, replace
from platemaker.space import Frame

_STOCK = {
    Family.COPPER_ALLOY: BendStock.SOFT_COPPER_OR_BRASS,
    Family.STAINLESS: BendStock.HARD_COPPER_OR_SPRING_STEEL,
}
"""Steel and aluminium take the handbook's middle factor; stainless is taken as the hardest of its three kinds."""


class BendLine(Record):
    """A bend on the flat: `x` of its middle and `width` along the strip, mm; angle, degrees; inside radius, mm."""

    x: float
    width: float
    angle: float
    radius: float


class FlatPattern(Record):
    """A strip unrolled: the part as a plate of its flat blank, and where it is bent; `strip` is the bar bent.

    `starts` are where the legs' own lengths begin in it, at their sharp outside corners, mm. `k_factor` places the
    neutral line in the thickness (Machinery's Handbook 31st ed., p. 1421).
    """

    part: Part
    bends: tuple[BendLine, ...]
    starts: tuple[float, ...]
    k_factor: float
    strip: StripStock


def k_factor_of(part: Part) -> float:
    """Place of the neutral line in the thickness for a part's material."""
    return _STOCK.get(part.material.family, BendStock.SOFT_STEEL_OR_ALUMINIUM).k_factor


def flat_pattern(part: Part) -> FlatPattern | None:
    """The flat blank of a part bent from strip, its holes moved to their flat places; None for any other part."""
    stock = part.strip
    if stock is None:
        return None
    k = k_factor_of(part)
    allowances = [bend_allowance(abs(b.angle), b.radius, stock.thickness, k) for b in stock.bends]
    starts, bends, x = [], [], 0.0
    for number, leg in enumerate(stock.legs):
        # A leg's holes are measured from its sharp outside corner, which lies a setback before its straight part.
        before = stock.setback(number - 1) if number else 0.0
        starts.append(on_grid(x - before))
        x += leg - before
        if number < len(stock.bends):
            x -= stock.setback(number)
            bend = stock.bends[number]
            bends.append(BendLine(x + allowances[number] / 2, allowances[number], bend.angle, bend.radius))
            x += allowances[number]
    length = on_grid(x)
    blank = Loop.rectangle(length, stock.width, centre=(length / 2, 0.0), tag="outline")
    cuts = tuple(
        _flat_hole(cut, stock, starts) if isinstance(cut, Hole) else replace(cut, leg=None)
        for cut in part.cuts
        if not isinstance(cut, Planed)
    )
    flat = replace(part, stock=PlateStock(Region.of(blank), stock.thickness), cuts=cuts, places=())
    return FlatPattern(flat, tuple(bends), tuple(starts), k, stock)


def in_plan(part: Part) -> Part:
    """The part as a plate: of one bent from strip its flat blank, of any other the part itself."""
    bent = flat_pattern(part)
    return bent.part if bent else part


def leg_frame(part: Part, x: float) -> Frame:
    """Where the flat pattern of a bent part lies over the leg that stands at `x` in it; the flat's own frame of others.

    The legs stay as they are when the strip is bent: a cut made in the flat lies in this frame.
    """
    bent = flat_pattern(part)
    if bent is None:
        return Frame()
    firsts = [start + bent.strip.flat_of(leg)[0] for leg, start in enumerate(bent.starts)]
    leg = max((leg for leg, first in enumerate(firsts) if first <= x + 1e-6), default=0)
    origin, (u, _, w) = bent.strip.leg_point(leg, -bent.starts[leg], 0.0)
    return Frame(origin, (w, 0.0, -u), (0.0, 1.0, 0.0))


def bent_point(part: Part, point: Vec3) -> Vec3:
    """Where a point of a part's flat pattern lies when it is bent."""
    return leg_frame(part, point[0]).to_world(point)


def flat_point(part: Part, point: Vec3) -> Vec3:
    """Where a point of a part bent from strip lies in its flat pattern; the point itself for any other part.

    A point in a bend lies where the flat of the leg next to it would reach it.
    """
    bent = flat_pattern(part)
    if bent is None:
        return point
    found, stock = list[tuple[float, Vec3]](), bent.strip
    for leg, ((u, w), (x, z)) in enumerate(zip(stock.directions, stock.corners, strict=False)):
        first, last = stock.flat_of(leg)
        along, off = stock.along_leg(leg, point), (point[2] - z) * u - (point[0] - x) * w
        stray = max(first - along, along - last, 0.0) + max(-off, off - stock.thickness, 0.0)
        found.append((stray, (bent.starts[leg] + along, point[1], off)))
    return min(found, key=lambda one: one[0])[1]


def leg_of(hole: Hole, stock: StripStock) -> int:
    """The leg, from 0, that a hole of a strip stands in."""
    for number, (u, corner) in enumerate(zip(stock.directions, stock.corners, strict=False)):
        off = -(hole.at[0] - corner[0]) * u[1] + (hole.at[2] - corner[1]) * u[0]
        along = stock.along_leg(number, hole.at)
        square = abs(hole.direction[0] * u[0] + hole.direction[2] * u[1]) < 1e-9
        if square and abs(off) < 1e-6 and -1e-6 <= along <= stock.legs[number] + 1e-6:
            return number
    return 0


def _flat_hole(hole: Hole, stock: StripStock, starts: list[float]) -> Hole:
    leg = leg_of(hole, stock)
    along = stock.along_leg(leg, hole.at)
    return replace(hole, at=(on_grid(starts[leg] + along), hole.at[1], 0.0), direction=(0.0, 0.0, 1.0))
