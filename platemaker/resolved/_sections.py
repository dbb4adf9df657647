"""Sections of upright voids: what one takes out at a height of its blank."""

from __future__ import annotations

from platemaker.plane import Loop, Region, offset
from platemaker.resolved._voids import Milled, Void

NO_GROWTH = 1e-6
"""A mouth that has grown by less than this, mm, has taken nothing yet: its outline is the opening's."""


def section(void: Void, z: float) -> Region | None:
    """An upright void's section at a height, mm; of a mouth what it takes beside its opening; None for nothing."""
    if void.upright is None:
        raise TypeError(void)
    grown = void.upright.growth(z)
    if isinstance(void, Milled):
        if void.what != "mouth":
            return void.region
        return None if grown <= NO_GROWTH else Region.of(_set_out(void.region, grown), [void.region.outer])
    circle = void.plan.outer.as_circle()
    if circle is None or circle.radius + grown <= NO_GROWTH:
        return None
    return Region.of(Loop.circle(circle.centre, circle.radius + grown))


def _set_out(region: Region, by: float) -> Loop:
    circle = region.outer.as_circle()
    return Loop.circle(circle.centre, circle.radius + by) if circle else offset(region, by)[0].outer
