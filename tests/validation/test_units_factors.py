"""Factors against outside figures.

NIST Special Publication 811 (2008 edition), Appendix B.8, to its seven printed digits; the figures are recalled, not
read again, and each that scipy.constants (CODATA and the same exact definitions) also holds is checked against it too.
"""

import pytest
from scipy import constants

from platemaker.units import Unit, convert

# unit, SI unit, SP 811 B.8 figure
SP_811 = [
    (Unit.PSI, Unit.PASCAL, 6.894757e3),
    (Unit.KSI, Unit.PASCAL, 6.894757e6),
    (Unit.INCH_OF_WATER, Unit.PASCAL, 2.490889e2),  # "inch of water, conventional"
    (Unit.POUND_FORCE, Unit.NEWTON, 4.448222),
    (Unit.POUND_FORCE_FOOT, Unit.NEWTON_METRE, 1.355818),
    (Unit.POUND_FORCE_INCH, Unit.NEWTON_METRE, 1.129848e-1),
    (Unit.POUND, Unit.KILOGRAM, 4.535924e-1),
    (Unit.CUBIC_INCH, Unit.LITRE, 1.638706e-2),
    (Unit.FOOT, Unit.METRE, 3.048e-1),
    (Unit.POUND_PER_MINUTE, Unit.KILOGRAM_PER_SECOND, 7.559873e-3),
    (Unit.RADIAN, Unit.DEGREE, 57.29578),
]


@pytest.mark.parametrize(("unit", "si_unit", "printed"), SP_811)
def test_factors_round_to_the_printed_digits(unit, si_unit, printed):
    # Half a unit of the seventh digit: the print is rounded there.
    assert float(f"{convert(1.0, unit, si_unit):.6e}") == printed


@pytest.mark.parametrize(
    ("unit", "si_unit", "outside"),
    [
        (Unit.INCH, Unit.METRE, constants.inch),
        (Unit.PSI, Unit.PASCAL, constants.psi),
        (Unit.POUND_FORCE, Unit.NEWTON, constants.lbf),
        (Unit.POUND, Unit.KILOGRAM, constants.pound),
        (Unit.BAR, Unit.PASCAL, constants.bar),
        (Unit.THOU, Unit.METRE, constants.mil),
        (Unit.LITRE, Unit.CUBIC_MILLIMETRE, constants.liter * 1e9),
        (Unit.INCH_OF_WATER, Unit.PASCAL, 1000 * constants.g * constants.inch),
        (Unit.POUND_FORCE_FOOT, Unit.NEWTON_METRE, constants.lbf * constants.foot),
    ],
)
def test_factors_against_scipy(unit, si_unit, outside):
    # Both sides are exact definitions; four roundings of a float at most stand between them.
    assert convert(1.0, unit, si_unit) == pytest.approx(outside, rel=4 * 2.3e-16)


@pytest.mark.parametrize("fahrenheit", [-459.67, -40.0, 32.0, 212.0, 250.0])
def test_temperatures_against_scipy(fahrenheit):
    outside = constants.convert_temperature(fahrenheit, "Fahrenheit", "Kelvin")
    # absolute: scipy adds 273.15 in floats, one rounding of a number below 512
    assert convert(fahrenheit, Unit.FAHRENHEIT, Unit.KELVIN) == pytest.approx(outside, abs=2e-13)
