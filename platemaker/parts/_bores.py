"""Bores on any axis in plates, and what `into` may name."""

from __future__ import annotations

import math

from platemaker.catalog import thread
from platemaker.errors import SpecError
from platemaker.parts._hole_making import DRILL_POINT, HoleSlab, tapped_hole
from platemaker.parts._records._cuts import Hole, Operation, Step, Tapping, Vec3
from platemaker.parts._records._figures import on_grid
from platemaker.plane import Place, Region, place_of
from platemaker.spec import BoreModel


def bore_of(name: str, model: BoreModel, blank: Region, slab: HoleSlab, key: str) -> Hole:
    """A bore from a point of a plate's surface, through where its end lies outside. Raises SpecError for any other."""
    x, y, z = (on_grid(value) for value in model.at)
    u, v, w = model.towards
    size = math.hypot(u, v, w)
    if size <= 0:
        problem = "a bore's `towards` must not be all 0"
        raise SpecError(problem)
    way = (u / size, v / size, w / size)
    edge = place_of((x, y), blank) is Place.BOUNDARY and slab.bottom <= z <= slab.top
    if not edge and not (z in (slab.bottom, slab.top) and place_of((x, y), blank) is Place.INSIDE):
        problem = "a bore begins on the plate's outline or on one of its faces"
        raise SpecError(
            problem, met=[x, y, z], allowed=f"a point of the outline, or Z = {slab.bottom:g} or {slab.top:g}"
        )
    if not _inside((x + 0.01 * way[0], y + 0.01 * way[1], z + 0.01 * way[2]), blank, slab):
        problem = "a bore runs into the plate from where it begins"
        raise SpecError(problem, met=list(model.towards), allowed="a direction into the material")
    steps, tapping = _made(model)
    deep = steps[-1].end
    through = not _inside((x + deep * way[0], y + deep * way[1], z + deep * way[2]), blank, slab)
    return Hole(
        name, (x, y, z), way, steps, through, None if through else DRILL_POINT, tapping,
        thread(model.tapped).designation if model.tapped else None, into=model.into, key=key,
    )  # fmt: skip


def _made(model: BoreModel) -> tuple[tuple[Step, ...], Tapping | None]:
    if model.tapped is None:
        return (Step(Operation.DRILL, model.diameter or 0.0, 0.0, model.depth),), None
    steps, tapping, _ = tapped_hole(thread(model.tapped), math.inf, model.depth)
    return steps, tapping


def _inside(point: Vec3, blank: Region, slab: HoleSlab) -> bool:
    x, y, z = point
    return slab.bottom + 1e-9 < z < slab.top - 1e-9 and place_of((x, y), blank) is Place.INSIDE
