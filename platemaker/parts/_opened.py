"""Maximized pockets and openings: what is to be spared, and the largest figure that a cutter can make round it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from platemaker.catalog import thread
from platemaker.errors import SpecError
from platemaker.parts._hole_making import HoleSlab, head_seat
from platemaker.parts._records._cuts import Cut, Hole, Operation, Profile, ProfileKind, Side
from platemaker.parts._records._figures import loop_of
from platemaker.plane import Circle, OpenedPocket, Point, Region, Spared, open_out, shared_area
from platemaker.spec import LegOpenOutPocket, OpenOutFields, OpenOutOpening, OpenOutPocket

ROUNDING = 1e-9
"""A height shared by less than this, mm, is what is left of rounding: depths from two faces that meet share none."""


def opened_pocket(
    name: str, model: OpenOutPocket, outline: Region, slab: HoleSlab, cuts: Sequence[Cut], ports: Mapping[str, Region],
    seats: Mapping[str, float],
) -> OpenedPocket:  # fmt: skip
    """A maximized pocket. It joins the first opening, or grows from its start point.

    `ports` keep their `land`; `seats` are the diameters of the bolts' seats by joint, mm.
    """
    side = Side(model.side)
    low, high = (slab.top - model.depth, slab.top) if side is Side.ABOVE else (slab.bottom, slab.bottom + model.depth)
    openings = [cut for cut in cuts if isinstance(cut, Profile) and cut.through and cut.kind is ProfileKind.OPENING]
    start: Point | Region | None = model.start
    if start is None and openings:
        start = openings[0].regions[0]
    heads = {cut.name: _head_on(cut, side, seats) for cut in cuts if isinstance(cut, Hole)}
    spared = list(_spared(cuts, slab, low, high, model.wall, heads))
    spared += [Spared(joint, port, model.land) for joint, port in ports.items()]
    return _opened(name, model, outline, spared, start)


def opened_opening(
    name: str, model: OpenOutOpening, outline: Region, slab: HoleSlab, cuts: Sequence[Cut], seats: Mapping[str, float]
) -> OpenedPocket:
    """An opened-out through opening: cuts count at their widest, and heads on both faces; `seats` as for pockets."""
    heads = {cut.name: max(_head_on(cut, side, seats) for side in Side) for cut in cuts if isinstance(cut, Hole)}
    spared = list(_spared(cuts, slab, slab.bottom, slab.top, model.wall, heads))
    return _opened(name, model, outline, spared, model.start)


def opened_in_leg(
    name: str, model: LegOpenOutPocket, flat: Region, slab: HoleSlab, holes: Sequence[Hole], at: Point
) -> OpenedPocket:
    """An opened-out figure in the flat of a bracket's leg, whose own frame begins at `at`."""
    deep, sides = model.depth or slab.thickness, tuple(Side) if model.depth is None else (Side(model.side),)
    low, high = (slab.top - deep, slab.top) if model.side == "above" else (slab.bottom, slab.bottom + deep)
    heads = {hole.name: max(_head_on(hole, side, {}) for side in sides) for hole in holes}
    spared = list(_spared(holes, slab, low, high, model.wall, heads))
    start = None if model.start is None else (at[0] + model.start[0], at[1] + model.start[1])
    return _opened(name, model, flat, spared, start, at)


def _opened(
    name: str,
    model: OpenOutFields,
    outline: Region,
    spared: list[Spared],
    start: Point | Region | None,
    at: Point = (0.0, 0.0),
) -> OpenedPocket:
    kept = {key: Region.of(loop_of(shape, key, at)) for key, shape in model.keep_clear.items()}
    for key, region in kept.items():
        if shared_area(region, outline) <= 0:
            problem = f"{name}: what `{key}` keeps clear lies outside"
            raise SpecError(problem, allowed="shapes that lie, at least in part, inside the outline")
    spared += [Spared(key, region, model.wall) for key, region in kept.items()]
    found = open_out(outline, land=model.land, cutter_radius=model.cutter / 2, spared=spared, start=start)
    if not found.milled:
        problem = f"{name}: a cutter of {model.cutter:g} mm finds no room"
        raise SpecError(problem, allowed="a smaller cutter, wall or land, or a start point where there is room")
    return found


def _spared(
    cuts: Sequence[Cut], slab: HoleSlab, low: float, high: float, wall: float, heads: Mapping[str, float]
) -> Iterator[Spared]:
    """What the figure must spare between two heights: cuts that share height with it, holes at their widest there.

    `heads` are the radii of the heads that stand on the figure's face, by hole, mm.
    """
    for cut in cuts:
        if isinstance(cut, Profile):
            if cut.kind is not ProfileKind.OPENING and _shares_height(cut, slab, low, high):
                yield from (Spared(cut.name, region, wall) for region in cut.regions)
            continue
        if not isinstance(cut, Hole):
            continue
        radius = max(_widest(cut, low, high), heads.get(cut.name, 0.0))
        if cut.square and radius > 0:
            yield Spared(cut.name, Circle(cut.centre, radius), wall)


def _shares_height(cut: Profile, slab: HoleSlab, low: float, high: float) -> bool:
    bottom, top = (slab.top - cut.depth, slab.top) if cut.side is Side.ABOVE else (slab.bottom, slab.bottom + cut.depth)
    return min(top, high) - max(bottom, low) > ROUNDING


def _widest(hole: Hole, low: float, high: float) -> float:
    """The largest radius of a hole between two heights, mm: drill, thread or counterbore.

    A drill's point counts as wide as its drill: what a pocket spares does not change where the cone begins.
    """
    z, radius = hole.at[2], 0.0
    for step in hole.steps:
        end = hole.step_voids[-1].end if step is hole.steps[-1] else step.end  # the drill point ends last
        top, bottom = (z - step.start, z - end) if hole.side is Side.ABOVE else (z + end, z + step.start)
        if min(top, high) - max(bottom, low) > ROUNDING:
            wide = step.diameter
            if hole.tapping and step.operation not in (Operation.COUNTERBORE, Operation.COUNTERSINK):
                wide = max(wide, hole.tapping.major_diameter)
            radius = max(radius, wide / 2)
    return radius


def _head_on(hole: Hole, side: Side, seats: Mapping[str, float]) -> float:
    """Radius of the seat of a head that stands on face `side`, mm; 0 when the hole has none there."""
    if hole.bolt is None or hole.tapping is not None or side is not hole.side or hole.is_stepped:
        return 0.0
    screw = hole.screw
    if screw is not None:
        return head_seat(thread(hole.bolt), screw.head, screw.washers).diameter / 2
    return seats[hole.joint or ""] / 2
