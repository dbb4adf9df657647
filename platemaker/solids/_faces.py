"""Cylindrical faces of a solid, and which of them are walls of a hole; its sloping faces."""

from __future__ import annotations

import math

from platemaker.parts import Hole, Plane
from platemaker.records import Record
from platemaker.solids._kernel import Solid
from platemaker.solids._records import Vec3

SAME_PLACE = 1e-5
"""Largest distance, mm, between an axis or radius and its due: files keep 15 digits, the kernel's fits some 1e-7 mm."""
UPRIGHT, LEVEL = 1e-6, 1e-9
"""A unit normal with less of Z is an upright face's; one with less across is a level face's."""


class CylinderFace(Record):
    """A cylindrical face: a point of its axis, the axis's unit direction, and its diameter, mm."""

    point: Vec3
    axis: Vec3
    diameter: float

    def is_wall(self, hole: Hole, diameter: float) -> bool:
        """Whether the face lies on the hole's axis and has a diameter, mm."""
        if abs(self.diameter - diameter) > SAME_PLACE:
            return False
        off = tuple(a - b for a, b in zip(self.point, hole.at, strict=True))
        along = sum(a * b for a, b in zip(off, hole.direction, strict=True))
        aside = math.dist(off, tuple(along * component for component in hole.direction))
        lean = abs(sum(a * b for a, b in zip(self.axis, hole.direction, strict=True)))
        return aside <= SAME_PLACE and lean > 1 - 1e-9


def cylinders_of(solid: Solid) -> tuple[CylinderFace, ...]:
    """The solid's cylindrical faces."""
    return tuple(cylinder for _, cylinder in round_faces(solid))


def round_faces(solid: Solid) -> tuple[tuple[Solid, CylinderFace], ...]:
    """The kernel's cylindrical faces of the solid, each with what it is."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface  # noqa: PLC0415 - part of the kernel

    found = []
    for face in solid.Faces():
        if face.geomType() == "CYLINDER":
            cylinder = BRepAdaptor_Surface(face.wrapped).Cylinder()
            point, axis = cylinder.Axis().Location(), cylinder.Axis().Direction()
            here, way = (point.X(), point.Y(), point.Z()), (axis.X(), axis.Y(), axis.Z())
            found.append((face, CylinderFace(here, way, 2 * cylinder.Radius())))
    return tuple(found)


def slopes_of(solid: Solid) -> tuple[Plane, ...]:
    """The solid's flat faces that are neither level nor upright."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface  # noqa: PLC0415 - part of the kernel

    found = []
    for face in solid.Faces():
        if face.geomType() == "PLANE":
            plane = BRepAdaptor_Surface(face.wrapped).Plane()
            point, normal = plane.Location(), plane.Axis().Direction()
            x, y, z = normal.X(), normal.Y(), normal.Z()
            if abs(z) > UPRIGHT and math.hypot(x, y) > LEVEL:
                rise = (-x / z, -y / z)
                found.append(Plane(point.Z() - point.X() * rise[0] - point.Y() * rise[1], *rise))
    return tuple(found)
