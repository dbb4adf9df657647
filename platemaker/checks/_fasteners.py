"""The bolts of a stack, one by one: where each head sits, which way it faces, what it joins."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from platemaker.catalog import Thread, hex_head, hex_nut, socket_head, thread, washer
from platemaker.checks._joint_sides import seat_depth
from platemaker.errors import CatalogError
from platemaker.parts import Face, Hole, Joint, Part, ProfileKind, Role, Side, Stack, Vec3
from platemaker.plane import contains
from platemaker.space import Cylinder, Frame

HEADED = (Role.CLEAR, Role.COUNTERBORED)


@dataclass(frozen=True)
class Fastener:
    """A bolt in the stack: `seat` is where its axis meets what the head, or its washer, sits on; `out` faces the tool.

    `group` is the joint that it belongs to, or the bracket's hole; `joins` are the parts and bodies that it holds.
    `nut` is where a nut or its washer sits on `nut_owner`, if there is one, faced the other way. `length` under the
    head, mm; None: not specified. A `sunk` head sits below the face of its part.
    """

    group: str
    name: str
    seat: Vec3
    out: Vec3
    thread: Thread
    head: str
    washers: bool
    length: float | None
    head_owner: str
    joins: frozenset[str]
    nut: Vec3 | None = None
    nut_owner: str = ""
    sunk: bool = False

    def at(self, height: float) -> Vec3:
        """The point of the axis `height` mm over the seat, towards the tool."""
        (x, y, z), (u, v, w) = self.seat, self.out
        return x + height * u, y + height * v, z + height * w

    @property
    def lift(self) -> float:
        """Thickness of a washer, mm; 0 without."""
        return washer(self.thread).thickness if self.washers else 0.0

    @property
    def past_nut(self) -> float:
        """How far the shank's tip lies beyond what the nut, or its washer, sits on, mm; 0 where it is not known."""
        if self.nut is None or self.length is None:
            return 0.0
        tip = self.at(self.lift - self.length)
        return sum((a - b) * c for a, b, c in zip(self.nut, tip, self.out, strict=True))

    def past(self, height: float) -> Vec3:
        """The point of the axis `height` mm beyond what the nut sits on, away from the head."""
        (x, y, z), (u, v, w) = self.nut or self.seat, self.out
        return x - height * u, y - height * v, z - height * w

    def figures(self) -> dict[str, Cylinder]:
        """Washers, head, shank and nut as cylinders: a hexagon as its corners' circle, for any way it is turned."""
        lift, found = self.lift, {}
        ring = washer(self.thread) if self.washers else None
        if ring is not None:
            found["washer"] = Cylinder(self.seat, self.at(lift), ring.outside_diameter / 2)
        wide, high = head_size(self.thread, self.head)
        found["head"] = Cylinder(self.at(lift), self.at(lift + high), wide / 2)
        if self.length is not None:
            found["shank"] = Cylinder(self.at(lift), self.at(lift - self.length), self.thread.major_diameter / 2)
        if self.nut is not None:
            if ring is not None:
                found["nut washer"] = Cylinder(self.nut, self.past(lift), ring.outside_diameter / 2)
            wide, high = nut_size(self.thread)
            found["nut"] = Cylinder(self.past(lift), self.past(lift + high), wide / 2)
        return found


def nut_flats(bolt: Thread) -> tuple[float, float]:
    """Across flats and height of a nut, mm. Inch nuts are not tabled: as wide as the bolt's head, one diameter high."""
    try:
        row = hex_nut(bolt)
    except CatalogError:
        return hex_head(bolt).across_flats, bolt.major_diameter
    return row.across_flats, row.nut_height


def nut_size(bolt: Thread) -> tuple[float, float]:
    """Diameter round the corners and height of a nut, mm."""
    flats, high = nut_flats(bolt)
    return flats * 2 / math.sqrt(3), high


def head_size(bolt: Thread, head: str) -> tuple[float, float]:
    """Largest diameter and height of a head, mm."""
    if head == "hex":
        row = hex_head(bolt)
        return row.across_corners, row.head_height
    cap = socket_head(bolt)
    return cap.head_diameter, cap.head_height


def sheet_names(stack: Stack) -> dict[str, list[str]]:
    """The gasket and the shim of each joint that has any."""
    found: dict[str, list[str]] = {}
    for part in stack.parts:
        if part.is_gasket_or_shim:
            found.setdefault(part.mountings[0].joint, []).append(part.name)
    return found


def fasteners_of(stack: Stack) -> tuple[Fastener, ...]:
    """Every bolt with a head on a part that has a place in the stack."""
    sheets = sheet_names(stack)
    found: list[Fastener] = []
    for joint in stack.joints:
        if joint.bolts is not None:
            found += _of_joint(stack, joint, sheets.get(joint.name, []))
    for part in stack.parts:
        found += _over_holes(stack, part)
    return tuple(found)


def _of_joint(stack: Stack, joint: Joint, sheets: list[str]) -> Iterator[Fastener]:
    """Heads sit on the upper side where they can, nuts on the other; but a counterbore is for the head."""
    owners = frozenset([face.owner for face in joint.faces] + sheets)
    sides = [(face, seats) for face in reversed(joint.faces) if (seats := _any_seats(stack, joint, face))]
    sides.sort(key=lambda side: _HEADS_FIRST.index(side[0].role))
    for spot, seat in sides[0][1].items() if sides else ():
        under = next(((seats[spot][0], face.owner) for face, seats in sides[1:] if spot in seats), None)
        yield _bolt(joint, spot, seat, sides[0][0], owners, under)


_HEADS_FIRST = (Role.COUNTERBORED, Role.CLEAR, Role.NONE, Role.TAPPED)


def unseated(stack: Stack) -> Iterator[tuple[Joint, str, str]]:
    """Joints whose heads or nuts sit on a body of unspecified thickness there: which of the two, and on which body."""
    for joint in stack.joints:
        for face in joint.faces:
            if joint.bolts is not None and face.role in HEADED and stack.find_part(face.owner) is None:
                others = [other for other in joint.faces if other is not face and _any_seats(stack, joint, other)]
                yield joint, "nuts" if others else "heads", face.owner


Seat: TypeAlias = tuple[Vec3, Vec3, bool]
"""Where a head sits, which way it faces, and whether it is sunk."""


def _bolt(
    joint: Joint, spot: str, seat: Seat, face: Face, owners: frozenset[str], nut: tuple[Vec3, str] | None
) -> Fastener:
    bolts = joint.bolts
    if bolts is None:
        raise TypeError(joint)
    return Fastener(
        joint.name, f"{joint.name}_{spot}", seat[0], seat[1], bolts.thread, bolts.head, bolts.washers, bolts.length,
        face.owner, owners, nut[0] if nut else None, nut[1] if nut else "", seat[2],
    )  # fmt: skip


def _any_seats(stack: Stack, joint: Joint, face: Face) -> dict[str, Seat]:
    """Where heads or nuts can sit on one side of a joint, by spot."""
    return _seats(stack, joint, face) if face.role in HEADED else _slotted_seats(stack, joint, face)


def _placed(stack: Stack, name: str) -> Part | None:
    return next((part for part in stack.parts if part.name == name and len(part.places) == 1), None)


def _seats(stack: Stack, joint: Joint, face: Face) -> dict[str, Seat]:
    part = _placed(stack, face.owner)
    if part is None:
        return {}
    holes = [hole for hole in part.holes if hole.joint == joint.name and hole.spot is not None]
    return {hole.spot or "": _seat(part, hole, part.places[0]) for hole in holes}


def _seat(part: Part, hole: Hole, place: Frame) -> Seat:
    (u, v, w), deep = hole.direction, seat_depth(part, hole)
    return place.to_world(hole.point(deep)), place.turn((-u, -v, -w)), deep > 0


def _slotted_seats(stack: Stack, joint: Joint, face: Face) -> dict[str, Seat]:
    """Heads of a joint's bolts that stand in the slots of a plate which can be set along them."""
    part = _placed(stack, face.owner)
    if part is None:
        return {}
    slots = [one for one in part.profiles if one.kind is ProfileKind.SLOT and one.joint == joint.name]
    mounting = part.mounting(joint.name)
    if mounting is None:
        return {}
    z, out = part.face_height(mounting.side.other), (0.0, 0.0, 1.0 if mounting.side is Side.BELOW else -1.0)
    found = {}
    for spot, point in joint.spots.items():
        x, y = mounting.in_plan(point)
        if any(contains(region, (x, y)) for slot in slots for region in slot.regions):
            found[spot] = (part.places[0].to_world((x, y, z)), part.places[0].turn(out), False)
    return found


def _over_holes(stack: Stack, part: Part) -> Iterator[Fastener]:
    for hole in part.holes:
        if hole.over is None or len(part.places) != 1 or hole.bolt is None:
            continue
        place = part.places[0]
        under = stack.part(hole.over[0]).cut(hole.over[1])
        bolt = thread(under.bolt) if isinstance(under, Hole) and under.bolt else thread(hole.bolt)
        u, v, w = hole.direction
        yield Fastener(
            f"{part.name}.{hole.name}", f"{part.name}.{hole.name}", place.to_world(hole.at), place.turn((-u, -v, -w)),
            bolt, "socket", False, None, part.name, frozenset((part.name, hole.over[0])),
        )  # fmt: skip
