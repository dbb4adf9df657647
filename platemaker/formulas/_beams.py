"""Bent strips loaded at one end: stress, deflection, first natural frequency; firing frequency of an engine."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.formulas._registry import above, any_number, at_least, formula, refuse
from platemaker.formulas._sources import BLEVINS, HEYWOOD, SHIGLEY_9


@formula(
    SHIGLEY_9, "eq. 3-26", law="σ = 6 M/(b t²)", gives="MPa", M=at_least(0, "N.mm"), b=above(0, "mm"), t=above(0, "mm")
)
def strip_bending_stress(M: float, b: float, t: float) -> float:
    """Greatest bending stress in a rectangular section, σ = M c/I.

    Source: Shigley 9th ed., eq. 3-26.
    M: bending moment, N.mm, >= 0.
    b: width of the section, mm, > 0.
    t: its thickness in the plane of bending, mm, > 0.
    Raises OutOfRange outside these.
    >>> strip_bending_stress(8000.0, 30.0, 4.0)
    100.0
    """
    return 6 * M / (b * t**2)


@formula(
    SHIGLEY_9,
    "sec. 4-8",
    law="δ = Σ L_i (2 M_i m_i + M_i m_k + M_k m_i + 2 M_k m_k)/(6 E I), k = i + 1",
    gives="mm",
    L=above(0, "mm"),
    M=any_number("N.mm"),
    m=any_number("mm"),
    E=above(0, "MPa"),
    I=above(0, "mm4"),
)
def unit_load_deflection(L: Sequence[float], M: Sequence[float], m: Sequence[float], E: float, I: float) -> float:  # noqa: E741
    """Deflection of a bent bar in the direction of a unit load, by Castigliano's theorem; shear and pull left out.

    Moments run straight between the ends of each straight piece.

    Source: Shigley 9th ed., sec. 4-8.
    L: lengths of the pieces, mm, > 0.
    M: moment of the load at the ends of the pieces, one more than the pieces, N.mm, any.
    m: moment of a unit load there, an arm, mm, any.
    E: elastic modulus, MPa, > 0.
    I: second moment of area, mm4, > 0.
    Raises OutOfRange outside these, and unless M and m are one longer than L.
    >>> unit_load_deflection([100.0], [30e3, 0.0], [100.0, 0.0], 200e3, 500.0)  # F L³/(3 E I), F = 300 N
    1.0
    """
    if not len(M) == len(m) == len(L) + 1:
        raise refuse(unit_load_deflection, "M", len(M), f"one more than the {len(L)} pieces")
    total = 0.0
    for i, length in enumerate(L):
        total += length * (2 * M[i] * m[i] + M[i] * m[i + 1] + M[i + 1] * m[i] + 2 * M[i + 1] * m[i + 1])
    return total / (6 * E * I)


@formula(
    BLEVINS,
    "cantilever with a mass at its tip, from memory",
    law="f = sqrt(k/(m_t + 0.2357 m_b))/(2 π)",
    gives="Hz",
    k=above(0, "N/m"),
    m_t=at_least(0, "kg"),
    m_b=above(0, "kg"),
)
def tip_mass_frequency(k: float, m_t: float, m_b: float) -> float:
    """First natural frequency of a cantilever with a mass at its tip, by Rayleigh's method: 33/140 of its own counts.

    Source: Blevins 1979, cantilever with a mass at its tip, from memory.
    k: stiffness at the tip, N/m, > 0.
    m_t: mass at the tip, kg, >= 0.
    m_b: mass of the cantilever, kg, > 0.
    Raises OutOfRange outside these.
    >>> round(tip_mass_frequency(40e3, 1.0, 1e-9), 2)  # sqrt(40000) = 200 rad/s
    31.83
    """
    return math.sqrt(k / (m_t + 33 / 140 * m_b)) / (2 * math.pi)


@formula(HEYWOOD, "sec. 2.1", law="f = n N/120", gives="Hz", n=at_least(1, "-"), N=at_least(0, "rev/min"))
def firing_frequency(n: int, N: float) -> float:
    """How often a four-stroke engine fires: each cylinder every second turn.

    Source: Heywood 1988, sec. 2.1.
    n: number of cylinders, no unit, >= 1.
    N: engine speed, rev/min, >= 0.
    Raises OutOfRange outside these.
    >>> firing_frequency(4, 3000.0)
    100.0
    """
    return n * N / 120
