"""Volumes by plane geometry: area times height, slab by slab, with drill points and mouths of openings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.formulas import chamfer_volume, drill_point_height, mouth_volume
from platemaker.parts._cuts import Hole, Profile
from platemaker.parts._flat import in_plan
from platemaker.parts._part import Part
from platemaker.parts._planed import planed_volume
from platemaker.parts._slabs import slabs_of
from platemaker.parts._stock import PlateStock, StripStock
from platemaker.plane import Region, subtract


@dataclass(frozen=True)
class Layer:
    """A layer of a plate from `bottom` to `top`, mm, and what is left of the blank: several where cuts part it."""

    bottom: float
    top: float
    regions: tuple[Region, ...]

    @property
    def volume(self) -> float:
        """Volume of the material, mm3."""
        return (self.top - self.bottom) * sum(region.area for region in self.regions)


def layers_of(part: Part) -> tuple[Layer, ...]:
    """The material of a plate, layer by layer from the bottom up, as its square cuts leave it; kept with the part.

    Drill points and mouths of openings are not taken out. Empty for a part that is not cut from plate.
    """
    kept = vars(part)
    if "_layers" not in kept:
        kept["_layers"] = tuple(_layers(part))
    layers: tuple[Layer, ...] = kept["_layers"]
    return layers


def _layers(part: Part) -> Iterator[Layer]:
    if isinstance(part.stock, PlateStock):
        for slab in slabs_of(part, widest=False):
            left = subtract(part.stock.region, *(void.region for void in slab.voids))
            yield Layer(slab.bottom, slab.top, left)


def expected_volume(part: Part) -> float | None:
    """The part's volume by plane geometry, mm3, exact; None where cuts on slanted or crossing axes make it no prism.

    Drill points are cones wholly in the material, mouths are rounded or broken edges by Pappus's theorem. Under a
    planed face it is area times the face's height at the centroid.
    """
    stock = part.stock
    if isinstance(stock, StripStock):
        return _strip_volume(part, stock)
    if not isinstance(stock, PlateStock) or any(not hole.square for hole in part.holes):
        return None
    if part.planed is not None:
        return planed_volume(part, part.planed)
    solid = sum(layer.volume for layer in layers_of(part))
    return solid - sum(cone_volume(hole) for hole in part.holes) - sum(_mouths(profile) for profile in part.profiles)


def cone_volume(hole: Hole) -> float:
    """The cone of a blind hole's drill point, mm3; 0 for a through or flat-bottomed hole."""
    if hole.through or hole.tip_angle is None:
        return 0.0
    height = drill_point_height(hole.diameter, hole.tip_angle)
    return math.pi * hole.diameter**2 / 4 * height / 3


def _mouths(profile: Profile) -> float:
    if profile.mouth_chamfer > 0:
        wide, deep = profile.mouth_chamfer, profile.mouth_depth
        return sum(chamfer_volume(region.perimeter, wide, deep) for region in profile.regions)
    if profile.mouth_radius <= 0:
        return 0.0
    return sum(mouth_volume(region.perimeter, profile.mouth_radius) for region in profile.regions)


def _strip_volume(part: Part, stock: StripStock) -> float | None:
    """What is cut out of a strip is cut out of its flat blank: legs stay as they are when it is bent."""
    flat = in_plan(part)
    left = expected_volume(flat)
    return None if left is None else stock.volume - (flat.stock.volume - left)
