"""What fixes a step between ports: moving, blending and enlarging, each with what it takes, and the least of them.

The measure is the metal that comes off, mm3. Moving an opening takes none; a blend takes a wedge, half its depth times
the step's area; enlarging takes the step's area through the whole thickness. What already exists stays where it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.catalog import LimitName
from platemaker.checks._limits import limit_for
from platemaker.checks._ports._port_edges import LAST, Opened, PortStep
from platemaker.parts import Joint, Part, Profile, ProfileKind, Side, Stack
from platemaker.plane import Point, Region, overlap, rotated, wall, wall_between
from platemaker.records import Record
from platemaker.resolved import resolved
from platemaker.units import Words, joined, said

SLOPE = 8.0
"""A step is blended over this many times its width, about 7 degrees: flow then stays on the wall."""
SLOPE_SOURCE = "common practice, no source"


class Remedy(Record):
    """One way to fix a step, in words; `metal` that comes off, mm3, or None where it cannot be done or stated."""

    name: str
    words: Words
    metal: float | None


def advice_on(stack: Stack, joint: Joint, step: PortStep, allowed: float) -> Words:
    """All three ways with what each takes, or why it cannot be done, and the one that takes off the least metal."""
    wide, _ = step.widest
    remedies = [
        _moving(stack, joint, step, allowed),
        _blending(stack, joint, step, wide),
        _enlarging(stack, joint, step, wide),
    ]
    can = [remedy for remedy in remedies if remedy.metal is not None]
    least = min(can, key=lambda remedy: remedy.metal or 0.0) if can else None
    first = f"least metal off: {least.name}" if least else "none of the three can be done as drawn"
    return joined(first, *(said("remedy", name=remedy.name, words=remedy.words) for remedy in remedies))


def _moving(stack: Stack, joint: Joint, step: PortStep, allowed: float) -> Remedy:
    (dx, dy), left = step.best_move(allowed)
    owner, mover = step.after.owner, step.after
    if step.after.is_body:
        owner, mover, dx, dy = step.before.owner, step.before, -dx, -dy
    if mover.is_body:
        return Remedy("moving", f"cannot be done: {step.before.owner} and {step.after.owner} are both there", None)
    whole = mover.is_gasket and step.after.is_body
    if whole:
        owner = f"the opening of joint {joint.name}, gasket and all,"
    by = math.hypot(dx, dy)
    u, v = (dx, dy) if whole else _in_plan(stack, joint, mover.owner, (dx, dy))
    way = said("move", owner=owner, by=(by, "mm"), along_x=(u, "mm"), along_y=(v, "mm"))
    if left > allowed:
        best = said("at_best", way=way) if by > LAST else "the openings lie in each other's middle"
        return Remedy("moving", said("cannot_fix", best=best, left=(left, "mm2")), None)
    play, holds = step.play, "bolts" if joint.dowels is None else "dowels"
    near = _in_the_way(stack, joint, mover, mover.pushed(dx, dy), mover.thickness or 0.0) if by > play else ""
    if near:
        return Remedy("moving", said("cannot_be_done", way=way, near=near), None)
    how = said("within_play" if by <= play else "beyond_play", holds=holds, play=(play, "mm"))
    # A gasket that slides as far would step against the part over it.
    words = said("moved", way=way, how="drawn again" if whole else how, left=(left, "mm2"))
    return Remedy("moving", joined(words, _goes_along(stack, joint, mover)), 0.0)


def _in_plan(stack: Stack, joint: Joint, owner: str, way: Point) -> Point:
    """A way in the joint's frame as it is in the plan of the part that is moved, where its spec counts X and Y."""
    part = stack.find_part(owner)
    mounting = part.mounting(joint.name) if part else None
    return rotated(way, mounting.turn) if mounting else way


def _goes_along(stack: Stack, joint: Joint, mover: Opened) -> str:
    """The other joint of a plate whose opening is moved, where the same opening ends."""
    part = stack.find_part(mover.owner)
    if part is None or mover.is_gasket:
        return ""
    others = [one.joint for one in part.mountings if one.joint != joint.name and stack.joint(one.joint).ports]
    return f"look again at {' and '.join(others)}, where it moves too" if others else ""


def _blending(stack: Stack, joint: Joint, step: PortStep, wide: float) -> Remedy:
    after, deep = step.after, SLOPE * wide
    slope = said("slope", deep=(deep, "mm"), times=(SLOPE, ""), source=SLOPE_SOURCE)
    if after.is_gasket:
        return Remedy("blending", f"cannot be done: {after.owner} is a sheet", None)
    if after.thickness is not None and deep > after.thickness:
        has = said("has_thickness", owner=after.owner, thickness=(after.thickness, "mm"))
        return Remedy("blending", said("cannot_be_done", way=slope, near=has), None)
    near = _in_the_way(stack, joint, after, step.regions, deep)
    if near:
        return Remedy("blending", said("cannot_be_done", way=slope, near=near), None)
    metal = step.area * deep / 2
    until = f", if its port runs straight that far: {after.owner}'s depth is not specified" if after.is_body else ""
    words = said(
        "blended", owner=after.owner, slope=slope, wide=(wide, "mm"), edge=(step.edge, "mm"), metal=(metal, "mm3"),
        until=until,
    )  # fmt: skip
    return Remedy("blending", words, metal)


def _enlarging(stack: Stack, joint: Joint, step: PortStep, wide: float) -> Remedy:
    after = step.after
    size = said("enlarged", owner=after.owner, by=(wide, "mm"), edge=(step.edge, "mm"), area=(step.area, "mm2"))
    if after.thickness is None:
        return Remedy("enlarging", said("along_port", size=size), None)
    near = _in_the_way(stack, joint, after, step.regions, after.thickness)
    if near:
        return Remedy("enlarging", said("cannot_be_done", way=size, near=near), None)
    metal = step.area * after.thickness
    words = said("through_metal", size=size, thickness=(after.thickness, "mm"), metal=(metal, "mm3"))
    return Remedy("enlarging", words, metal)


def _in_the_way(stack: Stack, joint: Joint, opened: Opened, figures: Sequence[Region], deep: float) -> Words:
    """What leaves too thin a wall beside figures cut so deep into a made part, in words; "" for nothing."""
    part = stack.find_part(opened.owner)
    limit = limit_for(part, LimitName.MINIMUM_WALL) if part else None
    if part is None or limit is None or opened.is_gasket:
        return ""
    walls = _walls(part, joint, opened, figures, deep)
    name, left = min(walls, key=lambda found: found[1], default=("", limit.fail))
    if left >= limit.fail - 1e-9:
        return ""
    return said("leaves_wall", left=(left, "mm"), name=name, limit=(limit.fail, "mm"))


def _walls(
    part: Part, joint: Joint, opened: Opened, figures: Sequence[Region], deep: float
) -> Iterator[tuple[str, float]]:
    """Metal left between figures and the outline, and every cut that runs within their depth but for the port's own."""
    mounting, thick = part.mounting(joint.name), part.stock.height
    if mounting is None:
        return
    low, high = (thick - deep, thick) if mounting.side is Side.ABOVE else (0.0, deep)
    outline = mounting.in_joint(part.stock.plan)
    yield from (("the outline", wall_between(region, outline).distance) for region in figures)
    for void in resolved(part).upright:
        shape = mounting.in_joint(void.plan)
        flows = isinstance(void.cut, Profile) and void.cut.kind in (ProfileKind.OPENING, ProfileKind.POCKET)
        if min(void.high, high) - max(void.low, low) <= 1e-9:
            continue
        if flows and any(overlap(shape, region) for region in opened.regions):
            continue
        yield from ((void.label, wall(region, shape).distance) for region in figures)
