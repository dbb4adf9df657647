"""A flange between bolts as a beam on the gasket as its elastic foundation. Hetenyi 1946.

Closed form for an infinite beam with equal loads at equal spacing: the series of the single-load solution is
geometric and is summed here. Where both plates bend, take the foundation of half the gasket's thickness under each.
"""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import HETENYI


@formula(
    HETENYI,
    "art. 1, eq. a",
    law="k = E_g b / t_g",
    gives="N/mm2",
    E_g=above(0, "MPa"),
    b=above(0, "mm"),
    t_g=above(0, "mm"),
)
def foundation_modulus(E_g: float, b: float, t_g: float) -> float:
    """Load on a length of gasket for a unit of its compression.

    Source: Hetenyi 1946, art. 1, eq. a.
    E_g: compression modulus of the gasket at its working stress.
    b: width of the gasket.
    t_g: thickness of the gasket.
    >>> foundation_modulus(100.0, 12.0, 1.5)
    800.0
    """
    return E_g * b / t_g


@formula(
    HETENYI,
    "art. 1, eq. 2",
    law="λ = (k / (4 E I))^(1/4), I = b_f t³/12",
    gives="1/mm",
    k=above(0, "N/mm2"),
    E=above(0, "MPa"),
    b_f=above(0, "mm"),
    t=above(0, "mm"),
)
def flange_characteristic(k: float, E: float, b_f: float, t: float) -> float:
    """Characteristic of the flange strip that lies on the gasket; 1/λ is the reach of one bolt.

    Source: Hetenyi 1946, art. 1, eq. 2.
    k: foundation modulus of the gasket.
    E: modulus of the flange.
    b_f: width of the flange strip.
    t: thickness of the flange.
    >>> round(1 / flange_characteristic(1500.0, 30e6, 12 * 44.0, 1.0), 2)  # a rail of I = 44 in4 on 1500 psi
    43.31
    """
    return math.sqrt(math.sqrt(k / (4 * E * b_f * t**3 / 12)))


@formula(
    HETENYI,
    "art. 4, eq. 5a, summed",
    gives="N/mm",
    law="q = (F λ/2) (sinh λs + sin λs)/(cosh λs − cos λs)",
    F=above(0, "N"),
    s=above(0, "mm"),
    lam=above(0, "1/mm"),
)
def gasket_load_at_bolt(F: float, s: float, lam: float) -> float:
    """Line load on the gasket beneath a bolt.

    Source: Hetenyi 1946, art. 4, eq. 5a, summed.
    F: force of each bolt.
    s: spacing of the bolts.
    lam: characteristic λ of the flange.
    >>> round(gasket_load_at_bolt(10_000.0, 500.0, 0.05), 3)  # bolts far apart: F λ/2
    250.0
    """
    w = lam * s
    e = math.exp(-w)  # sinh and cosh times 2 exp(-w), so that long spans do not overflow
    return F * lam / 2 * (1 - e * e + 2 * e * math.sin(w)) / (1 + e * e - 2 * e * math.cos(w))


@formula(
    HETENYI,
    "art. 4, eq. 5a, summed",
    gives="N/mm",
    law="q = F λ (sinh h cos h + cosh h sin h)/(cosh 2h − cos 2h), h = λs/2",
    F=above(0, "N"),
    s=above(0, "mm"),
    lam=above(0, "1/mm"),
)
def gasket_load_between_bolts(F: float, s: float, lam: float) -> float:
    """Line load on the gasket midway between two bolts; negative where the flange would lift.

    Source: Hetenyi 1946, art. 4, eq. 5a, summed.
    F: force of each bolt.
    s: spacing of the bolts.
    lam: characteristic λ of the flange.
    >>> round(gasket_load_between_bolts(10_000.0, 10.0, 0.001), 3)  # stiff flange: F/s, evenly
    1000.0
    """
    h = lam * s / 2
    one, three = math.exp(-h), math.exp(-3 * h)
    below = 1 + math.exp(-4 * h) - 2 * math.exp(-2 * h) * math.cos(2 * h)
    return F * lam * ((one - three) * math.cos(h) + (one + three) * math.sin(h)) / below
