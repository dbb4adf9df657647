"""Fuel through a rail and its injectors."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, at_least, between, formula
from platemaker.formulas._sources import COMMON_PRACTICE, GEOMETRY, HEYWOOD, WHITE_7


@formula(
    WHITE_7, "eq. 3.23", law="V = n Q/A", gives="m/s", Q=at_least(0, "cm3/min"), n=at_least(1, "-"), A=above(0, "mm2")
)
def rail_speed(Q: float, n: int, A: float) -> float:
    """Mean speed of fuel where it enters a rail that feeds `n` injectors, all open.

    Source: White 7th ed., eq. 3.23.
    Q: flow of one injector.
    n: number of injectors.
    A: area of the passage.
    >>> rail_speed(600.0, 8, 80.0)
    1.0
    """
    return Q / 60 * n / A


@formula(
    COMMON_PRACTICE,
    "square-root law of an orifice",
    law="Q_2 = Q_1 sqrt(p_2/p_1)",
    gives="cm3/min",
    Q_1=at_least(0, "cm3/min"),
    p_1=above(0, "MPa"),
    p_2=at_least(0, "MPa"),
)
def injector_flow(Q_1: float, p_1: float, p_2: float) -> float:
    """Flow of an injector at another pressure difference than it is rated at.

    Source: common practice, no source, square-root law of an orifice.
    Q_1: rated flow.
    p_1: pressure difference it is rated at.
    p_2: pressure difference over it.
    >>> injector_flow(300.0, 0.3, 1.2)
    600.0
    """
    return Q_1 * math.sqrt(p_2 / p_1)


@formula(
    GEOMETRY,
    "mixture by volume",
    law="ρ = (1 − x) ρ_a + x ρ_b",
    gives="kg/m3",
    x=between(0, 1, "-"),
    rho_a=above(0, "kg/m3"),
    rho_b=above(0, "kg/m3"),
)
def blend_density(x: float, rho_a: float, rho_b: float) -> float:
    """Density of two fuels mixed by volume, their volumes taken to add up.

    Source: plane and solid geometry, mixture by volume.
    x: share of the second by volume.
    rho_a: density of the first.
    rho_b: density of the second.
    >>> blend_density(0.5, 700.0, 800.0)
    750.0
    """
    return (1 - x) * rho_a + x * rho_b


@formula(
    GEOMETRY,
    "mixture by mass",
    law="A = ((1 − x) ρ_a A_a + x ρ_b A_b)/((1 − x) ρ_a + x ρ_b)",
    gives="-",
    x=between(0, 1, "-"),
    rho_a=above(0, "kg/m3"),
    rho_b=above(0, "kg/m3"),
    A_a=above(0, "-"),
    A_b=above(0, "-"),
)
def blend_air_ratio(x: float, rho_a: float, rho_b: float, A_a: float, A_b: float) -> float:
    """Mass of air that burns all of a mass of two fuels mixed by volume: each takes its own.

    Source: plane and solid geometry, mixture by mass.
    x: share of the second by volume.
    rho_a: density of the first.
    rho_b: density of the second.
    A_a: air a mass of the first.
    A_b: air a mass of the second.
    >>> blend_air_ratio(0.5, 800.0, 800.0, 15.0, 9.0)
    12.0
    """
    return ((1 - x) * rho_a * A_a + x * rho_b * A_b) / ((1 - x) * rho_a + x * rho_b)


@formula(
    HEYWOOD,
    "sec. 2.9",
    law="m_f = m_a/(λ A)",
    gives="kg/s",
    m_a=at_least(0, "kg/s"),
    lam=above(0, "-"),
    A=above(0, "-"),
)
def fuel_needed(m_a: float, lam: float, A: float) -> float:
    """Fuel that an air flow takes at a mixture.

    Source: Heywood 1988, sec. 2.9.
    m_a: air.
    lam: air over what burns all of the fuel.
    A: mass of air that burns all of a mass of fuel.
    >>> round(fuel_needed(0.147, 0.8, 14.7), 6)
    0.0125
    """
    return m_a / (lam * A)


@formula(
    GEOMETRY,
    "flow times density",
    law="m_f = n Q δ ρ",
    gives="kg/s",
    n=at_least(1, "-"),
    Q=at_least(0, "cm3/min"),
    duty=above(0, "-", 1),
    rho=above(0, "kg/m3"),
)
def injected_fuel(n: int, Q: float, duty: float, rho: float) -> float:
    """Fuel that injectors give.

    Source: plane and solid geometry, flow times density.
    n: number of injectors.
    Q: flow of one, open all the time.
    duty: share of the time that they are open.
    rho: density of the fuel.
    >>> round(injected_fuel(4, 300.0, 0.8, 750.0), 6)
    0.012
    """
    return n * Q * 1e-6 / 60 * duty * rho
