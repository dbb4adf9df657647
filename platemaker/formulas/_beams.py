"""Bent strips loaded at one end: stress, deflection, first natural frequency; firing frequency of an engine."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.formulas._registry import above, any_number, at_least, formula, refuse
from platemaker.formulas._sources import BLEVINS, HEYWOOD, ROARK_7, SHIGLEY_9


@formula(
    SHIGLEY_9, "eq. 3-26", law="σ = 6 M/(b t²)", gives="MPa", M=at_least(0, "N.mm"), b=above(0, "mm"), t=above(0, "mm")
)
def strip_bending_stress(M: float, b: float, t: float) -> float:
    """Greatest bending stress in a rectangular section, σ = M c/I.

    Source: Shigley 9th ed., eq. 3-26.
    M: bending moment.
    b: width of the section.
    t: its thickness in the plane of bending.
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
    L: lengths of the pieces.
    M: moment of the load at the ends of the pieces, one more than the pieces.
    m: moment of a unit load there, an arm.
    E: elastic modulus.
    I: second moment of area.
    Raises OutOfRange unless M and m are one longer than L.
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
    SHIGLEY_9,
    "table A-9, case 4",
    law="θ = M L/(E b t³/12)",
    gives="deg",
    M=at_least(0, "N.mm"),
    L=at_least(0, "mm"),
    b=above(0, "mm"),
    t=above(0, "mm"),
    E=above(0, "MPa"),
)
def strip_end_slope(M: float, L: float, b: float, t: float, E: float) -> float:
    """Slope at the free end of a rectangular cantilever that a moment bends.

    Source: Shigley 9th ed., table A-9, case 4.
    M: moment at the end.
    L: length.
    b: width.
    t: thickness in the plane of bending.
    E: elastic modulus.
    >>> round(math.radians(strip_end_slope(20e3, 60.0, 60.0, 10.0, 200e3)), 9)  # 1.2e6/(200e3 x 5000)
    0.0012
    """
    return math.degrees(M * L / (E * b * t**3 / 12))


@formula(
    SHIGLEY_9,
    "eq. 3-40",
    law="τ = T/(b t²) (3 + 1.8 t/b)",
    gives="MPa",
    T=at_least(0, "N.mm"),
    b=above(0, "mm"),
    t=above(0, "mm"),
)
def strip_torsion_stress(T: float, b: float, t: float) -> float:
    """Greatest shear stress in a rectangular bar that is twisted; b is no less than t. Up to 4 % too low.

    Source: Shigley 9th ed., eq. 3-40.
    T: torque.
    b: longer side.
    t: shorter side.
    Raises OutOfRange for t above b.
    >>> strip_torsion_stress(10e3, 10.0, 10.0)
    48.0
    """
    if t > b:
        raise refuse(strip_torsion_stress, "t", t, f"<= {b:g} mm, the longer side")
    return T / (b * t**2) * (3 + 1.8 * t / b)


@formula(
    ROARK_7,
    "table 10.1, case 4",
    law="θ = T L/(K G), K = b t³ (1/3 − 0.21 (t/b) (1 − t⁴/(12 b⁴)))",
    gives="deg",
    T=at_least(0, "N.mm"),
    L=at_least(0, "mm"),
    b=above(0, "mm"),
    t=above(0, "mm"),
    G=above(0, "MPa"),
)
def strip_twist(T: float, L: float, b: float, t: float, G: float) -> float:
    """Angle that a rectangular bar twists; b is no less than t.

    Source: Roark 7th ed., table 10.1, case 4.
    T: torque.
    L: length.
    b: longer side.
    t: shorter side.
    G: shear modulus.
    Raises OutOfRange for t above b.
    >>> round(math.radians(strip_twist(1e4, 100.0, 10.0, 10.0, 80e3)), 5)  # K = 0.1408 x 10⁴
    0.00888
    """
    if t > b:
        raise refuse(strip_twist, "t", t, f"<= {b:g} mm, the longer side")
    K = b * t**3 * (1 / 3 - 0.21 * (t / b) * (1 - t**4 / (12 * b**4)))
    return math.degrees(T * L / (K * G))


@formula(
    SHIGLEY_9,
    "table A-9, case 1",
    law="θ = 32 F L²/(π E d⁴)",
    gives="deg",
    F=at_least(0, "N"),
    L=at_least(0, "mm"),
    d=above(0, "mm"),
    E=above(0, "MPa"),
)
def stud_end_slope(F: float, L: float, d: float, E: float) -> float:
    """Slope at the free end of a round cantilever with a force there, F L²/(2 E I).

    Source: Shigley 9th ed., table A-9, case 1.
    F: force.
    L: length.
    d: diameter.
    E: elastic modulus.
    >>> round(math.radians(stud_end_slope(math.pi * 1000, 20.0, 10.0, 200e3)), 5)  # 32e3 x 400/(200e3 x 1e4)
    0.0064
    """
    return math.degrees(32 * F * L**2 / (math.pi * E * d**4))


@formula(SHIGLEY_9, "eq. 3-24", law="σ = 32 M/(π d³)", gives="MPa", M=at_least(0, "N.mm"), d=above(0, "mm"))
def stud_bending_stress(M: float, d: float) -> float:
    """Greatest bending stress in a round stud; of a thread d is the minor diameter.

    Source: Shigley 9th ed., eq. 3-24.
    M: bending moment.
    d: diameter.
    >>> round(stud_bending_stress(math.pi * 1000, 10.0), 9)
    32.0
    """
    return 32 * M / (math.pi * d**3)


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
    k: stiffness at the tip.
    m_t: mass at the tip.
    m_b: mass of the cantilever.
    >>> round(tip_mass_frequency(40e3, 1.0, 1e-9), 2)  # sqrt(40000) = 200 rad/s
    31.83
    """
    return math.sqrt(k / (m_t + 33 / 140 * m_b)) / (2 * math.pi)


@formula(HEYWOOD, "sec. 2.1", law="f = n N/120", gives="Hz", n=at_least(1, "-"), N=at_least(0, "rev/min"))
def firing_frequency(n: int, N: float) -> float:
    """How often a four-stroke engine fires: each cylinder every second turn.

    Source: Heywood 1988, sec. 2.1.
    n: number of cylinders.
    N: engine speed.
    >>> firing_frequency(4, 3000.0)
    100.0
    """
    return n * N / 120
