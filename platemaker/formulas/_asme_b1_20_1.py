"""Taper pipe threads, NPT. ASME B1.20.1-2013. D is the outside diameter of the pipe, P = 25.4 mm/n the pitch."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import ASME_B1_20_1, COMMON_PRACTICE


@formula(
    ASME_B1_20_1,
    "Table 2, E_0",
    law="E_0 = D − (0.050 D + 1.1 in) P/in",
    gives="mm",
    D=above(0, "mm"),
    P=above(0, "mm"),
)
def npt_small_pitch_diameter(D: float, P: float) -> float:
    """Pitch diameter of the external thread at its small end.

    Source: ASME B1.20.1-2013, Table 2, E_0.
    D: outside diameter of the pipe, mm, > 0.
    P: pitch, mm, > 0.
    Raises OutOfRange outside these.
    >>> round(npt_small_pitch_diameter(0.540 * 25.4, 25.4 / 18) / 25.4, 5)  # 1/4-18, in: 0.47739
    0.47739
    """
    return D - (0.050 * D / 25.4 + 1.1) * P


@formula(
    ASME_B1_20_1,
    "Table 2, E_1",
    law="E_1 = E_0 + L_1/16",
    gives="mm",
    D=above(0, "mm"),
    P=above(0, "mm"),
    L_1=above(0, "mm"),
)
def npt_gauge_pitch_diameter(D: float, P: float, L_1: float) -> float:
    """Pitch diameter at the face of the tapped hole.

    Source: ASME B1.20.1-2013, Table 2, E_1.
    D: outside diameter of the pipe, mm, > 0.
    P: pitch, mm, > 0.
    L_1: hand-tight engagement, mm, > 0.
    Raises OutOfRange outside these.
    >>> round(npt_gauge_pitch_diameter(0.540 * 25.4, 25.4 / 18, 0.2278 * 25.4) / 25.4, 4)  # 1/4-18, in: 0.4916
    0.4916
    """
    return npt_small_pitch_diameter(D, P) + L_1 / 16


@formula(
    ASME_B1_20_1, "Table 2, L_2", law="L_2 = (0.80 D + 6.8 in) P/in", gives="mm", D=above(0, "mm"), P=above(0, "mm")
)
def npt_effective_length(D: float, P: float) -> float:
    """Length of the effective external thread.

    Source: ASME B1.20.1-2013, Table 2, L_2.
    D: outside diameter of the pipe, mm, > 0.
    P: pitch, mm, > 0.
    Raises OutOfRange outside these.
    >>> round(npt_effective_length(0.540 * 25.4, 25.4 / 18) / 25.4, 4)  # 1/4-18, in: 0.4018
    0.4018
    """
    return (0.80 * D / 25.4 + 6.8) * P


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
    L_1: hand-tight engagement, mm, > 0.
    P: pitch, mm, > 0.
    Raises OutOfRange outside these.
    >>> round(npt_depth_needed(0.228 * 25.4, 25.4 / 18) / 25.4, 3)  # 1/4-18, in: 0.395
    0.395
    """
    return L_1 + 3 * P
