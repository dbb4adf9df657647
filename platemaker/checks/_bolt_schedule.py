"""Bolts to buy and torques to set, joint by joint: what the shop needs beside the findings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from platemaker.catalog import Thread, thread
from platemaker.checks._clamped import Clamped, bolt_length, clamped_joints, screw_length
from platemaker.checks._joint_sides import under_head
from platemaker.checks._preload import preload_of
from platemaker.errors import CatalogError
from platemaker.formulas import pattern_properties, tightening_order, tightening_order_outwards
from platemaker.parts import Hole, Joint, Stack


@dataclass(frozen=True)
class BoltOrder:
    """Bolts of one kind, over all joints. `length`, mm, is None where neither the spec nor a stock length settles it.

    `washers` and `nuts` are how many to buy with them; `chosen` when the length is not the spec's; `property_class` is
    "" where the spec tells none. `joints` are joints, or part and hole of a bracket.
    """

    quantity: int
    thread: str
    length: float | None
    head: str
    property_class: str
    washers: int
    nuts: int
    chosen: bool
    joints: tuple[str, ...]


@dataclass(frozen=True)
class TorqueRow:
    """How one joint is tightened: torque, N.mm; nut factors and preload, N, as (low, middle, high); order of spots."""

    joint: str
    bolts: int
    thread: str
    property_class: str
    condition: str
    nut_factor: tuple[float, float, float]
    torque: float
    preload: tuple[float, float, float]
    order: tuple[str, ...]


@dataclass(frozen=True)
class _Kind:
    """What makes two bolts the same to buy."""

    thread: Thread
    length: float | None
    head: str
    property_class: str
    washers: bool
    nut: bool


@dataclass(frozen=True)
class _Entry:
    """Some bolts of a kind, where they go, and whether their length was chosen here."""

    kind: _Kind
    count: int
    where: str
    chosen: bool


def bolt_orders(stack: Stack) -> tuple[BoltOrder, ...]:
    """The project's bolts by kind, the thickest first: of joints, and of holes that lie over another part's hole.

    Bolts of a joint that nothing closes keep the spec's length.
    """
    entries = [*_of_joints(stack), *_of_holes(stack)]
    kinds = dict.fromkeys(entry.kind for entry in entries)
    orders = [(kind, _order(kind, [entry for entry in entries if entry.kind == kind])) for kind in kinds]
    orders.sort(key=lambda it: (-it[0].thread.major_diameter, it[1].thread, it[1].length or 0.0, it[1].head))
    return tuple(order for _, order in orders)


def _of_joints(stack: Stack) -> Iterator[_Entry]:
    for joint in stack.joints:
        bolts = joint.bolts
        if bolts is None:
            continue
        for count, clamped in _by_grip(stack, joint):
            found = bolt_length(clamped) if clamped else None
            length = found.length if found else bolts.length
            nut = clamped is not None and clamped.tapped is None
            kind = _Kind(bolts.thread, length, bolts.head, bolts.property_class, bolts.washers, nut)
            yield _Entry(kind, count, joint.name, bolts.length is None)


def _of_holes(stack: Stack) -> Iterator[_Entry]:
    """Bolts through brackets' holes into the holes that they lie over; the spec tells neither class nor length."""
    for part in stack.parts:
        for hole in part.holes:
            if hole.over is None or hole.bolt is None:
                continue
            owner = stack.part(hole.over[0])
            under = owner.cut(hole.over[1])
            length = None
            bolt = thread(hole.bolt)
            if isinstance(under, Hole) and under.tapping is not None and under.bolt is not None:
                tapping = under.tapping
                bolt = thread(under.bolt)
                found = screw_length(bolt, hole.depth, tapping.depth, owner.material, through=under.through)
                length = found.length if found else None
            yield _Entry(
                _Kind(bolt, length, "socket", "", False, False), part.quantity, f"{part.name}.{hole.name}", True
            )


def _order(kind: _Kind, entries: list[_Entry]) -> BoltOrder:
    count = sum(entry.count for entry in entries)
    # A bolt with a nut has a washer at either end.
    rings = count * (2 if kind.nut else 1) if kind.washers else 0
    return BoltOrder(
        count, kind.thread.designation, kind.length, kind.head, kind.property_class, rings, count if kind.nut else 0,
        any(entry.chosen for entry in entries), tuple(dict.fromkeys(entry.where for entry in entries)),
    )  # fmt: skip


def _by_grip(stack: Stack, joint: Joint) -> Iterable[tuple[int, Clamped | None]]:
    """A joint's bolts, as many as have each grip; one entry without a grip where the stack does not close the joint."""
    grips = [clamped for clamped in clamped_joints(stack) if clamped.joint is joint]
    if not grips:
        return [(len(joint.spots), None)]
    if len(grips) == 1:
        return [(len(joint.spots), grips[0])]
    return [(_count(clamped), clamped) for clamped in grips]


def _count(clamped: Clamped) -> int:
    """How many of a joint's holes have this grip."""
    part, name = clamped.head_part, clamped.joint.name
    own = under_head(part, clamped.head_hole)
    return sum(1 for hole in part.holes if hole.joint == name and math.isclose(under_head(part, hole), own))


def torque_rows(stack: Stack) -> tuple[TorqueRow, ...]:
    """The torque of every joint with bolts; none without the design's friction and share of proof."""
    found = []
    for joint in stack.joints:
        if joint.bolts is None or stack.design is None:
            continue
        try:
            pre = preload_of(stack.design, joint.bolts)
        except CatalogError:
            continue
        found.append(
            TorqueRow(
                joint.name, len(joint.spots), joint.bolts.thread.designation, joint.bolts.property_class,
                pre.condition, pre.factor, pre.torque, (pre.low.result, pre.nominal, pre.high.result),
                order_of(joint),
            )
        )  # fmt: skip
    return tuple(found)


def order_of(joint: Joint) -> tuple[str, ...]:
    """The order in which a joint's bolts are tightened: crosswise round an opening, else from the middle outwards."""
    names, points = list(joint.spots), list(joint.spots.values())
    if joint.opening is None:
        return tuple(names[place] for place in tightening_order_outwards(points))
    centre = pattern_properties(points)
    bearings = [math.degrees(math.atan2(y - centre.y, x - centre.x)) for x, y in points]
    return tuple(names[place] for place in tightening_order(bearings))
