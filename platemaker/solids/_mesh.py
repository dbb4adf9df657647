"""A solid's triangles, with a stated chord error."""

from __future__ import annotations

from platemaker.solids._kernel import Solid
from platemaker.solids._records import Vec3

CHORD, TURN = 0.02, 0.3
"""The mesh's largest chord error, mm, and largest turn between neighbouring facets, radians."""


def triangles_of(solid: Solid, chord: float = CHORD) -> tuple[list[Vec3], list[tuple[int, int, int]]]:
    """Corners and triangles of the solid's faces, each face with corners of its own; the solid is left as it was.

    `chord` is the largest chord error, mm.
    """
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
    return corners, triangles


def _add_face(face: Solid, corners: list[Vec3], triangles: list[tuple[int, int, int]]) -> None:
    from OCP.BRep import BRep_Tool  # noqa: PLC0415 - part of the kernel
    from OCP.TopAbs import TopAbs_Orientation  # noqa: PLC0415
    from OCP.TopLoc import TopLoc_Location  # noqa: PLC0415

    place = TopLoc_Location()
    net = BRep_Tool.Triangulation_s(face.wrapped, place)
    if net is None:
        return
    move, base = place.Transformation(), len(corners) - 1
    flip = face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    for number in range(1, net.NbNodes() + 1):
        node = net.Node(number).Transformed(move)
        corners.append((node.X(), node.Y(), node.Z()))
    for number in range(1, net.NbTriangles() + 1):
        a, b, c = net.Triangle(number).Get()
        triangles.append((base + a, base + c, base + b) if flip else (base + a, base + b, base + c))
