"""Position tolerances of fasteners in clearance holes. ASME Y14.5-2009, Appendix B."""

from __future__ import annotations

from platemaker.formulas._registry import above, at_least, formula, refuse
from platemaker.formulas._sources import ASME_Y14_5


@formula(ASME_Y14_5, "B.3", law="T = H − F", gives="mm", H=above(0, "mm"), F=above(0, "mm"))
def floating_fastener_tolerance(H: float, F: float) -> float:
    """Position tolerance of the holes in each part, both parts with clearance holes.

    Source: ASME Y14.5-2009, B.3.
    H: smallest hole diameter, mm, > 0.
    F: largest fastener diameter, mm, > 0.
    Raises OutOfRange outside these, and unless F <= H.
    >>> floating_fastener_tolerance(9.0, 8.0)
    1.0
    """
    if F > H:
        raise refuse(floating_fastener_tolerance, "F", F, f"<= H = {H:g} mm")
    return H - F


@formula(ASME_Y14_5, "B.4", law="T = (H − F)/2", gives="mm", H=above(0, "mm"), F=above(0, "mm"))
def fixed_fastener_tolerance(H: float, F: float) -> float:
    """Position tolerance of the holes in each part, one part tapped with a projected tolerance zone.

    Source: ASME Y14.5-2009, B.4.
    H: smallest hole diameter, mm, > 0.
    F: largest fastener diameter, mm, > 0.
    Raises OutOfRange outside these, and unless F <= H.
    >>> fixed_fastener_tolerance(9.0, 8.0)
    0.5
    """
    if F > H:
        raise refuse(fixed_fastener_tolerance, "F", F, f"<= H = {H:g} mm")
    return (H - F) / 2


@formula(
    ASME_Y14_5,
    "B.5",
    law="T_1 = H − F − T_2 (1 + 2 P/D)",
    gives="mm",
    H=above(0, "mm"),
    F=above(0, "mm"),
    T_2=at_least(0, "mm"),
    P=at_least(0, "mm"),
    D=above(0, "mm"),
)
def fixed_fastener_clearance_tolerance(H: float, F: float, T_2: float, P: float, D: float) -> float:
    """Position tolerance left for the clearance holes when the tapped holes have no projected tolerance zone.

    Negative when the tapped holes alone use up the clearance.

    Source: ASME Y14.5-2009, B.5.
    H: smallest hole diameter, mm, > 0.
    F: largest fastener diameter, mm, > 0.
    T_2: position tolerance of the tapped holes, mm, >= 0.
    P: thickness of the part with the clearance holes, mm, >= 0.
    D: depth of thread engaged, mm, > 0.
    Raises OutOfRange outside these.
    >>> round(fixed_fastener_clearance_tolerance(9.0, 8.0, 0.2, 16.0, 16.0), 9)
    0.4
    """
    return H - F - T_2 * (1 + 2 * P / D)
