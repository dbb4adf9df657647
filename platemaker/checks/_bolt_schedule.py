"""Bolts to buy and torques to set, joint by joint: what the shop needs beside the findings."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from platemaker.checks._clamped import Clamped, bolt_length, clamped_joints
from platemaker.checks._joint_sides import under_head
from platemaker.checks._preload import preload_of
from platemaker.errors import CatalogError
from platemaker.formulas import pattern_properties, tightening_order, tightening_order_outwards
from platemaker.parts import Joint, Stack


@dataclass(frozen=True)
class BoltOrder:
    """Bolts of one kind, over all joints. `length`, mm, is None where neither the spec nor a stock length settles it.

    `washers` and `nuts` are how many to buy with them; `chosen` when the length is not the spec's.
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


def bolt_orders(stack: Stack) -> tuple[BoltOrder, ...]:
    """The project's bolts by kind, the thickest first. A joint that nothing closes keeps the spec's length."""
    rows: dict[tuple[str, float | None, str, str, bool, bool], list[tuple[int, int, bool, str]]] = {}
    sizes: dict[str, float] = {}
    for joint in stack.joints:
        bolts = joint.bolts
        if bolts is None:
            continue
        sizes[bolts.thread.designation] = bolts.thread.major_diameter
        for count, clamped in _by_grip(stack, joint):
            found = bolt_length(clamped) if clamped else None
            length = found.length if found else bolts.length
            nut = clamped is not None and clamped.tapped is None
            key = (bolts.thread.designation, length, bolts.head, bolts.property_class, bolts.washers, nut)
            rows.setdefault(key, []).append((count, count if nut else 0, bolts.length is None, joint.name))
    orders = [_order(key, entries) for key, entries in rows.items()]
    return tuple(sorted(orders, key=lambda row: (-sizes[row.thread], row.thread, row.length or 0.0, row.head)))


def _order(key: tuple[str, float | None, str, str, bool, bool], entries: list[tuple[int, int, bool, str]]) -> BoltOrder:
    thread, length, head, strength, washers, nut = key
    count = sum(entry[0] for entry in entries)
    joints = tuple(dict.fromkeys(entry[3] for entry in entries))
    # A bolt with a nut has a washer at either end.
    rings = count * (2 if nut else 1) if washers else 0
    return BoltOrder(
        count, thread, length, head, strength, rings, sum(entry[1] for entry in entries),
        any(entry[2] for entry in entries), joints,
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
