"""Joints that close a loop: what stands by `place`, or by another joint, must meet here too."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.catalog import Fit, clearance_hole
from platemaker.checks._finding import PRACTICE, Finding, Limit, Sense, measured, not_checked
from platemaker.checks._stack._joint_planes import LOOP, READ
from platemaker.parts import Joint, Stack, Vec3
from platemaker.resolved import resolved_stack
from platemaker.space import Frame, scale
from platemaker.units import said

CLOSES = "PM643"
TITLE = "faces of a joint on each other"
SAME = 1e-6
"""Faces that lie off each other by less than this, mm, lie on each other."""
UP = 10.0
"""How far over the joint its direction is compared, mm."""


def check_joint_loops(stack: Stack) -> Iterator[Finding]:
    """Every joint whose two sides do not lie where the other one puts them; silent where they do."""
    for one in resolved_stack(stack).joints:
        if len(one.sides) != 2:
            continue
        lower, upper = (side.plane for side in one.sides)
        if lower is None or upper is None:
            continue
        off, spot, place = _off(one.joint, lower, upper)
        if off < SAME:
            continue
        low, high = (side.owner for side in one.sides)
        part = next((side.part for side in one.sides if side.part is not None), None)
        owner = part.name if part is not None else low
        words = f"{low} and {high} are both placed without it, by `place` or by other joints"
        if any(side.slots for side in one.sides):
            reason = said("slots_may_take_up", words=words, off=(off, "mm"))
            yield not_checked(CLOSES, TITLE, owner, (one.joint.name,), reason)
            continue
        points = [part.places[0].to_local(place)] if part is not None else [place]
        yield measured(CLOSES, TITLE, owner, (one.joint.name, spot), off, _limit(one.joint), points=points,
                       note=f"{words}: correct one place, or leave it out")  # fmt: skip


def _off(joint: Joint, low: Frame, high: Frame) -> tuple[float, str, Vec3]:
    """How far a spot of the joint lies off, mm, as its two sides have it; which, and where the lower one has it."""
    up = low.moved(scale(low.z_axis, joint.gap))
    spots = {name: (x, y, 0.0) for name, (x, y) in joint.spots.items()} or {joint.name: (0.0, 0.0, 0.0)}
    x, y, _ = next(iter(spots.values()))
    tried = [*spots.items(), (next(iter(spots)), (x, y, UP))]  # the last sees faces that look the wrong way
    off, name, at = max((math.dist(up.to_world(at), high.to_world(at)), name, at) for name, at in tried)
    return off, name, low.to_world(at)


def _limit(joint: Joint) -> Limit:
    if joint.bolts is None:
        return Limit(LOOP, "mm", PRACTICE, READ, Sense.AT_MOST)
    hole = clearance_hole(joint.bolts.thread, Fit(joint.bolts.fit))
    play = (hole.diameter - joint.bolts.thread.major_diameter) / 2
    return Limit(play, "mm", f"half the play of its bolts, {hole.source}", min(READ, play), Sense.AT_MOST)
