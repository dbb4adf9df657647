"""Fuel through a rail and its injectors."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, at_least, formula
from platemaker.formulas._sources import COMMON_PRACTICE, WHITE_7


@formula(
    WHITE_7, "eq. 3.23", law="V = n Q/A", gives="m/s", Q=at_least(0, "cm3/min"), n=at_least(1, "-"), A=above(0, "mm2")
)
def rail_speed(Q: float, n: int, A: float) -> float:
    """Mean speed of fuel where it enters a rail that feeds `n` injectors, all open.

    Source: White 7th ed., eq. 3.23.
    Q: flow of one injector, cm3/min, >= 0.
    n: number of injectors, no unit, >= 1.
    A: area of the passage, mm2, > 0.
    Raises OutOfRange outside these.
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
    Q_1: rated flow, cm3/min, >= 0.
    p_1: pressure difference it is rated at, MPa, > 0.
    p_2: pressure difference over it, MPa, >= 0.
    Raises OutOfRange outside these.
    >>> injector_flow(300.0, 0.3, 1.2)
    600.0
    """
    return Q_1 * math.sqrt(p_2 / p_1)
