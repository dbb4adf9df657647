"""Walls of the examples' plates against the kernel's exact distance between the walls' own surfaces.

The oracle builds each cut as a plain kernel solid from its figure and asks the kernel for the distance between the two
(for an outline, from its boundary wire). It shares no code with the plane's closed formulas.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding, check_stack
from platemaker.parts import Part, PlateStock, Stack
from platemaker.plane import Arc, Loop
from platemaker.resolved import assemble, resolved
from platemaker.spec import load_project

pytestmark = pytest.mark.kernel

KERNEL = 1e-7
"""The kernel's own confusion length, mm."""
WALLS = {"side wall", "wall to the edge"}
EXAMPLES = ("pump_engine", "standard_faces")


def _wire(loop: Loop) -> Any:
    import cadquery as cq

    edges = []
    for edge in loop.edges:
        a, b = cq.Vector(*edge.start, 0), cq.Vector(*edge.end, 0)
        if isinstance(edge, Arc):
            edges.append(cq.Edge.makeThreePointArc(a, cq.Vector(*edge.point(0.5), 0), b))
        else:
            edges.append(cq.Edge.makeLine(a, b))
    return cq.Wire.assembleEdges(edges)


def _figure(part: Part, label: str) -> list[Any]:
    """Wires of every loop of what a finding calls `label`."""
    if label == "outline":
        assert isinstance(part.stock, PlateStock)
        return [_wire(loop) for loop in part.stock.region.loops]
    return [_wire(loop) for void in resolved(part).upright if void.label == label for loop in void.plan.loops]


def _walls(stack: Stack) -> list[Finding]:
    return [
        one
        for one in check_stack(stack)
        if one.check == "PM110" and one.title in WALLS and one.measured is not None and one.measured > 0
    ]


@pytest.mark.parametrize("example", EXAMPLES)
def test_walls_of_the_examples_agree_with_the_kernel(example: str) -> None:
    stack = assemble(load_project(Path("part_specs") / example))
    walls = _walls(stack)
    assert len(walls) > 20 if example == "pump_engine" else len(walls) > 5
    for wall in walls:
        part = stack.part(wall.part)
        if not isinstance(part.stock, PlateStock) or not all(hole.square for hole in part.holes):
            continue  # walls on other axes have a kernel test of their own
        first, second = (_figure(part, label) for label in wall.features)
        kernel = min(a.distance(b) for a in first for b in second)
        assert wall.measured == pytest.approx(kernel, abs=KERNEL), wall.id
