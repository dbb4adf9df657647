"""Limits of size of unified inch screw threads, classes 2A and 2B. ASME B1.1-2003."""

from __future__ import annotations

import math

from platemaker.formulas._iso_965_1_2013 import ThreadLimits
from platemaker.formulas._registry import between, formula, refuse
from platemaker.formulas._sources import ASME_B1_1


@formula(
    ASME_B1_1,
    "sec. 5",
    law="in inch: T_d2 = 0.0015 d^(1/3) + 0.0015 L_e^(1/2) + 0.015 P^(2/3) with L_e = d; allowance 0.3 T_d2; "
    "T_d = 0.060 P^(2/3); T_D2 = 1.3 T_d2; T_D1 = 0.25 P − 0.4 P² from 1/4 in, "
    "below it 0.05 P^(2/3) + 0.03 P/d − 0.002, within 0.25 P − 0.4 P² and 0.394 P",
    gives=dict.fromkeys(("major_external_min", "pitch_external_min", "pitch_internal_max", "minor_internal_max"), "mm"),
    d=between(1.5, 102, "mm"),
    P=between(0.3, 6.35, "mm"),
)
def unified_thread_limits(d: float, P: float) -> ThreadLimits:
    """Limits of size of a 2A screw and a 2B hole, for an engagement of one diameter.

    Source: ASME B1.1-2003, sec. 5.
    d: nominal diameter.
    P: pitch.
    Raises OutOfRange for a pitch of d/3.5 or more.
    >>> limits = unified_thread_limits(6.35, 1.27)  # 1/4-20 2A, in: 0.2127
    >>> round(limits.pitch_external_min / 25.4, 4)
    0.2127
    """
    if d <= 3.5 * P:
        raise refuse(unified_thread_limits, "P", P, f"less than d/3.5 = {d / 3.5:g} mm")
    D, p = d / 25.4, P / 25.4
    pitch = 0.0015 * D ** (1 / 3) + 0.0015 * math.sqrt(D) + 0.015 * p ** (2 / 3)
    allowance = 0.3 * pitch
    least = 0.25 * p - 0.4 * p**2
    minor = least if D >= 0.25 else max(least, min(0.394 * p, 0.05 * p ** (2 / 3) + 0.03 * p / D - 0.002))
    basic_pitch = D - 0.649519 * p
    return ThreadLimits(
        major_external_min=25.4 * (D - allowance - 0.060 * p ** (2 / 3)),
        pitch_external_min=25.4 * (basic_pitch - allowance - pitch),
        pitch_internal_max=25.4 * (basic_pitch + 1.3 * pitch),
        minor_internal_max=25.4 * (D - 1.082532 * p + minor),
    )
