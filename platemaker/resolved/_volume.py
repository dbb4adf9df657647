"""Volumes by plane geometry: area times height, layer by layer, with drill points and mouths of openings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from platemaker.formulas import chamfer_volume, mouth_volume
from platemaker.parts import Hole, Part, Plane, Planed, PlateStock, StripStock, ends_of
from platemaker.plane import Region, measures, subtract
from platemaker.resolved._part import resolved
from platemaker.resolved._voids import Milled, Void


def expected_volume(part: Part) -> float | None:
    """The part's volume by plane geometry, mm3, exact; None where cuts on slanted or crossing axes make it no prism.

    Drill points are cones wholly in the material, mouths are rounded or broken edges by Pappus's theorem. Under a
    planed face it is area times the face's height at the centroid.
    """
    stock, one = part.stock, resolved(part)
    if isinstance(stock, StripStock):
        # Legs stay as they are when a strip is bent: what is cut out of it is cut out of its flat blank.
        left = expected_volume(one.flat)
        return None if left is None else stock.volume - (one.flat.stock.volume - left)
    if not isinstance(stock, PlateStock) or any(void.upright is None for void in one.voids):
        return None
    if part.planed is not None:
        return _planed_volume(part, stock, part.planed, one.voids)
    return sum(layer.volume for layer in one.layers) - sum(_shaped_volume(void) for void in one.voids)


def _shaped_volume(void: Void) -> float:
    """What a drill point or a mouth takes out beside the straight cuts, mm3."""
    if void.what == "point" and isinstance(void.cut, Hole):
        return math.pi * void.cut.diameter**2 / 4 * (void.high - void.low) / 3
    if void.what == "mouth" and isinstance(void, Milled):
        around, cut = void.region.perimeter, void.profile
        chamfered = cut.mouth_chamfer > 0
        return (
            chamfer_volume(around, cut.mouth_chamfer, cut.mouth_depth)
            if chamfered
            else mouth_volume(around, cut.mouth_radius)
        )
    return 0.0


def _planed_volume(part: Part, stock: PlateStock, planed: Planed, voids: Sequence[Void]) -> float | None:
    """The volume of a planed plate, mm3; None where a cut does not go straight through or the plane leaves it."""
    if not all(void.is_straight and len(void.opens) == 2 for void in voids):
        return None
    thin, thick = ends_of(stock.region, planed.face)
    if thin.thickness <= 0 or thick.thickness > stock.thickness + 1e-9:
        return None
    return _volume_under(subtract(stock.region, *(void.plan for void in voids)), planed.face)


def _volume_under(regions: Iterable[Region], face: Plane) -> float:
    """Volume between Z = 0 and a plane over regions, mm3: area times the plane's height at the centroid."""
    found = [measures(region) for region in regions]
    return sum(one.area * face.at(*one.centroid) for one in found)
