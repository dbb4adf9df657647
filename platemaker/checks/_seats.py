"""Room round bolts: distance to edges in diameters, seats for heads, room for the socket wrench."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.catalog import LimitName, hex_head, socket_wrench, thread
from platemaker.checks._finding import Finding, measured
from platemaker.checks._joint_sides import seat_depth
from platemaker.checks._limits import limit_for
from platemaker.parts import HeadSeat, Hole, Part, PlateStock, Profile, Side, Stack, head_seat
from platemaker.plane import Circle, Nearest, Point, Region, contains, nearest, offset
from platemaker.resolved import resolved
from platemaker.space import Cylinder, HalfSpace, Segment, separation, trimmed

EDGE, SEAT, WRENCH = "PM301", "PM401", "PM402"

SLICE = 1e-6
"""Thickness of the slice that stands for a slanted bore's section at a face, mm: it reads short by no more."""


def check_seats(stack: Stack) -> Iterator[Finding]:
    """Edge distance of every bolt, and a whole seat and wrench room for every head that sits on a plate."""
    for part in stack.parts:
        if not isinstance(part.stock, PlateStock) or not part.made or part.material.family.value == "gasket":
            continue
        for hole in part.holes:
            if hole.bolt and hole.square:
                yield from _edge_distance(part, part.stock, hole)
        for hole, head in _heads(stack, part):
            yield from _seat(part, part.stock, hole, head_seat(thread(hole.bolt or ""), *head))
            if head[0] == "hex":
                yield from _wrench(stack, part, part.stock, hole)


def _edge_distance(part: Part, stock: PlateStock, hole: Hole) -> Iterator[Finding]:
    limit = limit_for(part, LimitName.EDGE_DISTANCE)
    if limit is None or hole.bolt is None:
        return
    d = thread(hole.bolt).major_diameter
    found = nearest(hole.centre, stock.region)
    z = hole.at[2]
    inputs = [("e", found.distance, "mm"), ("D", d, "mm")]
    yield measured(
        EDGE, "edge distance e/D", part.name, (hole.name, "outline"), found.distance / d, limit,
        points=[(*hole.centre, z), (*found.b, z)], inputs=inputs,
    )  # fmt: skip


def _heads(stack: Stack, part: Part) -> Iterator[tuple[Hole, tuple[str, bool]]]:
    """Holes with a head on this part, and that head's kind and whether it has a washer."""
    for hole in part.holes:
        if hole.bolt is None or hole.tapping is not None or not hole.square:
            continue
        bolts = stack.joint(hole.joint).bolts if hole.joint else None
        yield hole, (bolts.head, bolts.washers) if bolts else ("socket", False)


def _seat(part: Part, stock: PlateStock, hole: Hole, seat: HeadSeat) -> Iterator[Finding]:
    """Radial room between a head's seat and whatever ends the flat that it sits on."""
    limit = limit_for(part, LimitName.HEAD_CLEARANCE)
    if limit is None:
        return
    if len(hole.steps) > 1:
        room = (hole.steps[0].diameter - seat.diameter) / 2
        yield measured(
            SEAT, "room round the head", part.name, (hole.name, "counterbore"), room, limit, points=[hole.at]
        )
        return
    other, found = _end_of_flat(part, stock, hole)
    z = seat_z(part, stock, hole)
    room = found.distance - seat.diameter / 2
    points = [(*hole.centre, z), (*found.b, z)]
    inputs = [("seat diameter", seat.diameter, "mm"), ("to the end of the flat", found.distance, "mm")]
    yield measured(
        SEAT, "room round the head", part.name, (hole.name, other), room, limit, points=points, inputs=inputs
    )


def seat_z(part: Part, stock: PlateStock, hole: Hole) -> float:
    """Height of the flat that a head sits on, mm."""
    deep = seat_depth(part, hole)
    return stock.thickness - deep if hole.direction[2] < 0 else deep


def _end_of_flat(part: Part, stock: PlateStock, hole: Hole) -> tuple[str, Nearest]:
    """The nearest edge of the flat round a hole: outline, figures on that face, other holes."""
    face = Side.ABOVE if hole.direction[2] < 0 else Side.BELOW
    ends = [("outline", nearest(hole.centre, stock.region))]
    for profile in part.profiles:
        if profile.through or profile.side is face:
            ends += [(profile.name, nearest(hole.centre, region)) for region in _broken(profile, face)]
    beside = [
        (math.dist(other.centre, hole.centre) - wide / 2, other.name, Circle(other.centre, wide / 2))
        for other in part.holes
        if other is not hole and other.square and (wide := _wide_at(other, face)) > 0
    ]
    if beside:
        _, name, circle = min(beside, key=lambda one: one[:2])
        ends.append((name, nearest(hole.centre, circle)))
    ends += _slanted_ends(part, stock, hole, face)
    return min(ends, key=lambda end: end[1].distance)


def _slanted_ends(part: Part, stock: PlateStock, hole: Hole, face: Side) -> Iterator[tuple[str, Nearest]]:
    """The ellipses in which slanted bores break a face, each as a slice that is no thicker than rounding."""
    if not any(_leans(other) for other in part.holes):
        return
    high, up = (stock.thickness, 1.0) if face is Side.ABOVE else (0.0, -1.0)
    (x, y), under = hole.centre, HalfSpace((0.0, 0.0, high - up * SLICE), (0.0, 0.0, -up))
    middle = Segment((x, y, high - up * SLICE), (x, y, high))
    for void in resolved(part).voids:
        bore = void.figure
        if isinstance(void.cut, Hole) and _leans(void.cut) and isinstance(bore, Cylinder):
            slice_ = trimmed(bore, under)
            if slice_ is not None:
                found = separation(middle, slice_)
                yield void.label, Nearest(found.distance, (x, y), found.point_b[:2])


def _leans(hole: Hole) -> bool:
    """Whether a hole meets the faces of its plate aslant."""
    return not hole.square and abs(hole.direction[2]) > 1e-3


def _broken(profile: Profile, face: Side) -> list[Region]:
    """Where a milled figure breaks a face: with its mouth, if that is on this face."""
    if profile.mouth is not face or profile.mouth_width <= 0:
        return list(profile.regions)
    return [wide for region in profile.regions for wide in offset(region, profile.mouth_width)]


def _wide_at(hole: Hole, face: Side) -> float:
    """Diameter of a hole where it breaks a face, mm; 0 when it does not reach it."""
    entry = Side.ABOVE if hole.direction[2] < 0 else Side.BELOW
    if entry is face:
        return hole.steps[0].diameter
    return hole.steps[-1].diameter if hole.through else 0.0


def _wrench(stack: Stack, part: Part, stock: PlateStock, hole: Hole) -> Iterator[Finding]:
    """Radial room for a socket wrench: against the wall of a pocket that the head is in, and against other heads."""
    limit = limit_for(part, LimitName.WRENCH_CLEARANCE)
    if limit is None or hole.bolt is None:
        return
    radius = socket_wrench(hex_head(hole.bolt).across_flats).outside_diameter / 2
    z = seat_z(part, stock, hole)
    for name, point, free in _wrench_neighbours(stack, part, hole):
        inputs = [("wrench diameter", 2 * radius, "mm")]
        yield measured(
            WRENCH, "room for the wrench", part.name, (hole.name, name), free - radius, limit,
            points=[(*hole.centre, z), (*point, z)], inputs=inputs,
        )  # fmt: skip


def _wrench_neighbours(stack: Stack, part: Part, hole: Hole) -> Iterator[tuple[str, Point, float]]:
    face = Side.ABOVE if hole.direction[2] < 0 else Side.BELOW
    if len(hole.steps) > 1:
        (x, y), free = hole.centre, hole.steps[0].diameter / 2
        yield "counterbore", (x + free, y), free
    for profile in part.profiles:
        if profile.through or profile.side is not face:
            continue
        for region in profile.regions:
            if contains(region, hole.centre):
                found = nearest(hole.centre, region)
                yield profile.name, found.b, found.distance
    beside = []
    for other, head in _heads(stack, part):
        if other is hole or (other.direction[2] < 0) != (hole.direction[2] < 0) or len(other.steps) > 1:
            continue
        free = math.dist(other.centre, hole.centre) - head_seat(thread(other.bolt or ""), *head).diameter / 2
        beside.append((free, other))
    if beside:
        free, other = min(beside, key=lambda pair: pair[0])
        yield other.name, other.centre, free
