"""Edge distance and spacing of bolts in structural steel. AISC 360-16, section J3."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula, refuse
from platemaker.formulas._sources import AISC_360

EDGE_MM = {16: 22, 20: 26, 22: 28, 24: 30, 27: 34, 30: 38, 36: 46}
EDGE_INCH = {0.5: 0.75, 0.625: 0.875, 0.75: 1.0, 0.875: 1.125, 1.0: 1.25, 1.125: 1.5, 1.25: 1.625}


@formula(
    AISC_360,
    "Tables J3.4 and J3.4M",
    gives="mm",
    d=above(0, "mm"),
    law="from the table by bolt size; 1.25 d above 36 mm or 1-1/4 in",
)
def edge_distance_aisc(d: float) -> float:
    """Least distance from the centre of a standard hole to an edge.

    Source: AISC 360-16, Tables J3.4 and J3.4M.
    d: nominal bolt diameter, mm, > 0.
    Raises OutOfRange outside it, and for a size that the tables do not hold: they begin at M16 and 1/2 in.
    >>> edge_distance_aisc(16.0), round(edge_distance_aisc(12.7), 2)  # M16: 22 mm; 1/2 in: 3/4 in
    (22.0, 19.05)
    """
    for size, edge in EDGE_MM.items():
        if abs(d - size) < 1e-6:
            return float(edge)
    for size_in, edge_in in EDGE_INCH.items():
        if abs(d - size_in * 25.4) < 1e-6:
            return edge_in * 25.4
    if d > max(EDGE_MM):
        return 1.25 * d
    raise refuse(edge_distance_aisc, "d", d, "M16 to M36, 1/2 to 1-1/4 in, or above 36 mm")


@formula(AISC_360, "J3.3", law="s = 2 2/3 d (3 d preferred)", gives="mm", d=above(0, "mm"))
def bolt_spacing_aisc(d: float) -> float:
    """Least distance between the centres of bolts.

    Source: AISC 360-16, J3.3.
    d: nominal bolt diameter, mm, > 0.
    Raises OutOfRange outside it.
    >>> bolt_spacing_aisc(12.0)
    32.0
    """
    return 8 * d / 3


@formula(AISC_360, "J3.5", law="e = 12 t, not over 150 mm", gives="mm", t=above(0, "mm"))
def largest_edge_distance_aisc(t: float) -> float:
    """Largest distance from a bolt's centre to the nearest edge of the parts in contact.

    Source: AISC 360-16, J3.5.
    t: thickness of the connected part, mm, > 0.
    Raises OutOfRange outside it.
    >>> largest_edge_distance_aisc(6.0), largest_edge_distance_aisc(25.0)
    (72.0, 150.0)
    """
    return min(12 * t, 150.0)
