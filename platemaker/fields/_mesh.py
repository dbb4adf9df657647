"""The air's volume as tetrahedra, by the finite-element library's own mesher. Runs in a child process only."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

DUCT = 2.5
"""Cell size in the straight ducts over that in the passage."""
GRADING = 0.5
"""How fast cells grow away from small ones; the mesher's own measure, 0.1 (slow) to 1."""
NEAR, CHORD = 0.3, math.pi / 4
"""Share of the cell size that corners of an outline lie apart at least; largest angle of a chord."""
ON = 1e-5
"""A facet whose corners lie this near a plane, mm, lies in it."""


Edges = Sequence[Sequence[float]]


@dataclass(frozen=True)
class Grid:
    """The library's mesh with its points, mm, tetrahedra, boundary triangles and the names of these."""

    mesh: Any
    points: NDArray[np.float64]
    cells: NDArray[np.int64]
    faces: NDArray[np.int64]
    names: NDArray[np.str_]


def meshed(case: dict[str, Any], size: float) -> Grid:
    """The mesh of a case with cells of about `size`, mm, in the passage; Z runs along the flow."""
    from netgen import occ  # noqa: PLC0415 - an extra, which the tests of this module's neighbours do without
    from ngsolve import Mesh  # noqa: PLC0415

    slabs = case["slabs"]
    solids = []
    for place, slab in enumerate(slabs):
        for solid in _solids(occ, slab, size):
            solid.maxh = size * (DUCT if place in (0, len(slabs) - 1) else 1.0)
            solids.append(solid)
    body = occ.Glue(solids)
    end = slabs[-1]["end"]
    for face in body.faces:
        low, high = face.bounding_box
        face.name = _name((low.x, low.y, low.z), (high.x, high.y, high.z), end, case["mirror"])
    made = occ.OCCGeometry(body).GenerateMesh(maxh=size * DUCT, grading=GRADING)
    mesh = Mesh(made)
    flat = made.Elements2D().NumPy()
    return Grid(
        mesh,
        np.array(made.Coordinates()),
        made.Elements3D().NumPy()["nodes"][:, :4].astype(np.int64) - 1,
        flat["nodes"][:, :3].astype(np.int64) - 1,
        np.array(mesh.GetBoundaries())[flat["index"].astype(np.int64) - 1],
    )


def _solids(occ: Any, slab: dict[str, Any], size: float) -> Iterator[Any]:
    rise = occ.Vec(0, 0, slab["end"] - slab["start"])
    for place, region in enumerate(slab["regions"]):
        chosen = _chosen(region[0], size)
        if slab["entry"]:
            wide = _wire(occ, slab["entry"][place][0], chosen, slab["start"])
            yield occ.ThruSections([wide, _wire(occ, region[0], chosen, slab["end"])])
            continue
        face = occ.Face(_wire(occ, region[0], chosen, slab["start"]))
        for hole in region[1:]:
            face = face - occ.Face(_wire(occ, hole, _chosen(hole, size), slab["start"]))
        yield face.Extrude(rise)


def _chosen(loop: Edges, size: float) -> list[tuple[int, float]]:
    """Corners of the polygon that a loop is meshed as: number of the edge, and share of its length.

    An arc has chords of no more than the cell size and 45 degrees; corners nearer than a share of it are left out.
    """
    found: list[tuple[int, float]] = []
    last: Any = None
    for number, edge in enumerate(loop):
        length, sweep = _extent(edge)
        count = max(1, math.ceil(length / size), math.ceil(sweep / CHORD)) if length > NEAR * size and sweep else 1
        for place in range(count):
            at = np.array(point_on(edge, place / count))
            if last is None or np.linalg.norm(at - last) > NEAR * size:
                found.append((number, place / count))
                last = at
    return found if len(found) > 2 else [(number, 0.0) for number in range(len(loop))]


def _wire(occ: Any, loop: Edges, chosen: Sequence[tuple[int, float]], z: float) -> Any:
    corners = [occ.Pnt(*point_on(loop[number], share), z) for number, share in chosen]
    return occ.Wire([occ.Segment(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)])


def _extent(edge: Sequence[float]) -> tuple[float, float]:
    """Length, mm, and angle, radians, which is 0 of a line."""
    chord = math.dist(edge[0:2], edge[2:4])
    if len(edge) == 4:
        return chord, 0.0
    _, radius, _, sweep = _circle(edge)
    return radius * abs(sweep), abs(sweep)


def point_on(edge: Sequence[float], share: float) -> tuple[float, float]:
    """The point of a line or an arc at a share of its length."""
    if len(edge) == 4 or share == 0.0:
        return edge[0] + share * (edge[2] - edge[0]), edge[1] + share * (edge[3] - edge[1])
    (x, y), radius, start, sweep = _circle(edge)
    return x + radius * math.cos(start + share * sweep), y + radius * math.sin(start + share * sweep)


def _circle(edge: Sequence[float]) -> tuple[tuple[float, float], float, float, float]:
    """Centre, radius, direction of the start and sweep of an arc given by start, end and the point half way."""
    start, end, half = complex(*edge[0:2]), complex(*edge[2:4]), complex(*edge[4:6])
    quarter = cmath.phase((half - start) / (end - start))  # the angle at the rim is a quarter of the sweep
    sweep = -4 * quarter
    radius = abs(half - start) / (2 * math.sin(abs(quarter)))
    inward = 1j if sweep > 0 else -1j
    middle = half + inward * (end - start) / abs(end - start) * radius
    return (middle.real, middle.imag), radius, cmath.phase(start - middle), sweep


def _name(low: Sequence[float], high: Sequence[float], end: float, mirror: Sequence[Any] | None) -> str:
    """What a face of the volume is; one on the line of symmetry is no wall."""

    def lies(axis: int, at: float) -> bool:
        return max(abs(low[axis] - at), abs(high[axis] - at)) < ON

    if lies(2, 0.0):
        return "inlet"
    if lies(2, end):
        return "outlet"
    return "mirror" if mirror and lies(1 if mirror[0] == "x" else 0, mirror[1]) else "wall"
