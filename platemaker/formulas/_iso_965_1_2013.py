"""Limits of size of metric screw threads, tolerance classes 6g and 6H. ISO 965-1:2013."""

from __future__ import annotations

import math

from platemaker.formulas._registry import between, formula, refuse
from platemaker.formulas._sources import ISO_965_1
from platemaker.records import Record

DIAMETER_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0)
"""Bounds of the standard's diameter groups, mm; each group's tolerances use the geometric mean of its bounds."""


class ThreadLimits(Record):
    """Limits of size that decide how much thread a screw and its hole share, mm."""

    major_external_min: float
    pitch_external_min: float
    pitch_internal_max: float
    minor_internal_max: float


@formula(
    ISO_965_1,
    "clause 13",
    law="es = −(15 + 11 P) µm; T_d = 180 P^(2/3) − 3.15 P^(−1/2); T_d2 = 90 P^0.4 d^0.1; T_D2 = 1.32 T_d2; "
    "T_D1 = 433 P − 190 P^1.22 (P <= 0.8) or 230 P^0.7; d the geometric mean of the diameter group",
    gives=dict.fromkeys(("major_external_min", "pitch_external_min", "pitch_internal_max", "minor_internal_max"), "mm"),
    d=between(1, 90, "mm"),
    P=between(0.2, 8, "mm"),
)
def metric_thread_limits(d: float, P: float) -> ThreadLimits:
    """Limits of size of a 6g screw and a 6H hole.

    The standard rounds each tolerance to a preferred number; this does not, so it stands up to 4 percent of a
    tolerance (0.008 mm at M8) from the printed tables.

    Source: ISO 965-1:2013, clause 13.
    d: nominal diameter.
    P: pitch.
    Raises OutOfRange for a pitch of d/3.5 or more.
    >>> limits = metric_thread_limits(10.0, 1.5)  # ISO 965-2, M10 6g: 8.862
    >>> round(limits.pitch_external_min, 2)
    8.86
    """
    if d <= 3.5 * P:
        raise refuse(metric_thread_limits, "P", P, f"less than d/3.5 = {d / 3.5:g} mm")
    step = next(i for i, top in enumerate(DIAMETER_STEPS[1:]) if d <= top)
    mean = math.sqrt(DIAMETER_STEPS[step] * DIAMETER_STEPS[step + 1])
    allowance = (15 + 11 * P) / 1000
    major = (180 * P ** (2 / 3) - 3.15 / math.sqrt(P)) / 1000
    pitch = 90 * P**0.4 * mean**0.1 / 1000
    minor = (433 * P - 190 * P**1.22 if P <= 0.8 else 230 * P**0.7) / 1000
    H = math.sqrt(3) / 2 * P
    return ThreadLimits(
        major_external_min=d - allowance - major,
        pitch_external_min=d - 0.75 * H - allowance - pitch,
        pitch_internal_max=d - 0.75 * H + 1.32 * pitch,
        minor_internal_max=d - 1.25 * H + minor,
    )
