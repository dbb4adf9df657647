"""The steps of cuts and the faces of blanks as solids and faces of the kernel, and distances between them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import cadquery as cq
import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector

from tests.metal_oracle._plan import Bow, Ring, Straight
from tests.metal_oracle._reading import Bar, Milled, Mouth, Round, Slab, Step, Vec, along

MET = 1e-7
"""Nearer than this, mm, is no distance: the kernel's own confusion length."""
ROUNDS = 500
PAST = 3.0
"""How far an open end of a slanted step is drawn out of the blank, in diagonals of the blank."""


@dataclass(frozen=True, eq=False)
class Shape:
    """A shape of the kernel and the box round it. Each is itself alone: distances are kept by it.

    Of a `concave` one the nearest place to something else need not be the only one that looks nearest about itself.
    """

    shape: Any
    box: tuple[float, float, float, float, float, float]
    concave: bool = False


@dataclass(frozen=True)
class Face:
    """A face of a blank: `where` is above, below or side; `round` is the axis and radius of a curved one."""

    where: str
    shape: Shape
    curved: tuple[Vec, Vec, float] | None = None


def shape_of(value: Any, concave: bool = False) -> Shape:
    wrapped = getattr(value, "wrapped", value)
    around = Bnd_Box()
    BRepBndLib.AddOptimal_s(wrapped, around, False, False)
    return Shape(wrapped, around.Get(), concave)


def apart(a: Shape, b: Shape) -> float:
    """No points of two shapes are nearer than this, mm."""
    return math.sqrt(sum(max(0.0, a.box[i] - b.box[i + 3], b.box[i] - a.box[i + 3]) ** 2 for i in range(3)))


@lru_cache(maxsize=4096)
def distance(a: Shape, b: Shape) -> float:
    """The least distance between two shapes, mm; 0 where they meet.

    The kernel may miss the nearest pair of points between curved faces and give another. Whatever pair it gives is drawn
    nearer from side to side, each point to the place of its shape that is nearest to the other: between convex shapes no
    pair but the nearest stays where it is, and no pair of points is nearer than the shapes are.
    """
    found = BRepExtrema_DistShapeShape(a.shape, b.shape)
    best = float(found.Value())
    if best <= MET:
        return best
    starts = [(best, found.PointOnShape1(1))]
    if a.concave or b.concave:
        starts += _mesh_starts(a, b)
    return min(_drawn_near(a, b, *start) for start in starts)


def _drawn_near(a: Shape, b: Shape, best: float, point: Any) -> float:
    """The distance that a pair of points comes to, which begins at a point of `a`, when each follows the other."""
    for _ in range(ROUNDS):
        there = BRepExtrema_DistShapeShape(_vertex(point), b.shape)
        back = BRepExtrema_DistShapeShape(_vertex(there.PointOnShape2(1)), a.shape)
        nearer = float(back.Value())
        if nearer >= best - 1e-11:
            break
        best, point = nearer, back.PointOnShape2(1)
    return best


def _mesh_starts(a: Shape, b: Shape) -> list[tuple[float, Any]]:
    """The nearest of the corners of two coarse meshes, which lie on the shapes themselves."""
    gaps = np.linalg.norm(_corners(a)[:, None, :] - _corners(b)[None, :, :], axis=2)
    i, j = np.unravel_index(np.argmin(gaps), gaps.shape)
    return [(float(gaps[i, j]), gp_Pnt(*(float(one) for one in _corners(a)[i])))]


@lru_cache(maxsize=512)
def _corners(shape: Shape) -> Any:
    points, _ = cq.Shape.cast(shape.shape).tessellate(0.2, 0.3)
    return np.array([point.toTuple() for point in points])


def _vertex(point: Any) -> Any:
    return BRepBuilderAPI_MakeVertex(point).Vertex()


def distance_to_point(shape: Shape, point: Vec) -> float:
    return float(BRepExtrema_DistShapeShape(cq.Vertex.makeVertex(*point).wrapped, shape.shape).Value())


@lru_cache(maxsize=512)
def skin_of(shape: Shape) -> Shape:
    """The faces of a shape alone: a point inside a solid lies off them."""
    return Shape(cq.Compound.makeCompound(cq.Shape.cast(shape.shape).Faces()).wrapped, shape.box)


# Rings


def _edge(side: Straight | Bow, z: float) -> Any:
    if isinstance(side, Straight):
        return cq.Edge.makeLine(cq.Vector(*side.a, z), cq.Vector(*side.b, z))
    centre = cq.Vector(*side.centre, z)
    if abs(side.sweep) > 6.28:
        return cq.Edge.makeCircle(side.radius, centre, cq.Vector(0, 0, 1))
    return cq.Edge.makeThreePointArc(*(cq.Vector(*side.at(share), z) for share in (0.0, 0.5, 1.0)))


def _wire(ring: Ring, z: float) -> Any:
    return cq.Wire.assembleEdges([_edge(side, z) for side in ring.sides])


def _prism(outer: Ring, island: Ring | None, low: float, high: float) -> Any:
    wires = [_wire(island, low)] if island else []
    return cq.Solid.extrudeLinear(_wire(outer, low), wires, cq.Vector(0, 0, high - low))


# Blanks


@lru_cache(maxsize=64)
def blank_solid(blank: Slab | Bar) -> Any:
    if isinstance(blank, Bar):
        r = blank.diameter / 2
        return cq.Solid.makeCylinder(r, blank.length, cq.Vector(-blank.length / 2, 0, r), cq.Vector(1, 0, 0))
    return _prism(blank.ring, None, 0.0, blank.thickness)


def _diagonal(blank: Slab | Bar) -> float:
    box = shape_of(blank_solid(blank)).box
    return math.dist(box[:3], box[3:])


@lru_cache(maxsize=64)
def faces_of(blank: Slab | Bar) -> tuple[Face, ...]:
    if isinstance(blank, Bar):
        r, x = blank.diameter / 2, blank.length / 2
        ends = [
            Face(
                "side",
                shape_of(cq.Face.makeFromWires(cq.Wire.makeCircle(r, cq.Vector(s * x, 0, r), cq.Vector(s, 0, 0)))),
            )
            for s in (-1.0, 1.0)
        ]
        axis = ((0.0, 0.0, r), (1.0, 0.0, 0.0), r)
        return (*ends, Face("side", shape_of(_largest_round(blank_solid(blank))), axis))
    top = Face("above", shape_of(cq.Face.makeFromWires(_wire(blank.ring, blank.thickness))))
    bottom = Face("below", shape_of(cq.Face.makeFromWires(_wire(blank.ring, 0.0))))
    sides = []
    for side in blank.ring.sides:
        up = cq.Vector(0, 0, blank.thickness)
        if isinstance(side, Straight):
            foot = [cq.Vector(*side.a, 0), cq.Vector(*side.b, 0)]
            made = cq.Face.makeFromWires(cq.Wire.makePolygon([*foot, foot[1] + up, foot[0] + up], close=True))
            sides.append(Face("side", shape_of(made)))
        else:
            made = cq.Face(_swept(_edge(side, 0.0), up))
            sides.append(Face("side", shape_of(made), ((*side.centre, 0.0), (0.0, 0.0, 1.0), side.radius)))
    return (top, bottom, *sides)


def _swept(edge: Any, way: Any) -> Any:
    return BRepPrimAPI_MakePrism(edge.wrapped, way.wrapped).Shape()


def _largest_round(solid: Any) -> Any:
    return next(face for face in solid.Faces() if face.geomType() == "CYLINDER")


def half_round(curved: tuple[Vec, Vec, float], towards: Vec, low: float, high: float) -> Shape:
    """The half of a round face that lies ahead of its axis in a direction square to it; heights along the axis."""
    middle, axis, radius = curved
    base = cq.Vector(*along(middle, axis, low))
    across = cq.Vector(*axis).cross(cq.Vector(*towards))
    plane = cq.Plane(base, xDir=-across, normal=cq.Vector(*axis))
    arc = cq.Edge.makeThreePointArc(
        *(plane.toWorldCoords(p) for p in ((radius, 0), (0, radius), (-radius, 0)))
    )  # fmt: skip
    return shape_of(_swept(arc, cq.Vector(*axis) * (high - low)))


# Steps


@lru_cache(maxsize=512)
def pieces_of(step: Step, blank: Slab | Bar) -> tuple[Shape, ...]:
    """A step, cut to its blank, as solids that together are it; none where it lies outside."""
    made = _drawn(step, blank)
    whole = isinstance(blank, Slab) and not _convex(blank.ring)
    concave = isinstance(step, Mouth) or (
        isinstance(step, Milled) and (step.island is not None or not _convex(step.outer))
    )
    if _lies_inside(step, blank):
        return tuple(shape_of(one, concave) for one in made)
    found = []
    for one in made:
        cut = one.intersect(blank_solid(blank))
        found += [shape_of(solid, concave or whole) for solid in cut.Solids() if solid.Volume() > 1e-12]
    return tuple(found)


def _convex(ring: Ring) -> bool:
    """Whether a ring turns left all the way."""
    ways = []
    for side in ring.sides:
        if isinstance(side, Straight):
            ways += [math.atan2(side.b[1] - side.a[1], side.b[0] - side.a[0])] * 2
        else:
            ways += [side.first + math.pi / 2, side.first + math.pi / 2 + side.sweep]
            if side.sweep < 0:
                return False
    turns = [math.remainder(after - before, math.tau) for before, after in zip(ways, [*ways[1:], ways[0]], strict=True)]
    return min(turns[1::2]) > -1e-9


def _drawn(step: Step, blank: Slab | Bar) -> list[Any]:
    if isinstance(step, Milled):
        return [_prism(step.outer, step.island, step.low, step.high)]
    if isinstance(step, Mouth):
        return [_mouth_piece(side, step) for side in step.ring.sides]
    if step.cone:
        return [cq.Solid.makeCone(step.radius, 0.0, step.length, cq.Vector(*step.start), cq.Vector(*step.way))]
    if step.narrow is not None:
        return [cq.Solid.makeCone(step.radius, step.narrow, step.length, cq.Vector(*step.start), cq.Vector(*step.way))]
    start, length = step.start, step.length
    if not _square_end(step, blank):
        past = PAST * _diagonal(blank)
        start = along(start, step.way, -past) if step.entered else start
        length += past * (step.entered + step.leaves)
    return [cq.Solid.makeCylinder(step.radius, length, cq.Vector(*start), cq.Vector(*step.way))]


def _square_end(step: Round, blank: Slab | Bar) -> bool:
    """Whether a step's open ends lie flat on flat faces of the blank."""
    if isinstance(blank, Bar):
        return abs(step.way[0]) == 1.0
    return abs(step.way[2]) == 1.0


def _lies_inside(step: Step, blank: Slab | Bar) -> bool:
    """Whether a step needs no cutting to its blank; no only costs time."""
    if isinstance(blank, Bar):
        return isinstance(step, Round) and abs(step.way[0]) == 1.0
    if isinstance(step, Round):
        if not _square_end(step, blank):
            return False
        low, high = sorted((step.start[2], step.end[2]))
        spread = _ring_box_of_circle(step.start, step.radius)
    else:
        low, high = (step.low, step.high) if isinstance(step, Milled) else (0.0, 0.0)
        spread = _ring_box(step.outer if isinstance(step, Milled) else step.ring.grown(step.wide))
    if low < -1e-12 or high > blank.thickness + 1e-12:
        return False
    bow = blank.ring.circle
    if bow is not None:
        return max(math.dist(bow.centre, (x, y)) for x in spread[::2] for y in spread[1::2]) < bow.radius
    return _box_inside(blank.ring, spread)


def _ring_box_of_circle(centre: Vec, radius: float) -> tuple[float, float, float, float]:
    return centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius


def _ring_box(ring: Ring) -> tuple[float, float, float, float]:
    xs, ys = [], []
    for side in ring.sides:
        if isinstance(side, Bow):
            xs += [side.centre[0] - side.radius, side.centre[0] + side.radius]
            ys += [side.centre[1] - side.radius, side.centre[1] + side.radius]
        else:
            xs += [side.a[0], side.b[0]]
            ys += [side.a[1], side.b[1]]
    return min(xs), min(ys), max(xs), max(ys)


def _box_inside(ring: Ring, box: tuple[float, float, float, float]) -> bool:
    """Whether a box lies well inside a ring that is convex; for any other ring the answer is no."""
    corners = [(x, y) for x in box[::2] for y in box[1::2]]
    for side in ring.sides:
        if isinstance(side, Bow):
            if side.sweep < 0:
                return False
            chord = (side.start, side.end)
        else:
            chord = (side.a, side.b)
        (ax, ay), (bx, by) = chord
        if any((bx - ax) * (y - ay) - (by - ay) * (x - ax) <= 0 for x, y in corners):
            return False
    return True


def _mouth_piece(side: Straight | Bow, mouth: Mouth) -> Any:
    """What the mouth takes along one side: its section drawn along a straight, or turned about a bow's axis."""
    z, s, wide, deep = mouth.height, mouth.down, mouth.wide, mouth.deep

    def edges(place: Any) -> list[Any]:
        foot, rim, end = place(0.0, z), place(wide, z), place(0.0, z + s * deep)
        if mouth.is_round:  # a quarter round that touches face and wall: its middle lies `wide` out and `wide` deep
            share = wide * (1 - math.sqrt(0.5))
            slope = cq.Edge.makeThreePointArc(rim, place(share, z + s * share), end)
        else:
            slope = cq.Edge.makeLine(rim, end)
        return [cq.Edge.makeLine(foot, rim), slope, cq.Edge.makeLine(end, foot)]

    if isinstance(side, Straight):
        length = math.dist(side.a, side.b)
        out = ((side.b[1] - side.a[1]) / length, (side.a[0] - side.b[0]) / length)

        def flat(u: float, height: float) -> Any:
            return cq.Vector(side.a[0] + u * out[0], side.a[1] + u * out[1], height)

        run = cq.Vector(side.b[0] - side.a[0], side.b[1] - side.a[1], 0)
        return cq.Solid.extrudeLinear(cq.Wire.assembleEdges(edges(flat)), [], run)
    first = (math.cos(side.first), math.sin(side.first))

    def turned(u: float, height: float) -> Any:
        r = side.radius + u
        return cq.Vector(side.centre[0] + r * first[0], side.centre[1] + r * first[1], height)

    foot = cq.Vector(*side.centre, 0)
    return cq.Solid.revolve(
        cq.Wire.assembleEdges(edges(turned)), [], math.degrees(side.sweep), foot, foot + cq.Vector(0, 0, 1)
    )


def crossings(face: Shape, start: Vec, way: Vec) -> list[float]:
    """How far along a line, either way from its start, it meets a face, mm."""
    cast = IntCurvesFace_ShapeIntersector()
    cast.Load(face.shape, 1e-9)
    cast.Perform(gp_Lin(gp_Pnt(*start), gp_Dir(*way)), -1e9, 1e9)
    return [cast.WParameter(i) for i in range(1, cast.NbPnt() + 1)]
