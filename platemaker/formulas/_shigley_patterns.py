"""Loads shared over a bolt pattern. Shigley 9th ed., section 8-12, and the statics behind it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.formulas._registry import any_number, formula, refuse
from platemaker.formulas._sources import SHIGLEY_9
from platemaker.records import Record

Point = tuple[float, float]


class PatternProperties(Record):
    """Centroid of equal bolts and their second moments about it, each bolt counted as one: mm and mm2."""

    x: float
    y: float
    S_xx: float
    S_yy: float
    S_xy: float

    @property
    def polar(self) -> float:
        """Σ r², mm2."""
        return self.S_xx + self.S_yy


@formula(
    SHIGLEY_9,
    "eq. 8-56",
    law="x̄ = Σ x/n, ȳ = Σ y/n; S_xx = Σ (x − x̄)², S_yy = Σ (y − ȳ)², S_xy = Σ (x − x̄)(y − ȳ)",
    gives={"x": "mm", "y": "mm", "S_xx": "mm2", "S_yy": "mm2", "S_xy": "mm2"},
    points=any_number("mm"),
)
def pattern_properties(points: Sequence[Point]) -> PatternProperties:
    """Centroid and second moments of a pattern of equal bolts.

    Source: Shigley 9th ed., eq. 8-56.
    points: centre of each bolt as (x, y).
    Raises OutOfRange for no bolt at all.
    >>> pattern_properties([(0, 0), (120, 0), (120, 150), (0, 150)]).polar / 4  # Example 8-7: r = 96.0 mm, r² = 9225
    9225.0
    """
    if not points:
        raise refuse(pattern_properties, "points", 0, "one bolt or more")
    x, y = (math.fsum(p[axis] for p in points) / len(points) for axis in (0, 1))
    return PatternProperties(
        x,
        y,
        math.fsum((p[0] - x) ** 2 for p in points),
        math.fsum((p[1] - y) ** 2 for p in points),
        math.fsum((p[0] - x) * (p[1] - y) for p in points),
    )


@formula(
    SHIGLEY_9,
    "eq. 8-57",
    law="F_i = (F_x/n − M y_i/Σr², F_y/n + M x_i/Σr²), x_i and y_i from the centroid",
    gives="N",
    points=any_number("mm"),
    F_x=any_number("N"),
    F_y=any_number("N"),
    M=any_number("N.mm"),
)
def pattern_shear(points: Sequence[Point], F_x: float, F_y: float, M: float) -> tuple[Point, ...]:
    """Shear on each bolt, as (x, y) forces: the equal share and the share of the moment.

    Source: Shigley 9th ed., eq. 8-57.
    points: centre of each bolt as (x, y).
    F_x: force on the pattern along x.
    F_y: force on the pattern along y.
    M: moment about the pattern's centroid, counter-clockwise.
    Raises OutOfRange for no bolt, and for a moment on bolts that all stand on one spot.
    >>> shares = pattern_shear([(-75, 60), (75, 60), (75, -60), (-75, -60)], 0, 16e3, 6.8e6)
    >>> [round(math.hypot(*share) / 1000, 1) for share in shares]  # Example 8-7, p. 458, kN: 21.0 and 14.8
    [14.8, 21.0, 21.0, 14.8]
    """
    centre = pattern_properties(points)
    if M != 0 and centre.polar == 0:
        raise refuse(pattern_shear, "M", M, "0 N.mm on a single spot")
    turn = M / centre.polar if M != 0 else 0.0
    n = len(points)
    return tuple((F_x / n - turn * (y - centre.y), F_y / n + turn * (x - centre.x)) for x, y in points)


@formula(
    SHIGLEY_9,
    "sec. 8-12, rigid plate",
    law="T_i = N/n + a x_i + b y_i, where a and b balance the moments: Σ T_i x_i = M_y, Σ T_i y_i = M_x",
    gives="N",
    points=any_number("mm"),
    N=any_number("N"),
    M_x=any_number("N.mm"),
    M_y=any_number("N.mm"),
)
def pattern_tension(points: Sequence[Point], N: float, M_x: float, M_y: float) -> tuple[float, ...]:
    """Tension on each bolt from a pull and from moments about the centroid of the pattern, the plate taken as rigid.

    M_x = N times the offset of the pull along y, M_y = N times its offset along x; negative tension is compression
    that the joint face takes.

    Source: Shigley 9th ed., sec. 8-12, rigid plate.
    points: centre of each bolt as (x, y).
    N: pull on the pattern.
    M_x: Σ T y about the centroid.
    M_y: Σ T x about the centroid.
    Raises OutOfRange for no bolt, and for a moment across bolts in one line or on one spot.
    >>> pattern_tension([(-50, -40), (50, -40), (50, 40), (-50, 40)], 4000.0, 0.0, 20_000.0)
    (900.0, 1100.0, 1100.0, 900.0)
    """
    centre = pattern_properties(points)
    share = N / len(points)
    if M_x == 0 and M_y == 0:
        return (share,) * len(points)
    determinant = centre.S_xx * centre.S_yy - centre.S_xy**2
    if determinant <= 1e-12 * centre.polar**2:  # relative: bolts of one line differ only by rounding
        raise refuse(pattern_tension, "M_x", M_x, "no moment on bolts that stand in one line")
    a = (M_y * centre.S_yy - M_x * centre.S_xy) / determinant
    b = (M_x * centre.S_xx - M_y * centre.S_xy) / determinant
    return tuple(share + a * (x - centre.x) + b * (y - centre.y) for x, y in points)


@formula(
    SHIGLEY_9,
    "sec. 8-12, tilting about an edge",
    law="T_i = M c_i / Σ c²",
    gives="N",
    M=any_number("N.mm"),
    c=any_number("mm"),
)
def tilting_tension(M: float, c: Sequence[float]) -> tuple[float, ...]:
    """Tension on each bolt of a plate that tilts about its edge.

    Source: Shigley 9th ed., sec. 8-12, tilting about an edge.
    M: tilting moment about the edge.
    c: distance of each bolt from that edge.
    Raises OutOfRange for bolts that all stand on the edge.
    >>> [round(T) for T in tilting_tension(12e3 * 400, [50, 50, 375, 375])]
    [838, 838, 6288, 6288]
    """
    total = math.fsum(each**2 for each in c)
    if total == 0:
        raise refuse(tilting_tension, "c", 0, "a bolt away from the edge")
    return tuple(M * each / total for each in c)
