"""Brackets that hold a fuel rail: stress, lift of the rail and first natural frequency.

Rough, and on the safe side: each bracket is a cantilever, clamped at its bolt in the other part and free to turn at the
rail; the head covers the hole there. The pressure of the fuel on the injectors' bores lifts the rail along the bosses'
axes; its weight, so many times as it shakes, acts in the worst direction, and so does each load of the design on rail
or bracket: its whole moment, twist too, counts as bending. The brackets share as springs alike
under a stiff rail. Bends are taken as chords, pockets as cut through; twist by thrust and weight, pull along the strip
and what the injectors hold are left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from platemaker.checks._advice import advised, citations, inputs_of
from platemaker.checks._bolts._pressure import PROOF, UNHELD
from platemaker.checks._finding import PRACTICE, Finding, Input, Limit, Sense, Verdict, measured, not_checked, unproved
from platemaker.checks._fuel._bracket_screws import check_screw
from platemaker.checks._fuel._rail_loads import BracketLoad, acting_on, loads_on_part, share
from platemaker.checks._loads._heat import part_temperature, warm
from platemaker.checks._stack._boss_rail import LEAST_SEALED
from platemaker.formulas import (
    Worked,
    firing_frequency,
    strip_bending_stress,
    tip_mass_frequency,
    unit_load_deflection,
    worked,
)
from platemaker.parts import Design, Hole, Kind, Part, RailRow, Stack, Vec3
from platemaker.records import Record, replace
from platemaker.resolved import boost_of, resolved, resolved_stack
from platemaker.space import Frame, sub
from platemaker.units import said

STRESS, LIFT, FREQUENCY = "PM717", "PM718", "PM719"
TITLES = {
    STRESS: "bending stress of the rail's bracket",
    LIFT: "injector's end left in the rail as fuel lifts it",
    FREQUENCY: "natural frequency of rail and brackets over firing frequency",
}
YIELD_FACTOR = (1.2, 2.0)
"""Yield over stress: fail, caution. Common practice, no source; low, as the model is on the safe side."""
ABOVE_FIRING = 1.2
"""How far the natural frequency should lie above the firing frequency at full speed. Common practice, no source."""
OUT = 3.5
"""Length of an injector's end in the rail below which its O-ring leaves the bore, mm: a usual ring's section.

Common practice, no source.
"""
SIDEWAYS = 0.2
"""Share of the thrust across the strip's width above which the model does not hold."""
ROUGH = "rough: a cantilever from its bolt, free at the rail"


def check_rail_brackets(stack: Stack) -> Iterator[Finding]:
    """Every bracket with one hole over a rail and another over some other part; a rail that none of them holds."""
    found = [one for rail in stack.parts if rail.kind is Kind.RAIL for one in _rail(stack, rail)]
    yield from found
    yield from _unheld_loads(stack, found)


def _rail(stack: Stack, rail: Part) -> Iterator[Finding]:
    holders = [part for part in stack.parts if part.strip is not None and _over(stack, part, rail) is not None]
    row = next((row for row in stack.rows if row.rail == rail.name), None)
    if not holders:
        fed = row is not None and stack.design is not None and stack.design.fuel is not None
        if fed or loads_on_part(stack, rail.name):
            reason = "no bracket's hole lies over one of the rail: what holds it down is not known"
            yield not_checked(STRESS, "rail held against the thrust of its fuel", rail.name, ("fuel",), reason)
        return
    lacking = _lacking(stack, rail, row, holders)
    if lacking:
        for part in holders:
            for check in (STRESS, LIFT, FREQUENCY):
                yield not_checked(check, TITLES[check], part.name, (rail.name,), lacking)
    elif row is not None and stack.design is not None:
        yield from _held(stack, rail, row, stack.design, holders)


def _unheld_loads(stack: Stack, found: Sequence[Finding]) -> Iterator[Finding]:
    """Loads on rails and brackets whose stress or screws are not calculated: what is not shown to hold fails."""
    for load in stack.design.loads if stack.design else ():
        for name in load.parts:
            about = [one for one in found if one.check in (STRESS, PROOF) and name in (one.part, *one.features)]
            if about and all(one.verdict is not Verdict.NOT_CHECKED for one in about):
                continue
            why = next(
                (one.note for one in about if one.verdict is Verdict.NOT_CHECKED), "it holds no rail that is calculated"
            )
            reason = f"load {load.name} acts on {name}: {why}"
            yield unproved(UNHELD, "load on a rail or bracket that is not calculated", name, (load.name,), reason)


def _over(stack: Stack, part: Part, rail: Part) -> Hole | None:
    return next((hole for hole in part.holes if rail.name in _joined(stack, part, hole)), None)


def _joined(stack: Stack, part: Part, hole: Hole) -> set[str]:
    """The other parts that the screw in a hole joins its own to."""
    bolt = resolved_stack(stack).bolt_in(part.name, hole.name)
    return {name for name, _ in bolt.through} - {part.name} if bolt else set()


def _lacking(stack: Stack, rail: Part, row: RailRow | None, holders: Sequence[Part]) -> str:
    """What is missing for the thrust on a rail and the places of its brackets, in words; empty if nothing is."""
    if stack.design is None or stack.design.fuel is None:
        return "the spec's `design` has no `fuel`"
    if row is None:
        return f"{rail.name} stands over no row of `bosses`"
    lost = [part.name for part in (rail, *holders) if len(part.places) != 1]
    return f"{lost[0]} has no single place in the stack" if lost else ""


def _held(stack: Stack, rail: Part, row: RailRow, design: Design, holders: Sequence[Part]) -> Iterator[Finding]:
    bores = [hole for hole in rail.holes if hole.joint == row.joint]
    fuel, pressure = design.fuel, (design.fuel.pressure if design.fuel else 0.0) + boost_of(design).governing
    if not bores or fuel is None:
        return
    wide = bores[0].seat.wide
    each = pressure * math.pi * wide**2 / 4
    at = [_rail_x(stack, part, rail) for part in holders]
    middle = math.fsum(hole.at[0] for hole in bores) / len(bores)
    for number, part in enumerate(holders):
        part_of, of_mass = share(at, number, middle), share(at, number, 0.0)
        inputs: tuple[Input, ...] = (
            ("fuel pressure and boost", pressure, "MPa"), ("O-ring bore", wide, "mm"), ("bores", len(bores), ""),
            ("thrust on the rail", each * len(bores), "N"), ("share of the thrust", part_of, ""),
            ("mass of the rail's bar", rail.blank_mass, "kg"), ("times its weight", fuel.times, ""),
        )  # fmt: skip
        axis = bores[0].direction
        way = part.places[0].unturn(rail.places[0].turn((-axis[0], -axis[1], -axis[2])))
        beside = rail.places[0].to_world((at[number], *bores[0].at[1:]))
        load = BracketLoad(
            each * len(bores) * part_of, way, rail.blank_mass * abs(of_mass), fuel.times,
            part.places[0].to_local(beside), tuple(acting_on(stack, rail, part, at, number)), inputs,
        )  # fmt: skip
        yield from _bracket(stack, design, rail, row, part, load)


def _rail_x(stack: Stack, part: Part, rail: Part) -> float:
    hole = _over(stack, part, rail)
    world: Frame = part.places[0]
    return rail.places[0].to_local(world.to_world(hole.at))[0] if hole else 0.0


class _Station(Record):
    """A section of the strip: its middle in the bracket's frame, mm, its width of metal, and what it is."""

    at: Vec3
    width: float
    what: str


def _bracket(
    stack: Stack, design: Design, rail: Part, row: RailRow, part: Part, load: BracketLoad
) -> Iterator[Finding]:
    hole = _over(stack, part, rail)
    rails = {one.name for one in stack.parts if one.kind is Kind.RAIL}  # of two that it joins neither holds the other
    clamps = [one for one in part.holes if _joined(stack, part, one) - rails]
    reason = ""
    if hole is None or not clamps:
        reason = "its other end lies over no hole of another part"
    elif abs(load.direction[1]) > SIDEWAYS:
        reason = "the thrust of the fuel pushes the bracket across its width"
    elif part.material.yield_strength is None or part.material.elastic_modulus is None:
        reason = f"the catalog has no yield strength or elastic modulus for {part.material.name}"
    if reason or hole is None:
        for check in (STRESS, LIFT, FREQUENCY):
            yield not_checked(check, TITLES[check], part.name, (rail.name,), reason)
        return
    clamp = _nearest(part, hole, clamps)
    stations = _stations(part, hole, clamp)
    yield _stress(replace(part, material=warm(part.material, part_temperature(stack, part))), rail, stations, load)
    yield from _lift(stack, rail, row, part, _deflection(part, stations, load, whole=True), load)
    yield _frequency(design, part, rail, _deflection(part, stations, load, whole=False), load)
    for one in (clamp, hole):
        yield from check_screw(stack, design, part, rail, one, load)


def _nearest(part: Part, hole: Hole, clamps: Sequence[Hole]) -> Hole:
    """The clamp: of the bolts in other parts, the one nearest to the bolt in the rail along the strip."""
    places = {one.name: one.at[0] for one in resolved(part).flat.holes}
    return min(clamps, key=lambda one: abs(places[one.name] - places[hole.name]))


def _stations(part: Part, hole: Hole, clamp: Hole) -> list[_Station]:
    """The sections from the clamp to the bolt in the rail."""
    solved = resolved(part)
    flat, bent = solved.flat, solved.bent
    places = {one.name: one.at for one in flat.holes}
    end = places[hole.name][0]
    start = places[clamp.name][0]
    low, high = sorted((start, end))
    wide = part.strip.width if part.strip else 0.0
    taken = {start: f"bolt in {clamp.name}", end: f"bolt in {hole.name}"}
    for line in bent.bends if bent else ():
        for x in (line.x - line.width / 2, line.x + line.width / 2):
            taken.setdefault(x, "bend")
    cuts: list[tuple[str, float, float, float]] = []
    for one in flat.holes:
        if one.name not in (hole.name, clamp.name):
            x, r = places[one.name][0], one.widest / 2
            cuts.append((one.name, x - r, x + r, 2 * r))
            taken.setdefault(x, one.name)
    for cut in flat.profiles:
        for region in cut.regions:
            x0, y0, x1, y1 = region.bounds
            cuts.append((cut.name, x0, x1, y1 - y0))
            taken.setdefault(x0, cut.name)
            taken.setdefault(x1, cut.name)
    found = []
    for x in sorted(taken, reverse=start > end):
        if low - 1e-9 <= x <= high + 1e-9:
            gone = 0.0 if x in (start, end) else math.fsum(w for _, x0, x1, w in cuts if x0 - 1e-9 <= x <= x1 + 1e-9)
            thick = part.strip.thickness if part.strip else 0.0
            found.append(_Station(solved.in_part((x, 0.0, thick / 2)), wide - gone, taken[x]))
    return found


def _arm(to: Vec3, at: Vec3, way: Vec3) -> float:
    """Moment about the strip's width, at a point, of a unit force at another."""
    x, _, z = sub(to, at)
    return x * way[2] - z * way[0]


def _stress(part: Part, rail: Part, stations: Sequence[_Station], load: BracketLoad) -> Finding:
    strip, tip = part.strip, stations[-1].at
    thick = strip.thickness if strip else 0.0
    worst: tuple[float, _Station, Worked[float], float, float] | None = None
    for one in stations[:-1]:
        arm = abs(_arm(tip, one.at, load.direction))
        x, _, z = sub(tip, one.at)
        shaken = math.hypot(x, z)
        if one.width <= 0:
            return not_checked(STRESS, TITLES[STRESS], part.name, (rail.name, one.what), "no metal is left beside it")
        moment = abs(load.thrust) * arm + load.weight * shaken + load.others(one.at)
        bent = worked(strip_bending_stress, M=moment, b=one.width, t=thick)
        if worst is None or bent.result > worst[0]:
            worst = bent.result, one, bent, arm, shaken
    if worst is None:
        return not_checked(STRESS, TITLES[STRESS], part.name, (rail.name,), "its two bolts stand in one place")
    stress, one, bent, arm, shaken = worst
    strength = part.material.yield_strength or 0.0
    limit = Limit(
        strength / YIELD_FACTOR[0], "MPa", f"{citations(bent)}; limit: yield/1.2, {PRACTICE}",
        strength / YIELD_FACTOR[1], Sense.AT_MOST,
    )  # fmt: skip
    inputs: list[Input] = [
        *load.inputs, ("thrust on the bracket", load.thrust, "N"), ("lever of the thrust", arm, "mm"),
        ("weight on the bracket", load.weight, "N"), ("lever of the weight", shaken, "mm"),
        ("moment of the design's loads", load.others(one.at), "N.mm"), *inputs_of(bent),
        ("yield strength", strength, "MPa"),
    ]  # fmt: skip
    note = f"{ROUGH}; greatest at the {one.what}"
    return measured(
        STRESS, TITLES[STRESS], part.name, (rail.name,), stress, limit, points=[one.at], inputs=inputs, note=note
    )


def _deflection(part: Part, stations: Sequence[_Station], load: BracketLoad, *, whole: bool) -> Worked[float]:
    """How far the thrust moves the bolt in the rail along itself; the `whole` load with it, each in its worst way."""
    strip, tip = part.strip, stations[-1].at
    wide, thick = (strip.width, strip.thickness) if strip else (0.0, 0.0)
    arms = tuple(_arm(tip, one.at, load.direction) for one in stations)
    lengths = tuple(math.dist(a.at, b.at) for a, b in pairwise(stations))
    more = [load.weight * math.dist(tip, one.at) + load.others(one.at) if whole else 0.0 for one in stations]
    moments = tuple(load.thrust * arm + math.copysign(extra, arm) for arm, extra in zip(arms, more, strict=True))
    return worked(
        unit_load_deflection, L=lengths, M=moments, m=arms, E=part.material.elastic_modulus or 0.0,
        I=wide * thick**3 / 12,
    )  # fmt: skip


def _lift(
    stack: Stack, rail: Part, row: RailRow, part: Part, lift: Worked[float], load: BracketLoad
) -> Iterator[Finding]:
    """What is left of the injectors' ends in the rail when the pressure lifts it."""
    if row.injector is None:
        yield not_checked(LIFT, TITLES[LIFT], part.name, (rail.name,), "the rail's `injector` is not specified")
        return
    inside = stack.part(row.bosses)
    sunk = inside.holes[0].floor_depth
    reach = row.injector.length - sunk - row.standoff
    source = f"{citations(lift)}; limit: {PRACTICE}"
    limit = Limit(OUT, "mm", source, LEAST_SEALED.fail)
    inputs: list[Input] = [
        ("injector's end in the rail at rest", reach, "mm"), ("lift", lift.result, "mm"),
        ("thrust on the bracket", load.thrust, "N"), *(one for one in inputs_of(lift) if one.symbol in ("E", "I")),
    ]  # fmt: skip
    yield measured(LIFT, TITLES[LIFT], part.name, (rail.name,), reach - lift.result, limit, inputs=inputs, note=ROUGH)


def _frequency(design: Design, part: Part, rail: Part, lift: Worked[float], load: BracketLoad) -> Finding:
    title, features, engine = TITLES[FREQUENCY], (rail.name,), design.engine
    if engine is None or engine.cylinders is None:
        reason = "give `cylinders` and `speed` of the design's `engine`"
        return not_checked(FREQUENCY, title, part.name, features, reason)
    if lift.result <= 0 or load.thrust <= 0:
        return not_checked(FREQUENCY, title, part.name, features, "no thrust moves the rail along the bosses' axes")
    stiffness = load.thrust / lift.result * 1000
    first = worked(tip_mass_frequency, k=stiffness, m_t=load.mass, m_b=part.blank_mass)
    firing = worked(firing_frequency, n=engine.cylinders, N=engine.speed)
    order = first.result / (engine.speed / 60)
    halves = max(1, round(2 * order))
    note = said(
        "resonance", own=(first.result, "Hz"), firing=(firing.result, "Hz"), speed=(engine.speed, "rpm"),
        meets=(120 * first.result / engine.cylinders, "rpm"), order=(order, ""), half=(halves / 2, ""),
    )  # fmt: skip
    source = f"{citations(first, firing)}; limit: {PRACTICE}"
    limit = Limit(ABOVE_FIRING, "times the firing frequency", source)
    return advised(
        measured(
            FREQUENCY, title, part.name, features, first.result / firing.result, limit,
            inputs=[*inputs_of(first, firing), ("f", first.result, "Hz"), ("firing", firing.result, "Hz")], note=note,
        )
    )  # fmt: skip
