"""Volumes by plane geometry: area times height, slab by slab, with drill points and rounded mouths."""

from __future__ import annotations

import math

from platemaker.formulas import drill_point_height, mouth_volume
from platemaker.parts._cuts import Hole, Profile
from platemaker.parts._part import Part
from platemaker.parts._slabs import Slab, slabs_of
from platemaker.parts._stock import PlateStock, StripStock
from platemaker.plane import Region, subtract


def material_of(slab: Slab, blank: Region) -> tuple[Region, ...]:
    """What is left of the blank in one slab: regions, several where the cuts part it."""
    return subtract(blank, *(void.region for void in slab.voids))


def expected_volume(part: Part) -> float | None:
    """The part's volume by plane geometry, mm3, exact; None where cuts on slanted or crossing axes make it no prism.

    Drill points are cones wholly in the material, mouths are rounded edges by Pappus's theorem.
    """
    stock = part.stock
    if isinstance(stock, StripStock):
        return _strip_volume(part, stock)
    if not isinstance(stock, PlateStock) or any(not hole.square for hole in part.holes):
        return None
    solid = sum(
        (slab.top - slab.bottom) * sum(region.area for region in material_of(slab, stock.region))
        for slab in slabs_of(part, widest=False)
    )
    return solid - sum(cone_volume(hole) for hole in part.holes) - sum(_mouths(profile) for profile in part.profiles)


def cone_volume(hole: Hole) -> float:
    """The cone of a blind hole's drill point, mm3; 0 for a through or flat-bottomed hole."""
    if hole.through or hole.tip_angle is None:
        return 0.0
    height = drill_point_height(hole.diameter, hole.tip_angle)
    return math.pi * hole.diameter**2 / 4 * height / 3


def _mouths(profile: Profile) -> float:
    if profile.mouth_radius <= 0:
        return 0.0
    return sum(mouth_volume(region.perimeter, profile.mouth_radius) for region in profile.regions)


def _strip_volume(part: Part, stock: StripStock) -> float:
    holes = sum(math.pi * step.diameter**2 / 4 * (step.end - step.start) for hole in part.holes for step in hole.steps)
    return stock.volume - holes - sum(cone_volume(hole) for hole in part.holes)
