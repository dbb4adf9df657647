"""Belts: wrap, length, capstan and the pull on a shaft. Shigley 9th ed., chapter 17."""

from __future__ import annotations

import math
from collections.abc import Callable

from platemaker.formulas._registry import above, at_least, between, formula, refuse
from platemaker.formulas._sources import BRITANNICA_11, SHIGLEY_9


def _half_turn(function: Callable[..., object], difference: float, C: float) -> float:
    if abs(difference) > 2 * C:
        raise refuse(function, "C", C, f">= {abs(difference) / 2:g} mm")
    return math.asin(difference / (2 * C))


@formula(
    SHIGLEY_9,
    "eq. 17-1",
    law="θ = π − 2 arcsin((D_other − D)/(2 C))",
    gives="deg",
    D=above(0, "mm"),
    D_other=above(0, "mm"),
    C=above(0, "mm"),
)
def open_belt_wrap(D: float, D_other: float, C: float) -> float:
    """Angle that an open belt wraps on the pulley of diameter D.

    Source: Shigley 9th ed., eq. 17-1.
    D: diameter of this pulley, mm, > 0.
    D_other: diameter of the other pulley, mm, > 0.
    C: distance of the centres, mm, > 0.
    Raises OutOfRange outside these, and for pulleys one inside the other.
    >>> round(math.radians(open_belt_wrap(6.0, 18.0, 96.0)), 6)  # solutions manual, Problem 17-5: 3.016511
    3.016511
    """
    return math.degrees(math.pi - 2 * _half_turn(open_belt_wrap, D_other - D, C))


@formula(
    SHIGLEY_9,
    "eq. 17-2",
    law="L = sqrt(4 C² − (D − d)²) + (D θ_D + d θ_d)/2",
    gives="mm",
    d=above(0, "mm"),
    D=above(0, "mm"),
    C=above(0, "mm"),
)
def open_belt_length(d: float, D: float, C: float) -> float:
    """Length of an open belt on two pulleys.

    Source: Shigley 9th ed., eq. 17-2.
    d: diameter of one pulley, mm, > 0.
    D: diameter of the other, mm, > 0.
    C: distance of the centres, mm, > 0.
    Raises OutOfRange outside these, and for pulleys one inside the other.
    >>> round(open_belt_length(6.0, 18.0, 96.0), 3)  # solutions manual, Problem 17-5, in: 230.074
    230.074
    """
    lean = _half_turn(open_belt_length, D - d, C)
    return math.sqrt(4 * C**2 - (D - d) ** 2) + (D * (math.pi + 2 * lean) + d * (math.pi - 2 * lean)) / 2


@formula(
    BRITANNICA_11,
    "eq. 32A",
    law="L = sqrt(4 C² − (D + d)²) + (D + d) θ/2, θ = π + 2 arcsin((D + d)/(2 C))",
    gives="mm",
    d=above(0, "mm"),
    D=above(0, "mm"),
    C=above(0, "mm"),
)
def crossed_belt_length(d: float, D: float, C: float) -> float:
    """Length of a crossed belt on two pulleys.

    Source: Encyclopaedia Britannica 11th ed. vol. 17, eq. 32A.
    d: diameter of one pulley, mm, > 0.
    D: diameter of the other, mm, > 0.
    C: distance of the centres, mm, > 0.
    Raises OutOfRange outside these, and for pulleys that overlap.
    >>> round(crossed_belt_length(6.0, 18.0, 96.0), 3)
    231.201
    """
    theta = math.pi + 2 * _half_turn(crossed_belt_length, D + d, C)
    return math.sqrt(4 * C**2 - (D + d) ** 2) + (D + d) * theta / 2


@formula(SHIGLEY_9, "eq. 17-7", law="T_1/T_2 = exp(μ θ)", gives="-", mu=between(0, 2, "-"), theta=at_least(0, "deg"))
def capstan_ratio(mu: float, theta: float) -> float:
    """Tight over slack tension at which a belt slips.

    Source: Shigley 9th ed., eq. 17-7.
    mu: friction, no unit, 0 to 2.
    theta: wrap, deg, >= 0.
    Raises OutOfRange outside these.
    >>> round(100 * 9.81 / capstan_ratio(0.2, 270.0), 1)  # 100 kg held over 3/4 of a turn: 382.3 N
    382.3
    """
    return math.exp(mu * math.radians(theta))


@formula(SHIGLEY_9, "sec. 17-3", law="μ' = μ/sin(β/2)", gives="-", mu=between(0, 1, "-"), beta=above(0, "deg", 180))
def groove_friction(mu: float, beta: float) -> float:
    """Effective friction of a V-belt in its groove.

    Source: Shigley 9th ed., sec. 17-3.
    mu: friction, no unit, 0 to 1.
    beta: whole angle of the groove, deg, > 0 to 180.
    Raises OutOfRange outside these.
    >>> round(groove_friction(0.3, 36.0) / 0.3, 2)
    3.24
    """
    return mu / math.sin(math.radians(beta / 2))


@formula(
    SHIGLEY_9,
    "eq. 17-10",
    law="T_1 − T_2 = P/v",
    gives="N",
    P=at_least(0, "kW"),
    d=above(0, "mm"),
    N=above(0, "rev/min"),
)
def belt_pull(P: float, d: float, N: float) -> float:
    """Difference of the belt's tensions that carries a power.

    Source: Shigley 9th ed., eq. 17-10.
    P: power, kW, >= 0.
    d: diameter of the pulley, mm, > 0.
    N: its speed, rev/min, > 0.
    Raises OutOfRange outside these.
    >>> round(belt_pull(30.0, 75.0, 12_000.0), 1)  # 30 000/(pi 0.075 200)
    636.6
    """
    return P * 1000 / (math.pi * d / 1000 * N / 60)


@formula(
    SHIGLEY_9,
    "sec. 17-2, vector sum",
    law="F = sqrt(T_1² + T_2² − 2 T_1 T_2 cos θ)",
    gives="N",
    T_1=at_least(0, "N"),
    T_2=at_least(0, "N"),
    theta=between(0, 360, "deg"),
)
def shaft_pull(T_1: float, T_2: float, theta: float) -> float:
    """Force of a belt on its pulley's shaft.

    Source: Shigley 9th ed., sec. 17-2, vector sum.
    T_1: tight tension, N, >= 0.
    T_2: slack tension, N, >= 0.
    theta: wrap, deg, 0 to 360.
    Raises OutOfRange outside these.
    >>> round(shaft_pull(600.0, 200.0, 180.0), 6)
    800.0
    """
    squared = T_1**2 + T_2**2 - 2 * T_1 * T_2 * math.cos(math.radians(theta))
    return math.sqrt(max(0.0, squared))
