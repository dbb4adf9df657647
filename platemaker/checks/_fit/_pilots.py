"""Pilots: does the spigot enter, cold and warm, does it centre, is it deep enough in its recess and off its floor."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.catalog import Material
from platemaker.checks._advice import advised
from platemaker.checks._finding import PRACTICE, Finding, Input, Limit, Sense, measured, not_checked
from platemaker.formulas import about, interference_when_hot
from platemaker.parts import Design, Face, Joint, Pilot, Side, Stack
from platemaker.resolved import resolved_stack
from platemaker.units import ROOM_TEMPERATURE, ZERO_CELSIUS, said

ENTERS, WARM, CENTRES, FLOOR, ENGAGED = "PM524", "PM525", "PM526", "PM527", "PM528"
OFF_FLOOR = (0.0, 0.2)
"""Room between spigot and floor, mm: fail, caution. Common practice, no source."""
ENTERED = (1.0, 2.0)
"""Depth of a spigot in its recess, mm: fail, caution; edge breaks take part of it. Common practice, no source."""


def check_pilots(stack: Stack) -> Iterator[Finding]:
    """Every joint with a pilot."""
    for joint in stack.joints:
        if joint.pilot is not None:
            yield from _pilot(stack, joint, joint.pilot)


def _pilot(stack: Stack, joint: Joint, pilot: Pilot) -> Iterator[Finding]:
    recess, spigot = (joint.upper, joint.lower) if pilot.spigot is Side.BELOW else (joint.lower, joint.upper)
    owner = recess or spigot
    if owner is None:
        return
    part, features = owner.owner, (joint.name, pilot.words)
    least, greatest = pilot.clearance
    inputs: list[Input] = [
        ("recess", pilot.bore, "mm"),
        ("spigot", pilot.shaft, "mm"),
        ("greatest clearance", greatest, "mm"),
    ]
    yield measured(
        ENTERS, "pilot: least diametral clearance", part, features, least, Limit(0.0, "mm", pilot.source), inputs=inputs
    )
    yield from _warm(stack.design, pilot, recess, spigot, part, features)
    play = min((bolt.passes for bolt in resolved_stack(stack).bolts_of(joint.name)), default=None)
    title = "pilot: greatest diametral clearance against the bolts' play"
    if play is None:
        yield not_checked(CENTRES, title, part, features, "the play of the joint's bolts is not known")
    else:
        limit = Limit(play, "mm", f"the bolts' play in their holes; {PRACTICE}", play / 2, Sense.AT_MOST)
        note = "looser than the bolts: the pilot centres nothing" if greatest > play else ""
        yield advised(measured(CENTRES, title, part, features, greatest, limit, inputs=inputs, note=note))
    stands = pilot.height - joint.gap
    sizes: list[Input] = [("spigot's height", pilot.height, "mm"), ("gasket and shim", joint.gap, "mm"),
                          ("depth of the recess", pilot.depth, "mm")]  # fmt: skip
    yield measured(
        FLOOR, "pilot: spigot off the floor of its recess", part, features, pilot.depth - stands,
        Limit(OFF_FLOOR[0], "mm", PRACTICE, OFF_FLOOR[1]), inputs=sizes,
    )  # fmt: skip
    yield measured(
        ENGAGED, "pilot: depth of the spigot in its recess", part, features, min(stands, pilot.depth),
        Limit(ENTERED[0], "mm", PRACTICE, ENTERED[1]), inputs=sizes,
    )  # fmt: skip


def _warm(
    design: Design | None, pilot: Pilot, recess: Face | None, spigot: Face | None, part: str, features: tuple[str, ...]
) -> Iterator[Finding]:
    """The least clearance on the warm engine, and at a cold start: a spigot that grows more than its recess sticks."""
    title = "pilot: least diametral clearance when warm and when cold"
    inside, outside = _expansion(spigot.material if spigot else None), _expansion(recess.material if recess else None)
    if design is None or design.temperature is None:
        yield not_checked(WARM, title, part, features, "the spec's `design` states no `temperature`")
    elif inside is None or outside is None:
        yield not_checked(WARM, title, part, features, "the catalog has no thermal expansion for both materials")
    else:
        left = {
            round(at - ZERO_CELSIUS, 6): -interference_when_hot(
                -pilot.clearance[0], inside, outside, at - ROOM_TEMPERATURE, pilot.diameter
            )
            for at in (design.temperature, design.cold_start)
        }
        worst = min(left, key=lambda at: left[at])
        inputs: list[Input] = [(f"at {at:g} degC", clear, "mm") for at, clear in left.items()]
        source = f"{about(interference_when_hot).citation}; below 0 it sticks"
        limit, note = Limit(0.0, "mm", source), said("least_at_temperature", at=(worst, "degC"))
        yield advised(measured(WARM, title, part, features, left[worst], limit, inputs=inputs, note=note))


def _expansion(metal: Material | None) -> float | None:
    return metal.thermal_expansion if metal else None
