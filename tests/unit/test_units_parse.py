"""Shop numbers, one by one: what is read, what is refused and in which words."""

import pytest

from platemaker import units
from platemaker.errors import UnitError
from platemaker.units import Dimension, LengthUnit, Unit


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1-1/4 in", 31.75),
        ("1 1/4 in", 31.75),
        ("3/16 in", 4.7625),
        ('3/16"', 4.7625),
        ("0.25in", 6.35),
        ("6.35 mm", 6.35),
        ("25 um", 0.025),
        ("25 µm", 0.025),
        ("0.5 thou", 0.0127),
        ("1 ft", 304.8),
        ("-1-1/2 in", -38.1),
        ("+.5 in", 12.7),
        ("1e-3 m", 1.0),
        (" 6 mm\n", 6.0),
        ("6.35", 6.35),
        (6.35, 6.35),
        (7, 7.0),
    ],
)
def test_lengths(text, mm):
    assert units.parse_length(text, LengthUnit.MM) == mm


def test_bare_numbers_take_the_project_unit():
    assert units.parse_length(0.1, LengthUnit.INCH) == 2.54
    assert units.parse_length("3/16", LengthUnit.INCH) == 4.7625
    assert units.parse_length("1-1/4", LengthUnit.INCH) == 31.75


def test_a_bare_fraction_is_no_millimetre():
    with pytest.raises(
        UnitError, match=r"^'3/16' is not a length: missing unit; allowed: mm, um, cm, m, in, ft, thou$"
    ):
        units.parse_length("3/16", LengthUnit.MM)


def test_lengths_are_rounded_once_to_a_millionth():
    # 1/3 in = 8.46666... mm
    assert units.parse_length("1/3 in", LengthUnit.MM) == 8.466667
    assert units.parse_length(0.1234564, LengthUnit.MM) == 0.123456


@pytest.mark.parametrize(
    ("read", "value", "inside"),
    [
        (units.parse_angle, 45, 45.0),
        (units.parse_angle, "22-1/2 deg", 22.5),
        (units.parse_angle, "3°", 3.0),
        (units.parse_pressure, "80 kPa", 0.08),
        (units.parse_pressure, "0.08 MPa", 0.08),
        (units.parse_pressure, "0.8 bar", 0.08),
        (units.parse_temperature, "120 degC", 393.15),
        (units.parse_temperature, "393 K", 393.0),
        (units.parse_temperature, "-40 degF", 233.15),
        (units.parse_mass, "250 g", 0.25),
        (units.parse_force, "2 kN", 2000.0),
        (units.parse_torque, "25 N.m", 25000.0),
        (units.parse_torque, "25 N m", 25000.0),
        (units.parse_speed, "6000 rpm", 6000.0),
        (units.parse_volume, "2.3 L", 2.3e6),
        (units.parse_volume, "2300 cc", 2.3e6),
        (units.parse_mass_flow, "12 kg/min", 0.2),
        (units.parse_flow, "6 L/min", 1e5),
        (units.parse_flow, "6 cc/min", 100.0),
    ],
)
def test_other_kinds(read, value, inside):
    assert read(value) == inside


@pytest.mark.parametrize("text", ["18 lbf.ft", "18 lbf ft", "18 lbf·ft", "18 ft-lb", "18 lb-ft", "216 in-lb"])
def test_one_torque_in_all_its_spellings(text):
    assert units.parse_torque(text) == units.parse_torque("18 lbf.ft")


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("", "'' is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        ("mm", "'mm' is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        ("--5 mm", "'--5 mm' is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        ("91,89", "'91,89' is not a length: a decimal comma; write '91.89' with a point"),
        ("-1,5 mm", "'-1,5 mm' is not a length: a decimal comma; write '-1.5 mm' with a point"),
        ("1,234.5", "'1,234.5' is not a length: unknown unit ',234.5'"),
        ("nan", "'nan' is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        ("1e999 mm", "'1e999 mm' is not a length: unknown unit '9 mm'"),
        (True, "True is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        (None, "an empty value is not a length: wanted is a number with a unit, such as 6.35 mm, 1-1/4 in"),
        (float("nan"), "nan is not a length: not a finite number"),
        (float("inf"), "inf is not a length: not a finite number"),
        ("5 inchs", "unknown unit 'inchs' of length; allowed: mm, um, cm, m, in, ft, thou; did you mean 'inch'?"),
        ("5 MM", "unknown unit 'MM' of length; allowed: mm, um, cm, m, in, ft, thou; did you mean 'mm'?"),
        ("12 psi", "'12 psi' is not a length: 'psi' is a unit of pressure, not of length; allowed: mm,"),
        ("1/0 in", "'1/0 in' is not a length: division by zero"),
        ("1-5/4 in", "'1-5/4 in' is not a length: the fraction after a whole number must be less than 1"),
        ("1 mm 2", "unknown unit 'mm 2' of length"),
        (10**400, "is not a length: too large"),
    ],
)
def test_refused_lengths(value, message):
    with pytest.raises(UnitError) as caught:
        units.parse_length(value, LengthUnit.MM)
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("read", "value", "message"),
    [
        (units.parse_pressure, 12, "12 is not a pressure: missing unit; allowed: MPa, Pa, kPa, GPa, bar, mbar, psi,"),
        (units.parse_pressure, "12", "'12' is not a pressure: missing unit"),
        (units.parse_pressure, "12 PSI", "did you mean 'psi'?"),
        (units.parse_temperature, 120, "120 is not a temperature: missing unit; allowed: K, degC, degF"),
        (units.parse_temperature, "-273.16 degC", "'-273.16 degC' is not a temperature: below absolute zero (0 K,"),
        (units.parse_temperature, "-1 K", "below absolute zero"),
        (units.parse_force, "5 lb", "'5 lb' is not a force: 'lb' is a unit of mass, not of force; allowed: N, kN, lbf"),
        (units.parse_angle, "45 degs", "unknown unit 'degs' of angle; allowed: deg, rad; did you mean 'deg'?"),
    ],
)
def test_other_kinds_refused(read, value, message):
    with pytest.raises(UnitError) as caught:
        read(value)
    assert message in str(caught.value)


def test_a_long_text_is_cut_in_the_message():
    with pytest.raises(UnitError) as caught:
        units.parse_length("x" * 1000, LengthUnit.MM)
    assert len(str(caught.value)) < 200


def test_no_spelling_means_two_units():
    spellings = [spelling for unit in Unit for spelling in unit.spellings]
    assert len(spellings) == len(set(spellings))


def test_every_dimension_has_one_inside_unit_first():
    assert [units.units_of(dimension)[0].value.factor for dimension in Dimension] == [1] * len(Dimension)


def test_convert_refuses_unlike_units():
    with pytest.raises(UnitError, match=r"^psi \(pressure\) cannot become mm \(length\)$"):
        units.convert(1.0, Unit.PSI, Unit.MILLIMETRE)
    with pytest.raises(UnitError, match=r"^inf psi is not finite$"):
        units.convert(float("inf"), Unit.PSI, Unit.BAR)


def test_format():
    assert units.format_length(4.7625, LengthUnit.INCH) == "0.1875 in"
    assert units.format_length(2.675, digits=2) == "2.68 mm"  # binary 2.67499999...
    assert units.format_quantity(393.15, Unit.CELSIUS, 1) == "120.0 degC"
    with pytest.raises(UnitError, match=r"^nan is not finite: it cannot be written in mm$"):
        units.format_length(float("nan"))


def test_an_integer_too_long_to_print():
    with pytest.raises(UnitError, match=r"^an integer of thousands of digits is not a length: too large$"):
        units.parse_length(10**5000, LengthUnit.MM)


def test_powers_of_the_trade() -> None:
    """NIST SP 811 (2008), B.8: horsepower (550 ft.lbf/s) 745.6999 W, metric 735.4988 W."""
    assert units.parse("1 hp", Dimension.POWER) == pytest.approx(0.7456999, abs=5e-8)
    assert units.parse("1 PS", Dimension.POWER) == pytest.approx(0.7354988, abs=1e-7)
    assert units.parse("1500 W", Dimension.POWER) == 1.5
