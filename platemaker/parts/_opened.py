"""Opened-out pockets and openings: what is to be spared, and the largest figure that a cutter can make round it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platemaker.catalog import socket_head, thread
from platemaker.errors import SpecError
from platemaker.parts._cuts import Cut, Hole, Operation, Profile, ProfileKind, Side
from platemaker.parts._figures import loop_of
from platemaker.parts._hole_making import Slab
from platemaker.plane import Circle, OpenedPocket, Point, Region, Spared, open_out
from platemaker.spec import OpenOutFields, OpenOutOpening, OpenOutPocket


def opened_pocket(
    name: str, model: OpenOutPocket, outline: Region, slab: Slab, cuts: Sequence[Cut], ports: Mapping[str, Region]
) -> OpenedPocket:
    """An opened-out pocket. It joins the first opening, or grows from its start point; `ports` keep their `land`."""
    side = Side(model.side)
    low, high = (slab.top - model.depth, slab.top) if side is Side.ABOVE else (slab.bottom, slab.bottom + model.depth)
    openings = [cut for cut in cuts if isinstance(cut, Profile) and cut.through and cut.kind is ProfileKind.OPENING]
    start: Point | Region | None = model.start
    if start is None and openings:
        start = openings[0].regions[0]
    spared = list(_spared(cuts, low, high, side, model.wall))
    spared += [Spared(joint, port, model.land) for joint, port in ports.items()]
    return _opened(name, model, outline, spared, start)


def opened_opening(name: str, model: OpenOutOpening, outline: Region, slab: Slab, cuts: Sequence[Cut]) -> OpenedPocket:
    """An opened-out through opening: every hole counts at its widest."""
    spared = list(_spared(cuts, slab.bottom, slab.top, None, model.wall))
    return _opened(name, model, outline, spared, model.start)


def _opened(
    name: str, model: OpenOutFields, outline: Region, spared: list[Spared], start: Point | Region | None
) -> OpenedPocket:
    spared += [Spared(key, Region.of(loop_of(shape, key)), model.wall) for key, shape in model.keep_clear.items()]
    found = open_out(outline, land=model.land, cutter_radius=model.cutter / 2, spared=spared, start=start)
    if not found.milled:
        problem = f"{name}: a cutter of {model.cutter:g} mm finds no room"
        raise SpecError(problem, allowed="a smaller cutter, wall or land, or a start point where there is room")
    return found


def _spared(cuts: Sequence[Cut], low: float, high: float, side: Side | None, wall: float) -> Iterator[Spared]:
    """What the figure must spare between two heights: holes at their widest there, and heads on its face."""
    for cut in cuts:
        if isinstance(cut, Profile):
            if cut.kind is not ProfileKind.OPENING and _height(cut, high, low):
                yield from (Spared(cut.name, region, wall) for region in cut.regions)
            continue
        if cut.square and (radius := _widest(cut, low, high, side)) > 0:
            yield Spared(cut.name, Circle(cut.centre, radius), wall)


def _height(cut: Profile, high: float, low: float) -> bool:
    """Whether a blind figure shares height with the slab from `low` to `high` (the slab touches one face)."""
    if cut.through:
        return True
    return cut.depth > 0 and ((cut.side is Side.ABOVE) == (low > 0) or cut.depth > low)


def _widest(hole: Hole, low: float, high: float, side: Side | None) -> float:
    """The largest radius of a hole between two heights, mm: drill, thread, counterbore, or the head on that face."""
    down, z = hole.direction[2] < 0, hole.at[2]
    radius = 0.0
    for step in hole.steps:
        top, bottom = (z - step.start, z - step.end) if down else (z + step.end, z + step.start)
        if min(top, high) - max(bottom, low) > 0:
            wide = step.diameter
            if hole.tapping and step.operation is not Operation.COUNTERBORE:
                wide = max(wide, hole.tapping.major_diameter)
            radius = max(radius, wide / 2)
    head_face = Side.ABOVE if down else Side.BELOW
    if hole.bolt and hole.tapping is None and side is head_face and len(hole.steps) == 1:
        radius = max(radius, socket_head(thread(hole.bolt)).head_diameter / 2)
    return radius
