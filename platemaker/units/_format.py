"""Quantities out: the numbers of reports and drawings, in mm or inch."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from platemaker.errors import UnitError
from platemaker.units._definitions import MM, MM_PER_INCH, Dimension, LengthUnit, Unit, unit_named

_USUAL_DIGITS = {LengthUnit.MM: 3, LengthUnit.INCH: 4}
_NUMBERS = 2**14
"""Texts that are kept: a report and its page write the same numbers again and again."""


@lru_cache(_NUMBERS)
def format_quantity(value: float, unit: Unit, digits: int) -> str:
    """`value`, in the unit used inside, written in `unit` with `digits` decimals. Raises UnitError if not finite.

    >>> format_quantity(0.08, Unit.BAR, 2)
    '0.80 bar'
    >>> format_quantity(25_000.0, Unit.NEWTON_METRE, 1)
    '25.0 N.m'
    """
    try:
        # What is rounded is the decimal that the float shows, so that no binary noise flips a printed digit.
        rounded = round(unit.from_inside(Fraction(repr(float(value)))), digits)
    except ValueError:
        message = f"{value} is not finite: it cannot be written in {unit.symbol}"
        raise UnitError(message) from None
    return f"{float(rounded):.{digits}f} {unit.symbol}"


def format_length(mm: MM, unit: LengthUnit = LengthUnit.MM, digits: int | None = None) -> str:
    """A length in mm written in `unit`; decimals by default 3 in mm, 4 in inch.

    >>> format_length(6.35), format_length(6.35, LengthUnit.INCH), format_length(-0.0001, digits=2)
    ('6.350 mm', '0.2500 in', '0.00 mm')
    """
    unit = LengthUnit(unit)
    decimals = _USUAL_DIGITS[unit] if digits is None else digits
    return format_quantity(mm, unit_named(unit.value, Dimension.LENGTH), decimals)


def in_project_unit(unit: str, project_unit: str) -> tuple[float, str]:
    """What a number in `unit` is multiplied by in a project whose lengths are in `project_unit`, and the unit then.

    >>> in_project_unit("mm2", "in")[1], in_project_unit("kg", "in")
    ('in2', (1.0, 'kg'))
    """
    power = {"mm": 1, "mm2": 2, "mm3": 3}.get(unit, 0)
    if project_unit != LengthUnit.INCH or not power:
        return 1.0, unit
    return MM_PER_INCH**-power, unit.replace("mm", "in")
