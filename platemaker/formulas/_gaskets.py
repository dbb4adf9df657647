"""What a gasket needs and how far apart its bolts may stand. ASME BPVC VIII-1, Appendix 2, and TEMA.

The code's round forms π G are written here for a seal line of any shape: π G becomes its length, π G²/4 its area.
"""

from __future__ import annotations

from platemaker.formulas._registry import above, at_least, formula
from platemaker.formulas._sources import ASME_VIII_1, TEMA_9


@formula(
    ASME_VIII_1,
    "App. 2, Table 2-5.2",
    law="b = b_0 if b_0 <= 6 mm, else 2.5 sqrt(b_0); b_0 = N/2",
    gives="mm",
    N=above(0, "mm"),
)
def gasket_seating_width(N: float) -> float:
    """Effective seating width of a flat gasket.

    Source: ASME BPVC VIII-1 (2019), App. 2, Table 2-5.2.
    N: contact width of the gasket, mm, > 0.
    Raises OutOfRange outside it.
    >>> gasket_seating_width(10.0), gasket_seating_width(32.0)
    (5.0, 10.0)
    """
    b_0 = N / 2
    return b_0 if b_0 <= 6 else 2.5 * b_0**0.5


@formula(
    ASME_VIII_1,
    "App. 2, 2-5(c)(1)",
    law="W_m1 = A p + 2 b L m p",
    gives="N",
    A=above(0, "mm2"),
    L=above(0, "mm"),
    b=above(0, "mm"),
    m=at_least(0, "-"),
    p=at_least(0, "MPa"),
)
def gasket_operating_load(A: float, L: float, b: float, m: float, p: float) -> float:
    """Bolt load that a gasketed joint needs under pressure.

    Source: ASME BPVC VIII-1 (2019), App. 2, 2-5(c)(1).
    A: area inside the seal line, mm2, > 0.
    L: length of the seal line, mm, > 0.
    b: effective seating width, mm, > 0.
    m: gasket factor, no unit, >= 0.
    p: pressure, MPa, >= 0.
    Raises OutOfRange outside these.
    >>> gasket_operating_load(10_000.0, 400.0, 5.0, 2.0, 0.1)
    1800.0
    """
    return A * p + 2 * b * L * m * p


@formula(
    ASME_VIII_1,
    "App. 2, 2-5(c)(2)",
    law="W_m2 = b L y",
    gives="N",
    L=above(0, "mm"),
    b=above(0, "mm"),
    y=at_least(0, "MPa"),
)
def gasket_seating_load(L: float, b: float, y: float) -> float:
    """Bolt load that seats a gasket without pressure.

    Source: ASME BPVC VIII-1 (2019), App. 2, 2-5(c)(2).
    L: length of the seal line, mm, > 0.
    b: effective seating width, mm, > 0.
    y: seating stress, MPa, >= 0.
    Raises OutOfRange outside these.
    >>> gasket_seating_load(400.0, 5.0, 10.0)
    20000.0
    """
    return b * L * y


@formula(
    TEMA_9,
    "RCB-11.22",
    law="s = 2 d + 6 t/(m + 0.5)",
    gives="mm",
    d=above(0, "mm"),
    t=above(0, "mm"),
    m=at_least(0, "-"),
)
def bolt_spacing_limit(d: float, t: float, m: float) -> float:
    """Largest recommended spacing of bolts on a gasketed flange.

    Source: TEMA 9th ed., RCB-11.22.
    d: bolt diameter, mm, > 0.
    t: flange thickness, mm, > 0.
    m: gasket factor, no unit, >= 0.
    Raises OutOfRange outside these.
    >>> bolt_spacing_limit(8.0, 25.0, 1.5)
    91.0
    """
    return 2 * d + 6 * t / (m + 0.5)
