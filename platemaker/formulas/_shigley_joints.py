"""Bolted joints in tension: stiffness, preload and factors. Shigley 9th ed., chapter 8."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.formulas._registry import above, at_least, between, formula, refuse
from platemaker.formulas._sources import SHIGLEY_9

TAN_30 = 0.5774
"""The book's four digits for tan 30°; they are kept so that its examples come out to the last digit."""


@formula(
    SHIGLEY_9,
    "Table 8-7",
    law="L_T = 2 d + 6 (L <= 125), 2 d + 12 (125 < L <= 200), 2 d + 25 (L > 200), not more than L",
    gives="mm",
    d=above(0, "mm", 48),
    L=above(0, "mm"),
)
def thread_length_metric(d: float, L: float) -> float:
    """Threaded length of a metric hexagon bolt.

    Source: Shigley 9th ed., Table 8-7.
    d: nominal diameter.
    L: bolt length under the head.
    >>> thread_length_metric(12.0, 60.0)  # ISO 4014, M12: b = 30
    30.0
    """
    extra = 6 if L <= 125 else 12 if L <= 200 else 25
    return min(L, 2 * d + extra)


@formula(
    SHIGLEY_9,
    "Table 8-7",
    law="L_T = 2 d + 1/4 in (L <= 6 in), 2 d + 1/2 in (L > 6 in), not more than L",
    gives="mm",
    d=above(0, "mm"),
    L=above(0, "mm"),
)
def thread_length_inch(d: float, L: float) -> float:
    """Threaded length of an inch hexagon bolt.

    Source: Shigley 9th ed., Table 8-7.
    d: nominal diameter.
    L: bolt length under the head.
    >>> round(thread_length_inch(15.875, 57.15), 2)  # Example 8-4, 5/8 in: 1.50 in
    38.1
    """
    return min(L, 2 * d + (6.35 if L <= 6 * 25.4 else 12.7))


@formula(
    SHIGLEY_9,
    "Table 8-7",
    law="l = h + t_2/2 if t_2 < d, else h + d/2",
    gives="mm",
    h=above(0, "mm"),
    t_2=above(0, "mm"),
    d=above(0, "mm"),
)
def grip_tapped(h: float, t_2: float, d: float) -> float:
    """Effective grip of a cap screw in a tapped hole.

    Source: Shigley 9th ed., Table 8-7.
    h: thickness under the head, washer included.
    t_2: thickness of the tapped member.
    d: nominal diameter.
    >>> grip_tapped(0.595 * 25.4, 0.625 * 25.4, 0.5 * 25.4) / 25.4  # Problem 8-25: 0.845 in
    0.845
    """
    return h + min(t_2, d) / 2


@formula(
    SHIGLEY_9,
    "eq. 8-17",
    law="k_b = A_d A_t E / (A_d l_t + A_t l_d)",
    gives="N/mm",
    A_d=above(0, "mm2"),
    A_t=above(0, "mm2"),
    l_d=at_least(0, "mm"),
    l_t=at_least(0, "mm"),
    E=above(0, "MPa"),
)
def bolt_stiffness(A_d: float, A_t: float, l_d: float, l_t: float, E: float) -> float:
    """Stiffness of a bolt within its grip.

    Source: Shigley 9th ed., eq. 8-17.
    A_d: area of the plain shank.
    A_t: tensile stress area.
    l_d: length of plain shank in the grip.
    l_t: length of thread in the grip.
    E: modulus of the bolt.
    Raises OutOfRange for a grip of no length.
    >>> round(bolt_stiffness(0.3068, 0.226, 0.75, 0.75, 30.0), 2)  # Example 8-4, Mlbf/in: 5.21
    5.21
    """
    if l_d + l_t <= 0:
        raise refuse(bolt_stiffness, "l_t", l_t, "a grip l_d + l_t > 0 mm")
    return A_d * A_t * E / (A_d * l_t + A_t * l_d)


@formula(
    SHIGLEY_9,
    "eq. 8-20",
    law="k = 0.5774 π E d / ln(((1.155 t + D − d)(D + d)) / ((1.155 t + D + d)(D − d)))",
    gives="N/mm",
    E=above(0, "MPa"),
    d=above(0, "mm"),
    D=above(0, "mm"),
    t=above(0, "mm"),
)
def frustum_stiffness(E: float, d: float, D: float, t: float) -> float:
    """Stiffness of one frustum of a clamped member, half-apex angle 30 degrees.

    Source: Shigley 9th ed., eq. 8-20.
    E: modulus of the member.
    d: bolt diameter.
    D: smaller diameter of the frustum.
    t: thickness of the frustum.
    Raises OutOfRange unless D > d.
    >>> round(frustum_stiffness(14.5, 0.5, 0.86, 0.515), 2)  # solutions manual, Problem 8-24, Mlbf/in: 21.47
    21.47
    """
    if d >= D:
        raise refuse(frustum_stiffness, "D", D, f"> d = {d:g} mm")
    spread = 1.155 * t
    return TAN_30 * math.pi * E * d / math.log((spread + D - d) * (D + d) / ((spread + D + d) * (D - d)))


@formula(SHIGLEY_9, "eq. 8-18", law="1/k_m = Σ 1/k_i", gives="N/mm", k=above(0, "N/mm"))
def stiffness_in_series(k: Sequence[float]) -> float:
    """Stiffness of members clamped on top of one another.

    Source: Shigley 9th ed., eq. 8-18.
    k: stiffness of each member.
    Raises OutOfRange for no member at all.
    >>> round(stiffness_in_series([33.30, 173.8, 21.47, 97.27]), 2)  # Problem 8-24, Mlbf/in: 10.79
    10.79
    """
    if not k:
        raise refuse(stiffness_in_series, "k", 0, "one member or more")
    return 1 / sum(1 / each for each in k)


@formula(
    SHIGLEY_9, "eq. f, sec. 8-7", law="C = k_b / (k_b + k_m)", gives="-", k_b=above(0, "N/mm"), k_m=above(0, "N/mm")
)
def joint_constant(k_b: float, k_m: float) -> float:
    """Share of an outside load that the bolt takes.

    Source: Shigley 9th ed., eq. f, sec. 8-7.
    k_b: stiffness of the bolt.
    k_m: stiffness of the members.
    >>> round(joint_constant(5.21, 8.95), 3)  # Example 8-4: 0.368
    0.368
    """
    return k_b / (k_b + k_m)


@formula(
    SHIGLEY_9,
    "eq. 8-27",
    law="F = T / (K d)",
    gives="N",
    T=at_least(0, "N.mm"),
    K=between(0.05, 0.5, "-"),
    d=above(0, "mm"),
)
def preload_from_torque(T: float, K: float, d: float) -> float:
    """Preload that a tightening torque gives. K scatters: ask with its low and its high value.

    Source: Shigley 9th ed., eq. 8-27.
    T: torque.
    K: nut factor.
    d: nominal diameter.
    >>> preload_from_torque(24_000.0, 0.2, 8.0)
    15000.0
    """
    return T / (K * d)


@formula(
    SHIGLEY_9,
    "eq. 8-27",
    law="T = K F d",
    gives="N.mm",
    F=at_least(0, "N"),
    K=between(0.05, 0.5, "-"),
    d=above(0, "mm"),
)
def torque_for_preload(F: float, K: float, d: float) -> float:
    """Tightening torque for a preload.

    Source: Shigley 9th ed., eq. 8-27.
    F: preload.
    K: nut factor.
    d: nominal diameter.
    >>> torque_for_preload(25e3, 0.2, 0.75)  # Example 8-3, lbf.in: 3750
    3750.0
    """
    return K * F * d


@formula(
    SHIGLEY_9,
    "eq. 8-24",
    law="F_b = C P + F_i",
    gives="N",
    C=between(0, 1, "-"),
    P=at_least(0, "N"),
    F_i=at_least(0, "N"),
)
def bolt_load(C: float, P: float, F_i: float) -> float:
    """Tension in one bolt under an outside load, while the joint stays closed.

    Source: Shigley 9th ed., eq. 8-24.
    C: joint constant.
    P: outside load of this bolt.
    F_i: preload.
    >>> round(bolt_load(0.320, 6.0, 25.0) / 0.373, 2)  # Example 8-3, kpsi: 72.17
    72.17
    """
    return C * P + F_i


@formula(
    SHIGLEY_9,
    "eq. 8-25",
    law="F_m = F_i − (1 − C) P",
    gives="N",
    C=between(0, 1, "-"),
    P=at_least(0, "N"),
    F_i=at_least(0, "N"),
)
def clamp_left(C: float, P: float, F_i: float) -> float:
    """Clamping force left at one bolt; negative when the joint has opened. (The book counts compression negative.)

    Source: Shigley 9th ed., eq. 8-25.
    C: joint constant.
    P: outside load of this bolt.
    F_i: preload.
    >>> clamp_left(0.25, 4000.0, 10_000.0)
    7000.0
    """
    return F_i - (1 - C) * P


@formula(
    SHIGLEY_9,
    "eq. 8-28",
    law="n_p = S_p A_t / (C P + F_i)",
    gives="-",
    S_p=above(0, "MPa"),
    A_t=above(0, "mm2"),
    C=between(0, 1, "-"),
    P=at_least(0, "N"),
    F_i=above(0, "N"),
)
def yield_factor(S_p: float, A_t: float, C: float, P: float, F_i: float) -> float:
    """Factor against yielding of the bolt at the load.

    Source: Shigley 9th ed., eq. 8-28.
    S_p: proof strength.
    A_t: tensile stress area.
    C: joint constant.
    P: outside load of this bolt.
    F_i: preload.
    >>> round(yield_factor(85.0, 0.226, 0.368, 6.0, 14.4), 2)  # Example 8-4: 1.16
    1.16
    """
    return S_p * A_t / (C * P + F_i)


@formula(
    SHIGLEY_9,
    "eq. 8-30",
    law="n_0 = F_i / (P (1 − C))",
    gives="-",
    C=between(0, 1, "-"),
    P=above(0, "N"),
    F_i=at_least(0, "N"),
)
def separation_factor(C: float, P: float, F_i: float) -> float:
    """How many times the outside load may grow before the joint opens.

    Source: Shigley 9th ed., eq. 8-30.
    C: joint constant.
    P: outside load of this bolt.
    F_i: preload.
    Raises OutOfRange for C = 1, where no load reaches the members.
    >>> round(separation_factor(0.368, 6.0, 14.4), 2)  # Example 8-4: 3.80
    3.8
    """
    if C >= 1:
        raise refuse(separation_factor, "C", C, "< 1")
    return F_i / (P * (1 - C))
