"""A body from a STEP file where it stands in the stack, measured against exact figures and other such bodies.

Its faces that lie near are found by their boxes, and the kernel measures those alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from typing import Any, TypeAlias

from platemaker.records import Record
from platemaker.solids._kernel import Solid, kernel
from platemaker.solids._measure import bounds_of
from platemaker.solids._overlap import Lump, common, least_shift
from platemaker.solids._records import Vec3
from platemaker.solids._space_figures import SpaceFigure, figure_solid
from platemaker.space import Box3, Prism, Separation, add, bounding_box, box_gap, shifted, sub

TOUCH = 1e-7
"""Faces nearer than this, mm, meet: the kernel's own tolerance."""
EQUAL = 1e-6
"""What overlaps by less, mm, touches."""


class _Standing:
    """A body's solid in its first place, with what is worked out of it once."""

    def __init__(self, shape: Solid) -> None:
        self.shape, self.box = shape, bounds_of(shape)
        self.lump = Lump(shape)

    @cached_property
    def faces(self) -> tuple[tuple[Any, Box3], ...]:
        """Its faces, each with a box that is not too small."""
        return tuple((face, _quick_box(face)) for face in self.shape.Faces())

    @cached_property
    def solids(self) -> tuple[Solid, ...]:
        """Its solids one by one."""
        return tuple(self.shape.Solids())


class ImportedBody(Record, eq=False):
    """A body whose figure the kernel has, `by` from where it was read to stand. Lengths mm, in the stack's frame."""

    standing: _Standing
    by: Vec3 = (0.0, 0.0, 0.0)

    @classmethod
    def of(cls, shape: Solid) -> ImportedBody:
        """The body whose solid stands in its place."""
        return cls(_Standing(shape))

    @property
    def box(self) -> Box3:
        """The box about it."""
        return shifted(self.standing.box, self.by)

    @cached_property
    def faces(self) -> tuple[ImportedFace, ...]:
        """Its faces one by one."""
        return tuple(ImportedFace(face, shifted(box, self.by), self.by) for face, box in self.standing.faces)

    def moved(self, by: Vec3) -> ImportedBody:
        """The body shifted."""
        return ImportedBody(self.standing, add(self.by, by))

    def apart(self, other: Other) -> Separation | None:
        """From the body to something that it does not overlap; None where it does. What touches is 0 apart."""
        found, lumps = self._met(other)
        if not lumps:
            return found
        wide = any(lump.least_width > EQUAL for lump in lumps)
        return None if wide or self._deep(other, lumps).distance < -EQUAL else found

    def separation(self, other: Other) -> Separation:
        """Signed distance to something else: below 0, how deep they overlap.

        That is the least shift that parts the two where both are convex, else the least width of what both fill.
        """
        found, lumps = self._met(other)
        if not lumps:
            return found
        deep = self._deep(other, lumps)
        return deep if deep.distance < -EQUAL else found

    def shared_volume(self, other: Other) -> float:
        """What the body and something else both fill, mm3."""
        return math.fsum(lump.volume for lump in self._met(other)[1])

    def holds(self, point: Vec3) -> bool:
        """Whether a point of the stack lies within the body, not on its surface."""
        return any(_within(one, sub(point, self.by)) for one in self.standing.solids)

    def _met(self, other: Other) -> tuple[Separation, list[Lump]]:
        """How far the faces lie from the other's, and what both fill."""
        solid, box = _seen(other, self.by)
        first, *_ = ranked = sorted(self.standing.faces, key=lambda pair: box_gap(pair[1], box))
        found = _between(first[0], solid)
        rest = [face for face, around in ranked if box_gap(around, box) <= found[0]]
        if len(rest) > 1:
            found = min(found, _between(kernel().Compound.makeCompound(rest), solid), key=lambda one: one[0])
        distance, here, there = found
        separation = Separation(distance, add(here, self.by), add(there, self.by))
        if distance > TOUCH and not self._one_in_the_other(solid, box):
            return separation, []
        return Separation(0.0, separation.point_a, separation.point_b), common(self.standing.shape, solid)

    def _one_in_the_other(self, solid: Solid, box: Box3) -> bool:
        """For two whose faces do not meet."""
        if box_gap(self.standing.box, box) > 0.0:
            return False
        return any(_inside(one, solid) for one in self.standing.solids) or any(
            _inside(solid, one) for one in self.standing.solids
        )

    def _deep(self, other: Other, lumps: Sequence[Lump]) -> Separation:
        own = self.standing.lump
        if _is_convex(other) and own.is_convex:
            depth, here, there = least_shift(own, Lump(_seen(other, self.by)[0]))
        else:
            depth, here, there = max((least_shift(lump, lump) for lump in lumps), key=lambda one: one[0])
        return Separation(-depth, add(here, self.by), add(there, self.by))


class ImportedFace(Record, eq=False):
    """One face of such a body."""

    face: Any
    box: Box3
    by: Vec3

    def apart(self, other: SpaceFigure | ImportedFace) -> Separation:
        """From the face to a figure, or to another face; 0 where they meet."""
        shape = other.face.moved(_move(sub(other.by, self.by))) if isinstance(other, ImportedFace) else None
        distance, here, there = _between(self.face, shape or _seen(other, self.by)[0])
        return Separation(distance, add(here, self.by), add(there, self.by))


Other: TypeAlias = SpaceFigure | ImportedBody


def _is_convex(other: Other) -> bool:
    if isinstance(other, ImportedBody):
        return other.standing.lump.is_convex
    return not isinstance(other, Prism) or other.is_convex


def _seen(other: Any, by: Vec3) -> tuple[Solid, Box3]:
    """Something else as seen from a body that has moved, as a kernel solid, and the box about it."""
    if isinstance(other, ImportedBody):
        shift = sub(other.by, by)
        return other.standing.shape.moved(_move(shift)), shifted(other.standing.box, shift)
    back = sub((0.0, 0.0, 0.0), by)
    return figure_solid(other).moved(_move(back)), shifted(bounding_box(other), back)


def _move(by: Vec3) -> Any:
    cq = kernel()
    return cq.Location(cq.Vector(*by))


def _between(first: Any, second: Any) -> tuple[float, Vec3, Vec3]:
    """Least distance between two shapes, and where."""
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape  # noqa: PLC0415 - part of the kernel

    search = BRepExtrema_DistShapeShape(first.wrapped, second.wrapped)
    here, there = search.PointOnShape1(1), search.PointOnShape2(1)
    return float(search.Value()), (here.X(), here.Y(), here.Z()), (there.X(), there.Y(), there.Z())


def _inside(solid: Solid, other: Any) -> bool:
    """Whether another shape, whose faces do not meet the solid's, lies within it."""
    return _within(solid, other.Vertices()[0].toTuple())


def _within(solid: Solid, point: Vec3) -> bool:
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier  # noqa: PLC0415 - part of the kernel
    from OCP.gp import gp_Pnt  # noqa: PLC0415
    from OCP.TopAbs import TopAbs_State  # noqa: PLC0415

    search = BRepClass3d_SolidClassifier(solid.wrapped, gp_Pnt(*point), TOUCH)
    return bool(search.State() == TopAbs_State.TopAbs_IN)


def _quick_box(face: Any) -> Box3:
    from OCP.Bnd import Bnd_Box  # noqa: PLC0415 - part of the kernel
    from OCP.BRepBndLib import BRepBndLib  # noqa: PLC0415

    around = Bnd_Box()
    BRepBndLib.Add_s(face.wrapped, around, False)
    x0, y0, z0, x1, y1, z1 = around.Get()
    return float(x0), float(y0), float(z0), float(x1), float(y1), float(z1)
