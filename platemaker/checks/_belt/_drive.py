"""The belt drive: wrap, teeth in mesh, slip, the idler's span, ratio, tension, pulley sizes, and the guard."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._belt._fit import check_belt_fit, owner_of
from platemaker.checks._finding import EQUAL, PRACTICE, Finding, Input, Limit, Sense, Verdict, measured, not_checked
from platemaker.formulas import about, belt_pull, capstan_ratio
from platemaker.parts import Stack
from platemaker.records import replace
from platemaker.resolved import BeltCase, ResolvedBelt, Running, blower_speed, resolved_stack
from platemaker.units import Words, said

WRAP, MESH, SLIP, IDLER, RATIO, TENSION, SIZE, WIDTH, GUARD = (
    "PM990", "PM991", "PM992", "PM993", "PM994", "PM998", "PM987", "PM989", "PM999",
)  # fmt: skip
LEAST_WRAP = Limit(90.0, "degrees", PRACTICE, caution=120.0)
LEAST_TEETH = Limit(4.0, "teeth", PRACTICE, caution=6.0)
RATIO_OFF = Limit(0.03, "of the stated ratio", PRACTICE, caution=0.01, sense=Sense.AT_MOST)
AT_MOST_SHARE = 100.0
"""The most that is given: where the belt tightens on a pulley as all pulls grow, there is no end to it."""
GUARDED = (
    "a rotating belt maims: fit a guard over belt and pulleys before the engine runs, and work on it with the engine "
    "stopped and unable to start; local rules on guards go before this page"
)


def check_belt(stack: Stack) -> Iterator[Finding]:
    """Every finding of the belt drive but its room in the stack; none without a belt."""
    whole = resolved_stack(stack)
    belt = whole.belt
    if belt is None:
        return
    for place, pulley in enumerate(belt.pulleys):
        if not pulley.is_idler:
            yield _wrap(stack, belt, place)
            yield from _slip(stack, belt, place)
        elif _pulled(belt):
            yield _idler(stack, belt, place)
        yield _size(stack, belt, place)
        if pulley.width:
            yield _width(stack, belt, place)
    yield from _ratio(stack, belt)
    yield _tension(stack, belt)
    if not belt.has_inertia:
        reason = "no pulley states its `rotors`: what the belt bears as the throttle snaps shut is not calculated"
        yield not_checked(SLIP, "belt as the drive overruns", owner_of(stack, belt, 0), ("belt", "overrunning"), reason)
    yield from check_belt_fit(stack, belt)
    guard = not_checked(GUARD, "guard over the belt", owner_of(stack, belt, 0), ("belt", "guard"), GUARDED)
    yield replace(guard, verdict=Verdict.CAUTION, source=PRACTICE)


def _wrap(stack: Stack, belt: ResolvedBelt, place: int) -> Finding:
    pulley = belt.pulleys[place]
    teeth, wrap = belt.teeth_in_mesh(place), math.degrees(belt.path.wraps[place])
    owner, features = owner_of(stack, belt, place), ("belt", pulley.name)
    inputs: list[Input] = [
        ("wrap", wrap, "degrees"), ("pitch diameter", 2 * pulley.radius, "mm"), ("speed", belt.speed_of(place), "rpm")
    ]  # fmt: skip
    if teeth is not None:
        return measured(MESH, "teeth in mesh", owner, features, float(teeth), LEAST_TEETH, inputs=inputs)
    note = "an idler behind the belt close to it adds wrap" if wrap < (LEAST_WRAP.caution or 0.0) else ""
    return measured(WRAP, "wrap on a pulley", owner, features, wrap, LEAST_WRAP, inputs=inputs, note=note)


def _slip(stack: Stack, belt: ResolvedBelt, place: int) -> Iterator[Finding]:
    """What the belt can carry before it slips, over what it carries, in the worst case."""
    if belt.is_toothed:
        return
    worst: tuple[float, BeltCase] | None = None
    for case in belt.cases:
        if abs(case.pulls[place]) > EQUAL:
            share = min(belt.grip(case, place), AT_MOST_SHARE)
            worst = (share, case) if worst is None or share < worst[0] else worst
    if worst is None:
        return
    share, case = worst
    factor = belt.belt.service_factor
    source = f"{about(capstan_ratio).citation}, {about(belt_pull).citation}; 1 is slip, the caution is service_factor"
    limit = Limit(1.0, "times the power", source, caution=factor if factor > 1 else None)
    pulley = belt.pulleys[place]
    inputs: list[Input] = [
        ("case", case.running.value, ""), ("pull", abs(case.pulls[place]), "N"),
        ("power it takes", belt.powers[place], "kW"),
        ("tension before", case.before(place), "N"), ("tension behind", case.tensions[place], "N"),
        ("centrifugal tension", case.centrifugal, "N"), ("effective friction", belt.friction(place), ""),
        ("wrap", math.degrees(belt.path.wraps[place]), "degrees"), ("belt speed", case.speed, "m/s"),
        ("tension as fitted", belt.tension, "N"), ("tension needed", belt.needed_tension, "N"),
    ]  # fmt: skip
    short = share < factor - EQUAL
    note = said("tension_needed", tension=(belt.needed_tension, "N")) if short else ""
    note = "this much or more: as all pulls grow, so does the tension here" if share == AT_MOST_SHARE else note
    yield measured(
        SLIP, "power the belt carries before it slips", owner_of(stack, belt, place), ("belt", pulley.name), share,
        limit, inputs=inputs, note=note,
    )  # fmt: skip


def _pulled(belt: ResolvedBelt) -> bool:
    return any(pull > EQUAL for pull in belt.case(Running.DRIVING).pulls[1:])


def _idler(stack: Stack, belt: ResolvedBelt, place: int) -> Finding:
    """How much tighter the idler's span is than the slack one, which leaves the driving pulley."""
    case, pulley = belt.case(Running.DRIVING), belt.pulleys[place]
    extra = case.tensions[place] - case.tensions[0]
    whole = -case.pulls[0]
    limit = Limit(0.5 * whole, "N", f"{PRACTICE}: an idler stands in the slack span", caution=0.0, sense=Sense.AT_MOST)
    inputs: list[Input] = [(f"load, {one.running.value}", math.hypot(*one.forces[place]), "N") for one in belt.cases]
    inputs += [("its span, driving", case.tensions[place], "N"), ("slack span, driving", case.tensions[0], "N"),
               ("wrap", math.degrees(belt.path.wraps[place]), "degrees")]  # fmt: skip
    note: Words = ""
    if extra > EQUAL:
        first = next(one.name for one, pull in zip(belt.pulleys, case.pulls, strict=True) if pull > EQUAL)
        load = math.hypot(*case.forces[place])
        note = said("idler_in_pulled_span", drives=belt.pulleys[0].name, load=(load, "N"), first=first)
    return measured(
        IDLER, "idler's span over the slack span", owner_of(stack, belt, place), ("belt", pulley.name), extra, limit,
        inputs=inputs, note=note,
    )  # fmt: skip


def _ratio(stack: Stack, belt: ResolvedBelt) -> Iterator[Finding]:
    design, title = stack.design, "belt's ratio against the air model's"
    if design is None or design.blower is None:
        return
    if not any(pulley.takes for pulley in belt.pulleys):
        reason = "no pulley has `takes: blower`: the belt is calculated without the blower's power"
        yield not_checked(RATIO, title, owner_of(stack, belt, 0), ("belt", "blower"), reason)
    for place, pulley in enumerate(belt.pulleys):
        if not pulley.takes:
            continue
        wanted, made = blower_speed(design.blower, design.engine), belt.speed_of(place)
        size = 2 * (belt.pulleys[0].radius * belt.belt.speed / wanted - pulley.radius) + pulley.rim
        off = abs(made / wanted - 1)
        inputs: list[Input] = [
            ("blower's speed by the pulleys", made, "rpm"), ("blower's speed in the air model", wanted, "rpm"),
            ("ratio by the pulleys", belt.ratio(place), ""),
        ]  # fmt: skip
        note = said("pulley_for_speed", size=(size, "mm")) if off > (RATIO_OFF.caution or 0.0) else ""
        yield measured(
            RATIO, title, owner_of(stack, belt, place), ("belt", pulley.name), off,
            RATIO_OFF, inputs=inputs, note=note,
        )  # fmt: skip


def _tension(stack: Stack, belt: ResolvedBelt) -> Finding:
    """The greatest tension of any span in any case against what the maker allows."""
    owner, features, title = owner_of(stack, belt, 0), ("belt", "tension"), "greatest tension of the belt"
    greatest = max(max(case.tensions) for case in belt.cases)
    if belt.belt.allowed_tension is None:
        reason = said("tension_not_limited", tension=(greatest, "N"))
        return not_checked(TENSION, title, owner, features, reason)
    limit = Limit(belt.belt.allowed_tension, "N", "the spec, belt.allowed_tension", sense=Sense.AT_MOST)
    return measured(TENSION, title, owner, features, greatest, limit)


def _size(stack: Stack, belt: ResolvedBelt, place: int) -> Finding:
    """A pulley against the least diameter of its section."""
    pulley, section = belt.pulleys[place], belt.belt.section
    least = section.least_back_diameter if pulley.back else section.least_diameter
    limit = Limit(least, "mm", f"{section.source}; {section.note or 'from memory'}")
    title = "diameter of a pulley behind the belt" if pulley.back else "diameter of a pulley"
    return measured(SIZE, title, owner_of(stack, belt, place), ("belt", pulley.name), pulley.rim, limit)


def _width(stack: Stack, belt: ResolvedBelt, place: int) -> Finding:
    """What a pulley has for the belt to lie on, against the belt, as far off line as it stands."""
    pulley, wide = belt.pulleys[place], belt.belt.width
    off = abs(belt.belt.off_line(pulley))
    source = f"geometry; ribs and grooves: {belt.belt.section.source}"
    inputs: list[Input] = [("belt's width", wide, "mm"), ("off line", off, "mm")]
    return measured(
        WIDTH, "width of a pulley under its belt", owner_of(stack, belt, place), ("belt", pulley.name), pulley.width,
        Limit(wide, "mm", source, caution=wide + 2 * off if off > EQUAL else None), inputs=inputs,
    )  # fmt: skip
