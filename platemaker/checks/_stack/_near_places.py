"""Where two joined things come near each other beside their joint.

What lies across the joint itself, face on face, with what is cut back from those faces, is the joint's own. Every
other place where the distance is least round about, and below the limit, is reported once: a part that rises beside its
joint, or comes back round the other side, keeps its clearance like a stranger.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from platemaker.checks._finding import EQUAL
from platemaker.checks._stack._between import Solid, apart, box_around
from platemaker.checks._stack._joint_planes import JointPlane
from platemaker.checks._stack._near import Near
from platemaker.checks._stack._stack_items import StackItem
from platemaker.parts import Vec3
from platemaker.records import Record
from platemaker.space import Box3, Cylinder, Frame, Prism, Separation, box_gap, depth, scale, sub
from platemaker.units import Words

if TYPE_CHECKING:
    from platemaker.solids import ImportedFace

PROBE, WAYS = 0.01, 8
"""How far about a nearest point its surface is felt for, mm, and in how many directions beside it."""
INSIDE = 1e-6
"""Deeper in a figure than this, mm, is matter and not its surface."""

Piece: TypeAlias = "Cylinder | Prism | ImportedFace"


class Position(Record):
    """Two items as they stand at one setting of the plates; `where` says which."""

    a: StackItem
    b: StackItem
    where: Words = ""


class _Place(Record):
    """Two pieces at their nearest; `numbers` name them in their items, at whatever setting."""

    near: Near
    pieces: tuple[Piece, Piece]
    numbers: tuple[tuple[int, int], tuple[int, int]]

    @property
    def way(self) -> Vec3:
        """From the first point to the second."""
        return sub(self.near.points[1], self.near.points[0])

    def is_one_with(self, other: _Place, reach: float) -> bool:
        """Whether two places are one: the same pieces, points near each other, or faces that go on in one plane."""
        if self.numbers == other.numbers or math.dist(self.near.points[0], other.near.points[0]) < reach:
            return True
        if self.near.where != other.near.where or math.dist(self.way, other.way) > EQUAL:
            return False
        shared = [one == two for one, two in zip(self.numbers, other.numbers, strict=True)]
        return any(shared) and _touch(*(place.pieces[shared.index(False)] for place in (self, other)))


def near_places(positions: Iterable[Position], planes: Sequence[JointPlane], reach: float) -> Iterator[Near]:
    """Every place where two joined items come nearer than `reach`, mm, the nearest first.

    `positions` are those of one pair of items, at each setting of the plates.
    """
    found: list[_Place] = []
    for place in sorted((one for at in positions for one in _places(at, reach)), key=lambda one: one.near.distance):
        near, (first, second) = place.near, place.near.points
        if any(plane.is_own(first, second, (near.a.owner, near.b.owner)) for plane in planes):
            continue
        if any(place.is_one_with(other, reach) for other in found):
            continue
        if _faces(near.a, first, second) and _faces(near.b, second, first):
            found.append(place)
    yield from (place.near for place in found)


def _places(at: Position, reach: float) -> Iterator[_Place]:
    """Every two pieces, exact figures and faces of imported bodies, at their nearest; none of what overlaps."""
    a, b = at.a.against(at.b.owner), at.b.against(at.a.owner)
    for i, (figure, box) in enumerate(zip(a.figures, a.boxes, strict=True)):
        for k, (other, other_box) in enumerate(zip(b.figures, b.boxes, strict=True)):
            whole = apart(figure, other) if box_gap(box, other_box) < reach else None
            if whole is None or whole.distance >= reach - EQUAL:
                continue
            for found, pieces, (m, n) in _nearest(figure, other, whole, reach):
                near = Near(a, b, found.distance, (found.point_a, found.point_b), where=at.where)
                yield _Place(near, pieces, ((i, m), (k, n)))


def _nearest(
    figure: Solid, other: Solid, whole: Separation, reach: float
) -> Iterator[tuple[Separation, tuple[Piece, Piece], tuple[int, int]]]:
    first, second = _pieces(figure), _pieces(other)
    if len(first) == len(second) == 1:
        yield whole, (first[0], second[0]), (0, 0)
        return
    boxes = [_box(piece) for piece in second]
    for m, one in enumerate(first):
        around = _box(one)
        for n, two in enumerate(second):
            found = _between(one, two) if box_gap(around, boxes[n]) < reach else None
            if found is not None and found.distance < reach - EQUAL:
                yield found, (one, two), (m, n)


def _touch(one: Piece, other: Piece) -> bool:
    found = _between(one, other)
    return found is None or found.distance < EQUAL


def _pieces(figure: Solid) -> Sequence[Piece]:
    return (figure,) if isinstance(figure, Cylinder | Prism) else figure.faces


def _box(piece: Piece) -> Box3:
    return box_around(piece) if isinstance(piece, Cylinder | Prism) else piece.box


def _between(one: Piece, other: Piece) -> Separation | None:
    if not isinstance(one, Cylinder | Prism):
        return one.apart(other)
    if not isinstance(other, Cylinder | Prism):
        return other.apart(one).swapped
    return apart(one, other)


def _faces(item: StackItem, at: Vec3, far: Vec3) -> bool:
    """Whether an item's surface at a point of it, or just beside that, faces a far point: matter behind, none before.

    It does not where the piece that was measured goes on into another: a layer of a plate under the next, a leg into
    its bend. There the distance goes on to fall.
    """
    distance = math.dist(at, far)
    if distance < EQUAL:
        return True
    frame = Frame.from_normal(at, scale(sub(far, at), 1.0 / distance))
    turns = [math.tau * number / WAYS for number in range(WAYS)]
    aside = [(0.0, 0.0), *((PROBE * math.cos(turn), PROBE * math.sin(turn)) for turn in turns)]
    return any(
        _holds(item, frame.to_world((x, y, -PROBE))) and not _holds(item, frame.to_world((x, y, PROBE)))
        for x, y in aside
    )


def _holds(item: StackItem, point: Vec3) -> bool:
    """Whether a point lies within an item's matter, not on its surface."""
    return any(
        depth(figure, np.array([point]))[0] > INSIDE if isinstance(figure, Cylinder | Prism) else figure.holds(point)
        for figure in item.figures
    )
