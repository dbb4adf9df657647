"""The record of one screw: where its head and nut bear, what it goes through and into, its length and its room."""

from __future__ import annotations

import math
from functools import cached_property

from platemaker.catalog import (
    Family,
    HeadKind,
    Material,
    Thread,
    bearing_face,
    countersunk_head,
    hex_head,
    hex_nut,
    socket_head,
    stud_end,
    washer,
)
from platemaker.parts import Bolts, Hole, Joint, Part, Vec3
from platemaker.records import Record
from platemaker.resolved._bolt_length import BoltLength, nut_length, screw_length
from platemaker.space import Cylinder, along, dot, sub

STEEL = 206_843.0
"""Modulus of bolts and washers, MPa: 30 Mpsi, as Shigley takes it for steel."""


class Clamp(Record):
    """One member of what a bolt clamps: name, thickness in mm, modulus in MPa (0: not known); `soft` for a gasket."""

    name: str
    thickness: float
    modulus: float
    soft: bool = False
    material: Material | None = None


class BearingSeat(Record):
    """What a head, a nut or its washer bears on: part or body, and the hole there (None: a slot, or a body's).

    `at` is where the bolt's axis meets it and `out` faces away from the metal, in the stack's frame; in the owner's own
    where it is not `placed`. `local` is where the axis enters a part, in that part's frame. `metal` lies between the
    seat and the joint, mm; `thickness` is the whole plate's or flange's, `bore` the width of the hole. A `sunk` seat
    lies below the face of its part.
    """

    owner: str
    material: Material | None
    at: Vec3
    out: Vec3
    metal: float
    thickness: float
    bore: float
    local: Vec3 | None = None
    part: Part | None = None
    hole: Hole | None = None
    sunk: bool = False
    placed: bool = True


class TappedEnd(Record):
    """What a bolt is screwed into: full thread `depth`, mm (None: not specified); `through` has no bottom.

    `thickness` of the part there, mm; None where it is not known. `designation` of its thread, "" for a body's, which
    is the bolt's. With an `insert` the depth is that of the screw's thread in it. A pocket takes `sunk`, mm, off its
    beginning: the depth is that of the thread that is left.
    """

    owner: str
    material: Material | None
    depth: float | None
    through: bool
    hole: Hole | None
    thickness: float | None
    designation: str = ""
    insert: bool = False
    sunk: float = 0.0

    @property
    def family(self) -> Family | None:
        """Of what kind of metal the thread is: an insert is of steel. None where it is not specified."""
        return Family.STEEL if self.insert else self.material.family if self.material else None


class Bolt(Record):
    """One screw of the stack, from its seat to what holds it: a thread, a nut, or neither where the spec names none.

    `group` is the joint that it belongs to, or part and hole of what it fixes; `joins` are the parts and bodies that it
    holds. `clamped` lists what lies from under its head to the tapped face or the nut, washers included; `gap` is what
    gasket and shim are thick there, mm. `count` are bought of it, one for each set of its parts that is made. `loose`
    says why nothing holds it, or why what it clamps is not known. `through` are part and hole of each hole on its way,
    for a screw of no joint.
    """

    group: str
    name: str
    spot: str
    bolts: Bolts
    seat: BearingSeat
    clamped: tuple[Clamp, ...]
    gap: float
    joins: frozenset[str]
    joint: Joint | None = None
    tapped: TappedEnd | None = None
    nut: BearingSeat | None = None
    count: int = 1
    loose: str = ""
    through: tuple[tuple[str, str], ...] = ()

    @property
    def thread(self) -> Thread:
        """Its thread."""
        return self.bolts.thread

    @property
    def d(self) -> float:
        """Nominal diameter, mm."""
        return self.bolts.thread.major_diameter

    @property
    def is_stud(self) -> bool:
        """Whether it is a stud, set into its thread; its head is a nut."""
        return self.bolts.head == "stud"

    @property
    def metal_end(self) -> float | None:
        """How much of a stud is set into its thread, mm; None for a screw, or where the metal is not specified."""
        family = self.tapped.family if self.tapped else None
        if not self.is_stud or self.bolts.metal_end is not None or family is None:
            return self.bolts.metal_end
        return stud_end(self.thread, family).metal_end

    def features_on(self, owner: str) -> tuple[str, str]:
        """How findings name it: joint and hole; of a screw of no joint the hole on `owner` and the other one."""
        if self.joint is not None:
            return self.group, self.name
        own = next((hole for part, hole in self.through if part == owner), self.name)
        return own, next((f"{part} {hole}" for part, hole in self.through if part != owner), self.name)

    def points_on(self, owner: str) -> list[Vec3]:
        """Where it meets a part, in that part's frame; empty for a body."""
        if self.tapped is not None and self.tapped.owner == owner and self.tapped.hole is not None:
            return [self.tapped.hole.at]
        seats = (seat for seat in (self.seat, self.nut) if seat is not None and seat.owner == owner)
        return [seat.local for seat in seats if seat.local is not None][:1]

    @property
    def is_closed(self) -> bool:
        """Whether a thread or a nut holds it, and all that it clamps is known."""
        return (self.tapped is not None or self.nut is not None) and not self.loose

    @property
    def owner(self) -> str:
        """The part or body that its head bears on."""
        return self.seat.owner

    @cached_property
    def grip(self) -> float:
        """From under the head to the tapped face or the nut, mm."""
        return math.fsum(layer.thickness for layer in self.clamped)

    @property
    def lift(self) -> float:
        """Thickness of a washer, mm; 0 without."""
        return washer(self.thread).thickness if self.bolts.washers else 0.0

    @property
    def passes(self) -> float:
        """Play of the bolt in the narrowest hole that it goes through, mm; below 0 it does not pass."""
        return min(seat.bore for seat in (self.seat, self.nut) if seat is not None) - self.d

    @property
    def fits(self) -> bool:
        """Whether it passes its holes and its thread is that of the hole that it is screwed into."""
        other = self.tapped.designation if self.tapped else ""
        return self.passes >= 0 and other in ("", self.thread.designation)

    @property
    def head_diameter(self) -> float:
        """Diameter of the head, mm: of a hexagon, its width across flats, that of the nut for a stud."""
        if self.is_stud:
            return hex_nut(self.thread).across_flats
        if self.bolts.head == "hex":
            return hex_head(self.thread).across_flats
        return head_size(self.thread, self.bolts.head)[0]

    @property
    def head_face(self) -> float:
        """Smallest diameter of the face under the head, mm; of a countersunk head its whole diameter."""
        if self.bolts.head == "countersunk":
            return self.head_diameter
        if self.is_stud:
            return hex_nut(self.thread).bearing_diameter
        return bearing_face(self.thread, HeadKind(self.bolts.head)).bearing_diameter

    @property
    def bearing_diameter(self) -> float:
        """Diameter of what bears on the part, mm: washer or face under the head."""
        return washer(self.thread).outside_diameter if self.bolts.washers else self.head_face

    @property
    def nut_bearing_diameter(self) -> float:
        """Diameter of what bears under its nut, mm: washer or nut."""
        return washer(self.thread).outside_diameter if self.bolts.washers else hex_nut(self.thread).bearing_diameter

    @cached_property
    def length(self) -> BoltLength | None:
        """Its length; None where thread depth or material is not specified, or nothing holds it."""
        given = self.bolts.length
        head = sold_as(self.bolts.head)
        if not self.is_closed:
            return None
        if self.nut is not None or self.is_stud:
            return nut_length(self.thread, head, self.grip, hex_nut(self.thread).nut_height, given)
        family = self.tapped.family if self.tapped else None
        if self.tapped is None or self.tapped.depth is None or family is None:
            return None
        depth = self.tapped.depth
        return screw_length(self.thread, head, self.grip, depth, family, through=self.tapped.through, given=given)

    @property
    def engaged(self) -> float | None:
        """Thread in use in what it is screwed into, mm; of a bolt with a nut at its end, what stands past its seat."""
        if not self.is_stud:
            return self.length.engaged if self.length is not None else None
        depth = self.tapped.depth if self.tapped else None
        return None if depth is None or self.metal_end is None else min(depth, self.metal_end)

    @property
    def long(self) -> float | None:
        """Length under the head, of a stud out of its metal, mm: the spec's, else the one proposed; None: not known."""
        if self.bolts.length is not None:
            return self.bolts.length
        return self.length.length if self.length is not None else None

    @property
    def reach(self) -> float | None:
        """How far it reaches beyond what it clamps, mm: into the thread, or past the nut's face; None: not known."""
        if self.is_stud:
            return self.metal_end
        return None if self.long is None else self.long - self.grip

    def at(self, height: float) -> Vec3:
        """The point of the axis `height` mm over the seat, towards the tool."""
        return along(self.seat.at, height, self.seat.out)

    def past(self, height: float) -> Vec3:
        """The point of the axis `height` mm beyond what the nut sits on, away from the head."""
        return along((self.nut or self.seat).at, -height, self.seat.out)

    @property
    def past_nut(self) -> float:
        """How far the tip lies beyond what the nut, or its washer, sits on, mm; 0 where it is not known."""
        if self.nut is None or self.long is None:
            return 0.0
        return dot(sub(self.nut.at, self.at(self.lift - self.long)), self.seat.out)

    @property
    def ends(self) -> tuple[float, float]:
        """Heights of its shank's ends over the seat, mm: of a stud, its tip over the nut and the end in the metal."""
        if not self.is_stud:
            return self.lift, self.lift - (self.long or 0.0)
        metal = self.lift - self.grip
        return metal + (self.long or 0.0), metal - (self.metal_end or 0.0)

    def figures(self) -> dict[str, Cylinder]:
        """Washers, head, shank and nut as cylinders: a hexagon as its corners' circle, for any way it is turned."""
        lift, found = self.lift, {}
        ring = washer(self.thread).outside_diameter / 2 if self.bolts.washers else None
        if ring is not None:
            found["washer"] = Cylinder(self.seat.at, self.at(lift), ring)
        wide, high = head_size(self.thread, self.bolts.head)
        if high > 0:
            found["head"] = Cylinder(self.at(lift), self.at(lift + high), wide / 2)
        if self.long is not None:
            tip, end = self.ends
            found["shank"] = Cylinder(self.at(tip), self.at(end), self.d / 2)
        if self.nut is not None:
            if ring is not None:
                found["nut washer"] = Cylinder(self.nut.at, self.past(lift), ring)
            wide, high = nut_size(self.thread)
            found["nut"] = Cylinder(self.past(lift), self.past(lift + high), wide / 2)
        return found


def sold_as(head: str) -> HeadKind:
    """The kind of head in whose lengths a screw is sold: countersunk ones in those of socket heads."""
    return HeadKind.SOCKET if head == "countersunk" else HeadKind(head)


def nut_size(bolt: Thread) -> tuple[float, float]:
    """Diameter round the corners and height of a nut, mm."""
    row = hex_nut(bolt)
    return row.across_corners, row.nut_height


def head_size(bolt: Thread, head: str) -> tuple[float, float]:
    """Largest diameter of a head or a stud's nut, mm, and its height over its seat: a countersunk one ends flush."""
    if head == "stud":
        return nut_size(bolt)
    if head == "countersunk":
        return countersunk_head(bolt).head_diameter, 0.0
    if head == "hex":
        row = hex_head(bolt)
        return row.across_corners, row.head_height
    cap = socket_head(bolt)
    return cap.head_diameter, cap.head_height
