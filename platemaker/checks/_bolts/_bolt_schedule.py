"""Bolts to buy and torques to set: what the shop needs beside the findings."""

from __future__ import annotations

from collections.abc import Sequence

from platemaker.catalog import (
    Evidence,
    HeadKind,
    Thread,
    countersunk_head,
    nut_standard,
    screw_standard,
    stud_end,
    washer,
)
from platemaker.checks._bolts._preload import known_preload
from platemaker.parts import Stack, tightening_sequence
from platemaker.records import Record
from platemaker.resolved import Bolt, alike, resolved_stack


class BoltOrder(Record):
    """Bolts of one kind, over all joints. `length`, mm, is None where neither the spec nor a stock length settles it.

    `washers` and `nuts` are how many to buy with them; `chosen` when the length is not the spec's. `joints` are joints,
    or part and hole of what they fix, `sets` for how many copies of what each holds. `standards` are those of screw,
    nut and washer, empty where none is settled.
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
    sets: tuple[int, ...]
    standards: tuple[str, str, str] = ("", "", "")

    @property
    def standard(self) -> str:
        """The product standards in words."""
        screw, nut, ring = self.standards
        return "; ".join(filter(None, (screw, nut and f"nut {nut}", ring and f"washer {ring}")))


class TorqueRow(Record):
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


class _Kind(Record):
    """What makes two bolts the same to buy."""

    thread: Thread
    length: float | None
    head: str
    property_class: str
    washers: bool
    nut: bool
    stud: str = ""


def bolt_orders(stack: Stack) -> tuple[BoltOrder, ...]:
    """The project's bolts by kind, the thickest first; none that does not pass its hole.

    Joints whose heads bear on nothing known are listed too, with the spec's length.
    """
    entries = [(_kind(bolt), count, bolt) for bolt, count in alike(resolved_stack(stack).bolts) if bolt.fits]
    kinds = dict.fromkeys(kind for kind, _, _ in entries)
    orders = [(kind, _order(kind, [(n, bolt) for own, n, bolt in entries if own == kind])) for kind in kinds]
    orders.sort(key=lambda it: (-it[0].thread.major_diameter, it[1].thread, it[1].length or 0.0, it[1].head))
    return tuple(order for _, order in orders) + tuple(_unseated(stack))


def _kind(bolt: Bolt) -> _Kind:
    own = bolt.bolts
    nut = bolt.nut is not None or bolt.is_stud
    return _Kind(bolt.thread, bolt.long, own.head, own.property_class, own.washers, nut, _stud(bolt))


def _stud(bolt: Bolt) -> str:
    """How a stud is ordered: the standard, where one lists it, and the length of its metal end."""
    family = bolt.tapped.family if bolt.tapped else None
    if bolt.metal_end is None:
        return ""
    row = stud_end(bolt.thread, family) if family and bolt.bolts.metal_end is None else None
    standard = row.source if row and row.evidence is not Evidence.PRACTICE else "double-end stud"
    return f"{standard}, metal end {bolt.metal_end:g} mm"


def _order(kind: _Kind, entries: Sequence[tuple[int, Bolt]]) -> BoltOrder:
    count = sum(number for number, _ in entries)
    groups = {bolt.group: bolt.count for _, bolt in entries}
    # A bolt with a nut has a washer at either end.
    rings = count * (2 if kind.nut and kind.head != "stud" else 1) if kind.washers else 0
    return BoltOrder(
        count, kind.thread.designation, kind.length, kind.head, kind.property_class, rings, count if kind.nut else 0,
        any(bolt.bolts.length is None for _, bolt in entries), tuple(groups), tuple(groups.values()), _standards(kind),
    )  # fmt: skip


def _standards(kind: _Kind) -> tuple[str, str, str]:
    """What screw, nut and washer are ordered to; without a length the screw's is not settled."""
    screw = ""
    if kind.head == "stud":
        screw = kind.stud
    elif kind.head == "countersunk":
        screw = countersunk_head(kind.thread).source.split(",")[0]
    elif kind.length is not None:
        screw = screw_standard(kind.thread, HeadKind(kind.head), kind.length).standard
    nut = nut_standard(kind.thread).standard if kind.nut else ""
    return screw, nut, washer(kind.thread).source.split(",")[0] if kind.washers else ""


def _unseated(stack: Stack) -> list[BoltOrder]:
    """The bolts of joints whose heads bear on a body of unknown thickness."""
    known, found = resolved_stack(stack), []
    for joint in stack.joints:
        own = joint.bolts
        if own is not None and not known.bolts_of(joint.name):
            sets = known.joint(joint.name).sets
            count, size = sets * len(joint.spots), own.thread.designation
            rings, nuts = count if own.washers else 0, count if own.head == "stud" else 0
            found.append(
                BoltOrder(count, size, own.length, own.head, own.property_class, rings, nuts, own.length is None,
                          (joint.name,), (sets,))
            )  # fmt: skip
    return found


def torque_rows(stack: Stack) -> tuple[TorqueRow, ...]:
    """The torque of every joint with bolts and of every other screw; none without the design's friction."""
    bolts = resolved_stack(stack).bolts
    groups = {bolt.group: (bolt.bolts, [one.name for one in bolts if one.group == bolt.group])
              for bolt in bolts if bolt.joint is None and bolt.fits}  # fmt: skip
    named = {joint.name: (joint.bolts, tightening_sequence(joint)) for joint in stack.joints if joint.bolts is not None}
    found = []
    for name, (own, order) in {**named, **groups}.items():
        pre = known_preload(stack.design, own) if own else None
        if own is None or pre is None:
            continue
        found.append(
            TorqueRow(
                name, len(order), own.thread.designation, own.property_class, pre.condition, pre.factor, pre.torque,
                (pre.low.result, pre.nominal, pre.high.result), tuple(order),
            )
        )  # fmt: skip
    return tuple(found)
