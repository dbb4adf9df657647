"""The demo's walls and clearances against the solid kernel, and its solids' thickness against what the checks stated.

The kernel (OCCT through cadquery) is independent of the space room: its own cylinders and cones, and its own extrema.
The thickness is a mesh library's, by rays and by the largest balls inside. Bound: points are spread over a mesh whose
chord error is 0.02 mm on either side; a ray is as long as the way between the two spots that it joins, and a ball no
narrower; so a wall w reads at least w - 0.04, and walls are compared to 0.05 mm. Rays start square to a facet that leans
at most 0.05 rad from the true surface, so that w reads at most w / cos² 0.05 where a ray starts.
"""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
import pytest
import trimesh
from OCP.BRepExtrema import BRepExtrema_DistShapeShape

from platemaker.catalog import LimitName, material
from platemaker.checks import Finding, check_stack
from platemaker.checks._limits import limit_for
from platemaker.checks._metal._metal import check_metal
from platemaker.checks._stack._stack_items import ItemKind, contents_of
from platemaker.parts import Hole, Kind, Operation, Part, PlateStock, Stack, Step, StripStock
from platemaker.plane import Loop, Region
from platemaker.resolved import assemble
from platemaker.solids import placed, solid_of
from platemaker.space import apart
from platemaker.spec import load_project

pytestmark = pytest.mark.kernel
DEMO = Path(__file__).parents[2] / "part_specs" / "pump_engine"
AGREES = 1e-4
"""The kernel's extrema stop near 1e-7; 1e-4 mm is what the issue of a wall's last printed digit asks."""


@pytest.fixture(scope="module")
def stack() -> Stack:
    return assemble(load_project(DEMO))


def between(one: Any, other: Any) -> float:
    return float(BRepExtrema_DistShapeShape(one.wrapped, other.wrapped).Value())


def kernel_hole(hole: Hole) -> list[Any]:
    """A hole's stretches as the kernel's own cylinders and cone, the thread at its major diameter."""
    at, way = cq.Vector(*hole.at), cq.Vector(*hole.direction)
    made = []
    for step in hole.steps:
        wide = step.diameter
        if hole.tapping and step.start < hole.tapping.depth:
            threaded = min(step.end, hole.tapping.depth)
            made.append(
                cq.Solid.makeCylinder(
                    hole.tapping.major_diameter / 2, threaded - step.start, at + way * step.start, way
                )
            )
        made.append(cq.Solid.makeCylinder(wide / 2, step.end - step.start, at + way * step.start, way))
    if hole.tip_angle and not hole.through:
        radius = hole.diameter / 2
        height = radius / math.tan(math.radians(hole.tip_angle / 2))
        made.append(cq.Solid.makeCone(radius, 0, height, at + way * hole.depth, way))
    return made


def test_walls_between_the_demos_bores_are_the_kernels(stack: Stack) -> None:
    """Every wall in space that was stated between two holes."""
    stated = 0
    for found in check_metal(stack):
        part = stack.part(found.part)
        holes = {hole.name: hole for hole in part.holes}
        names = [feature.split()[0] for feature in found.features]
        if not all(name in holes for name in names):
            continue
        first, second = (kernel_hole(holes[name]) for name in names)
        least = min(between(one, other) for one in first for other in second)
        assert found.measured == pytest.approx(least, abs=AGREES), found.id
        stated += 1
    assert stated >= 2  # the rail's mounts over its passage


def test_walls_from_the_demos_bores_to_its_edges_are_the_kernels(stack: Stack) -> None:
    """Against the kernel's distance to the blank's own side faces, drawn as faces, for plates and bars."""
    stated = 0
    for found in check_metal(stack):
        part = stack.part(found.part)
        if "outline" not in found.features or isinstance(part.stock, StripStock):
            continue
        hole = next((hole for hole in part.holes if hole.name == found.features[0].split()[0]), None)
        if hole is None or hole.square:
            continue  # the plane's own kernel test measures those
        region, height = part.stock.region, part.stock.thickness  # type: ignore[union-attr]
        x0, y0, x1, y1 = region.bounds
        assert region.area == pytest.approx((x1 - x0) * (y1 - y0))  # the demo's flat and bar are rectangles
        way = hole.direction
        walls = []
        for axis, value in ((0, x0), (0, x1), (1, y0), (1, y1)):
            if abs(way[axis]) > 0.999:
                continue  # it is entered there
            normal = cq.Vector(*(1.0 if i == axis else 0.0 for i in range(3)))
            base = cq.Vector(*(value if i == axis else (height / 2 if i == 2 else 0.0) for i in range(3)))
            walls.append(cq.Face.makePlane(4000.0, 4000.0, base, normal))
        block = cq.Workplane("XY").box(x1 - x0, y1 - y0, height, centered=(True, True, False)).val()
        inside = [piece.intersect(block) for piece in kernel_hole(hole)]
        least = min(between(piece, wall) for piece in inside for wall in walls)
        assert found.measured == pytest.approx(least, abs=AGREES), found.id
        stated += 1
    assert stated >= 6


@pytest.mark.slow
def test_clearances_in_the_demo_are_the_kernels(stack: Stack) -> None:
    """Parts and bodies, pair by pair: the figures' least distance against that of the kernel's solids of the parts.

    Where a part's bores on other axes are left filled, or a bend's hollow, the figures may only be nearer.
    """
    contents = contents_of(stack)
    solids = {
        (part.name, number): placed(solid_of(part), place)
        for part in stack.parts
        for number, place in enumerate(part.places, 1)
    }
    items = [item for item in contents.items if item.kind is ItemKind.PART]
    compared = 0
    for a, b in combinations(items, 2):
        if frozenset((a.owner, b.owner)) in contents.entering or a.owner == b.owner:
            continue
        pairs = [apart(one, other) for one in a.figures for other in b.figures]
        if any(found is None for found in pairs):
            continue  # they touch within rounding
        least = min(found.distance for found in pairs if found is not None)
        keys = [(item.owner, int(item.name.removeprefix(item.owner) or 1)) for item in (a, b)]
        exact = between(solids[keys[0]], solids[keys[1]])
        filled = any(not hole.square for item in (a, b) for hole in stack.part(item.owner).holes)
        bent = any(stack.part(item.owner).kind is Kind.BRACKET for item in (a, b))
        if filled or bent:
            assert least <= exact + AGREES, (a.name, b.name)
        else:
            assert least == pytest.approx(exact, abs=AGREES), (a.name, b.name)
        compared += 1
    assert compared >= 50


BOUND, CHORD = 0.05, 0.02
FACING = math.radians(20)
METHODS = ("ray", "max_sphere")
SCANNED = ("lower_plate", "blower_plate", "oil_return", "fuel_rail", "injector_bosses", "injector_bosses_drilling")


@pytest.mark.slow
@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", SCANNED)
def test_no_thin_spot_is_missed(stack: Stack, name: str, method: str) -> None:
    """Where two spots face each other, what is thinner than the part's limit has been stated, as thin as it is.

    Thicker walls are stated only near the limit, and a pocket's ribs only below it; so the limit is where the claim ends.
    """
    part = stack.part(name)
    stated = [found for found in check_stack(stack) if found.part == name and _is_wall(found)]
    least = min((float(found.measured or 0.0) for found in stated), default=math.inf)
    thickness = scanned_thickness(part, method)
    assert len(thickness) > 200
    limit = limit_for(part, LimitName.MINIMUM_WALL)
    assert limit is not None
    assert thickness.min() >= min(least, limit.fail) - BOUND


@pytest.mark.slow
@pytest.mark.parametrize("method", METHODS)
def test_the_scan_sees_a_thin_wall_where_there_is_one(method: str) -> None:
    """Bores of 10 and 12 mm whose axes cross 12.5 mm apart leave 1.5 mm; the scan and the check both say so."""
    steps = [(Step(Operation.DRILL, wide, 0.0, 60.0),) for wide in (10.0, 12.0)]
    cuts = (
        Hole("a", (-30.0, 0.0, 14.0), (1.0, 0.0, 0.0), steps[0], through=True),
        Hole("b", (0.0, -30.0, 26.5), (0.0, 1.0, 0.0), steps[1], through=True),
    )
    stock = PlateStock(Region.of(Loop.rectangle(60, 60)), 40.0)
    part = Part("block", "block", Kind.PLATE, material("6061-T6"), stock, cuts)
    stated = next(
        found for found in check_metal(Stack("s", "s", "mm", (part,), (), ())) if set(found.features) == {"a", "b"}
    )
    assert stated.measured == pytest.approx(1.5, abs=1e-9)
    assert scanned_thickness(part, method).min() == pytest.approx(1.5, abs=BOUND)


def _is_wall(found: Finding) -> bool:
    return found.measured is not None and found.check == "PM110"


def scanned_thickness(part: Part, method: str) -> np.ndarray[Any, Any]:
    """Thickness of a part's mesh by the mesh library, where what ends it faces back within about 20 degrees."""
    vertices, triangles = solid_of(part).tessellate(CHORD, 0.1)
    mesh = trimesh.Trimesh([vertex.toTuple() for vertex in vertices], triangles)
    starts, found = _walls(mesh, *_spread(mesh, 3000), method)
    for count, reach in ((60_000, 5.0), (600_000, 1.5)):  # again, more densely, about the thinnest spots
        thin = starts[np.argsort(found)[:3]]
        more, inward = _spread(mesh, count)
        near = np.any(np.linalg.norm(more[:, None, :] - thin[None, :, :], axis=2) < reach, axis=1)
        more, again = _walls(mesh, more[near][:500], inward[near][:500], method)
        starts, found = np.concatenate([starts, more]), np.concatenate([found, again])
    return found


def _spread(mesh: trimesh.Trimesh, count: int) -> tuple[Any, Any]:
    """Points spread evenly over the mesh, with the way into the matter."""
    points, facets = trimesh.sample.sample_surface(mesh, count, seed=7)
    return np.asarray(points), -mesh.face_normals[facets]


def _walls(mesh: trimesh.Trimesh, points: Any, inward: Any, method: str) -> tuple[Any, Any]:
    """Points and thicknesses, where the mesh at the far end faces back: else a ball in a corner would be a wall."""
    found = trimesh.proximity.thickness(mesh, points, normals=-inward, method=method)
    ends = np.isfinite(found)
    points, inward, found = points[ends], inward[ends], found[ends]
    _, off, facets = mesh.nearest.on_surface(points + inward * found[:, None])
    opposed = np.einsum("ij,ij->i", mesh.face_normals[facets], inward) > math.cos(FACING)
    # A ball that touches a plane leaning by FACING ends before it by this share of its width.
    met = off <= CHORD + found * (1 - math.cos(FACING)) / 2
    return points[opposed & met], found[opposed & met]
