"""Ports that do not line up: the steps that stand in the flow at every joint, and the least that fixes them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from platemaker.checks._advice import advised
from platemaker.checks._air._air_path import carries_air, leads_on
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.checks._fit._unchecked import guarded
from platemaker.checks._loads._seal_lines import carriers
from platemaker.checks._ports._port_advice import advice_on
from platemaker.checks._ports._port_doubt import Doubt
from platemaker.checks._ports._port_edges import Opened, PortStep, left_of, openings_of, steps_of
from platemaker.parts import Joint, Port, Side, Stack, Vec3
from platemaker.plane import moved, rotated
from platemaker.remembered import known
from platemaker.units import Words, joined, said

STEP, HANGS, CLOSED, RUNNERS = "PM821", "PM822", "PM823", "PM824"
TITLE, TITLE_HANGS = "step facing the flow", "gasket reaches into the opening behind"
TITLE_CLOSED = "opening closed by the part across"
HANGING = Limit(1.0, "mm", "common practice, no source", sense=Sense.AT_MOST)
CHAMBER = 0.25
"""A step of more than this share of the opening behind is the end of a chamber, such as a maximized pocket."""
SAME = 1e-9
"""Share of an opening below which what another shares with it is rounding."""
SHARE = 0.01
"""Area of a step over that of the opening behind it from which it is stated; common practice, no source."""
PRACTICE = "common practice, no source: a step of 1 % of the opening behind it"


def check_ports(stack: Stack) -> Iterator[Finding]:
    """Every joint with an opening on both sides: in the flow of the design's air, else the worse of both ways."""
    for joint in stack.joints:
        air = stack.design.air if stack.design is not None else None
        ways = [Side(air.towards)] if air is not None and carries_air(joint) else [Side.BELOW, Side.ABOVE]
        aside = "" if len(ways) == 1 else "which way it flows is not specified: worse of both"
        known = {port.name: openings_of(stack, joint, port.name) for port in joint.ports}
        for port, sides in zip(joint.ports, known.values(), strict=True):
            if not all(one.regions for one in sides):
                yield from _closed(stack, joint, port, known)
            elif len(sides) > 1:
                stated = [list(steps_of(sides, way)) for way in ways]
                worst = max(stated, key=lambda steps: sum(step.area for step in steps))
                yield from guarded(joint, _of_steps(stack, joint, joint.called(port), worst, aside))
        if len(joint.ports) > 1 and carries_air(joint):
            yield from _runners(stack, joint)


def _runners(stack: Stack, joint: Joint) -> Iterator[Finding]:
    """What is left over where a joint's openings are dealt out to the engine's cylinders, or the other way round."""
    cylinders = stack.design.engine.cylinders if stack.design and stack.design.engine else None
    if cylinders:
        count = len(joint.ports)
        left = float(min(cylinders % count, count % cylinders))
        owner = next((part.name for part, _ in carriers(stack, joint)), joint.name)
        limit = Limit(0.0, "left over", "geometry: as many openings for each cylinder", sense=Sense.AT_MOST)
        note = said("openings_for_cylinders", openings=(count, ""), cylinders=(cylinders, "")) if left else ""
        inputs: list[Input] = [("openings", count, ""), ("cylinders", cylinders, "")]
        title = "openings for the cylinders"
        yield advised(measured(RUNNERS, title, owner, (joint.name,), left, limit, note=note, inputs=inputs))


def _closed(stack: Stack, joint: Joint, port: Port, known: Mapping[str, Sequence[Opened]]) -> Iterator[Finding]:
    """A side that closes an opening though it has others of the joint, or leads on to the next; else it is a cover."""
    opened = {one.owner for sides in known.values() for one in sides if one.regions}
    if carries_air(joint):
        opened |= {part.name for part, _ in carriers(stack, joint) if leads_on(stack, part)}
    for one in known[port.name]:
        if not one.regions and one.owner in opened:
            named = ".".join((joint.name, *joint.called(port)))
            limit = Limit(port.region.area, "mm2", f"the spec, {joint.key}")
            note = f"{one.owner} has no opening there: match one to {named}"
            yield measured(CLOSED, TITLE_CLOSED, one.owner, (joint.name, *joint.called(port)), 0.0, limit, note=note)


def _of_steps(
    stack: Stack, joint: Joint, called: tuple[str, ...], steps: Iterable[PortStep], aside: str
) -> Iterator[Finding]:
    for step in steps:
        yield _finding(stack, joint, called, step, aside)
        if step.before.is_gasket:
            yield _overhang(joint, called, step)


def _overhang(joint: Joint, called: tuple[str, ...], step: PortStep) -> Finding:
    """How far a gasket reaches past the face that it lies on, into the opening behind."""
    gasket, behind = step.before, step.after
    free = known(PortStep(behind, gasket, left_of(behind.regions, gasket.regions)))
    wide, _ = free.widest
    note = said("cut_larger", by=(wide, "mm")) if wide > HANGING.fail else ""
    inputs = [("area that hangs free", free.area, "mm2")]
    features = (joint.name, *called, behind.owner)
    return advised(measured(HANGS, TITLE_HANGS, gasket.owner, features, wide, HANGING, note=note, inputs=inputs))


def _finding(stack: Stack, joint: Joint, called: tuple[str, ...], step: PortStep, aside: str) -> Finding:
    features, part = (joint.name, *called, f"{step.before.owner} to {step.after.owner}"), _part_of(step)
    if step.area >= step.before.measures.area * (1 - SAME):
        limit = Limit(step.after.measures.area, "mm2", f"the spec, {joint.key}")
        note = f"what {step.before.owner} and {step.after.owner} open there does not meet: correct the place of one"
        return measured(CLOSED, TITLE_CLOSED, part.owner, (joint.name, *called), 0.0, limit, note=note)
    if step.area > CHAMBER * step.after.measures.area:
        word = "wider_than_port" if step.before.is_body or step.after.is_body else "plenum_wall"
        reason = said(word, before=step.before.owner, area=(step.area, "mm2"), after=step.after.owner)
        return not_checked(STEP, TITLE, part.owner, features, reason)
    allowed = SHARE * step.after.measures.area
    limit = Limit(allowed, "mm2", PRACTICE, sense=Sense.AT_MOST)
    stated: list[Words] = [aside]
    doubt = step.before.doubt or step.after.doubt
    surveyed = 0.0 if doubt is None else step.worst_surveyed(step.aside)
    if step.area > allowed:
        stated.append(advice_on(stack, joint, step, allowed))
    elif surveyed > allowed:
        stated.append(said("holds_as_drawn", area=(surveyed, "mm2")))
    found = measured(
        STEP, TITLE, part.owner, features, step.area, limit, points=_places(stack, joint, step, part.owner),
        note=joined(*stated), inputs=[*_size(step), *(() if doubt is None else _doubt(doubt, surveyed))],
    )  # fmt: skip
    return advised(found)


def _size(step: PortStep) -> Iterator[Input]:
    """A step's widths and where the widest is, in the joint's frame; and how large it gets by play and zones."""
    edge, aside = step.edge, step.aside
    wide, at = step.widest if step.regions else (0.0, None)
    yield from (("widest", wide, "mm"), ("mean width", step.area / edge if edge > 0 else 0.0, "mm"))
    if at is not None:
        frame = "in the joint's frame"
        yield from (("widest at X", at[0], "mm", frame), ("widest at Y", at[1], "mm", frame))
    yield from (("length along the edge", edge, "mm"), ("opening behind", step.after.measures.area, "mm2"))
    yield from (("parts may lie aside by", aside, "mm"), ("worst step then", step.worst(aside), "mm2"))


def _doubt(doubt: Doubt, worst: float) -> Iterator[Input]:
    """What the survey leaves open about the port against the bolts, and the worst step over it and the play, mm2."""
    along_x, along_y = (doubt.deviation(doubt.shift(u, v)) for u, v in ((1.0, 0.0), (0.0, 1.0)))
    yield from (("survey, deviation along X", along_x, "mm"), ("survey, deviation along Y", along_y, "mm"))
    yield "survey, covariance of X and Y", doubt.together, "mm2"
    yield "95 % factor of variances", doubt.factor, ""
    yield "survey, longest 95 % half axis", doubt.farthest, "mm"
    if doubt.turn is not None:
        yield "survey, turned by up to at 95 %", math.degrees(doubt.reach(doubt.turn)), "deg"
    if doubt.area is not None:
        size, unit = ("diameter", "mm") if doubt.port is not None and doubt.port.is_round else ("area", "mm2")
        yield f"survey, {size} off by up to at 95 %", doubt.reach(doubt.area), unit
    yield "step at 95 % worst, survey and play", worst, "mm2"


def _part_of(step: PortStep) -> Opened:
    """The part that a step is reported on: the one that makes it, or the one before where that is a body."""
    return step.before if step.after.is_body else step.after


def _places(stack: Stack, joint: Joint, step: PortStep, name: str) -> list[Vec3]:
    """Where a step is widest, on the face of the part that it is reported on; nothing for a body."""
    part = stack.find_part(name)
    mounting = part.mounting(joint.name) if part else None
    if not step.regions or part is None or mounting is None or part.plate is None:
        return []
    x, y = moved(rotated(step.widest[1], mounting.turn), *mounting.at)
    return [(x, y, part.face_height(mounting.side))]
