"""Types of quantities for the models: a number or text in, the unit used inside out, within a range that is not absurd.

The ranges only keep out what no file could hold (a thickness of 12 m); what is merely unusual is for a check. A
bare length is in the project's unit, which the validation context holds as `units`; without a context it is in mm.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Annotated, Any, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, Strict, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from platemaker.errors import CatalogError, SpecError, UnitError
from platemaker.records import Record
from platemaker.units import (
    DEG,
    KELVIN,
    KG,
    KG_PER_S,
    MM,
    MM3,
    MM3_PER_S,
    MPA,
    N_MM,
    RPM,
    Dimension,
    LengthUnit,
    N,
    Unit,
    parse,
    parse_length,
    pattern,
)

T = TypeVar("T")

_BARE = {Dimension.LENGTH: Unit.INCH, Dimension.ANGLE: Unit.DEGREE}
"""Dimensions whose bare numbers are read. An editor does not know the project's unit: it lets bare fractions pass."""


class Quantity(Record):
    """Reads a quantity between `least` and `most`; `above` leaves out `least` itself. Bounds are texts, as shown."""

    dimension: Dimension
    least: str
    most: str
    above: bool = False

    @cached_property
    def _bounds(self) -> tuple[float, float]:
        return parse(self.least, self.dimension), parse(self.most, self.dimension)

    @property
    def allowed(self) -> str:
        """The range in words."""
        return f"above {self.least}, at most {self.most}" if self.above else f"from {self.least} to {self.most}"

    def read(self, value: object, info: ValidationInfo) -> float:
        """`value` in the unit used inside. Raises UnitError for what is not such a quantity or is out of range."""
        if self.dimension is Dimension.LENGTH:
            inside = parse_length(value, LengthUnit((info.context or {}).get("units", LengthUnit.MM)))
        else:
            inside = parse(value, self.dimension, _BARE.get(self.dimension))
        least, most = self._bounds
        if not least <= inside <= most or (self.above and inside == least):
            message = f"{value!r} is out of range for {self.dimension.phrase}; allowed: {self.allowed}"
            raise UnitError(message)
        return inside

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        bare = _BARE.get(self.dimension)
        name = self.dimension.value
        text: JsonSchemaValue = {"type": "string", "pattern": pattern(self.dimension, bare)}
        if bare is None:
            return {**text, "description": f"A {name} with its unit, {self.allowed}."}
        number: JsonSchemaValue = {"type": "number"}
        if self.above:
            number["exclusiveMinimum"] = 0
        return {"anyOf": [number, text], "description": f"{self.dimension.phrase.capitalize()}, {self.allowed}."}


Length = Annotated[MM, Quantity(Dimension.LENGTH, "-10 m", "10 m")]
PositiveLength = Annotated[MM, Quantity(Dimension.LENGTH, "0 mm", "10 m", above=True)]
Angle = Annotated[DEG, Quantity(Dimension.ANGLE, "-360 deg", "360 deg")]
Pressure = Annotated[MPA, Quantity(Dimension.PRESSURE, "-1 bar", "1000 bar")]
GaugePressure = Annotated[MPA, Quantity(Dimension.PRESSURE, "0 bar", "1000 bar")]
Stress = Annotated[MPA, Quantity(Dimension.PRESSURE, "0 MPa", "1000 GPa", above=True)]
Temperature = Annotated[KELVIN, Quantity(Dimension.TEMPERATURE, "0 K", "2000 K", above=True)]
Mass = Annotated[KG, Quantity(Dimension.MASS, "0 kg", "10000 kg", above=True)]
Force = Annotated[N, Quantity(Dimension.FORCE, "-10000 kN", "10000 kN")]
Torque = Annotated[N_MM, Quantity(Dimension.TORQUE, "0 N.m", "100000 N.m", above=True)]
Speed = Annotated[RPM, Quantity(Dimension.SPEED, "0 rpm", "500000 rpm", above=True)]
Volume = Annotated[MM3, Quantity(Dimension.VOLUME, "0 L", "1000 L", above=True)]
MassFlow = Annotated[KG_PER_S, Quantity(Dimension.MASS_FLOW, "0 kg/s", "100 kg/s", above=True)]
Flow = Annotated[MM3_PER_S, Quantity(Dimension.FLOW, "0 L/s", "1000 L/s", above=True)]

# A list of YAML becomes a tuple, which strictness would refuse; what is in it stays strict.
Point = Annotated[tuple[Length, Length], Strict(False)]
SpacePoint = Annotated[tuple[Length, Length, Length], Strict(False)]


def from_catalog(look_up: Callable[[str], T]) -> Callable[[str], T]:
    """`look_up` for use in a validator: its CatalogError, which validation would not collect, becomes a SpecError."""

    def read(word: str) -> T:
        try:
            return look_up(word)
        except CatalogError as fault:
            raise SpecError(str(fault)) from fault

    return read
