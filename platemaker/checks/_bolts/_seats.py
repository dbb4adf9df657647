"""Room round bolts: distance to edges in diameters, seats for heads, room for the socket wrench."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

from platemaker.catalog import Family, LimitName, hex_head, socket_wrench, thread
from platemaker.checks._finding import Finding, measured
from platemaker.checks._limits import limit_for
from platemaker.checks._loads._joint_loads import loads_on
from platemaker.parts import HeadSeat, Hole, Part, Profile, Side, Stack, head_seat
from platemaker.plane import Circle, Loop, Nearest, Point, Region, contains, nearest, nearest_each, nearest_to, offset
from platemaker.records import replace
from platemaker.resolved import BearingSeat, ResolvedPart, resolved, resolved_stack, seat_depth
from platemaker.space import Cylinder, HalfSpace, Segment, dot, separation, trimmed

EDGE, SEAT, WRENCH = "PM301", "PM401", "PM402"

Head: TypeAlias = tuple[str, bool]
"""What head a bolt has, and whether a washer under it."""
Ends: TypeAlias = Mapping[str, tuple[str, Nearest]]
"""By the name of a hole: what ends the flat round it, and where."""

SLICE = 1e-6
"""Thickness of the slice that stands for a slanted bore's section at a face, mm: it reads short by no more."""


def check_seats(stack: Stack) -> Iterator[Finding]:
    """Edge distance of every bolt; a whole seat and wrench room for every head on a plate or a bracket."""
    for part in stack.parts:
        if part.strip is not None:
            known = resolved(part)
            for one in _of_plate(stack, known.flat, _bend_zones(known)):
                yield replace(one, points=tuple(known.in_part(point) for point in one.points))
        elif part.plate is not None and part.made and part.material.family is not Family.GASKET:
            yield from _of_plate(stack, part, {})


def _bend_zones(part: ResolvedPart) -> dict[str, Region]:
    """What is no longer flat of a bent part, in its flat pattern: a head that stands there does not bear."""
    bent, wide = part.bent, part.flat.stock.size[1]
    return {
        f"bend {number}": Region.of(Loop.rectangle(bend.width, wide, centre=(bend.x, 0.0)))
        for number, bend in enumerate(bent.bends if bent else (), 1)
    }


def _of_plate(stack: Stack, part: Part, bends: Mapping[str, Region]) -> Iterator[Finding]:
    bolted = [hole for hole in part.holes if hole.bolt and hole.square]
    to_edges = nearest_to([hole.centre for hole in bolted], part.stock.plan)
    for hole, way in zip(bolted, to_edges, strict=True):
        yield from _edge_distance(stack, part, hole, way)
    heads = list(_heads(stack, part))
    ends = _ends_of_flats(part, [hole for hole, _ in heads if not hole.is_stepped], bends)
    wrenches = _nearest_heads(heads)
    for hole, head in heads:
        yield from _seat(part, hole, head_seat(thread(hole.bolt or ""), *head), ends)
        if head[0] == "hex":
            yield from _wrench(part, hole, wrenches)


def _edge_distance(stack: Stack, part: Part, hole: Hole, found: Nearest) -> Iterator[Finding]:
    """Edge distance; the softer limit is for bolts that pull sideways, which those of pressure alone do not."""
    limit = limit_for(part, LimitName.EDGE_DISTANCE)
    if limit is None or hole.bolt is None:
        return
    note = ""
    if stack.design is not None and hole.joint:
        joint = stack.joint(hole.joint)
        if joint.ports and joint.shared is None and not loads_on(stack, joint):
            limit, note = replace(limit, caution=None), "no load pulls this joint sideways: the least distance does"
    d = thread(hole.bolt).major_diameter
    z = hole.at[2]
    inputs = [("e", found.distance, "mm"), ("D", d, "mm")]
    yield measured(
        EDGE, "edge distance e/D", part.name, (hole.name, "outline"), found.distance / d, limit,
        points=[(*hole.centre, z), (*found.b, z)], inputs=inputs, note=note,
    )  # fmt: skip


def _heads(stack: Stack, part: Part) -> Iterator[tuple[Hole, Head]]:
    """Holes with a head or a nut on this part, as entered from its face, and its kind and whether it has a washer."""
    known = resolved_stack(stack)
    for hole in part.holes:
        if hole.bolt is None or hole.tapping is not None or not hole.square:
            continue
        found = known.seat_in(part.name, hole.name)
        if found is not None:
            seat, head, washers = found
            if head != "countersunk":
                yield _entered_at(part, hole, seat), (head, washers)
        elif hole.screw is not None and not hole.is_countersunk and known.bolt_in(part.name, hole.name) is None:
            yield hole, (hole.screw.head, hole.screw.washers)


def _entered_at(part: Part, hole: Hole, seat: BearingSeat) -> Hole:
    """A hole as one that is entered from the face on which a head or a nut stands."""
    if not part.places or not seat.placed or hole.is_stepped:
        return hole
    if dot(part.places[0].unturn(seat.out), hole.direction) <= 0:
        return hole
    u, v, w = hole.direction
    return replace(hole, at=hole.point(hole.depth), direction=(-u, -v, -w))


def _seat(part: Part, hole: Hole, seat: HeadSeat, ends: Ends) -> Iterator[Finding]:
    """Radial room between a head's seat and whatever ends the flat that it sits on."""
    limit = limit_for(part, LimitName.HEAD_CLEARANCE)
    if limit is None:
        return
    if hole.is_stepped:
        room = (hole.entry_diameter - seat.diameter) / 2
        yield measured(
            SEAT, "room round the head", part.name, (hole.name, "counterbore"), room, limit, points=[hole.at]
        )
        return
    other, found = ends[hole.name]
    z = seat_z(part, hole)
    room = found.distance - seat.diameter / 2
    points = [(*hole.centre, z), (*found.b, z)]
    inputs = [("seat diameter", seat.diameter, "mm"), ("to the end of the flat", found.distance, "mm")]
    yield measured(
        SEAT, "room round the head", part.name, (hole.name, other), room, limit, points=points, inputs=inputs
    )


def seat_z(part: Part, hole: Hole) -> float:
    """Height of the flat that a head sits on, mm."""
    deep = seat_depth(part, hole)
    return part.stock.height - deep if hole.side is Side.ABOVE else deep


def _ends_of_flats(part: Part, holes: Sequence[Hole], bends: Mapping[str, Region]) -> Ends:
    """The nearest edge of the flat round each hole: outline, figures on its face, holes; its own rim over a cone."""
    found = {}
    for face in Side:
        mine = [hole for hole in holes if hole.side is face]
        if not mine:
            continue
        centres = [hole.centre for hole in mine]
        ends = [("outline", nearest_to(centres, part.stock.plan))]
        ends += [(name, nearest_to(centres, zone)) for name, zone in bends.items()]
        for profile in part.profiles:
            if profile.through or profile.side is face:
                ends += [(profile.name, nearest_to(centres, region)) for region in _broken(profile, face)]
        high, beside = part.face_height(face), _nearest_rims(part, face)
        slices = list(_slanted_slices(part, high, face))
        for k, hole in enumerate(mine):
            near = [(name, ways[k]) for name, ways in ends]
            if hole.name in beside:
                name, circle = beside[hole.name]
                near.append((name, nearest(hole.centre, circle)))
            near += [(name, _to_slice(hole, high, slice_)) for name, slice_ in slices]
            near += [(name, _own_rim(hole)) for name in _drilled_floors(part, hole)]
            found[hole.name] = min(near, key=lambda end: end[1].distance)
    return found


def _drilled_floors(part: Part, hole: Hole) -> list[str]:
    """The drill points that a hole starts from: their floor is a cone, which no head bears on."""
    return [
        void.label
        for void in resolved(part).met_by_cut(hole.name)
        if void.what == "point" and isinstance(void.cut, Hole) and void.cut.side is hole.side
        if contains(void.plan, hole.centre)
    ]


def _own_rim(hole: Hole) -> Nearest:
    (x, y), radius = hole.centre, hole.diameter / 2
    return Nearest(radius, (x, y), (x + radius, y))


def _nearest_rims(part: Part, face: Side) -> Mapping[str, tuple[str, Circle]]:
    """For each square hole that breaks a face, by name, the one whose rim there is nearest to it."""
    holes = sorted((one for one in part.holes if one.square and one.diameter_at(face) > 0), key=lambda one: one.name)
    rims = [Circle(hole.centre, hole.diameter_at(face) / 2) for hole in holes]
    found = zip(holes, nearest_each(rims), strict=True)
    return {hole.name: (holes[best[0]].name, rims[best[0]]) for hole, best in found if best is not None}


def _slanted_slices(part: Part, high: float, face: Side) -> Iterator[tuple[str, Cylinder]]:
    """The ellipses in which slanted bores break a face at height `high`, as slices no thicker than rounding."""
    if not any(_leans(hole) for hole in part.holes):
        return
    up = 1.0 if face is Side.ABOVE else -1.0
    under = HalfSpace((0.0, 0.0, high - up * SLICE), (0.0, 0.0, -up))
    for void in resolved(part).voids:
        bore = void.figure
        if isinstance(void.cut, Hole) and _leans(void.cut) and isinstance(bore, Cylinder):
            slice_ = trimmed(bore, under)
            if slice_ is not None:
                yield void.label, slice_


def _to_slice(hole: Hole, high: float, slice_: Cylinder) -> Nearest:
    """From a hole's axis to a slice at the face at height `high` that it enters."""
    x, y = hole.centre
    under = high + math.copysign(SLICE, hole.direction[2])
    found = separation(Segment((x, y, under), (x, y, high)), slice_)
    return Nearest(found.distance, (x, y), found.point_b[:2])


def _leans(hole: Hole) -> bool:
    """Whether a hole meets the faces of its plate aslant."""
    return not hole.square and abs(hole.direction[2]) > 1e-3


def _broken(profile: Profile, face: Side) -> list[Region]:
    """Where a milled figure breaks a face: with its mouth, if that is on this face."""
    if profile.mouth is not face or profile.mouth_width <= 0:
        return list(profile.regions)
    return [wide for region in profile.regions for wide in offset(region, profile.mouth_width)]


def _wrench(part: Part, hole: Hole, heads: Mapping[str, tuple[Hole, float]]) -> Iterator[Finding]:
    """Radial room for a socket wrench: against the wall of a pocket that the head is in, and against other heads."""
    limit = limit_for(part, LimitName.WRENCH_CLEARANCE)
    if limit is None or hole.bolt is None:
        return
    radius = socket_wrench(hex_head(hole.bolt).across_flats).outside_diameter / 2
    z = seat_z(part, hole)
    for name, point, free in _wrench_neighbours(part, hole, heads):
        inputs = [("wrench diameter", 2 * radius, "mm")]
        yield measured(
            WRENCH, "room for the wrench", part.name, (hole.name, name), free - radius, limit,
            points=[(*hole.centre, z), (*point, z)], inputs=inputs,
        )  # fmt: skip


def _wrench_neighbours(
    part: Part, hole: Hole, heads: Mapping[str, tuple[Hole, float]]
) -> Iterator[tuple[str, Point, float]]:
    if hole.is_stepped:
        (x, y), free = hole.centre, hole.entry_diameter / 2
        yield "counterbore", (x + free, y), free
    for profile in part.profiles:
        if profile.through or profile.side is not hole.side:
            continue
        for region in profile.regions:
            if contains(region, hole.centre):
                found = nearest(hole.centre, region)
                yield profile.name, found.b, found.distance
    if hole.name in heads:
        other, free = heads[hole.name]
        yield other.name, other.centre, free


def _nearest_heads(heads: Sequence[tuple[Hole, Head]]) -> Mapping[str, tuple[Hole, float]]:
    """For each hole, by name, the nearest hole whose head stands on the same face, and how far its axis is from it."""
    found = {}
    for face in Side:
        mine = [(hole, head) for hole, head in heads if hole.side is face]
        proud = [
            (hole, head_seat(thread(hole.bolt or ""), *head).diameter / 2) for hole, head in mine if not hole.is_stepped
        ]
        seats = [Circle(hole.centre, radius) for hole, radius in proud]
        for (hole, _), best in zip(proud, nearest_each(seats), strict=True):
            if best is not None:
                other, radius = proud[best[0]]
                found[hole.name] = other, math.dist(other.centre, hole.centre) - radius
        for hole, (kind, _) in mine:
            if kind == "hex" and hole.is_stepped and proud:
                free = [math.dist(other.centre, hole.centre) - radius for other, radius in proud]
                found[hole.name] = proud[free.index(min(free))][0], min(free)
    return found
