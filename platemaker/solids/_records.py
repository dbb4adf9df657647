"""What this room says about solids, in plain numbers. Lengths mm, volumes mm3."""

from __future__ import annotations

from platemaker.records import Record
from platemaker.solids._kernel import Solid
from platemaker.space import Box3

Vec3 = tuple[float, float, float]


class SolidProof(Record):
    """What was measured on a solid that agrees with its part.

    `expected` is the volume by plane geometry, good to `expected_error`; None where plane geometry gives none.
    The mesh's volume lies within `mesh_bound` of the solid's: chord error times the area of the curved faces. `bounds`
    is the box about it, least x, y, z, then greatest.
    """

    part: str
    volume: float
    expected: float | None
    expected_error: float
    faces: int
    mesh_volume: float
    mesh_bound: float
    bounds: Box3


class Imported(Record):
    """A STEP file's solids as one shape: their number, volume and box (least x, y, z, then greatest)."""

    shape: Solid
    solids: int
    volume: float
    bounds: tuple[float, float, float, float, float, float]
