"""What this room says about solids, in plain numbers. Lengths mm, volumes mm3."""

from __future__ import annotations

from dataclasses import dataclass

from platemaker.solids._kernel import Solid

Vec3 = tuple[float, float, float]


@dataclass(frozen=True)
class SolidProof:
    """What was measured on a solid that agrees with its part.

    `expected` is the volume by plane geometry, None where the part is not made of prisms and turned steps alone.
    The mesh's volume lies within `mesh_bound` of the solid's: chord error times the area of the curved faces.
    """

    part: str
    volume: float
    expected: float | None
    faces: int
    mesh_volume: float
    mesh_bound: float


@dataclass(frozen=True)
class Imported:
    """A STEP file's solids as one shape: their number, volume and box (least x, y, z, then greatest)."""

    shape: Solid
    solids: int
    volume: float
    bounds: tuple[float, float, float, float, float, float]
