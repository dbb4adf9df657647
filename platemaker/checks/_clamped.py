"""What a joint's bolts clamp: the layers from under the head to the thread or nut, and the bolt's length."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.catalog import (
    LimitName,
    Material,
    Thread,
    gasket_values,
    hex_head,
    hex_nut,
    limits,
    socket_head,
    standard_bolt_lengths,
    washer,
)
from platemaker.checks._joint_sides import BoltedJoint, TappedSide, bolted_joints, gap_of, under_head
from platemaker.errors import CatalogError
from platemaker.formulas import tapped_bolt_length, through_bolt_length
from platemaker.parts import Bolts, Hole, Joint, Part, Role, Stack

STEEL = 206_843.0
"""Modulus of bolts and washers, MPa: 30 Mpsi, as Shigley takes it for steel."""


@dataclass(frozen=True)
class Layer:
    """One member of a clamped stack: name, thickness in mm, modulus in MPa; `soft` for a gasket."""

    name: str
    thickness: float
    modulus: float
    soft: bool = False


@dataclass(frozen=True)
class Clamped:
    """A joint's bolt with what it clamps, from under the head. `tapped` is None where it has a nut.

    `head` is the head's diameter, mm, `face` that of what bears on the part (a washer, where there is one), and
    `hole` that of the hole there.
    """

    joint: Joint
    bolts: Bolts
    head_part: Part
    head_hole: Hole
    layers: tuple[Layer, ...]
    head: float
    face: float
    hole: float
    tapped: TappedSide | None
    tapped_thickness: float | None

    @property
    def thickness(self) -> float:
        """From under the head to the tapped face or the nut, mm."""
        return sum(layer.thickness for layer in self.layers)

    @property
    def d(self) -> float:
        """Nominal diameter of the bolts, mm."""
        return self.bolts.thread.major_diameter


def clamped_joints(stack: Stack) -> Iterator[Clamped]:
    """Every joint whose bolts have a head side among the parts, and a tapped side or a second plate with a nut."""
    for bolted in bolted_joints(stack):
        if bolted.joint.bolts is not None:
            yield _screwed(stack, bolted, bolted.joint.bolts)
    for joint in stack.joints:
        if joint.bolts is not None and (found := _nutted(stack, joint, joint.bolts)) is not None:
            yield found


def head_diameter(bolts: Bolts) -> float:
    """Diameter of a head, mm: of a hexagon, its width across flats."""
    return hex_head(bolts.thread).across_flats if bolts.head == "hex" else socket_head(bolts.thread).head_diameter


def bearing_face(bolts: Bolts) -> float:
    """Diameter of what bears on the part, mm: washer or head."""
    return washer(bolts.thread).outside_diameter if bolts.washers else head_diameter(bolts)


def nut_height(bolts: Bolts) -> float:
    """Height of a nut, mm; of inch nuts, which the catalog does not list, 7/8 d (common practice, no source)."""
    try:
        return hex_nut(bolts.thread).nut_height
    except CatalogError:
        return 0.875 * bolts.thread.major_diameter


def _washer(bolts: Bolts) -> list[Layer]:
    return [Layer("washer", washer(bolts.thread).thickness, STEEL)] if bolts.washers else []


def _between(joint: Joint, gap: float) -> list[Layer]:
    """The joint's gasket and shim where together they are `gap` mm thick."""
    shim, sheet = joint.shim, joint.gasket
    layers: list[Layer] = []
    if shim is not None:
        thick = gap - (sheet.thickness if sheet else 0.0)
        layers.append(Layer("shim", thick, shim.material.elastic_modulus or 0.0))
    if sheet is None:
        return layers
    try:
        modulus = gasket_values(sheet.material, sheet.thickness).modulus
    except CatalogError:
        modulus = 0.0  # told where the joint is loaded; its thickness counts all the same
    return [*layers, Layer("gasket", sheet.thickness, modulus, soft=True)]


def _metal(part: Part, thickness: float) -> Layer:
    return Layer(part.name, thickness, part.material.elastic_modulus or 0.0)


def _screwed(stack: Stack, bolted: BoltedJoint, bolts: Bolts) -> Clamped:
    owner = stack.find_part(bolted.tapped.owner)
    thick = bolted.tapped.depth if owner is None else owner.stock.height
    layers = (*_washer(bolts), _metal(bolted.head_part, bolted.under_head), *_between(bolted.joint, bolted.gap))
    return Clamped(
        bolted.joint, bolts, bolted.head_part, bolted.head_hole, layers, head_diameter(bolts), bearing_face(bolts),
        bolted.head_hole.diameter, bolted.tapped, thick,
    )  # fmt: skip


def _nutted(stack: Stack, joint: Joint, bolts: Bolts) -> Clamped | None:
    """Two plates that both let the bolt pass, where they stand furthest apart: head on the upper, nut on the lower."""
    faces = [joint.upper, joint.lower]
    owners = [stack.find_part(face.owner) if face else None for face in faces]
    passing = all(face is not None and face.role in (Role.CLEAR, Role.COUNTERBORED) for face in faces)
    upper, lower = owners
    if not passing or upper is None or lower is None:
        return None
    own = [[hole for hole in part.holes if hole.joint == joint.name] for part in (upper, lower)]
    above, below = (max(holes, key=lambda hole: gap_of(joint, hole), default=None) for holes in own)
    if above is None or below is None:
        return None
    layers = (
        *_washer(bolts), _metal(upper, under_head(upper, above)), *_between(joint, gap_of(joint, above)),
        _metal(lower, under_head(lower, below)), *_washer(bolts),
    )  # fmt: skip
    return Clamped(
        joint, bolts, upper, above, layers, head_diameter(bolts), bearing_face(bolts), above.diameter, None, None
    )


@dataclass(frozen=True)
class BoltLength:
    """The length of a joint's bolts, mm: the spec's, else the shortest stock length that does; None where none does.

    `engaged` is the thread in use, `least` what it must be, `wanted` what it had better be, `room` the most that the
    hole takes, mm. With a nut `engaged` is what stands beyond the plates.
    """

    length: float | None
    given: bool
    engaged: float | None
    least: float
    wanted: float
    room: float | None
    source: str


def bolt_length(clamped: Clamped) -> BoltLength | None:
    """The length of the bolts of a joint; None where the tapped side's thread depth or material is not told."""
    bolts, tapped = clamped.bolts, clamped.tapped
    if tapped is None:
        return _with_nut(bolts, clamped.thickness)
    if tapped.depth is None or tapped.material is None:
        return None
    return screw_length(
        bolts.thread, clamped.thickness, tapped.depth, tapped.material, through=tapped.through, given=bolts.length
    )


def _with_nut(bolts: Bolts, thickness: float) -> BoltLength:
    stock, nut = standard_bolt_lengths(bolts.thread), nut_height(bolts)
    least = through_bolt_length(thickness, nut, bolts.thread.pitch)
    length = bolts.length or min((each for each in stock.lengths if each >= least), default=None)
    beyond = None if length is None else length - thickness
    return BoltLength(length, bolts.length is not None, beyond, nut, nut, None, stock.source)


def screw_length(
    bolt: Thread, thickness: float, depth: float, metal: Material, *, through: bool, given: float | None = None
) -> BoltLength | None:
    """The length of a screw through `thickness` into `depth` of thread in a metal, mm; None without limits for it."""
    try:
        rows = limits(metal.family)
    except CatalogError:
        return None
    row, runout = rows[LimitName.THREAD_ENGAGEMENT], rows[LimitName.THREAD_RUNOUT]
    least = (row.fail_below or 1.0) * bolt.major_diameter
    wanted = (row.caution_below or row.fail_below or 1.0) * bolt.major_diameter
    room = depth - (0.0 if through else (runout.fail_below or 0.0) * bolt.pitch)
    stock, length = standard_bolt_lengths(bolt), given
    if length is None and room > 0:
        # A hole that has not the depth for the engagement wanted still gets the longest screw that it takes.
        length = tapped_bolt_length(stock.lengths, thickness, min(wanted, room), room)
        fits = [each for each in stock.lengths if 0 < each - thickness <= room]
        length = max(fits, default=None) if length is None else length
    engaged = None if length is None else min(depth, length - thickness)
    return BoltLength(length, given is not None, engaged, least, wanted, room, stock.source)
