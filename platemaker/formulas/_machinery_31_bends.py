"""Length of metal in a bend. Machinery's Handbook 31st ed., p. 1421, and the general K-factor form."""

from __future__ import annotations

import enum
import math

from platemaker.formulas._registry import above, at_least, between, formula
from platemaker.formulas._sources import COMMON_PRACTICE


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
    A: angle bent.
    R: inside radius.
    T: thickness.
    K: place of the neutral line in the thickness from the inside.
    >>> round(bend_allowance(90.0, 3.0, 3.0, 0.33), 4)
    6.2675
    """
    return math.radians(A) * (R + K * T)
