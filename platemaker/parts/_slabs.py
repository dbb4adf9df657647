"""Slabs: a plate seen as layers between the depths at which its section changes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from platemaker.parts._cuts import Hole, Operation, Profile, Side, stretch_label
from platemaker.parts._part import Part
from platemaker.parts._stock import PlateStock
from platemaker.plane import Circle, Loop, Region, offset

THINNEST = 1e-9
"""A slab thinner than this, mm, is no slab."""


@dataclass(frozen=True)
class Void:
    """What one cut takes out of the plan between two heights: `region`, from `bottom` to `top`, mm.

    `what` says which stretch of the cut it is: hole, thread, counterbore, opening, pocket, relief, slot.
    """

    cut: Hole | Profile
    what: str
    region: Region
    bottom: float
    top: float

    @cached_property
    def shape(self) -> Circle | Region:
        """The figure; a round one as a circle, for which distances are quickest."""
        return (None if self.region.holes else self.region.outer.as_circle()) or self.region

    @property
    def label(self) -> str:
        """The cut's name, with the stretch where that says more."""
        return stretch_label(self.cut, self.what)


@dataclass(frozen=True)
class Slab:
    """A layer of a plate with one section: `bottom` to `top`, mm, and the voids that run through all of it."""

    bottom: float
    top: float
    voids: tuple[Void, ...]


def voids_of(part: Part, *, widest: bool) -> tuple[Void, ...]:
    """The voids of a plate's square cuts.

    With `widest`, as walls have to see them: threads at their major diameter, and the mouths of openings. Else what a
    drill and a straight cutter take out.

    Slanted bores and drill points are no prisms and are not among them. Kept with the part.
    """
    kept, name = vars(part), "_widest_voids" if widest else "_voids"
    if name not in kept:
        kept[name] = _voids_of(part, widest)
    voids: tuple[Void, ...] = kept[name]
    return voids


def _voids_of(part: Part, widest: bool) -> tuple[Void, ...]:
    stock = part.stock
    if not isinstance(stock, PlateStock):
        return ()
    found: list[Void] = []
    for cut in part.cuts:
        if isinstance(cut, Profile):
            low, high = (stock.thickness - cut.depth, stock.thickness) if cut.side is Side.ABOVE else (0.0, cut.depth)
            found += [Void(cut, cut.kind.value, region, low, high) for region in cut.regions]
            if widest and cut.mouth_width > 0:
                found += _mouth_voids(cut, stock.thickness)
        elif isinstance(cut, Hole) and cut.square:
            found += _hole_voids(cut, widest)
    return tuple(found)


def _mouth_voids(opening: Profile, thickness: float) -> list[Void]:
    """A mouth at its full width over its whole depth: what it is at the face, and wider than it is below."""
    deep = opening.mouth_depth
    low, high = (thickness - deep, thickness) if opening.mouth is Side.ABOVE else (0.0, deep)
    grown = [wide for region in opening.regions for wide in offset(region, opening.mouth_width)]
    return [Void(opening, "mouth", region, low, high) for region in grown]


def _hole_voids(hole: Hole, widest: bool) -> list[Void]:
    found = []
    for step in hole.steps:
        what = "counterbore" if step.operation is Operation.COUNTERBORE else "hole"
        stretches = [(step.start, step.end, step.diameter, what)]
        tapping = hole.tapping
        if widest and tapping and step.start < tapping.depth and step.diameter < tapping.major_diameter:
            stretches = [(step.start, min(step.end, tapping.depth), tapping.major_diameter, "thread")]
            if step.end > tapping.depth:
                stretches.append((tapping.depth, step.end, step.diameter, what))
        for start, end, diameter, kind in stretches:
            down = hole.direction[2] < 0
            low, high = (hole.at[2] - end, hole.at[2] - start) if down else (hole.at[2] + start, hole.at[2] + end)
            circle = Loop.circle(hole.centre, diameter / 2, hole.name)
            found.append(Void(hole, kind, Region(circle), low, high))
    return found


def slabs_of(part: Part, *, widest: bool = True) -> tuple[Slab, ...]:
    """The slabs of a plate from the bottom up; empty for a part that is not cut from plate."""
    stock = part.stock
    if not isinstance(stock, PlateStock):
        return ()
    voids = voids_of(part, widest=widest)
    heights = sorted({0.0, stock.thickness, *(v.bottom for v in voids), *(v.top for v in voids)})
    heights = [h for h in heights if -THINNEST <= h <= stock.thickness + THINNEST]
    return tuple(
        Slab(low, high, tuple(v for v in voids if v.bottom <= low + THINNEST and v.top >= high - THINNEST))
        for low, high in pairwise(heights)
        if high - low > THINNEST
    )
