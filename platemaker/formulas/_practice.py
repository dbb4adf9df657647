"""Rules of the trade in diameters: edge distance and thread engagement."""

from __future__ import annotations

import enum

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import COMMON_PRACTICE


class TappedMaterial(enum.Enum):
    """Kind of material that a hole is tapped in, with the engagement in diameters that practice asks of it."""

    STEEL = 1.0
    CAST_IRON = 1.5
    ALUMINIUM = 2.0


class EdgeRule(enum.Enum):
    """Edge distance in diameters: the least that is used, and the one that is preferred."""

    LEAST = 1.5
    PREFERRED = 2.0


@formula(
    COMMON_PRACTICE,
    "engagement",
    law="L_e = 1.0 d in steel, 1.5 d in cast iron, 2.0 d in aluminium",
    gives="mm",
    d=above(0, "mm"),
)
def engagement_practice(d: float, material: TappedMaterial) -> float:
    """Length of thread engaged that practice asks for.

    Source: common practice, no source, engagement.
    d: nominal thread diameter, mm, > 0.
    material: kind of tapped material.
    Raises OutOfRange outside it.
    >>> engagement_practice(8.0, TappedMaterial.ALUMINIUM)
    16.0
    """
    return float(material.value) * d


@formula(COMMON_PRACTICE, "edge distance", law="e = 1.5 D least, 2 D preferred", gives="mm", D=above(0, "mm"))
def edge_distance_practice(D: float, rule: EdgeRule = EdgeRule.LEAST) -> float:
    """Distance from the centre of a hole to an edge that practice asks for.

    Source: common practice, no source, edge distance.
    D: hole diameter, mm, > 0.
    rule: least or preferred.
    Raises OutOfRange outside it.
    >>> edge_distance_practice(9.0), edge_distance_practice(9.0, EdgeRule.PREFERRED)
    (13.5, 18.0)
    """
    return float(rule.value) * D


@formula(COMMON_PRACTICE, "bolt spacing", law="s = 5 d to 10 d", gives="mm", d=above(0, "mm"))
def bolt_spacing_practice(d: float) -> tuple[float, float]:
    """Least and largest spacing of bolts round a seal: closer no spanner fits, further apart the flange bows.

    Source: common practice, no source, bolt spacing.
    d: nominal bolt diameter, mm, > 0.
    Raises OutOfRange outside it.
    >>> bolt_spacing_practice(8.0)
    (40.0, 80.0)
    """
    return 5 * d, 10 * d
