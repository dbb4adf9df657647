"""Plates under even pressure: circles and rectangles, supported at the edge.

Rectangles are solved by the series of Timoshenko & Woinowsky-Krieger, not looked up, so that any aspect and any
Poisson's ratio is answered. All hold for small deflections (up to half the thickness), which is enforced.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from platemaker.formulas._registry import above, at_least, between, formula, refuse
from platemaker.formulas._sources import ROARK_7, TIMOSHENKO_PLATES
from platemaker.records import Record


class PlateBending(Record):
    """Largest bending stresses, MPa, and the deflection at the centre, mm. All positive."""

    stress_centre: float
    stress_edge: float
    deflection: float


UNITS = {"stress_centre": "MPa", "stress_edge": "MPa", "deflection": "mm"}


def _bending(
    function: Callable[..., object], q: float, t: float, moments: tuple[float, float], deflection: float
) -> PlateBending:
    """The record, refused where small-deflection theory no longer holds."""
    if deflection > t / 2:
        allowed = f"a deflection up to t/2 = {t / 2:g} mm, here {deflection:.4g} mm"
        raise refuse(function, "q", q, allowed)
    centre, edge = (6 * moment / t**2 for moment in moments)
    return PlateBending(centre, edge, deflection)


def _rigidity(E: float, t: float, nu: float) -> float:
    return E * t**3 / (12 * (1 - nu**2))


@formula(
    ROARK_7,
    "Table 11.2, case 10a",
    gives=UNITS,
    law="M = (3 + ν) q r²/16, σ = 6 M/t²; y = (5 + ν) q r⁴/(64 (1 + ν) D), D = E t³/(12 (1 − ν²))",
    r=above(0, "mm"),
    t=above(0, "mm"),
    q=at_least(0, "MPa"),
    E=above(0, "MPa"),
    nu=between(0, 0.5, "-"),
)
def round_plate_supported(r: float, t: float, q: float, E: float, nu: float = 0.3) -> PlateBending:
    """Round plate, simply supported at its edge, under even pressure.

    Source: Roark 7th ed., Table 11.2, case 10a.
    r: radius.
    t: thickness.
    q: pressure.
    E: modulus.
    nu: Poisson's ratio.
    Raises OutOfRange for a deflection above t/2.
    >>> plate = round_plate_supported(100.0, 10.0, 0.5, 200e3)  # 3 (3 + 0.3) 0.5 100²/(8 × 10²)
    >>> round(plate.stress_centre, 3)
    61.875
    """
    deflection = (5 + nu) * q * r**4 / (64 * (1 + nu) * _rigidity(E, t, nu))
    return _bending(round_plate_supported, q, t, ((3 + nu) * q * r**2 / 16, 0.0), deflection)


@formula(
    TIMOSHENKO_PLATES,
    "art. 30, eqs. 139 and 143",
    gives=UNITS,
    law="Levy's series at the centre: y = (q b⁴/D)(5/384 − (4/π⁵) Σ s (α tanh α + 2)/(2 m⁵ cosh α)), m = 1, 3, ...; "
    "s = ±1, α = m π a/(2 b); M from its curvatures; σ = 6 M/t²",
    a=above(0, "mm"),
    b=above(0, "mm"),
    t=above(0, "mm"),
    q=at_least(0, "MPa"),
    E=above(0, "MPa"),
    nu=between(0, 0.5, "-"),
)
def rectangular_plate_supported(a: float, b: float, t: float, q: float, E: float, nu: float = 0.3) -> PlateBending:
    """Rectangular plate, simply supported at all edges, under even pressure.

    Source: Timoshenko & Woinowsky-Krieger 2nd ed., art. 30, eqs. 139 and 143.
    a: one side.
    b: other side.
    t: thickness.
    q: pressure.
    E: modulus.
    nu: Poisson's ratio.
    Raises OutOfRange for a deflection above t/2.
    >>> plate = rectangular_plate_supported(200.0, 100.0, 10.0, 1.0, 70e3)  # Roark: beta = 0.6102 at a/b = 2
    >>> round(plate.stress_centre / (1.0 * 100**2 / 10**2), 3)
    0.61
    """
    b, a = sorted((a, b))
    deflection, across, along = 5 / 384, 1 / 8, 0.0
    for k in range(12):  # cosh(m π/2) makes the twelfth term less than 1e-16 of the first even for a square
        m, sign = 2 * k + 1, (-1) ** k
        alpha = m * math.pi * a / (2 * b)
        if alpha > 300:
            break
        decay = sign / math.cosh(alpha)
        growth = alpha * math.tanh(alpha)
        deflection -= 4 / math.pi**5 * decay * (growth + 2) / (2 * m**5)
        across -= 4 / math.pi**3 * decay * (growth + 2) / (2 * m**3)
        along += 4 / math.pi**3 * decay * growth / (2 * m**3)
    moment = max(across + nu * along, along + nu * across) * q * b**2
    return _bending(rectangular_plate_supported, q, t, (moment, 0.0), deflection * q * b**4 / _rigidity(E, t, nu))
