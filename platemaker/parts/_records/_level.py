"""How square a machine sits on a joint, and the shim that lies in it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property

from platemaker.catalog import Material, metal_named
from platemaker.errors import SpecError
from platemaker.parts._records._cuts import Plane, Vec3
from platemaker.plane import Point
from platemaker.records import Record
from platemaker.spec import LevelModel, ProjectSpec, ShimModel


class Level(Record):
    """Heights of a seat over the joint's plane, mm, by corner, and the machine's nose, both in the joint's frame."""

    corners: Mapping[str, tuple[Point, float]]
    nose: Vec3 | None

    @cached_property
    def plane(self) -> Plane:
        """The plane nearest to the heights by least squares; through all three where there are three."""
        return plane_through([(x, y, z) for (x, y), z in self.corners.values()])

    def off_plane(self) -> dict[str, float]:
        """How far each corner's height lies over the plane, mm."""
        return {name: z - self.plane.at(x, y) for name, ((x, y), z) in self.corners.items()}


def plane_through(points: list[Vec3]) -> Plane:
    """The plane z(x, y) by least squares. Raises ValueError for points on one line in the plan.

    >>> plane_through([(0, 0, 1), (100, 0, 2), (0, 100, 1)]).along_x
    0.01
    """
    n = len(points)
    mx, my, mz = (math.fsum(p[i] for p in points) / n for i in range(3))
    arms = [(x - mx, y - my, z - mz) for x, y, z in points]
    xx, xy, yy = (math.fsum(a[i] * a[j] for a in arms) for i, j in ((0, 0), (0, 1), (1, 1)))
    xz, yz = (math.fsum(a[i] * a[2] for a in arms) for i in (0, 1))
    det = xx * yy - xy * xy
    if det <= 1e-6 * (xx + yy) ** 2:
        message = "the corners lie on one line, or nearly: they give no plane"
        raise ValueError(message)
    u, v = (xz * yy - yz * xy) / det, (yz * xx - xz * xy) / det
    return Plane(mz - u * mx - v * my, u, v)


class Shim(Record):
    """A shim over a joint's gasket: its blank's thickness, mm, and its upper face over its lower one.

    The face's height is at the joint's origin; the stack counts it in the middle of the joint's spots.
    """

    thickness: float
    material: Material
    upper: Plane

    @property
    def rise(self) -> tuple[float, float]:
        """The rise of its upper face along X and Y, mm a mm."""
        return self.upper.along_x, self.upper.along_y

    @property
    def is_flat(self) -> bool:
        """Whether it is as thick everywhere."""
        return self.upper.slope < 1e-9


def level_of(name: str, model: LevelModel | None, spec: ProjectSpec) -> Level | None:
    """The readings of a joint's squareness. Raises SpecError for corners that give no plane."""
    if model is None:
        return None
    level = Level({corner: (one.at, one.reads) for corner, one in model.corners.items()}, model.nose)
    try:
        level.plane  # noqa: B018 - asked for now, so that what it refuses is reported with its place in the spec
    except ValueError as fault:
        raise SpecError(str(fault), where=spec.where("joints", name, "level", "corners")) from fault
    return level


def shim_of(name: str, model: ShimModel | None, level: Level | None, spec: ProjectSpec) -> Shim | None:
    """A joint's shim; one that squares falls where the readings rise.

    Where a taper is as thick as its blank follows from the outline, see `shim_part_of`: until then, at the origin.
    """
    if model is None:
        return None
    with spec.blame("joints", name, "shim", "material"):
        metal = metal_named(model.material)
    rise = (0.0, 0.0)
    if model.taper is not None:
        rise = (math.tan(math.radians(model.taper[0])), math.tan(math.radians(model.taper[1])))
    elif model.squares and level is not None:
        rise = (-level.plane.along_x, -level.plane.along_y)
    return Shim(model.thickness, metal, Plane(model.thickness, *rise))
