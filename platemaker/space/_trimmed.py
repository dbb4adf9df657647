"""Bores cut to faces."""

from __future__ import annotations

from platemaker.errors import GeometryError
from platemaker.space._bounds import reach
from platemaker.space._figures import Cylinder, HalfSpace
from platemaker.space._vectors import along, dot, negative, sub


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
