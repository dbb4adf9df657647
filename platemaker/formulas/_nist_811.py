"""Conversions that reports print. NIST SP 811 (2008), Appendix B."""

from __future__ import annotations

from platemaker.formulas._registry import any_number, formula
from platemaker.formulas._sources import NIST_811


@formula(NIST_811, "B.8", law="1 lbf.ft = 1.355 818 N.m", gives="lbf.ft", T=any_number("N.m"))
def newton_metres_to_pound_feet(T: float) -> float:
    """Torque in lbf.ft.

    Source: NIST SP 811 (2008), B.8.
    T: torque.
    >>> round(newton_metres_to_pound_feet(1.355818), 6)
    1.0
    """
    return T / (0.3048 * 4.4482216152605)


@formula(NIST_811, "B.8", law="1 inH2O (4 °C) = 249.0889 Pa", gives="inH2O", p=any_number("Pa"))
def pascals_to_inches_of_water(p: float) -> float:
    """Pressure in conventional inches of water.

    Source: NIST SP 811 (2008), B.8.
    p: pressure.
    >>> round(pascals_to_inches_of_water(1000.0), 4)
    4.0146
    """
    return p / 249.08891
