"""Floors: what is left between the bottom of a cut and the far face, or another cut from the other side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from platemaker.catalog import LimitName
from platemaker.checks._finding import Finding, Limit, measured
from platemaker.checks._limits import limit_for
from platemaker.formulas import drill_point_height
from platemaker.parts import (
    Hole,
    Part,
    Planed,
    PlateStock,
    Profile,
    Side,
    Stack,
    Void,
    bent_point,
    in_plan,
    voids_of,
)
from platemaker.plane import Loop, Point, Region, intersect

FLOOR, SHOULDER = "PM201", "PM202"


def check_floors(stack: Stack) -> Iterator[Finding]:
    """The floor under every blind cut of a plate or a pocketed bracket, and the shoulder under counterbored heads."""
    for part in stack.parts:
        flat = in_plan(part)
        if not isinstance(flat.stock, PlateStock):
            continue
        if flat is part:
            yield from _part_floors(part, flat.stock.thickness)
        elif flat.profiles:
            for found in _part_floors(flat, flat.stock.thickness):
                yield replace(found, points=tuple(bent_point(part, point) for point in found.points))


def _part_floors(part: Part, thickness: float) -> Iterator[Finding]:
    limit = limit_for(part, LimitName.MINIMUM_FLOOR)
    if limit is None:
        return
    voids = [void for void in voids_of(part, widest=False) if not void.cut.through]
    told: set[tuple[str, ...]] = set()
    for cut in part.cuts:
        if isinstance(cut, Planed) or (isinstance(cut, Hole) and not cut.square):
            continue
        if cut.through:
            if isinstance(cut, Hole) and len(cut.steps) > 1:
                yield _shoulder(part, cut, limit)
            continue
        found = _floor(part, cut, thickness, voids, limit)
        if len(found.features) == 1 or found.features[::-1] not in told:  # a floor between two cuts is one floor
            told.add(found.features)
            yield found


def _shoulder(part: Part, hole: Hole, limit: Limit) -> Finding:
    top, end = hole.steps[0].end, hole.steps[-1].end
    points = [hole.point(top), hole.point(end)]
    return measured(SHOULDER, "shoulder under head", part.name, (hole.name,), end - top, limit, points=points)


def _floor(part: Part, cut: Hole | Profile, thickness: float, voids: Sequence[Void], limit: Limit) -> Finding:
    """The least metal from the cut's bottom to the far face or to a blind cut from the other side that it overlies."""
    from_above, deep, regions = _reach(cut)
    bottom = thickness - deep if from_above else deep
    far, other = (0.0 if from_above else thickness), None
    for void in voids:
        if void.cut is cut or _reach(void.cut)[0] == from_above:
            continue
        if any(intersect(region, void.region) for region in regions):
            face = void.top if from_above else void.bottom
            if (face > far) if from_above else (face < far):
                far, other = face, void
    left = bottom - far if from_above else far - bottom
    at = _middle(cut)
    features = (cut.name,) if other is None else (cut.name, other.cut.name)
    note = "drill point included" if isinstance(cut, Hole) and cut.tip_angle else ""
    return measured(
        FLOOR, "floor left", part.name, features, left, limit, points=[(*at, bottom), (*at, far)], note=note
    )


def _reach(cut: Hole | Profile) -> tuple[bool, float, tuple[Region, ...]]:
    """Whether a blind cut comes from above, how deep it goes with its drill point, and its figure in the plan."""
    if isinstance(cut, Profile):
        return cut.side is Side.ABOVE, cut.depth, cut.regions
    tip = drill_point_height(cut.diameter, cut.tip_angle) if cut.tip_angle else 0.0
    return cut.direction[2] < 0, cut.depth + tip, (Region(Loop.circle(cut.centre, cut.diameter / 2)),)


def _middle(cut: Hole | Profile) -> Point:
    if isinstance(cut, Hole):
        return cut.centre
    return cut.regions[0].outer.edges[0].start
