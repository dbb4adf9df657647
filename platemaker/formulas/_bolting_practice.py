"""Choosing bolts and tightening them: length, head bearing, order."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.formulas._registry import above, any_number, at_least, formula, refuse
from platemaker.formulas._sources import ASME_PCC_1, COMMON_PRACTICE, SHIGLEY_9


@formula(
    COMMON_PRACTICE,
    "bearing stress",
    law="p = F/((π/4)(d_w² − d_h²))",
    gives="MPa",
    F=at_least(0, "N"),
    d_w=above(0, "mm"),
    d_h=above(0, "mm"),
)
def head_bearing_stress(F: float, d_w: float, d_h: float) -> float:
    """Pressure of a head or washer on the part under it.

    Source: common practice, no source, bearing stress.
    F: force of the bolt.
    d_w: outside diameter of the bearing face.
    d_h: hole diameter.
    Raises OutOfRange unless d_h < d_w.
    >>> round(head_bearing_stress(16_000.0, 13.0, 9.0), 1)
    231.5
    """
    if d_h >= d_w:
        raise refuse(head_bearing_stress, "d_h", d_h, f"< d_w = {d_w:g} mm")
    return F / (math.pi / 4 * (d_w**2 - d_h**2))


@formula(
    SHIGLEY_9,
    "Table 8-7, bolt with nut",
    law="L > l + H; with threads showing: L = l + H + n P",
    gives="mm",
    l_g=above(0, "mm"),
    H=above(0, "mm"),
    P=at_least(0, "mm"),
    n=at_least(0, "-"),
)
def through_bolt_length(l_g: float, H: float, P: float, n: float = 2.0) -> float:
    """Length that a bolt with a nut needs.

    Source: Shigley 9th ed., Table 8-7, bolt with nut.
    l_g: grip, washers included.
    H: height of the nut.
    P: pitch.
    n: threads that show beyond the nut.
    >>> through_bolt_length(25.0, 6.5, 1.25)
    34.0
    """
    return l_g + H + n * P


@formula(
    COMMON_PRACTICE,
    "stock lengths",
    gives="mm",
    law="shortest L of the stock lengths with L − h >= L_e, if L − h <= L_max",
    lengths=above(0, "mm"),
    h=at_least(0, "mm"),
    L_e=above(0, "mm"),
    L_max=above(0, "mm"),
)
def tapped_bolt_length(lengths: Sequence[float], h: float, L_e: float, L_max: float) -> float | None:
    """Shortest stock screw that engages enough thread without bottoming; None where no stock length does.

    Source: common practice, no source, stock lengths.
    lengths: stock lengths.
    h: thickness under the head.
    L_e: least engagement.
    L_max: depth that the screw may reach into the tapped part.
    >>> tapped_bolt_length([20, 25, 30, 35, 40], 12.0, 16.0, 20.0)
    30
    >>> tapped_bolt_length([20, 25, 40], 12.0, 16.0, 20.0) is None
    True
    """
    fits = [L for L in lengths if L_e <= L - h <= L_max]
    return min(fits, default=None)


@formula(
    ASME_PCC_1,
    "star pattern",
    gives="-",
    angles=any_number("deg"),
    law="first bolt, its opposite, then the bolt farthest from all tightened ones, its opposite, and so on",
)
def tightening_order(angles: Sequence[float]) -> tuple[int, ...]:
    """Order in which bolts round an opening are tightened: indices into `angles`, crosswise.

    Among bolts equally far from those already tight, the one farthest from the last pair comes first.

    Source: ASME PCC-1-2010, star pattern.
    angles: bearing of each bolt from the middle of the pattern.
    >>> tightening_order([0, 45, 90, 135, 180, 225, 270, 315])  # bolts 1 5 3 7 2 6 4 8
    (0, 4, 2, 6, 1, 5, 3, 7)
    """
    left, order, last = list(range(len(angles))), [], []  # type: list[int], list[int], list[int]

    def nearest(index: int, others: Sequence[int]) -> float:
        return round(min((_apart(angles[index], angles[other]) for other in others), default=0.0), 9)

    while left:
        first = max(left, key=lambda i: (nearest(i, order), nearest(i, last), -i))
        left.remove(first)
        last = [first]
        if left:
            opposite = min(left, key=lambda i: (round(_apart(angles[i], angles[first] + 180), 9), i))
            left.remove(opposite)
            last.append(opposite)
        order += last
    return tuple(order)


def _apart(one: float, other: float) -> float:
    """Angle between two bearings, 0 to 180 degrees."""
    return abs((one - other + 180) % 360 - 180)


@formula(
    COMMON_PRACTICE,
    "from the middle outwards",
    gives="-",
    points=any_number("mm"),
    law="by distance from the middle of the pattern; bolts of one distance crosswise",
)
def tightening_order_outwards(points: Sequence[tuple[float, float]]) -> tuple[int, ...]:
    """Order in which the bolts of a long or many-rowed pattern are tightened: indices into `points`.

    Source: common practice, no source, from the middle outwards.
    points: centre of each bolt as (x, y).
    >>> tightening_order_outwards([(-50, 0), (0, 0), (50, 0), (100, 0), (-100, 0)])
    (1, 0, 2, 3, 4)
    """
    if not points:
        return ()
    x, y = (math.fsum(p[axis] for p in points) / len(points) for axis in (0, 1))
    rings: dict[float, list[int]] = {}
    for index, point in enumerate(points):
        rings.setdefault(round(math.hypot(point[0] - x, point[1] - y), 6), []).append(index)
    order: list[int] = []
    for radius in sorted(rings):
        ring = rings[radius]
        bearings = [math.degrees(math.atan2(points[i][1] - y, points[i][0] - x)) for i in ring]
        order += [ring[place] for place in tightening_order(bearings)]
    return tuple(order)
