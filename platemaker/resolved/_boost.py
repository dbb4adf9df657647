"""Boost that engine and blower really make, the blower's speed and the power that it takes."""

from __future__ import annotations

from platemaker.formulas import (
    blower_boost_ratio,
    blower_mass_flow,
    blower_pressure_ratio,
    compression_power,
    compressor_outlet_temperature,
    gas_density,
)
from platemaker.parts import Design
from platemaker.records import Record
from platemaker.spec import AirModel, BlowerModel, EngineModel


class Boost(Record):
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


def blower_power(design: Design) -> float | None:
    """Power that the blower takes at the governing boost, kW: what heats its air; None where the spec has no blower.

    Friction of bearings and gears is not in it.
    """
    blower, air = design.blower, design.air or AirModel()
    if blower is None:
        return None
    density = gas_density(air.inlet_pressure * 1e6, air.inlet_temperature)
    speed = blower_speed(blower, design.engine)
    flow = blower_mass_flow(blower.per_turn * 1e-6, speed, blower.volumetric_efficiency, density)
    return compression_power(flow, air.inlet_temperature, charge_temperature(design) or air.inlet_temperature)
