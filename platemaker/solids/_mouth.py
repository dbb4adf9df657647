"""The rounded mouth of an opening: a quarter round, tangent to the face and to the wall."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from platemaker.errors import GeometryError
from platemaker.parts import Part, Profile, Side, Void, voids_of
from platemaker.plane import Loop, nearest, wall
from platemaker.solids._kernel import Solid, kernel_faults
from platemaker.solids._tools import stock_height

NEAR = 1e-6
"""An edge of the solid nearer than this, mm, to a piece of the opening's loop is that piece."""
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


def round_mouth(solid: Solid, part: Part, profile: Profile, loops: Iterable[Loop]) -> Solid:
    """The solid with the edges of `loops` rounded at the opening's mouth.

    Raises GeometryError naming the opening when a corner is sharp, when the kernel refuses, or when it takes away
    another volume than the mouth's.
    """
    radius, drawn = profile.mouth_radius, tuple(loops)
    where = f"part '{part.name}', opening '{profile.name}': its mouth radius of {radius:g} mm"
    if not drawn:
        message = f"{where} needs an opening that is clear of the outline and of every other through cut"
        raise GeometryError(message)
    for loop in drawn:
        _refuse_sharp(loop, where)
    z = 0.0 if profile.mouth is Side.BELOW else stock_height(part.stock)
    edges = [edge for edge in solid.Edges() if any(_lies_on(edge, loop, z) for loop in drawn)]
    try:
        rounded = solid.fillet(radius, edges)
    except kernel_faults() as cause:
        message = f"{where} does not fit: the kernel cannot round that edge"
        raise GeometryError(message) from cause
    taken, due = solid.Volume() - rounded.Volume(), sum(mouth_volume(loop, radius) for loop in drawn)
    if abs(taken - due) > AGREES * due:
        message = f"{where} took away {taken:.3f} mm3 instead of {due:.3f} mm3"
        raise GeometryError(message)
    return rounded


def runs_into_mouth(part: Part) -> bool:
    """Whether a cut runs into the rounded mouth of an opening: then no closed formula gives the part's volume."""
    voids = voids_of(part, widest=False)
    return any(_runs_into(void, profile, part) for profile in part.profiles for void in voids)


def _runs_into(void: Void, profile: Profile, part: Part) -> bool:
    radius = profile.mouth_radius
    if radius <= 0 or void.cut is profile:
        return False
    top = radius if profile.mouth is Side.BELOW else stock_height(part.stock)
    if void.bottom >= top or void.top <= top - radius:
        return False
    return any(wall(void.region, region).distance < radius for region in profile.regions)


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
