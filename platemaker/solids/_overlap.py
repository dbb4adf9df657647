"""How deep two solids overlap: the least shift that parts convex ones, else the least width of what both fill."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from platemaker.errors import GeometryError
from platemaker.records import Record
from platemaker.solids._kernel import Solid, kernel_faults
from platemaker.solids._mesh import facets_of
from platemaker.solids._records import Vec3

Numbers = NDArray[np.float64]

NOTHING = 1e-9
"""What both fill, mm3, below which they only touch."""
BEFORE = 1e-6
"""A vertex lies before a plane by more than this, mm: within it they are one."""
STARTS = 3
"""From how many of the mesh's least directions the exact one is sought."""
LEAN = 0.05
"""First step of that search, radians: about a facet of the mesh."""


class Lump(Record, eq=False):
    """A solid with the corners of its mesh, which find a direction; how far the solid reaches in it is exact."""

    shape: Solid

    @cached_property
    def volume(self) -> float:
        """Volume, mm3."""
        return float(self.shape.Volume())

    @cached_property
    def corners(self) -> Numbers:
        """Those corners of the mesh that lie on its convex hull."""
        found = facets_of(self.shape).corners
        hull = _hull(found)
        return found if hull is None else found[hull.vertices]

    @property
    def least_width(self) -> float:
        """What its width is not below in any direction, mm: its volume over half its surface."""
        return 2.0 * self.volume / float(self.shape.Area())

    @cached_property
    def is_convex(self) -> bool:
        """Whether no vertex lies before a flat face, and its hull holds no more than it: a mesh's corners lie on it."""
        vertices = np.array([vertex.toTuple() for vertex in self.shape.Vertices()])
        for face in self.shape.Faces():
            if face.geomType() == "PLANE":
                middle, normal = (np.array(one.toTuple()) for one in (face.Center(), face.normalAt()))
                if np.any((vertices - middle) @ normal > BEFORE):
                    return False
        hull = _hull(self.corners)
        return hull is not None and float(hull.volume) <= self.volume * (1.0 + 1e-9)

    def reach(self, way: Numbers) -> tuple[float, float]:
        """Least and greatest coordinate of its points along a unit vector, mm."""
        from OCP.Bnd import Bnd_Box  # noqa: PLC0415 - part of the kernel
        from OCP.BRepBndLib import BRepBndLib  # noqa: PLC0415
        from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf  # noqa: PLC0415
        from OCP.TopLoc import TopLoc_Location  # noqa: PLC0415

        turn, around = gp_Trsf(), Bnd_Box()
        turn.SetTransformation(gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(*(float(one) for one in way))))
        BRepBndLib.AddOptimal_s(self.shape.wrapped.Moved(TopLoc_Location(turn)), around, False, False)
        box = around.Get()
        return float(box[2]), float(box[5])

    def farthest(self, way: Numbers) -> Vec3:
        """The corner that reaches farthest along a vector."""
        x, y, z = self.corners[int(np.argmax(self.corners @ way))]
        return float(x), float(y), float(z)


def common(first: Solid, second: Solid) -> list[Lump]:
    """The pieces that two solids both fill. Raises GeometryError when the kernel cannot say."""
    try:
        found = [Lump(solid) for solid in first.intersect(second).Solids()]
    except kernel_faults() as cause:
        message = "the kernel cannot say what two solids both fill"
        raise GeometryError(message) from cause
    return [one for one in found if one.volume > NOTHING]


def least_shift(first: Lump, second: Lump) -> tuple[float, Vec3, Vec3]:
    """How far two convex solids that overlap must be shifted apart, and the points where it is measured.

    Given the same solid twice, its least width. Among all directions, the shift along one is how far the first reaches
    along it beyond where the second begins; the hull of all differences of corners gives the least for their meshes.
    """
    differences = (first.corners[:, None, :] - second.corners[None, :, :]).reshape(-1, 3)
    hull = _hull(differences)
    ways = np.eye(3) if hull is None else hull.equations[np.argsort(-hull.equations[:, 3])][:, :3]
    started: list[Numbers] = []
    for way in ways:
        if len(started) < STARTS and all(float(way @ other) < math.cos(LEAN) for other in started):
            started.append(way)
    depth, way = min((_settled(first, second, way) for way in started), key=lambda one: one[0])
    return depth, first.farthest(way), second.farthest(-way)


def _settled(first: Lump, second: Lump, way: Numbers) -> tuple[float, Numbers]:
    """The least shift near a direction, and its direction, by the solids' exact reach."""
    from scipy.optimize import minimize  # noqa: PLC0415 - only for what overlaps

    aside = np.cross(way, np.eye(3)[int(np.argmin(np.abs(way)))])
    aside /= np.linalg.norm(aside)
    across = np.cross(way, aside)

    def turned(lean: Numbers) -> Numbers:
        found = way + lean[0] * aside + lean[1] * across
        return np.asarray(found / np.linalg.norm(found))

    def shift(lean: Numbers) -> float:
        to = turned(lean)
        return first.reach(to)[1] - second.reach(to)[0]

    found = _least(minimize, shift)
    return float(found.fun), turned(found.x)


def _least(minimize: Callable[..., Any], shift: Callable[[Numbers], float]) -> Any:
    start = np.array([[0.0, 0.0], [LEAN, 0.0], [0.0, LEAN]])
    options = {"xatol": 1e-10, "fatol": 1e-10, "initial_simplex": start, "maxiter": 400}
    return minimize(shift, start[0], method="Nelder-Mead", options=options)


def _hull(points: Numbers) -> Any:
    """The convex hull; None for points that lie in a plane."""
    from scipy.spatial import ConvexHull, QhullError  # noqa: PLC0415 - only for what overlaps

    try:
        return ConvexHull(points)
    except QhullError:
        return None
