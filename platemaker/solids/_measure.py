"""Solids moved to their places, and the boxes about them."""

from __future__ import annotations

from typing import Any

from platemaker.solids._kernel import Solid, kernel
from platemaker.space import Box3, Frame

QUICK = 1e-6
"""How much farther, mm, the kernel's quick box may reach for its tolerance, some 1e-7 mm, alone."""


def placed(solid: Solid, frame: Frame) -> Solid:
    """The solid moved from its own frame to where `frame` stands."""
    return solid.moved(location_of(frame))


def location_of(frame: Frame) -> Any:
    """The frame as the kernel's location."""
    cq = kernel()
    return cq.Location(cq.Plane(origin=frame.origin, xDir=frame.x_axis, normal=frame.z_axis))


def bounds_of(solid: Solid) -> Box3:
    """The box about a solid, square to the axes of the frame it is in: least x, y, z, then greatest, mm.

    The kernel's exact box of a mouth's rounds takes longer than all else that is measured of a plate, and its quick box
    is never too small: when that reaches no farther than the flat faces do, theirs is the solid's.
    """
    from OCP.Bnd import Bnd_Box  # noqa: PLC0415 - part of the kernel
    from OCP.BRepBndLib import BRepBndLib  # noqa: PLC0415

    quick, exact = Bnd_Box(), Bnd_Box()
    BRepBndLib.Add_s(solid.wrapped, quick, False)
    for face in solid.Faces():
        if face.geomType() == "PLANE":
            BRepBndLib.AddOptimal_s(face.wrapped, exact)
    if exact.IsVoid() or not _reach_alike(exact.Get(), quick.Get()):
        BRepBndLib.AddOptimal_s(solid.wrapped, exact)
    x0, y0, z0, x1, y1, z1 = exact.Get()
    return float(x0), float(y0), float(z0), float(x1), float(y1), float(z1)


def _reach_alike(first: Box3, second: Box3) -> bool:
    return all(abs(a - b) <= QUICK for a, b in zip(first, second, strict=True))
