"""Face glands of O-rings: squeeze, fill and stretch. Arithmetic of the section; limits belong to the catalog."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, between, formula
from platemaker.formulas._sources import GEOMETRY


@formula(GEOMETRY, "squeeze", law="S = (W − h)/W", gives="-", W=above(0, "mm"), h=above(0, "mm"))
def oring_squeeze(W: float, h: float) -> float:
    """Share of the section by which a gland squeezes an O-ring; negative where the ring does not touch.

    Source: plane and solid geometry, squeeze.
    W: section of the O-ring.
    h: depth of the gland.
    >>> round(oring_squeeze(3.53, 2.54), 2)  # AS568-2xx in its shallowest face gland: 28 %
    0.28
    """
    return (W - h) / W


@formula(GEOMETRY, "fill", law="φ = (π W²/4)/(h b)", gives="-", W=above(0, "mm"), h=above(0, "mm"), b=above(0, "mm"))
def oring_fill(W: float, h: float, b: float) -> float:
    """Share of a rectangular gland that the O-ring's section fills.

    Source: plane and solid geometry, fill.
    W: section of the O-ring.
    h: depth of the gland.
    b: width of the groove.
    >>> round(oring_fill(3.53, 2.64, 4.57), 2)
    0.81
    """
    return math.pi * W**2 / 4 / (h * b)


@formula(
    GEOMETRY,
    "stretch",
    law="ε = L/(π (d_1 + W)) − 1",
    gives="-",
    L=above(0, "mm"),
    d_1=above(0, "mm"),
    W=above(0, "mm"),
)
def oring_stretch(L: float, d_1: float, W: float) -> float:
    """Stretch of an O-ring laid along a groove's centre line; negative where the ring is too long.

    Source: plane and solid geometry, stretch.
    L: length of the groove's centre line.
    d_1: inside diameter of the O-ring.
    W: section of the O-ring.
    >>> round(oring_stretch(3.14159265 * 102.0, 97.0, 3.0), 6)
    0.02
    """
    return L / (math.pi * (d_1 + W)) - 1


@formula(
    GEOMETRY, "constant volume", law="W' = W/sqrt(1 + ε)", gives="mm", W=above(0, "mm"), stretch=between(-0.9, 0.5, "-")
)
def oring_section_stretched(W: float, stretch: float) -> float:
    """Section of an O-ring after stretching, its volume kept.

    Source: plane and solid geometry, constant volume.
    W: section of the O-ring at rest.
    stretch: share by which it is stretched.
    >>> round(oring_section_stretched(3.53, 0.03), 3)
    3.478
    """
    return W / math.sqrt(1 + stretch)
