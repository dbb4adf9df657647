"""From exact plane figures to kernel wires, faces and prisms: lines stay lines, arcs stay arcs."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from platemaker.plane import Edge, Line, Loop, Region
from platemaker.solids._kernel import Solid, kernel


def wire_of(loop: Loop, z: float) -> Any:
    """The loop as a closed wire at height `z`, mm; a round loop becomes one true circle."""
    cq = kernel()
    round_one = loop.as_circle()
    if round_one is not None:
        return cq.Wire.makeCircle(round_one.radius, cq.Vector(*round_one.centre, z), cq.Vector(0, 0, 1))
    return cq.Wire.assembleEdges([_edge_of(edge, z) for edge in loop.edges])


def _edge_of(edge: Edge, z: float) -> Any:
    cq = kernel()
    if isinstance(edge, Line):
        return cq.Edge.makeLine(cq.Vector(*edge.start, z), cq.Vector(*edge.end, z))
    first, last = (edge.start_angle, edge.end_angle) if edge.ccw else (edge.end_angle, edge.start_angle)
    return cq.Edge.makeCircle(
        edge.radius, cq.Vector(*edge.centre, z), cq.Vector(0, 0, 1), math.degrees(first), math.degrees(last)
    )


def prism(outer: Loop, holes: Iterable[Loop], bottom: float, top: float) -> Solid:
    """The solid between heights `bottom` and `top`, mm, over a figure with holes."""
    cq = kernel()
    inner = [wire_of(hole, bottom) for hole in holes]
    return cq.Solid.extrudeLinear(wire_of(outer, bottom), inner, cq.Vector(0, 0, top - bottom))


def prism_of(region: Region, bottom: float, top: float) -> Solid:
    """The solid between heights `bottom` and `top`, mm, over a region."""
    return prism(region.outer, region.holes, bottom, top)
