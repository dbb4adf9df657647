"""A solid's triangles, with a stated chord error."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from platemaker.records import Record
from platemaker.solids._kernel import Solid
from platemaker.solids._records import Vec3

CHORD, TURN = 0.02, 0.3
"""The mesh's largest chord error, mm, and largest turn between neighbouring facets, radians."""
Numbers: TypeAlias = NDArray[np.float64]
Counts: TypeAlias = NDArray[np.int64]


class Facets(Record, eq=False):
    """Corners, mm, a row each, and triangles as rows of three numbers of corners; each face has corners of its own."""

    corners: Numbers
    triangles: Counts


def facets_of(solid: Solid, chord: float = CHORD) -> Facets:
    """The mesh of a solid's faces; the solid is left as it was. `chord` is the largest chord error, mm."""
    from OCP.BRepMesh import BRepMesh_IncrementalMesh  # noqa: PLC0415 - part of the kernel
    from OCP.BRepTools import BRepTools  # noqa: PLC0415
    from OCP.IMeshTools import IMeshTools_MeshAlgoType, IMeshTools_Parameters  # noqa: PLC0415

    wish = IMeshTools_Parameters()
    wish.Deflection, wish.Angle, wish.Relative = chord, TURN, False
    # The kernel's usual mesher takes half a minute for a face with a thousand holes, this one a second.
    wish.MeshAlgo = IMeshTools_MeshAlgoType.IMeshTools_MeshAlgoType_Delabella
    BRepMesh_IncrementalMesh(solid.wrapped, wish)
    corners: list[Vec3] = []
    triangles: list[tuple[int, int, int]] = []
    for face in solid.Faces():
        _add_face(face, corners, triangles)
    BRepTools.Clean_s(solid.wrapped)
    return Facets(np.array(corners).reshape(-1, 3), np.array(triangles, dtype=np.int64).reshape(-1, 3))


def _add_face(face: Solid, corners: list[Vec3], triangles: list[tuple[int, int, int]]) -> None:
    from OCP.BRep import BRep_Tool  # noqa: PLC0415 - part of the kernel
    from OCP.TopAbs import TopAbs_Orientation  # noqa: PLC0415
    from OCP.TopLoc import TopLoc_Location  # noqa: PLC0415

    place = TopLoc_Location()
    net = BRep_Tool.Triangulation_s(face.wrapped, place)
    if net is None:
        return
    base = len(corners) - 1
    nodes = [net.Node(number) for number in range(1, net.NbNodes() + 1)]
    if not place.IsIdentity():
        nodes = [node.Transformed(place.Transformation()) for node in nodes]
    corners += [node.Coord() for node in nodes]
    met = [net.Triangle(number).Get() for number in range(1, net.NbTriangles() + 1)]
    if face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
        met = [(a, c, b) for a, b, c in met]
    triangles += [(base + a, base + b, base + c) for a, b, c in met]
