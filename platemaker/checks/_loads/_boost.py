"""Boost that engine and blower really make, against the specified one; what strength, seals and heat are checked at."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.formulas import (
    about,
    blower_boost_ratio,
    blower_pressure_ratio,
)
from platemaker.parts import Design, Kind, Stack
from platemaker.resolved import Boost, blower_speed, boost_of
from platemaker.spec import AirModel

MADE, VALVE = "PM910", "PM911"
PRODUCED = "boost produced by engine and blower"
OVER = 1.05
"""Boost produced over boost specified from which on it fails. Common practice, no source; the two volumetric
efficiencies are rarely known better than to some hundredths."""


def check_boost(stack: Stack) -> Iterator[Finding]:
    """More boost than specified, and the relief valve that the spec states against it."""
    design = stack.design
    if design is None:
        return
    boost = boost_of(design)
    plates = [part.name for part in stack.parts if part.kind is Kind.PLATE] or [stack.parts[0].name]
    if boost.relief is not None:
        yield from _valve(boost, boost.relief, plates[0])
    elif boost.produced is not None:
        source = f"{about(blower_boost_ratio).citation}; limit: common practice, no source"
        limit = Limit(OVER * boost.specified, "MPa", source, sense=Sense.AT_MOST)
        note = "strength and seals are checked at it; state a `relief` valve with its pressure, or a slower blower"
        yield measured(
            MADE, PRODUCED, plates[0], ("boost",), boost.produced, limit,
            inputs=inputs_of_boost(design, boost), note=note if boost.produced > limit.fail else "",
        )  # fmt: skip
    elif design.blower is not None:
        reason = "the boost produced is not known: give the design's `engine`, whose displacement takes the air"
        yield not_checked(MADE, PRODUCED, plates[0], ("boost",), reason)


def _valve(boost: Boost, relief: float, part: str) -> Iterator[Finding]:
    limit = Limit(boost.specified, "MPa", "common practice, no source")
    title = "relief valve opens above the specified boost"
    yield advised(measured(VALVE, title, part, ("relief", "pressure"), relief, limit))
    if boost.produced is None or boost.produced > relief:
        reason = "the size of the valve is not specified, so its flow is not held against the blower's surplus"
        yield not_checked(VALVE, "relief valve passes the surplus", part, ("relief", "flow"), reason)


def inputs_of_boost(design: Design, boost: Boost) -> list[Input]:
    """What the balance of engine and blower follows from."""
    engine, blower, air = design.engine, design.blower, design.air or AirModel()
    if engine is None or blower is None or boost.ratio is None:
        return []
    heat = boost.ratio / blower_pressure_ratio(
        blower.per_turn * 1e-6, blower_speed(blower, engine) / engine.speed, blower.volumetric_efficiency,
        engine.displacement * 1e-6, engine.volumetric_efficiency, 1.0, 1.0,
    )  # fmt: skip
    return [
        ("blower", blower.per_turn * 1e-6, "L/rev"), ("engine", engine.displacement * 1e-6, "L"),
        ("how well the blower fills", blower.volumetric_efficiency, ""),
        ("how well the engine fills", engine.volumetric_efficiency, ""), ("ambient", air.inlet_pressure, "MPa"),
        ("engine speed", engine.speed, "rpm"), ("blower speed", blower_speed(blower, engine), "rpm"),
        ("T_1", air.inlet_temperature, "K"), ("T_2", air.inlet_temperature * heat, "K"),
        ("pressure ratio", boost.ratio, ""), ("boost specified", design.boost, "MPa"),
    ]  # fmt: skip
