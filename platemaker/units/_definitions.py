"""Units and their factors.

Inside, platemaker knows one unit for each dimension: mm, degree, MPa, kelvin, kg, N, N·mm, rpm, mm³, kg/s, mm³/s, kW.
Together they are coherent: N/mm² is MPa, N times mm is the unit of torque.

Source of every factor: NIST Special Publication 811, 2008 edition, Appendix B. The factors marked exact there (inch,
foot, pound 0.453 592 37 kg, standard gravity 9.806 65 m/s², bar, litre) are used as they are; the others are derived
from those exactly, not from the seven printed digits: pound-force = pound × gravity, psi = pound-force / inch²,
conventional inch of water = 1000 kg/m³ × gravity × inch.
"""

from __future__ import annotations

import math
from enum import Enum, StrEnum
from fractions import Fraction
from typing import TypeAlias

from platemaker.errors import UnitError, nearest_word
from platemaker.records import Record

MM: TypeAlias = float
MM2: TypeAlias = float
MM3: TypeAlias = float
DEG: TypeAlias = float
N: TypeAlias = float
N_MM: TypeAlias = float
MPA: TypeAlias = float
KELVIN: TypeAlias = float
KG: TypeAlias = float
KG_PER_S: TypeAlias = float
MM3_PER_S: TypeAlias = float
RPM: TypeAlias = float
KW: TypeAlias = float

MM_PER_INCH = 25.4
"""By definition."""
_INCH = Fraction(str(MM_PER_INCH))
_FOOT = 12 * _INCH
_POUND = Fraction("0.45359237")
_GRAVITY = Fraction("9.80665")
_POUND_FORCE = _POUND * _GRAVITY
_DEGREE_PER_RADIAN = Fraction(180) / Fraction(math.pi)

ZERO_CELSIUS = 273.15
"""0 degC in kelvin (ISO 80000-5)."""
ROOM_TEMPERATURE = 293.15
"""Temperature at which parts are measured, and bolts are tightened, K: 20 degC, ISO 1."""


class Dimension(Enum):
    """A kind of quantity; the value is its name in messages."""

    LENGTH = "length"
    ANGLE = "angle"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    MASS = "mass"
    FORCE = "force"
    TORQUE = "torque"
    SPEED = "rotational speed"
    VOLUME = "volume"
    MASS_FLOW = "mass flow"
    FLOW = "volume flow"
    POWER = "power"

    @property
    def phrase(self) -> str:
        """The name with its article.

        >>> Dimension.ANGLE.phrase
        'an angle'
        """
        return f"{'an' if self.value[0] in 'aeiou' else 'a'} {self.value}"


class LengthUnit(StrEnum):
    """The units a project may state for its bare lengths."""

    MM = "mm"
    INCH = "in"


class _Scale(Record):
    """Inside value = (number + offset) × factor. The first spelling is the one that is printed."""

    dimension: Dimension
    factor: Fraction
    spellings: tuple[str, ...]
    offset: Fraction = Fraction(0)


def _scale(dimension: Dimension, factor: Fraction | int | str, *spellings: str, offset: str = "0") -> _Scale:
    return _Scale(dimension, Fraction(factor), spellings, Fraction(offset))


class Unit(Enum):
    """Every unit that a spec may carry."""

    MILLIMETRE = _scale(Dimension.LENGTH, 1, "mm")
    MICROMETRE = _scale(Dimension.LENGTH, "1e-3", "um", "µm", "μm")
    CENTIMETRE = _scale(Dimension.LENGTH, 10, "cm")
    METRE = _scale(Dimension.LENGTH, 1000, "m")
    INCH = _scale(Dimension.LENGTH, _INCH, "in", '"', "inch")
    FOOT = _scale(Dimension.LENGTH, _FOOT, "ft")
    THOU = _scale(Dimension.LENGTH, _INCH / 1000, "thou")

    DEGREE = _scale(Dimension.ANGLE, 1, "deg", "°")
    RADIAN = _scale(Dimension.ANGLE, _DEGREE_PER_RADIAN, "rad")

    MEGAPASCAL = _scale(Dimension.PRESSURE, 1, "MPa")
    PASCAL = _scale(Dimension.PRESSURE, "1e-6", "Pa")
    KILOPASCAL = _scale(Dimension.PRESSURE, "1e-3", "kPa")
    GIGAPASCAL = _scale(Dimension.PRESSURE, 1000, "GPa")
    BAR = _scale(Dimension.PRESSURE, "0.1", "bar")
    MILLIBAR = _scale(Dimension.PRESSURE, "1e-4", "mbar")
    PSI = _scale(Dimension.PRESSURE, _POUND_FORCE / _INCH**2, "psi")
    KSI = _scale(Dimension.PRESSURE, 1000 * _POUND_FORCE / _INCH**2, "ksi")
    INCH_OF_WATER = _scale(Dimension.PRESSURE, _GRAVITY * _INCH / 1_000_000, "inH2O")

    KELVIN = _scale(Dimension.TEMPERATURE, 1, "K")
    CELSIUS = _scale(Dimension.TEMPERATURE, 1, "degC", "°C", offset="273.15")
    FAHRENHEIT = _scale(Dimension.TEMPERATURE, "5/9", "degF", "°F", offset="459.67")

    KILOGRAM = _scale(Dimension.MASS, 1, "kg")
    GRAM = _scale(Dimension.MASS, "1e-3", "g")
    POUND = _scale(Dimension.MASS, _POUND, "lb")

    NEWTON = _scale(Dimension.FORCE, 1, "N")
    KILONEWTON = _scale(Dimension.FORCE, 1000, "kN")
    POUND_FORCE = _scale(Dimension.FORCE, _POUND_FORCE, "lbf")

    NEWTON_MILLIMETRE = _scale(Dimension.TORQUE, 1, "N.mm", "N·mm", "N mm")
    NEWTON_METRE = _scale(Dimension.TORQUE, 1000, "N.m", "N·m", "N m", "Nm")
    POUND_FORCE_FOOT = _scale(Dimension.TORQUE, _POUND_FORCE * _FOOT, "lbf.ft", "lbf·ft", "lbf ft", "ft-lb", "lb-ft")
    POUND_FORCE_INCH = _scale(Dimension.TORQUE, _POUND_FORCE * _INCH, "lbf.in", "lbf·in", "lbf in", "in-lb", "lb-in")

    REVOLUTION_PER_MINUTE = _scale(Dimension.SPEED, 1, "rpm", "rev/min")

    CUBIC_MILLIMETRE = _scale(Dimension.VOLUME, 1, "mm3")
    CUBIC_CENTIMETRE = _scale(Dimension.VOLUME, 1000, "cc", "cm3", "mL")
    LITRE = _scale(Dimension.VOLUME, 1_000_000, "L")
    CUBIC_INCH = _scale(Dimension.VOLUME, _INCH**3, "in3")

    KILOGRAM_PER_SECOND = _scale(Dimension.MASS_FLOW, 1, "kg/s")
    KILOGRAM_PER_MINUTE = _scale(Dimension.MASS_FLOW, "1/60", "kg/min")
    KILOGRAM_PER_HOUR = _scale(Dimension.MASS_FLOW, "1/3600", "kg/h")
    GRAM_PER_SECOND = _scale(Dimension.MASS_FLOW, "1e-3", "g/s")
    POUND_PER_MINUTE = _scale(Dimension.MASS_FLOW, _POUND / 60, "lb/min")
    POUND_PER_HOUR = _scale(Dimension.MASS_FLOW, _POUND / 3600, "lb/h")

    CUBIC_MILLIMETRE_PER_SECOND = _scale(Dimension.FLOW, 1, "mm3/s")
    CUBIC_CENTIMETRE_PER_MINUTE = _scale(Dimension.FLOW, "1000/60", "cc/min", "cm3/min", "mL/min")
    LITRE_PER_MINUTE = _scale(Dimension.FLOW, "1000000/60", "L/min")
    LITRE_PER_SECOND = _scale(Dimension.FLOW, 1_000_000, "L/s")

    KILOWATT = _scale(Dimension.POWER, 1, "kW")
    WATT = _scale(Dimension.POWER, "1e-3", "W")
    HORSEPOWER = _scale(Dimension.POWER, 550 * _POUND_FORCE * _FOOT / 1_000_000, "hp")
    METRIC_HORSEPOWER = _scale(Dimension.POWER, 75 * _GRAVITY / 1000, "PS")

    @property
    def dimension(self) -> Dimension:
        """What the unit measures."""
        return self.value.dimension

    @property
    def symbol(self) -> str:
        """The unit as it is printed, such as `lbf.ft`."""
        return self.value.spellings[0]

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every way the unit may be written; capitals matter."""
        return self.value.spellings

    def __repr__(self) -> str:
        return f"<Unit.{self.name}: {self.symbol!r}>"

    def to_inside(self, number: Fraction) -> Fraction:
        """`number` of this unit in the unit used inside, exactly (radians: to the precision of pi in a float)."""
        return (number + self.value.offset) * self.value.factor

    def from_inside(self, value: Fraction) -> Fraction:
        """The inverse of `to_inside`."""
        return value / self.value.factor - self.value.offset


UNIT_OF_SPELLING = {spelling: unit for unit in Unit for spelling in unit.spellings}


def units_of(dimension: Dimension) -> tuple[Unit, ...]:
    """The units of one dimension; the first is the one used inside.

    >>> [unit.symbol for unit in units_of(Dimension.FORCE)]
    ['N', 'kN', 'lbf']
    """
    return tuple(unit for unit in Unit if unit.dimension is dimension)


def unit_named(word: str, dimension: Dimension) -> Unit:
    """The unit of `dimension` that is spelt `word`. Raises UnitError with the nearest spelling.

    >>> unit_named('"', Dimension.LENGTH)
    <Unit.INCH: 'in'>
    """
    unit = UNIT_OF_SPELLING.get(word)
    if unit is not None and unit.dimension is dimension:
        return unit
    allowed = ", ".join(one.symbol for one in units_of(dimension))
    if unit is not None:
        message = f"'{word}' is a unit of {unit.dimension.value}, not of {dimension.value}; allowed: {allowed}"
        raise UnitError(message)
    nearest = nearest_word(word, (text for one in units_of(dimension) for text in one.spellings))
    hint = f"; did you mean '{nearest}'?" if nearest else ""
    message = f"unknown unit '{word}' of {dimension.value}; allowed: {allowed}{hint}"
    raise UnitError(message)


def convert(value: float, source: Unit, target: Unit) -> float:
    """`value` of unit `source` in unit `target`. Raises UnitError when they measure different things.

    >>> round(convert(1.0, Unit.POUND_FORCE_FOOT, Unit.NEWTON_METRE), 6)  # SP 811, B.8
    1.355818
    >>> convert(212.0, Unit.FAHRENHEIT, Unit.CELSIUS)
    100.0
    """
    if source.dimension is not target.dimension:
        message = f"{source.symbol} ({source.dimension.value}) cannot become {target.symbol} ({target.dimension.value})"
        raise UnitError(message)
    if not math.isfinite(value):
        message = f"{value} {source.symbol} is not finite"
        raise UnitError(message)
    return float(target.from_inside(source.to_inside(Fraction(value))))
