"""Room for taper pipe threads, NPT, with the lengths of ASME B1.20.1. P = 25.4 mm/n is the pitch."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import COMMON_PRACTICE


@formula(
    COMMON_PRACTICE,
    "hand-tight and three turns of wrench",
    law="t = L_1 + 3 P",
    gives="mm",
    L_1=above(0, "mm"),
    P=above(0, "mm"),
)
def npt_depth_needed(L_1: float, P: float) -> float:
    """Depth of full thread that a tapped taper thread needs: hand-tight engagement and three threads.

    Source: common practice, no source, hand-tight and three turns of wrench.
    L_1: hand-tight engagement.
    P: pitch.
    >>> round(npt_depth_needed(0.228 * 25.4, 25.4 / 18) / 25.4, 3)  # 1/4-18, in: 0.395
    0.395
    """
    return L_1 + 3 * P
