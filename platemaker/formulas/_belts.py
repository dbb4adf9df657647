"""Belts: capstan, pull, centrifugal tension, pitch of a span. Shigley 9th ed., chapter 17."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, at_least, between, formula
from platemaker.formulas._sources import SHIGLEY_9, STRINGS


@formula(SHIGLEY_9, "eq. 17-7", law="T_1/T_2 = exp(μ θ)", gives="-", mu=between(0, 2, "-"), theta=at_least(0, "deg"))
def capstan_ratio(mu: float, theta: float) -> float:
    """Tight over slack tension at which a belt slips.

    Source: Shigley 9th ed., eq. 17-7.
    mu: friction.
    theta: wrap.
    >>> round(100 * 9.81 / capstan_ratio(0.2, 270.0), 1)  # 100 kg held over 3/4 of a turn: 382.3 N
    382.3
    """
    return math.exp(mu * math.radians(theta))


@formula(SHIGLEY_9, "sec. 17-3", law="μ' = μ/sin(β/2)", gives="-", mu=between(0, 1, "-"), beta=above(0, "deg", 180))
def groove_friction(mu: float, beta: float) -> float:
    """Effective friction of a V-belt in its groove.

    Source: Shigley 9th ed., sec. 17-3.
    mu: friction.
    beta: whole angle of the groove.
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
    P: power.
    d: diameter of the pulley.
    N: its speed.
    >>> round(belt_pull(30.0, 75.0, 12_000.0), 1)  # 30 000/(pi 0.075 200)
    636.6
    """
    return P * 1000 / (math.pi * d / 1000 * N / 60)


@formula(SHIGLEY_9, "sec. 17-2", law="F_c = m v²", gives="N", m=above(0, "kg/m"), v=at_least(0, "m/s"))
def centrifugal_tension(m: float, v: float) -> float:
    """Part of a running belt's tension that bends it round its pulleys and does not press on them.

    Source: Shigley 9th ed., sec. 17-2.
    m: mass of the belt.
    v: its speed.
    >>> centrifugal_tension(0.5, 20.0)
    200.0
    """
    return m * v**2


@formula(
    STRINGS,
    "first mode",
    law="f = sqrt(T/m)/(2 L)",
    gives="Hz",
    T=above(0, "N"),
    m=above(0, "kg/m"),
    L=above(0, "mm"),
)
def span_frequency(T: float, m: float, L: float) -> float:
    """Pitch of a plucked span of a belt at rest, taken as a string: its own stiffness makes it a little higher.

    Source: Mersenne's law of strings, first mode.
    T: tension.
    m: mass of the belt.
    L: length of the span.
    >>> span_frequency(400.0, 0.25, 200.0)  # sqrt(1600) = 40 m/s over 0.4 m
    100.0
    """
    return math.sqrt(T / m) / (2 * L / 1000)
