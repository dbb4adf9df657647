"""Walls: the matter left between bores, and between a bore and a face."""

from __future__ import annotations

from collections.abc import Iterable

from platemaker.errors import GeometryError
from platemaker.space._bounds import reach
from platemaker.space._figures import Cone, Cylinder, Figure, HalfSpace
from platemaker.space._separation import FAR, Separation, is_empty, separation, to_half_space
from platemaker.space._vectors import Vec3, along, dot, negative, sub, unit, vector


def wall(a: Figure, b: Figure, *faces: HalfSpace) -> Separation:
    """The least matter between two voids, mm; negative when they break into each other: see `separation`.

    `faces` bound the matter (each a half-space with the matter behind it): cylinders are first cut to them, so that
    bores which converge outside a plate do not count. Where no void is left there is no wall: an infinite distance.

    >>> one = Cylinder((0, 0, -5), (0, 0, 30), 4.0)
    >>> wall(one, Cylinder((12, 0, -5), (12, 0, 30), 3.0)).distance
    5.0
    """
    parts: list[Figure] = []
    for figure in (a, b):
        part: Figure | None = figure
        for face in faces:
            if isinstance(part, Cylinder):
                part = trimmed(part, face)
        if part is None:
            return FAR
        parts.append(part)
    return separation(parts[0], parts[1])


def trimmed(bore: Cylinder, face: HalfSpace) -> Cylinder | None:
    """The part of a bore behind a face, its end lying in the face; None when nothing is.

    Where the face cuts only part of an end off, the end is left whole: the void is then taken a little too large and
    a wall measured from it a little too thin, never too thick.
    """
    if reach(bore, face.normal) <= dot(face.point, face.normal):
        return bore
    if -reach(bore, negative(face.normal)) >= dot(face.point, face.normal):
        return None
    axis = bore.axis
    steep = dot(axis, face.normal)
    if abs(steep) < 1e-3:
        return bore
    meets = along(bore.start, -face.height(bore.start) / steep, axis)
    ends = (bore.start, meets) if steep > 0.0 else (meets, bore.end)
    normals = (bore.start_normal, face.normal) if steep > 0.0 else (face.normal, bore.end_normal)
    if dot(sub(ends[1], ends[0]), axis) <= 0.0:
        return bore
    # The old end must lie wholly before the face, or the cut would lengthen one side of the bore.
    old = bore.body.ends[1 if steep > 0.0 else 0]
    if -old.reach(negative(face.normal)) < dot(face.point, face.normal):
        return bore
    try:
        return Cylinder(*ends, bore.radius, *normals)
    except GeometryError:
        return bore  # the face meets the other end too


def wall_to_face(void: Figure | Iterable[Figure], face: HalfSpace) -> Separation:
    """The least matter between a void and a plane face with the matter behind it, mm.

    Negative when the void passes through the face: how far it is through. `point_a` is the void's point nearest to the
    face or farthest beyond it, `point_b` its foot on the face. For a drilled hole give its bore and its point:

    >>> hole = drilled((0, 0, 25), (0, 0, -1), depth=18.0, diameter=10.0, point_angle=118.0)
    >>> round(wall_to_face(hole, HalfSpace((0, 0, 0), (0, 0, -1))).distance, 4)
    3.9957
    """
    figures = [void] if isinstance(void, Figure) else list(void)
    found = [to_half_space(figure, face.opposite) for figure in figures if not is_empty(figure)]
    return min(found, key=lambda one: one.distance, default=FAR)


def drilled(
    start: Vec3, direction: Vec3, depth: float, diameter: float, point_angle: float = 118.0
) -> tuple[Cylinder, Cone]:
    """A blind drilled hole: its bore to the full diameter's `depth`, mm, and the cone that the drill's point leaves.

    `point_angle` is the drill point's full angle, degrees (118 and 135 are usual).
    """
    if not depth > 0.0:
        message = f"a drilled hole's depth must be above 0 mm, met {depth:g}"
        raise GeometryError(message)
    way = unit(vector(direction, "a drilled hole's direction"), "a drilled hole's direction")
    bottom = along(vector(start, "a drilled hole's start"), depth, way)
    return Cylinder(start, bottom, diameter / 2), Cone.drill_point(bottom, way, diameter, point_angle)
