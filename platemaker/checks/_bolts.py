"""Bolts in their threads: engagement, bottoming, depth of tapped holes."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import LimitName, limits, washer
from platemaker.checks._finding import Finding, Limit, measured, not_checked
from platemaker.checks._joint_sides import BoltedJoint, bolted_joints
from platemaker.checks._limits import limit_for
from platemaker.errors import CatalogError
from platemaker.parts import Part, Stack

ENGAGEMENT, BOTTOMING, TAPPED_DEPTH = "PM302", "PM303", "PM304"


def check_bolts(stack: Stack) -> Iterator[Finding]:
    """Thread engagement and bottoming of every joint, depth of every tapped hole."""
    for bolted in bolted_joints(stack):
        yield _engagement(stack, bolted)
        yield _bottoming(bolted)
    for part in stack.parts:
        yield from _tapped_depths(part)


def length_in_thread(bolted: BoltedJoint) -> float | None:
    """How far the bolt reaches into the tapped side, mm; None when the spec gives no length."""
    bolts = bolted.joint.bolts
    if bolts is None or bolts.length is None:
        return None
    ring = washer(bolts.thread).thickness if bolts.washers else 0.0
    return bolts.length - bolted.grip - ring


def _limit(stack: Stack, bolted: BoltedJoint, name: LimitName) -> Limit | None:
    owner = bolted.tapped.owner
    for part in stack.parts:
        if part.name == owner:
            return limit_for(part, name)
    metal = bolted.tapped.material
    if metal is None:
        return None
    try:
        row = limits(metal.family)[name]
    except (CatalogError, KeyError):
        return None
    if row.fail_below is None:
        return None
    return Limit(row.fail_below, row.unit, row.source, row.caution_below)


def _engagement(stack: Stack, bolted: BoltedJoint) -> Finding:
    joint, title = bolted.joint, "thread engagement"
    features, owner = (joint.name, bolted.head_hole.name), bolted.tapped.owner
    limit, reach = _limit(stack, bolted, LimitName.THREAD_ENGAGEMENT), length_in_thread(bolted)
    if joint.bolts is None or limit is None:
        return not_checked(ENGAGEMENT, title, owner, features, f"the material of {owner} is not told")
    depth = bolted.tapped.depth
    if depth is None:
        return not_checked(ENGAGEMENT, title, owner, features, f"the thread depth in {owner} is not told")
    d = joint.bolts.thread.major_diameter
    engaged = depth if reach is None else min(depth, reach)
    note = "full thread in the hole; the spec gives no bolt length" if reach is None else ""
    inputs = [("d", d, "mm"), ("thread depth", depth, "mm"), ("grip", bolted.grip, "mm")]
    if joint.bolts.length is not None:
        inputs.append(("bolt length", joint.bolts.length, "mm"))
    return measured(
        ENGAGEMENT, title, owner, features, engaged / d, limit, points=_where(bolted), note=note, inputs=inputs
    )


def _bottoming(bolted: BoltedJoint) -> Finding:
    joint, title = bolted.joint, "bolt clear of the thread's end"
    features, owner, reach = (joint.name, bolted.head_hole.name), bolted.tapped.owner, length_in_thread(bolted)
    depth = bolted.tapped.depth
    if reach is None or depth is None or joint.bolts is None:
        missing = "bolt length" if reach is None else f"thread depth in {owner}"
        return not_checked(BOTTOMING, title, owner, features, f"the {missing} is not told")
    if bolted.tapped.through:
        return not_checked(BOTTOMING, title, owner, features, "the thread goes through: there is no bottom")
    pitch = joint.bolts.thread.pitch
    metal = bolted.tapped.material
    row = limits(metal.family)[LimitName.THREAD_RUNOUT] if metal else None
    if row is None or row.fail_below is None:
        return not_checked(BOTTOMING, title, owner, features, f"the material of {owner} is not told")
    limit = Limit(row.fail_below, row.unit, row.source, row.caution_below)
    inputs = [("thread depth", depth, "mm"), ("bolt in thread", reach, "mm"), ("pitch", pitch, "mm")]
    return measured(
        BOTTOMING, title, owner, features, (depth - reach) / pitch, limit, points=_where(bolted), inputs=inputs
    )


def _where(bolted: BoltedJoint) -> list[tuple[float, float, float]]:
    hole = bolted.tapped.hole
    return [hole.at] if hole else []


def _tapped_depths(part: Part) -> Iterator[Finding]:
    limit = limit_for(part, LimitName.TAPPED_DEPTH)
    if limit is None:
        return
    for hole in part.holes:
        tapping = hole.tapping
        if tapping is None:
            continue
        ratio = tapping.depth / tapping.major_diameter
        inputs = [("depth", tapping.depth, "mm"), ("d", tapping.major_diameter, "mm")]
        yield measured(
            TAPPED_DEPTH, "depth of thread", part.name, (hole.name,), ratio, limit, points=[hole.at], inputs=inputs
        )
