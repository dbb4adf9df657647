"""The quantity types: what models read, the ranges they state, and the schema that editors get."""

from typing import Annotated

import jsonschema
import pytest
from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from platemaker.errors import CatalogError, SpecError
from platemaker.spec import _quantities as q
from platemaker.units import LengthUnit


class Strictly(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid")


class Item(Strictly):
    length: q.Length = 0.0
    size: q.PositiveLength = 1.0
    angle: q.Angle = 0.0
    steep: Annotated[q.Angle, Field(ge=15, le=90)] = 45.0
    pressure: q.Pressure = 0.0
    stress: q.Stress = 1.0
    temperature: q.Temperature = 293.15
    mass: q.Mass = 1.0
    force: q.Force = 0.0
    torque: q.Torque = 1.0
    speed: q.Speed = 1.0
    volume: q.Volume = 1.0
    mass_flow: q.MassFlow = 1.0
    flow: q.Flow = 1.0
    point: q.Point = (0.0, 0.0)
    spot: q.SpacePoint = (0.0, 0.0, 0.0)


def read(key, value, units="mm"):
    return getattr(Item.model_validate({key: value}, context={"units": units}), key)


@pytest.mark.parametrize(
    ("key", "value", "inside"),
    [
        ("length", "-1-1/4 in", -31.75),
        ("length", 3, 3.0),
        ("size", "6.35 mm", 6.35),
        ("angle", "-45 deg", -45.0),
        ("steep", 90, 90.0),
        ("pressure", "0.8 bar", 0.08),
        ("pressure", "-1 bar", -0.1),
        ("stress", "71 GPa", 71000.0),
        ("temperature", "120 degC", 393.15),
        ("mass", "250 g", 0.25),
        ("force", "12 kN", 12000.0),
        ("torque", "25 N.m", 25000.0),
        ("speed", "6000 rpm", 6000.0),
        ("volume", "2.3 L", 2.3e6),
        ("mass_flow", "12 kg/min", 0.2),
        ("flow", "6 L/min", 1e5),
        ("point", [1, "1 in"], (1.0, 25.4)),
        ("spot", [1, 2, 3], (1.0, 2.0, 3.0)),
    ],
)
def test_read(key, value, inside):
    assert read(key, value) == inside


def test_bare_lengths_follow_the_context():
    assert read("length", 2, "in") == 50.8
    assert read("length", "3/16", LengthUnit.INCH) == 4.7625
    assert read("point", [1, 2], "in") == (25.4, 50.8)
    assert Item.model_validate({"length": 2}).length == 2.0


@pytest.mark.parametrize(
    ("key", "value", "message"),
    [
        ("size", 0, "0 is out of range for a length; allowed: above 0 mm, at most 10 m"),
        ("size", -3, "-3 is out of range for a length; allowed: above 0 mm, at most 10 m"),
        ("size", 1e-9, "1e-09 is out of range for a length; allowed: above 0 mm, at most 10 m"),
        ("length", "11 m", "'11 m' is out of range for a length; allowed: from -10 m to 10 m"),
        ("angle", 361, "361 is out of range for an angle; allowed: from -360 deg to 360 deg"),
        ("pressure", "3 GPa", "'3 GPa' is out of range for a pressure; allowed: from -1 bar to 1000 bar"),
        ("temperature", "0 K", "'0 K' is out of range for a temperature; allowed: above 0 K, at most 2000 K"),
        ("pressure", 3, "3 is not a pressure: missing unit; allowed: MPa, Pa, kPa, GPa, bar, mbar, psi, ksi, inH2O"),
        ("length", True, "True is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        ("length", [1], "[1] is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
    ],
)
def test_refused(key, value, message):
    with pytest.raises(ValidationError) as caught:
        read(key, value)
    (fault,) = caught.value.errors(include_url=False)
    assert fault["loc"] == (key,)
    assert str(fault["ctx"]["error"]) == message


def test_further_limits_of_a_field():
    with pytest.raises(ValidationError) as caught:
        read("steep", 10)
    assert caught.value.errors()[0]["type"] == "greater_than_equal"


SCHEMA = Item.model_json_schema()


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("length", -3),
        ("length", "3/16 in"),
        ("length", "3/16"),
        ("size", 3),
        ("pressure", "0.8 bar"),
        ("torque", "25 N.m"),
        ("point", [1, "1 in"]),
    ],
)
def test_schema_accepts(key, value):
    jsonschema.validate({key: value}, SCHEMA, jsonschema.Draft202012Validator)


@pytest.mark.parametrize(
    ("key", "value"),
    [("length", "3 psi"), ("size", 0), ("pressure", 3), ("pressure", "3"), ("point", [1]), ("length", True)],
)
def test_schema_refuses(key, value):
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({key: value}, SCHEMA, jsonschema.Draft202012Validator)


def test_every_bound_is_of_its_own_kind():
    # A range is two texts that the reader itself must read, the lesser first; a wrong unit would raise here.
    for name in ("Length", "PositiveLength", "Angle", "Pressure", "Stress", "Temperature", "Mass", "Force", "Torque"):
        (quantity,) = getattr(q, name).__metadata__
        least, most = quantity._bounds
        assert least < most


def test_the_catalog_speaks_through_validation():
    def look_up(word):
        raise CatalogError(f"no thread '{word}'", ["M8"], word)

    with pytest.raises(SpecError, match=r"^no thread 'M7'$"):
        q.from_catalog(look_up)("M7")
    assert q.from_catalog(len)("M8") == 2


def test_schema_says_the_range():
    text = TypeAdapter(q.Torque).json_schema()["description"]
    assert text == "A torque with its unit, above 0 N.m, at most 100000 N.m."
