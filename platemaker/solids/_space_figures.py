"""Figures of space as kernel solids."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TypeAlias

from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._measure import location_of
from platemaker.solids._wires import prism_of
from platemaker.space import Cylinder, Frame, Prism, Vec3, along, dot

SpaceFigure: TypeAlias = Cylinder | Prism


@lru_cache(maxsize=512)
def figure_solid(figure: SpaceFigure) -> Solid:
    """The kernel solid of a cylinder, its ends slanted or square, or of a prism."""
    if isinstance(figure, Prism):
        return prism_of(figure.region, 0.0, figure.height).moved(location_of(figure.frame))
    cq = kernel()
    ends = ((figure.start, figure.start_normal, -1.0), (figure.end, figure.end_normal, 1.0))
    past = [0.0 if normal is None else _past(figure, normal) for _, normal, _ in ends]
    foot, length = along(figure.start, -past[0], figure.axis), figure.length + sum(past)
    solid = cq.Solid.makeCylinder(figure.radius, length, cq.Vector(*foot), cq.Vector(*figure.axis))
    for point, normal, sign in ends:
        if normal is not None:
            solid = solid.cut(_beyond(point, normal, sign * dot(normal, figure.axis), 2 * (figure.radius + length)))
    return solid


def _past(figure: Cylinder, normal: Vec3) -> float:
    """How far the slanted end reaches past its middle along the axis, and a little more."""
    steep = abs(dot(normal, figure.axis))
    return figure.radius * math.sqrt(max(0.0, 1.0 - steep * steep)) / steep + 1.0


def _beyond(point: Vec3, normal: Vec3, outward: float, size: float) -> Solid:
    """A block beyond a slanted end, larger than the cylinder; `outward` is below 0 for a normal turned inwards."""
    cq = kernel()
    out = normal if outward > 0 else (-normal[0], -normal[1], -normal[2])
    block = cq.Solid.makeBox(2 * size, 2 * size, size, cq.Vector(-size, -size, 0))
    return block.moved(location_of(Frame.from_normal(point, out)))
