"""Where two joined things come near each other beside their joint.

What lies across the joint itself, face on face, with what is cut back from those faces, is the joint's own. Every
other place where the distance is least round about, and below the limit, is reported once: a part that rises beside its
joint, or comes back round the other side, keeps its clearance like a stranger.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from platemaker.checks._between import Solid, apart, box_around
from platemaker.checks._finding import EQUAL
from platemaker.checks._joint_planes import JointPlane
from platemaker.checks._near import Near
from platemaker.checks._stack_items import Item
from platemaker.parts import Vec3
from platemaker.space import Box3, Cylinder, Frame, Prism, Separation, along, box_gap, depth, scale, sub

if TYPE_CHECKING:
    from platemaker.solids import ImportedFace

PROBE, WAYS, TILTS = 0.01, 8, (0.0, 45.0, 75.0)
"""Beside a nearest point matter that would be nearer still is looked for at most this far away, mm, in so many
directions round about, each leaning so many degrees from the way to the other point."""
INSIDE = 1e-6
"""Deeper in a figure than this, mm, is matter and not its surface."""

Piece: TypeAlias = "Cylinder | Prism | ImportedFace"


@dataclass(frozen=True)
class Position:
    """Two items as they stand at one setting of the plates; `where` says which."""

    a: Item
    b: Item
    where: str = ""


def near_places(
    positions: Iterable[Position], planes: Sequence[JointPlane], reach: float, same: float
) -> Iterator[Near]:
    """Every place where two joined items come nearer than `reach`, mm, the nearest first.

    `positions` are those of one pair of items. Places nearer to each other than `same`, mm, are one.
    """
    found: list[Near] = []
    for near in sorted((one for at in positions for one in _candidates(at, reach)), key=lambda one: one.distance):
        first, second = near.points
        if any(plane.is_own(first, second, (near.a.owner, near.b.owner)) for plane in planes):
            continue
        if any(math.dist(first, other.points[0]) < same for other in found):
            continue
        if not (_nearer_beside(near.a, first, second) or _nearer_beside(near.b, second, first)):
            found.append(near)
    yield from found


def _candidates(at: Position, reach: float) -> Iterator[Near]:
    """Every two pieces, exact figures and faces of imported bodies, at their nearest; none of what overlaps."""
    a, b = at.a.against(at.b.owner), at.b.against(at.a.owner)
    for figure, box in zip(a.figures, a.boxes, strict=True):
        for other, other_box in zip(b.figures, b.boxes, strict=True):
            if box_gap(box, other_box) < reach:
                for found in _nearest(figure, other, reach):
                    yield Near(a, b, found.distance, (found.point_a, found.point_b), where=at.where)


def _nearest(figure: Solid, other: Solid, reach: float) -> Iterator[Separation]:
    whole = apart(figure, other)
    if whole is None or whole.distance >= reach - EQUAL:
        return
    first, second = _pieces(figure), _pieces(other)
    if len(first) == len(second) == 1:
        yield whole
        return
    boxes = [(piece, _box(piece)) for piece in second]
    for one in first:
        around = _box(one)
        for two, box in boxes:
            found = _between(one, two) if box_gap(around, box) < reach else None
            if found is not None and found.distance < reach - EQUAL:
                yield found


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


def _nearer_beside(item: Item, at: Vec3, far: Vec3) -> bool:
    """Whether an item has matter beside a point of it that lies nearer to a far point: then the least is elsewhere."""
    distance = math.dist(at, far)
    if distance < EQUAL:
        return False
    size = min(PROBE, distance / 4)
    frame = Frame.from_normal(at, scale(sub(far, at), 1.0 / distance))
    probes = []
    for tilt in (math.radians(one) for one in TILTS):
        for way in (math.tau * number / WAYS for number in range(WAYS)):
            lean = (math.sin(tilt) * math.cos(way), math.sin(tilt) * math.sin(way), math.cos(tilt))
            probes.append(along(at, size, frame.turn(lean)))
    return any(_holds(figure, probes) for figure in item.figures)


def _holds(figure: Solid, points: Sequence[Vec3]) -> bool:
    if isinstance(figure, Cylinder | Prism):
        return bool(np.any(depth(figure, np.array(points)) > INSIDE))
    return figure.holds(points)
