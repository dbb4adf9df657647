"""The mouth of an opening: a quarter round, tangent to the face and to the wall, or a chamfer."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from platemaker.errors import GeometryError
from platemaker.formulas import chamfer_volume
from platemaker.parts import Part, Profile, Side
from platemaker.plane import Loop, nearest, wall
from platemaker.resolved import Void, resolved
from platemaker.solids._kernel import Solid, kernel_faults
from platemaker.solids._tools import stock_height

NEAR = 1e-6
"""An edge of the solid nearer than this, mm, to a piece of the opening's loop is that piece."""
FLAT = 1e-4
"""A face whose box is no higher than this, mm, lies level: the kernel's boxes stand off by their tolerance."""
AGREES = 1e-6
"""Largest share by which the volume taken away may differ from Pappus' theorem."""


def mouth_volume(loop: Loop, radius: float) -> float:
    """What a quarter round of `radius`, mm, takes away all round a smooth opening `loop`, mm3.

    Pappus: the area between a square corner and its quarter round, (1 - pi/4) r2, times the path of its centroid.
    The centroid lies c = r (5/6 - pi/4) / (1 - pi/4) outside the opening, so its path is 2 pi c longer than the loop.
    """
    area = (1 - math.pi / 4) * radius**2
    outside = radius * (5 / 6 - math.pi / 4) / (1 - math.pi / 4)
    return area * (loop.perimeter + math.tau * outside)


def cut_mouth(solid: Solid, part: Part, profile: Profile, loops: Iterable[Loop]) -> Solid:
    """The solid with the edges of `loops` rounded or chamfered at the opening's mouth.

    Raises GeometryError naming the opening when a corner is sharp, when the kernel refuses, or when it takes away
    another volume than the mouth's.
    """
    drawn, kind = tuple(loops), "radius" if profile.mouth_radius > 0 else "chamfer"
    where = f"part '{part.name}', opening '{profile.name}': its mouth {kind} of {profile.mouth_width:g} mm"
    if not drawn:
        message = f"{where} needs an opening that is clear of the outline and of every other through cut"
        raise GeometryError(message)
    for loop in drawn:
        _refuse_sharp(loop, where)
    z = 0.0 if profile.mouth is Side.BELOW else stock_height(part.stock)
    edges = [edge for edge in solid.Edges() if any(_lies_on(edge, loop, z) for loop in drawn)]
    try:
        done = solid.fillet(profile.mouth_radius, edges) if kind == "radius" else _chamfered(solid, profile, edges, z)
    except kernel_faults() as cause:
        message = f"{where} does not fit: the kernel cannot cut that edge"
        raise GeometryError(message) from cause
    taken, due = solid.Volume() - done.Volume(), sum(_due(profile, loop) for loop in drawn)
    if abs(taken - due) > AGREES * due:
        message = f"{where} took away {taken:.3f} mm3 instead of {due:.3f} mm3"
        raise GeometryError(message)
    return done


def _due(profile: Profile, loop: Loop) -> float:
    """What a mouth takes away all round a loop, mm3."""
    if profile.mouth_radius > 0:
        return mouth_volume(loop, profile.mouth_radius)
    return chamfer_volume(loop.perimeter, profile.mouth_chamfer, profile.mouth_depth)


def _chamfered(solid: Solid, profile: Profile, edges: Iterable[Any], z: float) -> Solid:
    """The solid with the edges broken: the mouth's width lies on the face at height `z`, its depth on the wall."""
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer  # noqa: PLC0415 - part of the kernel

    faces = [face for face in solid.Faces() if face.geomType() == "PLANE" and _level(face, z)]
    builder = BRepFilletAPI_MakeChamfer(solid.wrapped)
    for edge in edges:
        [face] = [face for face in faces if any(edge.isSame(own) for own in face.Edges())]
        builder.Add(profile.mouth_width, profile.mouth_depth, edge.wrapped, face.wrapped)
    return type(solid)(builder.Shape())


def _level(face: Any, z: float) -> bool:
    box = face.BoundingBox()
    return bool(abs(box.zmin - z) < FLAT and abs(box.zmax - z) < FLAT)


def runs_into_mouth(part: Part) -> bool:
    """Whether a cut runs into the mouth of an opening: then no closed formula gives the part's volume."""
    voids = [void for void in resolved(part).voids if void.is_straight]
    return any(_runs_into(void, profile, part) for profile in part.profiles for void in voids)


def _runs_into(void: Void, profile: Profile, part: Part) -> bool:
    wide, deep = profile.mouth_width, profile.mouth_depth
    if wide <= 0 or void.cut is profile:
        return False
    top = deep if profile.mouth is Side.BELOW else stock_height(part.stock)
    if void.low >= top or void.high <= top - deep:
        return False
    return any(wall(void.plan, region).distance < wide for region in profile.regions)


def _refuse_sharp(loop: Loop, where: str) -> None:
    for edge, following in zip(loop.edges, (*loop.edges[1:], loop.edges[0]), strict=True):
        if math.dist(edge.tangent(1.0), following.tangent(0.0)) > 1e-6:
            message = f"{where} needs rounded corners; the one at ({edge.end[0]:g}, {edge.end[1]:g}) is sharp"
            raise GeometryError(message)


def _lies_on(kernel_edge: Any, loop: Loop, z: float) -> bool:
    """Whether an edge of the solid lies at height `z` on the loop."""
    places = [kernel_edge.positionAt(share) for share in (0.0, 0.5)]
    if any(abs(place.z - z) > NEAR for place in places):
        return False
    return nearest((places[1].x, places[1].y), loop).distance < NEAR
