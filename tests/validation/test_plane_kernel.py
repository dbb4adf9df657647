"""Offsets, areas and distances against the solid kernel's own two-dimensional tools, on shapes that it handles.

The kernel works to 1e-7 mm and reports areas by quadrature; 1e-9 relative holds for plain outlines of some 100 mm.
"""

from __future__ import annotations

import math

import pytest

from platemaker.plane import Arc, Circle, Edge, Loop, Region, Spared, nearest, offset, open_out, subtract

cadquery = pytest.importorskip("cadquery")
pytestmark = pytest.mark.kernel

LOOPS = [
    Loop.circle((1, 2), 10),
    Loop.rectangle(60, 40),
    Loop.rectangle(60, 40, 8),
    Loop.slot(50, 14, angle=30),
    Loop.rounded([(0, 0), (60, 0), (70, 30), (30, 50), (-5, 25)], [4, 5, 6, 7, 3]),
    Loop.rounded([(0, 0), (60, 0), (60, 20), (25, 20), (25, 50), (0, 50)], [4, 4, 4, 6, 4, 4]),
]


def kernel_edge(edge: Edge) -> object:
    ends = (*edge.start, 0.0), (*edge.end, 0.0)
    if isinstance(edge, Arc):
        return cadquery.Edge.makeThreePointArc(
            cadquery.Vector(*ends[0]), cadquery.Vector(*edge.point(0.5), 0.0), cadquery.Vector(*ends[1])
        )
    return cadquery.Edge.makeLine(cadquery.Vector(*ends[0]), cadquery.Vector(*ends[1]))


def kernel_wire(loop: Loop) -> object:
    return cadquery.Wire.assembleEdges([kernel_edge(edge) for edge in loop.edges])


def kernel_area(wire: object) -> float:
    return float(cadquery.Face.makeFromWires(wire).Area())


@pytest.mark.parametrize("loop", LOOPS)
@pytest.mark.parametrize("distance", [3.0, -2.5])
def test_offset_agrees_with_the_kernel(loop: Loop, distance: float) -> None:
    [ours] = offset(Region.of(loop), distance)
    [theirs] = kernel_wire(loop).offset2D(distance, "arc")  # type: ignore[attr-defined]
    assert ours.area == pytest.approx(kernel_area(theirs), rel=1e-9)
    assert ours.perimeter == pytest.approx(theirs.Length(), rel=1e-9)


def test_area_of_a_plate_cut_by_circles_agrees_with_the_kernel() -> None:
    bites = [Loop.circle((25 * math.cos(k), 25 * math.sin(k)), 6 + k) for k in range(6)]
    ours = subtract(Region.of(LOOPS[2]), *(Region(bite) for bite in bites))
    face = cadquery.Face.makeFromWires(kernel_wire(LOOPS[2]))
    theirs = face.cut(*(cadquery.Face.makeFromWires(kernel_wire(bite)) for bite in bites))
    assert sum(region.area for region in ours) == pytest.approx(theirs.Area(), rel=1e-9)


@pytest.mark.parametrize("a", range(len(LOOPS)))
@pytest.mark.parametrize("b", range(len(LOOPS)))
def test_nearest_points_agree_with_the_kernel(a: int, b: int) -> None:
    other = Loop.circle((150.0 + 3 * b, 40.0 - 9 * b), 12.0 + b) if b % 2 else Loop.slot(60, 9, (130, 80), 20.0 * b)
    theirs = kernel_wire(LOOPS[a]).distance(kernel_wire(other))  # type: ignore[attr-defined]
    assert nearest(LOOPS[a], other).distance == pytest.approx(theirs, abs=1e-7)


def test_an_opened_out_pocket_agrees_with_offsets_and_booleans_of_the_kernel() -> None:
    """Twenty bolts along the edge: set in, cut round the bolts, set out again, all by the kernel."""
    radius, land = 6.35, 6.0
    ring = [(138 * math.cos(k * math.pi / 10), 88 * math.sin(k * math.pi / 10)) for k in range(20)]
    bounds = Region(Loop.rectangle(300, 200, 15, tag="edge"))
    spared = [Spared(f"b{k}", Circle(at, 4.5), 5.0) for k, at in enumerate(ring)]
    pocket = open_out(bounds, cutter_radius=radius, spared=spared, land=land)
    [inner] = kernel_wire(bounds.outer).offset2D(-(land + radius), "arc")  # type: ignore[attr-defined]
    discs = [cadquery.Face.makeFromWires(kernel_wire(Loop.circle(at, 4.5 + 5.0 + radius))) for at in ring]
    centre = cadquery.Face.makeFromWires(inner).cut(*discs)
    assert sum(region.area for region in pocket.centre) == pytest.approx(centre.Area(), rel=1e-9)
    [face] = centre.Faces()
    # The kernel gives the outline and the islands that it leaves as wires without order, and takes no inner wires along.
    outline, *islands = sorted((kernel_area(w) for w in face.outerWire().offset2D(radius, "arc")), reverse=True)
    islands += [kernel_area(w.offset2D(-radius, "arc")[0]) for w in face.innerWires()]
    assert len(islands) == sum(len(region.holes) for region in pocket.regions)
    assert pocket.area == pytest.approx(outline - sum(islands), rel=1e-9)
