"""Openings that widen towards a face: chamfered or rounded all round, as flat slices of a region that grows."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TypeAlias

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Line, Loop, Region, offset
from platemaker.space._figures import Figure, Placeable, Prism, positive
from platemaker.space._frame import Frame
from platemaker.space._prism_body import is_convex

FLAT = 2e-9
"""Height of the slices that stand for a flare, mm."""


class Flare(Placeable):
    """A convex region that grows all round from z = 0 of its frame to z = `height`, where it is `width` wider, mm.

    It grows in a straight line, as a chamfer does, or, when `rounded`, in a quarter circle that leaves the region's
    wall smoothly and ends in the plane z = `height` (then `width` equals `height`).
    """

    region: Region
    frame: Frame
    height: float
    width: float
    rounded: bool = False

    def __post_init__(self) -> None:
        positive(self.height, "a flare's height")
        positive(self.width, "a flare's width")
        if not is_convex(self.region):
            message = "a flare needs a convex region, without holes, hollow arcs or inward corners"
            raise GeometryError(message)
        if self.rounded and self.width != self.height:
            message = f"a rounded flare is as wide as it is high, met {self.width:g} and {self.height:g} mm"
            raise GeometryError(message)

    def placed(self, frame: Frame) -> Flare:
        """The flare, which is given in `frame`, as seen from outside it."""
        return Flare(self.region, self.frame.placed(frame), self.height, self.width, self.rounded)

    @cached_property
    def profile(self) -> Line | Arc:
        """How the region grows, as an edge in the half plane of (growth, height), from z = 0 upwards."""
        if self.rounded:
            return Arc((0.0, 0.0), (self.width, self.height), (self.width, 0.0), self.width, False)
        return Line((0.0, 0.0), (self.width, self.height))

    def growth(self, z: float) -> float:
        """How much wider the region is all round at a height, mm."""
        z = min(max(z, 0.0), self.height)
        if self.rounded:
            return self.width - math.sqrt(max(0.0, self.width**2 - z**2))
        return self.width * z / self.height

    def slice_at(self, z: float) -> Prism:
        """The flare's flat section at a height, as a prism of no thickness to speak of."""
        region = _grown(self.region, self.growth(z))
        level = min(z, self.height - FLAT)
        return Prism(region, Frame(self.frame.to_world((0.0, 0.0, level)), self.frame.x_axis, self.frame.y_axis), FLAT)

    @cached_property
    def ends(self) -> tuple[Prism, Prism]:
        """The sections at z = 0 and z = `height`: in any direction one of the two reaches farthest."""
        return self.slice_at(0.0), self.slice_at(self.height)


AnyFigure: TypeAlias = Figure | Flare
"""Everything that a separation can be measured from."""


def _grown(region: Region, by: float) -> Region:
    circle = region.outer.as_circle()
    if by <= FLAT:
        return region
    return Region.of(Loop.circle(circle.centre, circle.radius + by)) if circle else offset(region, by)[0]
