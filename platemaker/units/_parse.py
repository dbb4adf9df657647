"""Shop numbers in: `1-1/4 in`, `3/16"`, `6.35 mm`, `0.8 bar`, `45 deg` to the units used inside.

A text is a number and a unit. A number is a decimal (`6.35`, `.5`, `1e-3`) or a fraction (`3/16`, `1-1/4`, `1 1/4`),
with at most one sign. One regular expression for each dimension says so, and it serves the JSON Schema too, so that
an editor and the reader refuse the same texts. Fractions and factors are exact until the last step.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import cache

from platemaker.errors import UnitError
from platemaker.units._definitions import (
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
    UNIT_OF_SPELLING,
    Dimension,
    LengthUnit,
    N,
    Unit,
    unit_named,
    units_of,
)

_BLANKS = r"\s{0,9}"
# Bounded repeats: a shop number has few digits, and an exponent of nine digits would make an exact number of gigabytes.
_FRACTION = r"(?:([0-9]{1,6})(?:-|\s{1,9}))?([0-9]{1,6})/([0-9]{1,6})"
_DECIMAL = r"(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][+-]?[0-9]{1,2})?"
_NUMBER = rf"([+-]?)(?:{_FRACTION}|({_DECIMAL}))"
_COMMA = re.compile(r"^\s*[+-]?[0-9]{0,15},[0-9]{1,15}(?![0-9,.])")
_LOOSE = re.compile(rf"^{_BLANKS}{_NUMBER}{_BLANKS}(.*?){_BLANKS}$", re.DOTALL)

_BARE_UNITS = {LengthUnit.MM: Unit.MILLIMETRE, LengthUnit.INCH: Unit.INCH}
_EXAMPLES = {
    Dimension.LENGTH: "6.35 mm, 1-1/4 in",
    Dimension.ANGLE: "45 deg, 22-1/2 deg",
    Dimension.PRESSURE: "0.8 bar, 12 psi",
    Dimension.TEMPERATURE: "120 degC, 250 degF",
    Dimension.MASS: "2.5 kg, 5 lb",
    Dimension.FORCE: "12 kN, 2500 lbf",
    Dimension.TORQUE: "25 N.m, 18 lbf.ft",
    Dimension.SPEED: "6000 rpm",
    Dimension.VOLUME: "2.3 L, 140 in3",
    Dimension.MASS_FLOW: "0.2 kg/s, 25 lb/min",
    Dimension.FLOW: "440 cc/min, 2 L/min",
    Dimension.POWER: "12 kW, 16 hp",
}


def _spelling_pattern(unit: Unit) -> str:
    # Only `.` is special in our spellings; escaping more than needed is an error in the dialect of JSON Schema.
    return "|".join(spelling.replace(".", r"\.") for spelling in unit.spellings)


@cache
def pattern(dimension: Dimension, bare: Unit | None = None) -> str:
    r"""The regular expression of the texts that `parse` reads, in the dialect common to Python and JSON Schema.

    `bare` is the unit of a number that carries none (None: a unit must be given). A bare fraction is read only when
    that unit is the inch. The expression knows shapes, not arithmetic: `parse` also refuses a zero denominator, `1-5/4`
    and a temperature below absolute zero.

    >>> bool(re.search(pattern(Dimension.LENGTH), "1-1/4 in")), bool(re.search(pattern(Dimension.LENGTH), "6.35"))
    (True, False)
    """
    spellings = "|".join(_spelling_pattern(unit) for unit in units_of(dimension))
    if bare is None:
        return rf"^{_BLANKS}{_NUMBER}{_BLANKS}({spellings}){_BLANKS}$"
    if bare is Unit.INCH:
        return rf"^{_BLANKS}{_NUMBER}{_BLANKS}({spellings})?{_BLANKS}$"
    return rf"^{_BLANKS}(?:{_NUMBER}{_BLANKS}({spellings})|[+-]?{_DECIMAL}){_BLANKS}$"


def parse(value: object, dimension: Dimension, bare: Unit | None = None) -> float:
    """A number or text as a quantity of `dimension`, in the unit used inside (see `Unit`).

    `bare` is the unit of a number without one; None means that a unit must be given. Raises UnitError naming what was
    met, what is allowed and the nearest unit for a misspelt one.

    >>> round(parse("12 psi", Dimension.PRESSURE), 6)  # 12 × 0.006 894 757 MPa
    0.082737
    >>> parse("250 L", Dimension.PRESSURE)
    Traceback (most recent call last):
    ...
    platemaker.errors.UnitError: '250 L' is not a pressure: 'L' is a unit of volume, not of pressure; \
allowed: MPa, Pa, kPa, GPa, bar, mbar, psi, ksi, inH2O
    """
    return _to_float(_exact(value, dimension, bare), value, dimension)


def _exact(value: object, dimension: Dimension, bare: Unit | None) -> Fraction:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise _refusal(value, dimension, f"wanted is a number with a unit, such as {_EXAMPLES[dimension]}")
    if isinstance(value, str):
        number, unit = _read_text(value, dimension, bare)
    elif bare is None:
        raise _missing_unit(value, dimension)
    else:
        number, unit = _read_number(value, dimension), bare
    inside = unit.to_inside(number)
    if dimension is Dimension.TEMPERATURE and inside < 0:
        raise _refusal(value, dimension, "below absolute zero (0 K, -273.15 degC, -459.67 degF)")
    return inside


def _read_number(value: float, dimension: Dimension) -> Fraction:
    if isinstance(value, float) and not math.isfinite(value):
        raise _refusal(value, dimension, "not a finite number")
    # The shortest decimal that stands for the float is what was typed: 0.1 in is 2.54 mm to the last digit.
    return Fraction(repr(value)) if isinstance(value, float) else Fraction(value)


def _read_text(text: str, dimension: Dimension, bare: Unit | None) -> tuple[Fraction, Unit]:
    found = _LOOSE.match(text)
    if _COMMA.match(text):
        raise _refusal(text, dimension, f"a decimal comma; write '{text.strip().replace(',', '.', 1)}' with a point")
    if found is None:
        raise _refusal(text, dimension, f"wanted is a number with a unit, such as {_EXAMPLES[dimension]}")
    sign, whole, numerator, denominator, decimal, word = found.groups()
    if word:
        unit = _unit_in(text, word, dimension)
    elif bare is None or (decimal is None and bare is not Unit.INCH):
        raise _missing_unit(text, dimension)
    else:
        unit = bare
    magnitude = Fraction(decimal) if decimal else _fraction(text, dimension, whole, numerator, denominator)
    return (-magnitude if sign == "-" else magnitude), unit


def _unit_in(text: str, word: str, dimension: Dimension) -> Unit:
    unit = UNIT_OF_SPELLING.get(word)
    if unit is not None and unit.dimension is dimension:
        return unit
    try:
        return unit_named(word, dimension)
    except UnitError as fault:
        raise _refusal(text, dimension, str(fault)) from None


def _fraction(text: str, dimension: Dimension, whole: str | None, numerator: str, denominator: str) -> Fraction:
    if int(denominator) == 0:
        raise _refusal(text, dimension, "division by zero")
    part = Fraction(int(numerator), int(denominator))
    if whole is None:
        return part
    if part >= 1:
        raise _refusal(text, dimension, "the fraction after a whole number must be less than 1")
    return int(whole) + part


def _to_float(exact: Fraction, value: object, dimension: Dimension) -> float:
    try:
        return float(exact)
    except OverflowError:
        raise _refusal(value, dimension, "too large") from None


def _refusal(value: object, dimension: Dimension, reason: str) -> UnitError:
    return UnitError(f"{_shown(value)} is not {dimension.phrase}: {reason}")


def _shown(value: object) -> str:
    if value is None:
        return "an empty value"
    try:
        text = repr(value)
    except ValueError:  # Python prints no integer of thousands of digits
        return "an integer of thousands of digits"
    return text if len(text) <= 60 else f"{text[:57]}..."


def _missing_unit(value: object, dimension: Dimension) -> UnitError:
    allowed = ", ".join(unit.symbol for unit in units_of(dimension))
    return _refusal(value, dimension, f"missing unit; allowed: {allowed}")


def parse_length(value: object, default: LengthUnit) -> MM:
    """A length or coordinate in mm, rounded once to 1e-6 mm. `default` is the unit of a bare number.

    A bare fraction is read only where the default is the inch; elsewhere it lacks a unit.

    >>> parse_length("1-1/4 in", LengthUnit.MM), parse_length("3/16", LengthUnit.INCH)
    (31.75, 4.7625)
    """
    if isinstance(value, float | int) and default == LengthUnit.MM and _is_plain(value):
        return value + 0.0
    exact = _exact(value, Dimension.LENGTH, _BARE_UNITS[LengthUnit(default)])
    return _to_float(round(exact, 6), value, Dimension.LENGTH)


def _is_plain(value: float) -> bool:
    """Whether a number of mm is, as most are, one of six decimals at most already: nothing is left to round."""
    return not isinstance(value, bool) and -1e9 < value < 1e9 and round(value, 6) == value


def parse_angle(value: object) -> DEG:
    """An angle in degrees; a bare number is degrees.

    >>> parse_angle("22-1/2 deg"), parse_angle(45)
    (22.5, 45.0)
    """
    return parse(value, Dimension.ANGLE, Unit.DEGREE)


def parse_pressure(value: object) -> MPA:
    """A pressure or stress in MPa; the unit must be given.

    >>> parse_pressure("0.8 bar")
    0.08
    """
    return parse(value, Dimension.PRESSURE)


def parse_temperature(value: object) -> KELVIN:
    """A temperature in kelvin, not below absolute zero; the unit must be given.

    >>> parse_temperature("120 degC"), parse_temperature("212 degF")
    (393.15, 373.15)
    """
    return parse(value, Dimension.TEMPERATURE)


def parse_mass(value: object) -> KG:
    """A mass in kg; the unit must be given.

    >>> parse_mass("5 lb")
    2.26796185
    """
    return parse(value, Dimension.MASS)


def parse_force(value: object) -> N:
    """A force in N; the unit must be given. `lb` is a mass and is refused, `lbf` is the force.

    >>> parse_force("12.5 kN")
    12500.0
    """
    return parse(value, Dimension.FORCE)


def parse_torque(value: object) -> N_MM:
    """A torque in N·mm, the unit that N and mm make; the unit must be given.

    >>> parse_torque("25 N.m")
    25000.0
    """
    return parse(value, Dimension.TORQUE)


def parse_speed(value: object) -> RPM:
    """A rotational speed in revolutions per minute; the unit must be given.

    >>> parse_speed("6000 rpm")
    6000.0
    """
    return parse(value, Dimension.SPEED)


def parse_volume(value: object) -> MM3:
    """A volume, or a displacement in one turn, in mm³; the unit must be given.

    >>> parse_volume("2.3 L")
    2300000.0
    """
    return parse(value, Dimension.VOLUME)


def parse_mass_flow(value: object) -> KG_PER_S:
    """A mass flow in kg/s; the unit must be given.

    >>> parse_mass_flow("12 kg/min")
    0.2
    """
    return parse(value, Dimension.MASS_FLOW)


def parse_flow(value: object) -> MM3_PER_S:
    """A volume flow in mm³/s; the unit must be given.

    >>> parse_flow("440 cc/min") == 440_000 / 60
    True
    """
    return parse(value, Dimension.FLOW)
