"""Openings in thick plates across a duct. Idelchik, Handbook of Hydraulic Resistance, 2nd ed., diagram 4-12."""

from __future__ import annotations

from platemaker.formulas._registry import above, at_least, formula, refuse
from platemaker.formulas._sources import IDELCHIK_2


@formula(
    IDELCHIK_2,
    "diagram 4-12",
    law="K = 0.5 (1 − m)^0.75 + τ (1 − m)^1.375 + (1 − m)², m = A_0/A_1; "
    "τ = (2.4 − l) 10^(−φ), φ = 0.25 + 0.535 l⁸/(0.05 + l⁷), l = t/D_h, τ = 0 from l = 2.4",
    gives="-",
    A_0=above(0, "mm2"),
    A_1=above(0, "mm2"),
    t=at_least(0, "mm"),
    D_h=above(0, "mm"),
)
def thick_orifice_loss(A_0: float, A_1: float, t: float, D_h: float) -> float:
    """Sharp-edged opening through a thick plate across a duct, friction left out. K is on the speed in the opening.

    Source: Idelchik 2nd ed. (1986), diagram 4-12.
    A_0: area of the opening, mm2, > 0.
    A_1: area of the duct before and behind, mm2, > 0.
    t: thickness of the plate, mm, >= 0.
    D_h: hydraulic diameter of the opening, mm, > 0.
    Raises OutOfRange outside these, and unless A_0 <= A_1.
    >>> round(thick_orifice_loss(1.0, 1e9, 240.0, 100.0), 3)  # long tube between large spaces: 0.5 in, 1 out
    1.5
    """
    if A_0 > A_1:
        raise refuse(thick_orifice_loss, "A_0", A_0, f"<= A_1 = {A_1:g} mm2")
    length = min(t / D_h, 2.4)
    tau = (2.4 - length) * 10 ** -(0.25 + 0.535 * length**8 / (0.05 + length**7))
    shut = 1 - A_0 / A_1
    return float(0.5 * shut**0.75 + tau * shut**1.375 + shut**2)
