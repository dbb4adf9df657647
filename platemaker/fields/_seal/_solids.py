"""Plates as quadratic tetrahedra: their stiffness, and the displacement of points of their faces.

Runs in a child process only. X and Y are the joint's; Z runs up. The upper body begins at 0, the lower one ends at
-APART: only how far they move matters, so that they need not touch.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix, diags
from scipy.spatial import cKDTree

from platemaker.fields._seal._film import Points
from platemaker.records import Record

APART = 20.0
PAST = 1.0
"""How far a cutter goes past the face that it opens into, mm: no two faces are to coincide."""
ON = 1e-4
"""What lies this near a plane or a cylinder lies in it, mm."""
COARSE = 1.7
"""Cell size away from the joint's face over that on it."""
HELD = 1e4
"""Springs that hold the bodies in the plane of the joint, which nothing there is to do, N/mm in all."""
UP = 100.0
"""The same along Z, where two bodies press on each other alone and outside forces are in balance, N/mm in all."""
ATTEMPTS, SMALLER = 3, 0.85
"""How often the mesher is tried, each time with cells smaller by this."""
BUBBLE = -0.5
"""The library's function of an edge over the product of the shares of its two corners."""
NEAR = 24
"""Triangles whose middles lie nearest that a point outside all of them is put on."""

Sparse = csr_matrix
Numbers = NDArray[np.int64]


class NotSettledError(Exception):
    """No number can be given for a joint: it cannot be meshed, or the contact of a case does not converge."""


class BearingRing(Record):
    """Where a head or nut bears: body, how far from the joint's plane, middle, radii, mm; `cell` is the size there."""

    body: int
    away: float
    at: tuple[float, float]
    inner: float
    outer: float
    cell: float

    def edge(self, up: bool) -> Iterator[tuple[float, float, float]]:
        """Places on its edge and on that of the hole, a cell apart."""
        z = _height(self.away, up)
        for radius in (self.inner, self.outer):
            count = math.ceil(2 * math.pi * radius / self.cell)
            for angle in (2 * math.pi * place / count for place in range(count)):
                yield self.at[0] + radius * math.cos(angle), self.at[1] + radius * math.sin(angle), z


class Solids(Record):
    """The mesh of all bodies: stiffness in N/mm, and their surface.

    The unknowns of one direction are `count`: corners first, then edges. `triangles` are corners of the surface,
    `rims` the edges opposite their corners, as unknowns; `owner` is the body of each.
    """

    stiffness: Sparse
    count: int
    cells: int
    points: Points
    triangles: Numbers
    rims: Numbers
    owner: Numbers
    signs: tuple[int, ...]
    volume: tuple[float, ...]

    def height(self, body: int, away: float) -> float:
        """Z of what lies so far from the joint's plane in a body, mm."""
        return _height(away, self.signs[body] > 0)

    @cached_property
    def middles(self) -> Points:
        """Middles of the triangles."""
        middles: Points = self.points[self.triangles].mean(axis=1)
        return middles

    @cached_property
    def normals(self) -> Points:
        """Normals of the triangles, as long as their area, mm2; which way they point is not said."""
        a, b, c = (self.points[self.triangles[:, k]] for k in range(3))
        normals: Points = np.cross(b - a, c - a) / 2
        return normals

    def flat(self, body: int, away: float) -> Numbers:
        """The triangles of a body in a plane parallel to the joint."""
        z = self.points[self.triangles][:, :, 2]
        found: Numbers = np.flatnonzero((self.owner == body) & (np.abs(z - self.height(body, away)) < ON).all(axis=1))
        return found

    def rows_at(self, body: int, away: float, at: Points) -> Sparse:
        """Displacement along Z of points of a plane of a body, from the unknowns. Points off it take the nearest."""
        chosen = self.flat(body, away)
        if not len(chosen):
            message = f"the mesh of body {body} has no face {away:g} mm from the joint"
            raise ValueError(message)
        flat = self.points[self.triangles[chosen]][:, :, :2]
        triangle, point = _near(flat, at)
        weights = np.maximum(_barycentric(flat[triangle], at[point]), 0.0)
        weights /= weights.sum(axis=1, keepdims=True)
        off = np.linalg.norm(np.einsum("pk,pkx->px", weights, flat[triangle]) - at[point], axis=1)
        order = np.lexsort((off, point))
        best = order[np.insert(np.flatnonzero(np.diff(point[order])) + 1, 0, 0)]
        return self._rows(chosen[triangle[best]], weights[best])

    def _rows(self, triangles: Numbers, weights: Points) -> Sparse:
        across = BUBBLE * weights[:, [1, 2, 0]] * weights[:, [2, 0, 1]]
        columns = np.hstack([self.triangles[triangles], self.rims[triangles]]) + 2 * self.count
        values = np.hstack([weights, across])
        rows = np.repeat(np.arange(len(triangles)), 6)
        return csr_matrix((values.ravel(), (rows, columns.ravel())), shape=(len(triangles), 3 * self.count))

    def spread(self, triangles: Numbers) -> tuple[Points, Points, Points]:
        """A traction of 1 MPa along Z over triangles as forces; each triangle's middle and area."""
        area = np.linalg.norm(self.normals[triangles], axis=1)
        forces = np.zeros(3 * self.count)
        np.add.at(forces, self.triangles[triangles] + 2 * self.count, np.repeat(area[:, None] / 3, 3, axis=1))
        np.add.at(forces, self.rims[triangles] + 2 * self.count, np.repeat(BUBBLE * area[:, None] / 12, 3, axis=1))
        return forces, self.middles[triangles], area


def _height(away: float, up: bool) -> float:
    return away if up else -APART - away


def _near(flat: Points, at: Points) -> tuple[Numbers, Numbers]:
    """Pairs of triangles and points that may lie in them: within the circle round a triangle's middle, and the nearest.

    A point in a large triangle beside many small ones is nearer to the middles of these.
    """
    middles = flat.mean(axis=1)
    reach = np.linalg.norm(flat - middles[:, None], axis=2).max(axis=1)
    inside = cKDTree(at).query_ball_point(middles, reach * (1 + ON))
    sizes = np.array([len(one) for one in inside])
    nearest = cKDTree(middles).query(at, k=min(NEAR, len(flat)))[1].reshape(len(at), -1)
    triangle = np.concatenate([np.repeat(np.arange(len(flat)), sizes), nearest.ravel()])
    within = [np.asarray(one, dtype=np.int64) for one in inside]
    point = np.concatenate([*within, np.repeat(np.arange(len(at)), nearest.shape[1])])
    return triangle.astype(np.int64), point.astype(np.int64)


def _barycentric(corners: Points, at: Points) -> Points:
    a, b, c = (corners[:, k] for k in range(3))
    first, second, way = b - a, c - a, at - a
    whole = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
    u = (way[:, 0] * second[:, 1] - way[:, 1] * second[:, 0]) / whole
    v = (first[:, 0] * way[:, 1] - first[:, 1] * way[:, 0]) / whole
    return np.stack([1 - u - v, u, v], axis=1)


def solids_of(
    bodies: list[dict[str, Any]], size: float, bend: float = 0.8, rings: Sequence[BearingRing] = ()
) -> Solids:
    """The mesh of bodies with cells of `size`, mm, on the joint's face; `bend` is how finely round walls are meshed.

    On each of `rings` cells are smaller: they are to press as what stays plane does.

    Where the mesher gives up it is tried with smaller cells. Raises NotSettledError where it gives up each time.
    """
    from netgen.libngpy._meshing import NgException  # noqa: PLC0415

    for attempt in range(ATTEMPTS):
        try:
            return _meshed(bodies, size * SMALLER**attempt, bend / SMALLER**attempt, rings)
        except NgException:
            continue
    message = "the plates cannot be meshed"
    raise NotSettledError(message)


def _meshed(bodies: list[dict[str, Any]], size: float, bend: float, rings: Sequence[BearingRing]) -> Solids:
    from netgen import occ  # noqa: PLC0415 - an extra, which the tests of this module's neighbours do without
    from netgen.meshing import MeshingParameters  # noqa: PLC0415
    from ngsolve import Mesh  # noqa: PLC0415

    made = []
    for place, body in enumerate(bodies):
        solid = _solid(occ, body)
        solid.mat(f"body{place}")
        solid.maxh = size * COARSE
        edge = _height(0.0, body["up"])
        for face in solid.faces:
            low, high = face.bounding_box
            if max(abs(low.z - edge), abs(high.z - edge)) < ON:
                face.maxh = size
        made.append(solid)
    shape = made[0] if len(made) == 1 else occ.Compound(made)
    cells = MeshingParameters(maxh=size * COARSE, grading=0.6, curvaturesafety=bend, segmentsperedge=0.5, optsteps3d=2)
    for ring in rings:
        for x, y, z in ring.edge(bodies[ring.body]["up"]):
            cells.RestrictH(x, y, z, ring.cell)
    grown = occ.OCCGeometry(shape).GenerateMesh(cells)
    mesh = Mesh(grown)
    return _measured(mesh, grown, bodies)


def _measured(mesh: Any, grown: Any, bodies: list[dict[str, Any]]) -> Solids:
    from ngsolve import Integrate  # noqa: PLC0415

    stiffness, count = _stiffness(mesh, bodies)
    corners = np.array([[one.nr for one in edge.vertices] for edge in mesh.edges], dtype=np.int64)
    corners.sort(axis=1)
    points = np.array(grown.Coordinates())
    key = corners[:, 0] * len(points) + corners[:, 1]
    order = np.argsort(key)
    triangles = grown.Elements2D().NumPy()["nodes"][:, :3].astype(np.int64) - 1
    pairs = np.sort(np.stack([triangles[:, [1, 2]], triangles[:, [2, 0]], triangles[:, [0, 1]]], axis=1), axis=2)
    rims = order[np.searchsorted(key[order], pairs[:, :, 0] * len(points) + pairs[:, :, 1])] + len(points)
    upper = points[triangles].mean(axis=1)[:, 2] > -APART / 2
    signs = tuple(1 if body["up"] else -1 for body in bodies)
    owner = np.array([signs.index(1 if one else -1) for one in upper], dtype=np.int64)
    volumes = Integrate(1.0, mesh, region_wise=True)
    volume = tuple(float(volumes[list(mesh.GetMaterials()).index(f"body{k}")]) for k in range(len(bodies)))
    return Solids(stiffness, count, mesh.ne, points, triangles, rims, owner, signs, volume)


def _stiffness(mesh: Any, bodies: list[dict[str, Any]]) -> tuple[Sparse, int]:
    """Stiffness of the mesh by Hooke's law, with soft springs in the joint's plane."""
    from ngsolve import BilinearForm, Grad, InnerProduct, Trace, VectorH1, dx  # noqa: PLC0415

    space = VectorH1(mesh, order=2)
    trial, test = space.TnT()
    shear = mesh.MaterialCF({f"body{k}": one["E"] / 2 / (1 + one["nu"]) for k, one in enumerate(bodies)})
    bulk = mesh.MaterialCF(
        {f"body{k}": one["E"] * one["nu"] / (1 + one["nu"]) / (1 - 2 * one["nu"]) for k, one in enumerate(bodies)}
    )
    strain, other = ((Grad(one) + Grad(one).trans) / 2 for one in (trial, test))
    form = BilinearForm(space)
    form += (2 * shear * InnerProduct(strain, other) + bulk * Trace(strain) * Trace(other)) * dx
    form.Assemble()
    rows, columns, values = form.mat.COO()
    count = space.ndof // 3
    matrix = csr_matrix((np.array(values), (np.array(rows), np.array(columns))), shape=(3 * count, 3 * count))
    held = np.zeros(3 * count)
    held[: 2 * count] = HELD / (2 * count)
    if len(bodies) > 1:  # else the sheet lies on what does not move
        held[2 * count :] = UP / count
    return (matrix + diags(held)).tocsr(), count


def _solid(occ: Any, body: dict[str, Any]) -> Any:
    solid = _prism(occ, body, body["blank"], 0.0, body["height"])
    for void in body["voids"]:
        low = void["low"] - (PAST if void["low"] <= ON else 0.0)
        high = void["high"] + (PAST if void["high"] >= body["height"] - ON else 0.0)
        solid = solid - _prism(occ, body, void["region"], low, high)
    return solid


def _prism(occ: Any, body: dict[str, Any], region: list[Any], low: float, high: float) -> Any:
    start = low if body["up"] else -APART - high
    face = occ.Face(_wire(occ, region[0], start))
    for hole in region[1:]:
        face = face - occ.Face(_wire(occ, hole, start))
    return face.Extrude(occ.Vec(0, 0, high - low))


def _wire(occ: Any, loop: list[list[float]], z: float) -> Any:
    edges = []
    for edge in loop:
        a, b = occ.Pnt(edge[0], edge[1], z), occ.Pnt(edge[2], edge[3], z)
        edges.append(occ.ArcOfCircle(a, occ.Pnt(edge[4], edge[5], z), b) if len(edge) > 4 else occ.Segment(a, b))
    return occ.Wire(edges)
