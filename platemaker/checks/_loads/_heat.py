"""Heat: how warm joints and parts get, what gaskets, O-rings, bolts and metals bear, what strength is left.

The warm engine's temperature and, where the charge air touches, the larger of it and the air's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from platemaker.catalog import (
    Family,
    GasketLimits,
    Material,
    gasket_limits,
    highest_known,
    o_ring_compound,
    strength_at_heat,
)
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._loads._joint_loads import cases_of
from platemaker.parts import Bolts, Design, Joint, Part, Stack
from platemaker.records import replace
from platemaker.resolved import Bolt, alike, charge_temperature, resolved_stack
from platemaker.units import ZERO_CELSIUS, said

GASKET_HEAT, GASKET_PRESSURE, RING_HEAT, METAL_HEAT, COMPOUND_HEAT = "PM934", "PM935", "PM937", "PM938", "PM939"
BOLT_HEAT = "PM918"
RING_TITLE = "temperature of the O-ring"
STRENGTH_KEPT = (0.5, 0.8)
"""Share of the yield strength that a metal keeps when warm: fail, caution. Common practice, no source."""
COMPOUND_MOST = 150.0
"""Highest temperature of usual anaerobic retaining compounds, degC: -40 to 150, a primer on them (special: 210)."""
BOLTS_MOST = (300.0, 150.0)
"""Bolts, degC: fail, caution. ISO 898-1:2013 and ISO 3506-1: no restriction up to 150, known use up to 300.

Read for ISO 3506-1, from memory for ISO 898-1; grades of other standards are taken alike, common practice."""
UNKNOWN = "the design's `temperature` is not specified, and no air gives one"


def joint_temperature(design: Design, joint: Joint) -> float | None:
    """The highest temperature of a joint, K: the engine's, or the charge air's where it flows through and is warmer."""
    air = charge_temperature(design) if joint.ports and joint.pressure is None else None
    return _highest((design.temperature, air))


def _highest(found: Iterable[float | None]) -> float | None:
    """The highest of those temperatures that are known."""
    return max((each for each in found if each is not None), default=None)


def part_temperature(stack: Stack, part: Part) -> float | None:
    """The highest temperature of a part, K: that of its warmest joint, else the engine's."""
    if stack.design is None:
        return None
    joints = [stack.joint(mounting.joint) for mounting in part.mountings]
    found = [stack.design.temperature, *(joint_temperature(stack.design, joint) for joint in joints)]
    return _highest(found)


def bolt_temperature(stack: Stack, bolt: Bolt) -> float | None:
    """The highest temperature of a screw, K: its joint's, or that of the warmest part that it goes through."""
    if stack.design is None:
        return None
    if bolt.joint is not None:
        return joint_temperature(stack.design, bolt.joint)
    found = [part_temperature(stack, stack.part(name)) for name, _ in bolt.through]
    return _highest(found)


def warm(metal: Material, temperature: float | None) -> Material:
    """A metal with the strength that it keeps at a temperature, K; as it is where the catalog has neither.

    Above its table the last row holds: the check of its temperature fails there.
    """
    highest = highest_known(metal.name)
    if temperature is None or highest is None:
        return metal
    row = strength_at_heat(metal.name, min(temperature, highest))
    if row is None:
        return metal
    return replace(
        metal,
        yield_strength=None if metal.yield_strength is None else metal.yield_strength * row.yield_share,
        tensile_strength=None if metal.tensile_strength is None else metal.tensile_strength * row.tensile_share,
    )


def bolt_share(bolts: Bolts, temperature: float | None) -> float:
    """Share of its strength that a bolt keeps at a temperature, K: all of it up to 150 degC, as the standards have it.

    Above 300 degC, where nothing is tabled, the last row holds: the check of the bolts' temperature fails there.
    """
    name = "stainless bolts" if bolts.property_class.startswith("A2") else "steel bolts"
    highest = highest_known(name)
    if temperature is None or highest is None:
        return 1.0
    row = strength_at_heat(name, min(temperature, highest))
    return row.yield_share if row else 1.0


def check_heat(stack: Stack) -> Iterator[Finding]:
    """Limits of temperature of gaskets, O-rings, bolts and metals, and the pressure that gaskets bear."""
    design = stack.design
    if design is None:
        return
    for joint in stack.joints:
        temperature = joint_temperature(design, joint)
        owner = next((face.owner for face in joint.faces), joint.name)
        if joint.gasket is not None:
            yield from _gasket(design, joint, temperature, owner)
        if joint.seal is not None:
            yield from _ring(design, joint, temperature, owner)
        if joint.bolts is not None and temperature is not None:
            yield _bolts(owner, (joint.name,), temperature)
    for bolt, _ in alike([one for one in resolved_stack(stack).bolts if one.joint is None]):
        temperature = bolt_temperature(stack, bolt)
        if temperature is not None:
            yield _bolts(bolt.owner, bolt.features_on(bolt.owner), temperature)
    yield from _metals(stack, design)


def _bolts(owner: str, features: Sequence[str], temperature: float) -> Finding:
    fail, caution = BOLTS_MOST
    source = "ISO 898-1:2013 and ISO 3506-1, range of use; from memory"
    limit = Limit(fail, "degC", source, caution, Sense.AT_MOST)
    return measured(BOLT_HEAT, "temperature of the bolts", owner, features, temperature - ZERO_CELSIUS, limit)


def _gasket(design: Design, joint: Joint, temperature: float | None, owner: str) -> Iterator[Finding]:
    sheet = joint.gasket
    limits = gasket_limits(sheet.material) if sheet else None
    features = (joint.name, sheet.material if sheet else "")
    rows = ((GASKET_HEAT, "temperature of the gasket"), (GASKET_PRESSURE, "pressure on the gasket"))
    if limits is None:
        for check, title in rows if joint.ports else rows[:1]:
            yield not_checked(check, title, owner, features, f"the catalog has no limits for {features[1]}")
        return
    yield _gasket_heat(limits, temperature, owner, features)
    if not joint.ports:
        return
    worst = max(cases_of(design, joint), key=lambda case: case.pressure)
    limit = Limit(limits.most_pressure, "MPa", limits.source, sense=Sense.AT_MOST)
    yield measured(*rows[1], owner, features, worst.pressure, limit, note=worst.name)


def _gasket_heat(limits: GasketLimits, temperature: float | None, owner: str, features: tuple[str, ...]) -> Finding:
    title = "temperature of the gasket"
    if temperature is None:
        return not_checked(GASKET_HEAT, title, owner, features, UNKNOWN)
    limit = Limit(limits.most_temperature - ZERO_CELSIUS, "degC", limits.source, sense=Sense.AT_MOST)
    return measured(GASKET_HEAT, title, owner, features, temperature - ZERO_CELSIUS, limit)


def _ring(design: Design, joint: Joint, temperature: float | None, owner: str) -> Iterator[Finding]:
    """The compound of a joint's O-ring."""
    name = joint.seal.compound if joint.seal else None
    if name is None:
        reason = f"the spec states no compound: give joints.{joint.name}.seal.compound"
        yield not_checked(RING_HEAT, RING_TITLE, owner, (joint.name, "compound"), reason)
    else:
        yield from ring_heat(name, temperature, design.cold_start, owner, joint.name)


def ring_heat(name: str, temperature: float | None, cold: float, owner: str, feature: str) -> Iterator[Finding]:
    """An O-ring's compound when warm, and at a cold start; both temperatures in K, the first None if not known."""
    row, features = o_ring_compound(name), (feature, name)
    if temperature is None:
        yield not_checked(RING_HEAT, RING_TITLE, owner, features, UNKNOWN)
    else:
        limit = Limit(row.most_temperature - ZERO_CELSIUS, "degC", row.source, sense=Sense.AT_MOST)
        yield measured(RING_HEAT, RING_TITLE, owner, features, temperature - ZERO_CELSIUS, limit)
    title, least = f"{RING_TITLE} at a cold start", Limit(row.least_temperature - ZERO_CELSIUS, "degC", row.source)
    yield measured(RING_HEAT, title, owner, (*features, "cold"), cold - ZERO_CELSIUS, least)


def _metals(stack: Stack, design: Design) -> Iterator[Finding]:
    """Made parts at their own temperature, existing bodies at that of their warmest joint."""
    warmest: dict[tuple[str, Material], float | None] = {}
    for part in stack.parts:
        if part.material.family is not Family.GASKET:
            warmest[part.name, part.material] = part_temperature(stack, part)
    made = {name for name, _ in warmest}
    for joint in stack.joints:
        for face in joint.faces:
            if face.material is not None and face.owner not in made:
                key, found = (face.owner, face.material), joint_temperature(design, joint)
                warmest[key] = _highest((warmest.get(key), found))
    for (owner, metal), temperature in warmest.items():
        yield _metal(owner, metal, temperature)


def _metal(owner: str, metal: Material, temperature: float | None) -> Finding:
    title, highest = "yield strength kept when warm", highest_known(metal.name)
    if temperature is None:
        return not_checked(METAL_HEAT, title, owner, (metal.name,), UNKNOWN)
    row = strength_at_heat(metal.name, min(temperature, highest)) if highest is not None else None
    if highest is None or row is None:
        reason = said("no_strength_at", metal=metal.name, at=(temperature - ZERO_CELSIUS, "degC"))
        return not_checked(METAL_HEAT, title, owner, (metal.name,), reason)
    fail, caution = STRENGTH_KEPT
    over = temperature > highest
    limit = Limit(fail, "of yield", f"{row.source}; limit: common practice, no source", caution)
    at = (temperature - ZERO_CELSIUS, "degC")
    note = said("above_table", at=at, last=(highest - ZERO_CELSIUS, "degC")) if over else said("at", at=at)
    return measured(
        METAL_HEAT, title, owner, (metal.name,), 0.0 if over else row.yield_share, limit,
        inputs=[("temperature", temperature - ZERO_CELSIUS, "degC")], note=note,
    )  # fmt: skip
