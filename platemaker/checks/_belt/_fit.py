"""Whether the belt goes on, stays tight and runs true: take-up, alignment, and the idler's bracket under load."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._bolts._pressure import UNHELD
from platemaker.checks._finding import EQUAL, PRACTICE, Finding, Input, Limit, Sense, measured, not_checked
from platemaker.formulas import about, strip_bending_stress, strip_end_slope, strip_twist
from platemaker.parts import Pulley, Stack
from platemaker.resolved import IdlerPlate, PulleyLine, ResolvedBelt, resolved_stack, wedge
from platemaker.units import joined, said

ANGLE, OFFSET, TAKE_UP, BRACKET = "PM995", "PM996", "PM997", "PM986"
ALIGNED = "published practice of belt alignment: V-belts 0.5 degrees, toothed belts 0.25; ribbed 0.25 from memory"

YIELD_FACTOR = (1.5, 3.0)
"""Yield over stress of an idler's bracket and stud: fail, caution. Common practice, no source; the pull goes on."""
STUD_YIELD = 640.0
"""Yield of a stud or screw of class 8.8, MPa (ISO 898-1)."""
FIXED_FIT = 0.002
"""Share of its length that a belt without a setting may be off its path. Common practice, no source."""


def owner_of(stack: Stack, belt: ResolvedBelt, place: int) -> str:
    """The part or body that a pulley's finding goes to."""
    return belt.owner(place) or stack.parts[0].name


def check_belt_fit(stack: Stack, belt: ResolvedBelt) -> Iterator[Finding]:
    """Take-up, alignment of every pulley, and the brackets of idlers."""
    whole = resolved_stack(stack)
    yield from _take_up(stack, belt)
    for place, pulley in enumerate(belt.pulleys):
        if reason := _let_go(stack, pulley):
            title, owner = "belt's pull on the joints that carry a pulley", owner_of(stack, belt, place)
            yield not_checked(UNHELD, title, owner, ("belt", pulley.name), reason)
    for line in whole.pulley_lines:
        yield from _aligned(stack, belt, line)
    for bracket in whole.brackets:
        if isinstance(bracket, IdlerPlate):
            yield from _bracket(belt, bracket)
        else:
            yield not_checked(BRACKET, "idler's bracket under load", bracket[0], ("belt", "bracket"), bracket[1])


def _let_go(stack: Stack, pulley: Pulley) -> str:
    """Where no named joint takes the pull on from what a pulley is on, or from a part that it comes to; "" for nowhere.

    The driving pulley's shaft is the engine's.
    """
    if pulley.drives or not pulley.owner:
        return ""
    for name in dict.fromkeys((pulley.owner, *(part.name for part in stack.parts if part.made))):
        own = [one.name for one in stack.joints if one.bolts and name in {face.owner for face in one.faces}]
        named, free = ([one for one in own if (one in pulley.joints) is carries] for carries in (True, False))
        if free and len(named) == (name != pulley.owner):
            return f"none of {', '.join(free)} takes it on from {name}: name in `joints` all that lead to a fixed body"
    return ""


def _take_up(stack: Stack, belt: ResolvedBelt) -> Iterator[Finding]:
    drive, fitted, section = belt.belt, belt.fitted, belt.belt.section
    place = drive.mover
    inputs: list[Input] = [
        ("belt", fitted.length, "mm", section.section), ("its pitch line", fitted.path_length, "mm"),
        ("path as drawn", fitted.drawn, "mm"),
    ]  # fmt: skip
    if place is None:
        off = fitted.length + drive.longer - fitted.drawn
        title, owner = "belt without a setting", owner_of(stack, belt, 0)
        note = "no pulley is set: give one a `slot` or an `arm`, so that the belt goes on and can be tightened"
        limit = Limit(FIXED_FIT, "of its length", PRACTICE, caution=0.0, sense=Sense.AT_MOST)
        yield measured(TAKE_UP, title, owner, ("belt", "length"), abs(off) / fitted.length, limit, inputs=inputs,
                       note=note)  # fmt: skip
        return
    pulley = belt.pulleys[place]
    setting = pulley.setting
    unit = setting.unit if setting else "mm"
    inputs.append(("setting, belt tight", fitted.at, unit))
    for word, stop, share in (
        ("fitting", fitted.loose, section.fitting), ("take-up", fitted.taken_up, section.take_up),
    ):  # fmt: skip
        title = "slack to fit the belt" if word == "fitting" else "take-up for a stretched belt"
        features = ("belt", pulley.name, word)
        limit = Limit(share, "of its length", f"{PRACTICE}; ISO 155 for V-belts, from memory")
        reached = share if stop is not None else _reach(belt, place, word)
        more = [*inputs, (f"setting, {word}", stop, unit)] if stop is not None else inputs
        note = "" if stop is not None else f"the travel of {pulley.name} ends before it: lengthen it or move its middle"
        yield measured(TAKE_UP, title, owner_of(stack, belt, place), features, reached, limit, inputs=more, note=note)


def _reach(belt: ResolvedBelt, place: int, word: str) -> float:
    """The share of the length by which the setting slackens or tightens the belt, as far as it goes."""
    setting = belt.pulleys[place].setting
    if setting is None:
        return 0.0
    best, sign = 0.0, -1.0 if word == "fitting" else 1.0
    low, high = setting.span
    for number in range(101):
        try:
            length = belt.belt.path(low + (high - low) * number / 100).length
        except ValueError:
            continue
        best = max(best, sign * (length - belt.fitted.path_length) / belt.fitted.length)
    return best


def _aligned(stack: Stack, belt: ResolvedBelt, line: PulleyLine) -> Iterator[Finding]:
    """Angle and offset of one pulley; with what its joints leave free, as advice."""
    place, pulley, section = line.place, belt.pulleys[line.place], belt.belt.section
    owner = owner_of(stack, belt, place)
    features = ("belt", pulley.name)
    if line.unread:
        reason = f"{', '.join(line.unread)} has a tapered shim and no `level` readings: how it leans is not known"
        yield not_checked(ANGLE, "alignment of a pulley", owner, features, reason)
        return
    limit = Limit(section.out_of_line, "degrees", ALIGNED, sense=Sense.AT_MOST)
    inputs: list[Input] = [(f"{one.joint}: {one.words}", one.angle, "degrees") for one in line.free]
    yield measured(ANGLE, "angle of a pulley to the belt", owner, features, line.angle, limit)
    spans = (belt.path.spans[place - 1].length, belt.path.spans[place].length)
    allowed = math.tan(math.radians(section.out_of_line)) * min(spans)
    off = Limit(allowed, "mm", f"{ALIGNED}, over the shorter span", sense=Sense.AT_MOST)
    more: list[Input] = [("offset along the axis", line.offset, "mm"), ("shorter span", min(spans), "mm")]
    note = said("off_plane", off=(abs(line.offset), "mm"), side=_side(belt, line))
    yield measured(
        OFFSET, "offset of a pulley from the belt's plane", owner, features, abs(line.offset), off, inputs=more,
        note=note if abs(line.offset) > allowed + EQUAL else "",
    )  # fmt: skip
    if not line.free:
        return
    free = "within the play of its joints: set it with a straightedge before the bolts are tight"
    worst = measured(
        ANGLE, "angle of a pulley at its worst", owner, (*features, "worst"), line.worst_angle, limit, inputs=inputs,
        note=free if line.worst_angle > limit.fail else "",
    )  # fmt: skip
    yield advised(worst)
    more += [(f"{one.joint}: {one.words}", one.offset, "mm") for one in line.free]
    yield advised(
        measured(OFFSET, "offset of a pulley at its worst", owner, (*features, "worst"), line.worst_offset, off,
                 inputs=more, note=free if line.worst_offset > allowed else "")
    )  # fmt: skip


def _side(belt: ResolvedBelt, line: PulleyLine) -> str:
    """The way that a pulley is off line, in the stack's frame: X runs along the engine from its front."""
    x, y, z = (math.copysign(1.0, line.offset) * one + 0.0 for one in belt.pulleys[0].axis)
    if math.hypot(y, z) < abs(x):
        return "towards the rear" if x > 0 else "towards the front"
    return f"along [{x:.3g}, {y:.3g}, {z:.3g}]"


def _bracket(belt: ResolvedBelt, one: IdlerPlate) -> Iterator[Finding]:
    """Tilt of the pulley under load, and stress of plate and stud."""
    pulley, section = belt.pulleys[one.place], belt.belt.section
    along, across = one.force
    inputs: list[Input] = [
        ("case", one.case.running.value, ""), ("pull along the arm", along, "N"), ("pull across it", across, "N"),
        ("arm", one.arm, "mm", "from the middle of the bolts"), ("least width", one.width, "mm"),
        ("thickness", one.part.stock.height, "mm"), ("overhang", one.overhang, "mm", "from the plate's middle"),
        ("plate bends by", one.bend, "degrees"), ("plate twists by", one.twist, "degrees"),
    ]  # fmt: skip
    if one.stud is not None:
        inputs.append(("stud bends by", one.stud, "degrees"))
    rise = wedge(one)
    inputs.append(("wedge", rise, "per 100"))
    x, y = one.towards
    stud = "the stud's own bending is not in it: give its `stud` diameter" if one.stud is None else ""
    note = joined(said("wedge", rise=(rise, "per 100"), along=((x, y), "")), stud)
    owner, features = one.part.name, ("belt", pulley.name)
    source = "; ".join(about(each).citation for each in (strip_end_slope, strip_twist))
    limit = Limit(section.out_of_line, "degrees", f"{source}; {ALIGNED}", section.out_of_line / 2, Sense.AT_MOST)
    yield measured(BRACKET, "tilt of the idler under load", owner, (*features, "tilt"), one.tilt, limit,
                   inputs=inputs, note=note)  # fmt: skip
    metal, (least, wanted) = one.part.material, YIELD_FACTOR
    strength = f"{about(strip_bending_stress).citation}; factors: {PRACTICE}"
    if metal.yield_strength is None:
        reason = f"the yield strength of {metal.name} is not tabled"
        yield not_checked(BRACKET, "yield over stress of the idler's bracket", owner, (*features, "stress"), reason)
    elif one.stress > 0:
        yield measured(
            BRACKET, "yield over stress of the idler's bracket", owner, (*features, "stress"),
            metal.yield_strength / one.stress, Limit(least, "", strength, caution=wanted),
            inputs=[*inputs, ("stress", one.stress, "MPa"), ("yield strength", metal.yield_strength, "MPa")],
        )  # fmt: skip
    if one.stud_stress:
        yield measured(
            BRACKET, "yield over stress of the idler's stud", owner, (*features, "stud"), STUD_YIELD / one.stud_stress,
            Limit(least, "", f"{strength}; class 8.8, ISO 898-1", caution=wanted),
            inputs=[("stress", one.stud_stress, "MPa"), ("stud", pulley.stud or 0.0, "mm")],
        )  # fmt: skip
