"""Boost that engine and blower really make, against the specified one; what strength, seals and heat are checked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.checks._advice import Input, advised
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.formulas import (
    about,
    blower_boost_ratio,
    blower_pressure_ratio,
    compressor_outlet_temperature,
)
from platemaker.parts import Design, Kind, Stack
from platemaker.spec import AirModel, BlowerModel, EngineModel

MADE, VALVE = "PM910", "PM911"
PRODUCED = "boost produced by engine and blower"
OVER = 1.05
"""Boost produced over boost specified from which on it fails. Common practice, no source; the two volumetric
efficiencies are rarely known better than to some hundredths."""


@dataclass(frozen=True)
class Boost:
    """Boost over ambient, MPa: `specified`, `produced` by engine and blower (None: not both given), at the `relief`.

    `ratio` is the absolute pressure ratio that engine and blower balance at.
    """

    specified: float
    produced: float | None
    ratio: float | None
    relief: float | None

    @property
    def governing(self) -> float:
        """What strength and sealing are checked at, MPa: the largest that may come, up to where the valve opens."""
        return max(self.specified, self.relief if self.relief is not None else self.produced or 0.0)


def boost_of(design: Design) -> Boost:
    """The boost of a design; with engine and blower as the two balance."""
    ratio = _ratio(design)
    ambient = (design.air or AirModel()).inlet_pressure
    produced = (ratio - 1) * ambient if ratio is not None else None
    return Boost(design.boost, produced, ratio, design.relief.pressure if design.relief else None)


def blower_speed(blower: BlowerModel, engine: EngineModel | None) -> float:
    """The blower's speed, rpm: its own, or its ratio times the engine's."""
    if blower.speed is not None:
        return blower.speed
    return (blower.ratio or 0.0) * (engine.speed if engine else 0.0)


def _ratio(design: Design) -> float | None:
    engine, blower, air = design.engine, design.blower, design.air or AirModel()
    if engine is None or blower is None:
        return None
    shared = (
        blower.per_turn * 1e-6, blower_speed(blower, engine) / engine.speed, blower.volumetric_efficiency,
        engine.displacement * 1e-6, engine.volumetric_efficiency,
    )  # fmt: skip
    if air.outlet_temperature is not None:
        return blower_pressure_ratio(*shared, air.inlet_temperature, air.outlet_temperature)
    return blower_boost_ratio(*shared, blower.efficiency)


def charge_temperature(design: Design) -> float | None:
    """Temperature of the air behind the blower at the governing boost, K; None where the spec states no air."""
    if design.air is None and design.blower is None and design.engine is None:
        return None
    air = design.air or AirModel()
    if air.outlet_temperature is not None:
        return air.outlet_temperature
    boost = boost_of(design).governing
    if boost <= 0:
        return air.inlet_temperature
    efficiency = design.blower.efficiency if design.blower else BlowerModel.model_fields["efficiency"].default
    return compressor_outlet_temperature(air.inlet_temperature, 1 + boost / air.inlet_pressure, efficiency)


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
        reason = "the spec has no size of the valve: whether it passes what the blower moves too much is not known"
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
