"""Round cuts as they were really made: at the places that were read, with the sizes and depths that were read."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

from platemaker.parts._as_made._as_built import AsBuilt, step_words
from platemaker.parts._as_made._measure_ids import hole_id, measure_id
from platemaker.parts._records._cuts import Hole, Vec3
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._stock import RoundStock, Stock
from platemaker.plane import Edge, Line, Point, nearest
from platemaker.records import Record, replace
from platemaker.space import dot

ON_FACE = 1e-5
"""A hole that begins or ends nearer to a face than this, mm, begins or ends on it."""


class CutFace(Record):
    """A face of a blank at a place: its unit normal outwards, and how far out it was cut of where it is drawn, mm."""

    normal: Vec3
    out: float


Faces: TypeAlias = Callable[[Vec3], CutFace | None]
"""The face that a place of the drawn blank lies on; None inside it."""


def plate_faces(stock: Stock, thicker: float, growth: Point) -> Faces:
    """Faces of a plate that is `thicker`, and whose outline is wider and higher, mm, by half at either side."""
    outline, height = stock.plan.outer, stock.height

    def face_at(point: Vec3) -> CutFace | None:
        x, y, z = point
        if abs(z - height) < ON_FACE:
            return CutFace((0.0, 0.0, 1.0), thicker)
        if abs(z) < ON_FACE:
            return CutFace((0.0, 0.0, -1.0), 0.0)
        edge = min(outline.edges, key=lambda one: nearest((x, y), one).distance)
        found = nearest((x, y), edge)
        if found.distance > ON_FACE:
            return None
        u, v = _tangent_at(edge, found.b)
        if outline.as_circle() is not None:
            return CutFace((v, -u, 0.0), growth[0] / 2)
        return CutFace((v, -u, 0.0), (abs(v) * growth[0] + abs(u) * growth[1]) / 2)

    return face_at


def _tangent_at(edge: Edge, at: Point) -> Point:
    """The direction of travel at a place of an edge."""
    if isinstance(edge, Line):
        return edge.tangent(0.0)
    x, y = ((here - centre) / edge.radius for here, centre in zip(at, edge.centre, strict=True))
    return (-y, x) if edge.ccw else (y, -x)


def bar_faces(stock: RoundStock, thicker: float, longer: float) -> Faces:
    """Faces of round bar lying along X that is `thicker` across and `longer`, mm; it lies on Z = 0 still."""

    def face_at(point: Vec3) -> CutFace | None:
        x, y, z = point
        if abs(abs(x) - stock.length / 2) < ON_FACE:
            return CutFace((math.copysign(1.0, x), 0.0, 0.0), longer / 2)
        radius = stock.diameter / 2
        away = math.hypot(y, z - radius)
        if abs(away - radius) > ON_FACE:
            return None
        return CutFace((0.0, y / away, (z - radius) / away), thicker / 2)

    return face_at


def drilled(hole: Hole, sheet: AsBuilt, faces: Faces, lift: float = 0.0) -> Hole:
    """A hole as it reads. It begins on the face that it is drawn to begin on, and ends there where it goes through.

    `lift` is how much higher, mm, the axis of a bar lies than drawn.
    """
    start, end = faces(hole.at), faces(hole.point(hole.depth))
    x, y, z = _moved(hole.at, start)
    read_x, read_y, read_z = (sheet.value(hole_id(hole.name, axis)) for axis in "xyz")
    at = (
        x if read_x is None else on_grid(sheet.datum[0] + read_x),
        y if read_y is None else on_grid(sheet.datum[1] + read_y),
        z + lift if read_z is None else on_grid(read_z),
    )
    longer = 0.0
    if hole.through and end is not None:
        begun = start.out * dot(start.normal, end.normal) if start is not None else 0.0
        facing = dot(hole.direction, end.normal)
        longer = (end.out - begun) / facing if abs(facing) > ON_FACE else 0.0
    direction, stretch = _leaned(hole, sheet)
    if hole.through:
        longer += hole.depth * (stretch - 1)
    return sized(replace(hole, at=at, direction=direction), sheet, longer)


def _leaned(hole: Hole, sheet: AsBuilt) -> tuple[Vec3, float]:
    """An axis at the angles that it reads, and how much longer it is through the same thickness."""
    lean, towards = (sheet.value(hole_id(hole.name, word, "angle")) for word in ("axis", "towards"))
    u, v, w = hole.direction
    if hole.square or (lean is None and towards is None):
        return hole.direction, 1.0
    way = math.atan2(v, u) if towards is None else math.radians(towards)
    rise = abs(w) if lean is None else math.sin(math.radians(lean))
    flat = math.sqrt(1.0 - rise**2)
    stretch = 1.0 if hole.level else abs(w) / rise
    return (flat * math.cos(way), flat * math.sin(way), math.copysign(rise, w)), stretch


def sized(hole: Hole, sheet: AsBuilt, longer: float) -> Hole:
    """A hole with the diameters and depths that it reads; one that goes through is `longer` than drawn, mm."""
    steps, begin = [], 0.0
    for step, word in zip(hole.steps, (*step_words(hole), ""), strict=True):
        last, key = not word, hole_id(hole.name, *([word] if word else []))
        end = on_grid(step.end + longer) if last and hole.through else sheet.value(measure_id(key, "depth")) or step.end
        wide = step.diameter if last and hole.tapping else sheet.value(measure_id(key, "diameter")) or step.diameter
        steps.append(replace(step, diameter=wide, start=begin, end=end))
        begin = end
    tapping = hole.tapping
    if tapping is not None and (deep := sheet.value(hole_id(hole.name, "thread_depth"))) is not None:
        tapping = replace(tapping, depth=deep)
    return replace(hole, steps=tuple(steps), tapping=tapping)


def _moved(point: Vec3, face: CutFace | None) -> Vec3:
    if face is None or face.out == 0.0:
        return point
    x, y, z = (a + face.out * b for a, b in zip(point, face.normal, strict=True))
    return on_grid(x), on_grid(y), on_grid(z)
