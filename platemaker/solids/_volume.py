"""Volumes of solids, as exactly as the kernel can show them."""

from __future__ import annotations

from platemaker.solids._kernel import Solid

PRECISION = 1e-9
"""Relative error that the kernel's adaptive integration stops at. Tubes with cross bores then agree with quadrature,
and with themselves read back from a file, to some 1e-10; without it to some 1e-5."""


def volume_of(solid: Solid) -> float:
    """The solid's volume, mm3.

    The kernel's usual integration is exact for faces that lines and circles bound; where bores meet, or enter slanted,
    other curves bound them, and the faces are integrated piece by piece.
    """
    if _is_plain(solid):
        return float(solid.Volume())
    from OCP.BRepGProp import BRepGProp  # noqa: PLC0415 - part of the kernel
    from OCP.GProp import GProp_GProps  # noqa: PLC0415

    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.wrapped, found, PRECISION, False, False)
    return float(found.Mass())


def _is_plain(solid: Solid) -> bool:
    """Whether lines and circles bound all faces."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve  # noqa: PLC0415 - part of the kernel
    from OCP.GeomAbs import GeomAbs_CurveType  # noqa: PLC0415
    from OCP.TopAbs import TopAbs_ShapeEnum  # noqa: PLC0415
    from OCP.TopExp import TopExp  # noqa: PLC0415
    from OCP.TopoDS import TopoDS  # noqa: PLC0415
    from OCP.TopTools import TopTools_IndexedMapOfShape  # noqa: PLC0415

    edges = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(solid.wrapped, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
    plain = (GeomAbs_CurveType.GeomAbs_Line, GeomAbs_CurveType.GeomAbs_Circle)
    every = (TopoDS.Edge_s(edges.FindKey(number)) for number in range(1, edges.Extent() + 1))
    return all(BRepAdaptor_Curve(edge).GetType() in plain for edge in every)
