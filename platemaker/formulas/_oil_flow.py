"""Oil: viscosity at a temperature, and the pressure lost through a jet."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, at_least, formula, refuse
from platemaker.formulas._sources import ASTM_D341, WHITE_7


@formula(
    ASTM_D341,
    "eq. 1",
    law="log log(ν + 0.7) = A − B log T, through two points",
    gives="mm2/s",
    T=above(200, "K", 600),
    T_1=above(200, "K", 600),
    nu_1=at_least(2, "mm2/s"),
    T_2=above(200, "K", 600),
    nu_2=at_least(2, "mm2/s"),
)
def walther_viscosity(T: float, T_1: float, nu_1: float, T_2: float, nu_2: float) -> float:
    """Kinematic viscosity of a mineral oil at a temperature, from two that are known.

    Source: ASTM D341, eq. 1.
    T: absolute temperature.
    T_1: temperature of the first.
    nu_1: kinematic viscosity there.
    T_2: temperature of the second.
    nu_2: kinematic viscosity there.
    Raises OutOfRange unless the two temperatures differ.
    >>> round(walther_viscosity(353.0, 313.0, 32.0, 373.0, 5.4), 1)
    8.5
    """
    if T_1 == T_2:
        raise refuse(walther_viscosity, "T_2", T_2, f"another temperature than T_1 = {T_1:g} K")
    first, second = (math.log10(math.log10(nu + 0.7)) for nu in (nu_1, nu_2))
    B = (first - second) / (math.log10(T_2) - math.log10(T_1))
    return float(10**10 ** (first - B * (math.log10(T) - math.log10(T_1))) - 0.7)


@formula(
    WHITE_7,
    "eq. 6.104, in a wide line",
    law="Δp = ρ/2 (Q/(C A))²",
    gives="MPa",
    Q=at_least(0, "L/min"),
    d=above(0, "mm"),
    rho=above(0, "kg/m3"),
    C=above(0, "-", 1),
)
def jet_pressure_loss(Q: float, d: float, rho: float, C: float) -> float:
    """Pressure lost at a small hole that a flow is driven through.

    Source: White 7th ed., eq. 6.104, in a wide line.
    Q: flow.
    d: diameter of the hole.
    rho: density.
    C: discharge coefficient.
    >>> round(jet_pressure_loss(1.0, 1.5, 850.0, 0.61), 4)
    0.1016
    """
    return rho / 2 * (Q / 60000 / (C * math.pi / 4 * (d / 1000) ** 2)) ** 2 / 1e6
