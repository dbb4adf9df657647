"""Air through ducts: density, speed, Mach number, choking. SI here: m, m2, kg/s, Pa absolute, K.

A flow that chokes is an answer, not an error.
"""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, at_least, between, formula
from platemaker.formulas._sources import ISO_2533, NACA_1135, WHITE_7
from platemaker.records import Record

K_AIR = 1.4
R_AIR = 287.05
"""Specific gas constant of dry air, J/(kg K), ISO 2533:1975."""


@formula(
    WHITE_7, "eq. 1.10", law="ρ = p/(R T)", gives="kg/m3", p=above(0, "Pa"), T=above(0, "K"), R=above(0, "J/(kg.K)")
)
def gas_density(p: float, T: float, R: float = R_AIR) -> float:
    """Density of a perfect gas.

    Source: White 7th ed., eq. 1.10.
    p: absolute pressure.
    T: absolute temperature.
    R: gas constant.
    >>> round(gas_density(101_325.0, 288.15), 3)  # ISO 2533, sea level: 1.225
    1.225
    """
    return p / (R * T)


@formula(ISO_2533, "sec. 2.12", law="μ = 1.458e−6 T^1.5/(T + 110.4)", gives="Pa.s", T=between(100, 1900, "K"))
def air_viscosity(T: float) -> float:
    """Dynamic viscosity of air, by Sutherland's law.

    Source: ISO 2533:1975, sec. 2.12. The clause and the range are from memory.
    T: temperature.
    >>> round(air_viscosity(288.15) * 1e5, 4)  # ISO 2533, sea level: 1.7894e-5
    1.7894
    """
    return float(1.458e-6 * T**1.5 / (T + 110.4))


@formula(WHITE_7, "eq. 6.59", law="D_h = 4 A/P", gives="m", A=above(0, "m2"), perimeter=above(0, "m"))
def hydraulic_diameter(A: float, perimeter: float) -> float:
    """Hydraulic diameter of a section.

    Source: White 7th ed., eq. 6.59.
    A: area of the section.
    perimeter: wetted perimeter.
    >>> hydraulic_diameter(0.25, 2.0)  # a square's is its side
    0.5
    """
    return 4 * A / perimeter


@formula(NACA_1135, "eq. 43", law="T/T_0 = 1/(1 + (k − 1) M²/2)", gives="-", M=at_least(0, "-"), k=above(1, "-"))
def static_temperature_ratio(M: float, k: float = K_AIR) -> float:
    """Static over stagnation temperature.

    Source: NACA Report 1135 (1953), eq. 43.
    M: Mach number.
    k: ratio of specific heats.
    >>> round(static_temperature_ratio(0.5), 4)  # Table I: 0.9524
    0.9524
    """
    return 1 / (1 + (k - 1) / 2 * M**2)


@formula(
    NACA_1135, "eq. 44", law="p/p_0 = (1 + (k − 1) M²/2)^(−k/(k − 1))", gives="-", M=at_least(0, "-"), k=above(1, "-")
)
def static_pressure_ratio(M: float, k: float = K_AIR) -> float:
    """Static over stagnation pressure.

    Source: NACA Report 1135 (1953), eq. 44.
    M: Mach number.
    k: ratio of specific heats.
    >>> round(static_pressure_ratio(1.0), 4)  # Table I: 0.5283
    0.5283
    """
    return float(static_temperature_ratio(M, k) ** (k / (k - 1)))


@formula(
    NACA_1135,
    "eq. 80",
    law="A/A* = (1/M) (2 (1 + (k − 1) M²/2)/(k + 1))^((k + 1)/(2 (k − 1)))",
    gives="-",
    M=above(0, "-"),
    k=above(1, "-"),
)
def area_ratio(M: float, k: float = K_AIR) -> float:
    """Area of a section over the area at which the same flow would choke.

    Source: NACA Report 1135 (1953), eq. 80.
    M: Mach number.
    k: ratio of specific heats.
    >>> round(area_ratio(0.5), 4)  # Table I: 1.3398
    1.3398
    """
    return float((2 / (k + 1) * (1 + (k - 1) / 2 * M**2)) ** ((k + 1) / (2 * (k - 1))) / M)


@formula(
    WHITE_7,
    "eq. 9.46",
    law="m_max = A p_0 sqrt(k/(R T_0)) (2/(k + 1))^((k + 1)/(2 (k − 1)))",
    gives="kg/s",
    A=above(0, "m2"),
    p_0=above(0, "Pa"),
    T_0=above(0, "K"),
    k=above(1, "-"),
    R=above(0, "J/(kg.K)"),
)
def choked_mass_flow(A: float, p_0: float, T_0: float, k: float = K_AIR, R: float = R_AIR) -> float:
    """Largest mass flow that a section passes.

    Source: White 7th ed., eq. 9.46.
    A: area of the section.
    p_0: absolute stagnation pressure.
    T_0: absolute stagnation temperature.
    k: ratio of specific heats.
    R: gas constant.
    >>> round(choked_mass_flow(100e-6, 300e3, 320.0), 5)
    0.06778
    """
    return float(A * p_0 * math.sqrt(k / (R * T_0)) * (2 / (k + 1)) ** ((k + 1) / (2 * (k - 1))))


class DuctState(Record):
    """Flow at a section: Mach number, mean speed in m/s, static density in kg/m3, share of the choking flow.

    When `choked`, the section cannot pass the flow asked for: Mach number and speed are those of the most it passes.
    """

    mach: float
    speed: float
    density: float
    share_of_choking: float
    choked: bool


@formula(
    WHITE_7,
    "sec. 9.4",
    gives={"mach": "-", "speed": "m/s", "density": "kg/m3", "share_of_choking": "-"},
    law="M < 1 from m/m_max = 1/(A/A*)(M); T = T_0/(1 + (k − 1) M²/2), ρ = p/(R T), V = M sqrt(k R T)",
    mdot=at_least(0, "kg/s"),
    A=above(0, "m2"),
    p_0=above(0, "Pa"),
    T_0=above(0, "K"),
    k=above(1, "-"),
    R=above(0, "J/(kg.K)"),
)
def duct_state(mdot: float, A: float, p_0: float, T_0: float, k: float = K_AIR, R: float = R_AIR) -> DuctState:
    """Subsonic state of a mass flow at a section, or the choked one.

    Source: White 7th ed., sec. 9.4.
    mdot: mass flow asked for.
    A: area of the section.
    p_0: absolute stagnation pressure.
    T_0: absolute stagnation temperature.
    k: ratio of specific heats.
    R: gas constant.
    >>> duct_state(0.1, 100e-6, 300e3, 320.0).choked  # 0.0678 kg/s is the most
    True
    """
    share = mdot / choked_mass_flow(A, p_0, T_0, k, R)
    mach = 1.0 if share >= 1 else _subsonic_mach(share, k)
    T = T_0 * static_temperature_ratio(mach, k)
    density = p_0 * static_pressure_ratio(mach, k) / (R * T)
    return DuctState(mach, mach * math.sqrt(k * R * T), density, share, share >= 1)


def _subsonic_mach(share: float, k: float) -> float:
    """Mach number at which 1/(A/A*) is `share`, by bisection: the ratio rises steadily from M = 0 to 1."""
    low, high = 0.0, 1.0
    while high - low > 1e-15:
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if 1 / area_ratio(middle, k) < share else (low, middle)
    return (low + high) / 2


@formula(
    WHITE_7,
    "eq. 6.76",
    law="Δp = K ρ V²/2",
    gives="Pa",
    K=at_least(0, "-"),
    rho=above(0, "kg/m3"),
    V=at_least(0, "m/s"),
)
def pressure_loss(K: float, rho: float, V: float) -> float:
    """Stagnation pressure lost at a fitting. Fair up to a Mach number of 0.3; above it a lower bound.

    Source: White 7th ed., eq. 6.76.
    K: loss coefficient.
    rho: density.
    V: mean speed at the section that K refers to.
    >>> pressure_loss(0.5, 1.2, 50.0)
    750.0
    """
    return K * rho * V**2 / 2


@formula(
    WHITE_7,
    "sec. 6.8, pipes in parallel; from memory",
    law="C = m / √Δp",
    gives="kg/s over √Pa",
    mdot=at_least(0, "kg/s"),
    dp=above(0, "Pa"),
)
def flow_conductance(mdot: float, dp: float) -> float:
    """Flow through a way over the root of its pressure difference: of parallel ways each takes C over the sum of all C.

    Pressure differences are alike in parallel ways and their flows add up; each goes with the square of its own flow.

    Source: White 7th ed., sec. 6.8, pipes in parallel; from memory.
    mdot: mass flow.
    dp: pressure difference at that flow.
    >>> flow_conductance(0.1, 400.0)
    0.005
    """
    return mdot / math.sqrt(dp)
