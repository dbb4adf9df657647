"""Ports that do not line up: the steps that stand in the flow at every joint, and the least that mends them."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._air_path import carries_air
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._port_edges import Opened, Step, left_of, steps_of
from platemaker.parts import Joint, Side, Stack

STEP, HANGS = "PM821", "PM822"
TITLE, TITLE_HANGS = "step facing the flow", "gasket reaches into the opening behind"
HANGING = Limit(1.0, "mm", "common practice, no source", sense=Sense.AT_MOST)
CHAMBER = 0.25
"""A step of more than this share of the opening behind is the end of a chamber, such as an opened-out pocket."""
SHARE = 0.01
"""Area of a step over that of the opening behind it from which it is told; common practice, no source."""
BLEND = 8.0
"""A step is blended over this many times its width, about 7 degrees: flow then stays on the wall. Common practice."""
PRACTICE = "common practice, no source: a step of 1 % of the opening behind it"


def check_ports(stack: Stack) -> Iterator[Finding]:
    """Every joint with an opening on both sides: in the flow of the design's air, else the worse of both ways."""
    for joint in stack.joints:
        air = stack.design.air if stack.design is not None else None
        ways = [Side(air.towards)] if air is not None and carries_air(joint) else [Side.BELOW, Side.ABOVE]
        told = [list(steps_of(stack, joint, way)) for way in ways]
        worst = max(told, key=lambda steps: sum(step.area for step in steps))
        aside = "" if len(ways) == 1 else "which way it flows is not told: worse of both"
        for step in worst:
            yield _finding(stack, joint, step, aside)
            if step.before.is_gasket:
                yield _overhang(joint, step)


def _overhang(joint: Joint, step: Step) -> Finding:
    """How far a gasket reaches past the face that it lies on, into the opening behind."""
    gasket, behind = step.before, step.after
    free = Step(behind, gasket, left_of(behind.regions, gasket.regions))
    wide, _ = free.widest()
    note = f"cut its opening larger by up to {wide:.2f} mm: gasket.overhang" if wide > HANGING.fail else ""
    inputs = [("area that hangs free", free.area, "mm2")]
    features = (joint.name, behind.owner)
    return advised(measured(HANGS, TITLE_HANGS, gasket.owner, features, wide, HANGING, note=note, inputs=inputs))


def _finding(stack: Stack, joint: Joint, step: Step, aside: str) -> Finding:
    features, part = (joint.name, f"{step.before.owner} to {step.after.owner}"), _part_of(step)
    if step.area > CHAMBER * step.after.measures.area:
        reason = (
            f"{step.before.owner} is {step.area:.0f} mm2 wider there than {step.after.owner}: a chamber ends here, no "
            "port misses; the airflow check reckons what it costs"
        )
        return not_checked(STEP, TITLE, part.owner, features, reason)
    allowed = SHARE * step.after.measures.area
    limit = Limit(allowed, "mm2", PRACTICE, sense=Sense.AT_MOST)
    wide, at = step.widest() if step.regions else (0.0, (0.0, 0.0))
    play = step.before.place + step.after.place + (joint.surveyed.half_axis if joint.surveyed else 0.0)
    edge = step.edge
    inputs = [
        ("widest", wide, "mm"), ("mean width", step.area / edge if edge > 0 else 0.0, "mm"),
        ("length along the edge", edge, "mm"), ("opening behind", step.after.measures.area, "mm2"),
        ("parts may lie aside by", play, "mm"), ("worst step then", step.worst(play), "mm2"),
    ]  # fmt: skip
    told = [aside] if aside else []
    if step.area > allowed:
        told.append(_advice(step, wide))
    points = [(*at, 0.0)] if step.regions and _in_own_frame(stack, joint, part.owner) else []
    found = measured(
        STEP, TITLE, part.owner, features, step.area, limit, points=points, note="; ".join(told),
        inputs=inputs,
    )  # fmt: skip
    return advised(found)


def _part_of(step: Step) -> Opened:
    """The part that a step is told of: the one that makes it, or the one before where that is a body."""
    return step.after if step.after.thickness is not None else step.before


def _in_own_frame(stack: Stack, joint: Joint, name: str) -> bool:
    """Whether a part's plan is the joint's frame, so that a point of the joint can be shown in it."""
    part = next((one for one in stack.parts if one.name == name), None)
    if part is None:
        return False
    return any(one.joint == joint.name and one.at == (0.0, 0.0) and one.turn == 0.0 for one in part.mountings)


def _advice(step: Step, wide: float) -> str:
    """The least of moving, blending and enlarging, in words with what each takes."""
    by, left = step.moved_area()
    if left <= SHARE * step.after.measures.area:
        # What exists already stays where it is: then the part on the other side moves, the other way.
        mover = step.before.owner if step.after.thickness is None else step.after.owner
        return f"move {mover} by {by:.2f} mm: {left:.1f} mm2 are left"
    if step.after.is_gasket:
        return f"cut the gasket's opening larger by up to {wide:.2f} mm"
    deep = BLEND * wide
    if step.after.thickness is None or deep <= step.after.thickness:
        return (
            f"blend {step.after.owner} over {deep:.1f} mm of depth, up to {wide:.2f} mm wide: "
            f"{step.area * deep / 2:.0f} mm3 come off; moving leaves {left:.1f} mm2"
        )
    return (
        f"enlarge the opening of {step.after.owner} by up to {wide:.2f} mm: {step.area * step.after.thickness:.0f} mm3 "
        f"come off; a blend would need {deep:.1f} mm of depth; moving leaves {left:.1f} mm2"
    )
