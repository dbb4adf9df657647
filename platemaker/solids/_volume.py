"""Volumes of solids, as exactly as the kernel can show them."""

from __future__ import annotations

from platemaker.solids._kernel import Solid

PRECISION = 1e-9
"""Relative error that the kernel's adaptive integration stops at. Tubes with cross bores then agree with quadrature,
and with themselves read back from a file, to some 1e-10; without it to some 1e-5."""
PLAIN = frozenset({"LINE", "CIRCLE"})


def volume_of(solid: Solid) -> float:
    """The solid's volume, mm3.

    The kernel's usual integration is exact for faces that lines and circles bound; where bores meet, or enter slanted,
    other curves bound them, and the faces are integrated piece by piece.
    """
    if all(edge.geomType() in PLAIN for edge in solid.Edges()):
        return float(solid.Volume())
    from OCP.BRepGProp import BRepGProp  # noqa: PLC0415 - part of the kernel
    from OCP.GProp import GProp_GProps  # noqa: PLC0415

    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.wrapped, found, PRECISION, False, False)
    return float(found.Mass())
