"""Length of metal in a bend. Machinery's Handbook 31st ed., p. 1421, and the general K-factor form."""

from __future__ import annotations

import enum
import math

from platemaker.formulas._registry import above, at_least, between, formula
from platemaker.formulas._sources import COMMON_PRACTICE, KALPAKJIAN_6, MACHINERY_31


class BendStock(enum.Enum):
    """Kinds of stock that the handbook gives bend factors for."""

    SOFT_COPPER_OR_BRASS = 0.55
    SOFT_STEEL_OR_ALUMINIUM = 0.64
    HARD_COPPER_OR_SPRING_STEEL = 0.71

    @property
    def k_factor(self) -> float:
        """Place of the neutral line in the thickness that the handbook's factor stands for.

        >>> round(BendStock.SOFT_STEEL_OR_ALUMINIUM.k_factor, 3)
        0.407
        """
        return self.value / (math.pi / 2)


@formula(
    MACHINERY_31,
    "p. 1421, eqs. 32-34",
    law="L = (f T + 1.57 R) A/90, f = 0.55, 0.64 or 0.71",
    gives="mm",
    T=above(0, "mm"),
    R=at_least(0, "mm"),
    A=above(0, "deg", 180),
)
def handbook_bend_length(T: float, R: float, A: float, stock: BendStock) -> float:
    """Length of straight stock that a bend uses.

    Source: Machinery's Handbook 31st ed., p. 1421, eqs. 32-34.
    T: thickness, mm, > 0.
    R: inside radius, mm, >= 0.
    A: angle bent, deg, > 0 to 180.
    stock: kind of stock.
    Raises OutOfRange outside these.
    >>> round(handbook_bend_length(0.125, 0.375, 180.0, BendStock.SOFT_STEEL_OR_ALUMINIUM), 4)  # Fig. 13, in: 1.338
    1.3375
    """
    return (float(stock.value) * T + 1.57 * R) * A / 90


@formula(
    COMMON_PRACTICE,
    "K-factor form",
    law="BA = (π/180) A (R + K T)",
    gives="mm",
    A=above(0, "deg", 180),
    R=at_least(0, "mm"),
    T=above(0, "mm"),
    K=between(0, 0.5, "-"),
)
def bend_allowance(A: float, R: float, T: float, K: float) -> float:
    """Length of the neutral line in a bend.

    Source: common practice, no source, K-factor form.
    A: angle bent, deg, > 0 to 180.
    R: inside radius, mm, >= 0.
    T: thickness, mm, > 0.
    K: place of the neutral line in the thickness from the inside, no unit, 0 to 0.5.
    Raises OutOfRange outside these.
    >>> round(bend_allowance(90.0, 3.0, 3.0, 0.33), 4)
    6.2675
    """
    return math.radians(A) * (R + K * T)


@formula(
    COMMON_PRACTICE,
    "K-factor form",
    law="BD = 2 (R + T) tan(A/2) − BA",
    gives="mm",
    A=above(0, "deg", 179),
    R=at_least(0, "mm"),
    T=above(0, "mm"),
    K=between(0, 0.5, "-"),
)
def bend_deduction(A: float, R: float, T: float, K: float) -> float:
    """How much shorter the flat is than the two outside legs together.

    Source: common practice, no source, K-factor form.
    A: angle bent, deg, > 0 to 179.
    R: inside radius, mm, >= 0.
    T: thickness, mm, > 0.
    K: place of the neutral line in the thickness from the inside, no unit, 0 to 0.5.
    Raises OutOfRange outside these.
    >>> round(bend_deduction(90.0, 3.0, 3.0, 0.33), 4)
    5.7325
    """
    return 2 * (R + T) * math.tan(math.radians(A / 2)) - bend_allowance(A, R, T, K)


@formula(
    KALPAKJIAN_6, "eq. 16.5", law="R = T (50/r − 1), not below 0", gives="mm", T=above(0, "mm"), r=above(0, "%", 100)
)
def minimum_bend_radius(T: float, r: float) -> float:
    """Smallest inside radius that a sheet takes without cracking.

    Source: Kalpakjian & Schmid 6th ed., eq. 16.5.
    T: thickness, mm, > 0.
    r: reduction of area in the tensile test, %, > 0 to 100.
    Raises OutOfRange outside these.
    >>> minimum_bend_radius(3.0, 20.0)
    4.5
    """
    return max(0.0, T * (50 / r - 1))


@formula(
    COMMON_PRACTICE,
    "V-die",
    law="c = R + 2.5 T",
    gives="mm",
    T=above(0, "mm"),
    R=at_least(0, "mm"),
)
def hole_to_bend_distance(T: float, R: float) -> float:
    """Least distance from a hole's edge to the outside face of the bent leg, so that the hole stays round.

    Source: common practice, no source, V-die.
    T: thickness, mm, > 0.
    R: inside radius, mm, >= 0.
    Raises OutOfRange outside these.
    >>> hole_to_bend_distance(3.0, 3.0)
    10.5
    """
    return R + 2.5 * T
