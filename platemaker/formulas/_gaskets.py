"""What a gasket needs and how far apart its bolts may stand. ASME BPVC VIII-1, Appendix 2, and TEMA."""

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
    N: contact width of the gasket.
    >>> gasket_seating_width(10.0), gasket_seating_width(32.0)
    (5.0, 10.0)
    """
    b_0 = N / 2
    return b_0 if b_0 <= 6 else 2.5 * b_0**0.5


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
    d: bolt diameter.
    t: flange thickness.
    m: gasket factor.
    >>> bolt_spacing_limit(8.0, 25.0, 1.5)
    91.0
    """
    return 2 * d + 6 * t / (m + 0.5)
