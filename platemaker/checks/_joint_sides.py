"""The two sides of a joint as a bolt meets them: where its head sits and what it is screwed into."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.catalog import Material
from platemaker.parts import Face, Hole, Joint, Part, Role, Stack
from platemaker.plane import contains

SAME_GAP = 1e-9
"""Gaps that differ by less than this, mm, are one."""


@dataclass(frozen=True)
class TappedSide:
    """What a joint's bolts are screwed into: full thread `depth`, mm (None: not told); `through` has no bottom."""

    owner: str
    material: Material | None
    depth: float | None
    through: bool
    hole: Hole | None


@dataclass(frozen=True)
class BoltedJoint:
    """A joint with bolts whose head side is a part: at one spot, `under_head` is the metal under the head, mm.

    `gap` is what gasket and shim hold the faces apart there, mm.
    """

    joint: Joint
    head_part: Part
    head_hole: Hole
    under_head: float
    tapped: TappedSide
    gap: float

    @property
    def grip(self) -> float:
        """From under the head to the face that is tapped, mm: metal under the head, gasket and shim."""
        return self.under_head + self.gap


def bolted_joints(stack: Stack) -> Iterator[BoltedJoint]:
    """Every joint that has a head side among the parts and a tapped side, once for each different head depth.

    On a tapered shim, once where it is thinnest and once where it is thickest for each.
    """
    for joint in stack.joints:
        if joint.bolts is None:
            continue
        faces = joint.faces
        heads = [face for face in faces if face.role in (Role.CLEAR, Role.COUNTERBORED)]
        threads = [face for face in faces if face.role is Role.TAPPED]
        if len(heads) != 1 or len(threads) != 1:
            continue
        part = stack.find_part(heads[0].owner)
        if part is None:
            continue
        tapped = _tapped(stack, joint, threads[0])
        depths: dict[float, list[Hole]] = {}
        for hole in part.holes:
            if hole.joint == joint.name:
                depths.setdefault(under_head(part, hole), []).append(hole)
        for metal, holes in depths.items():
            for hole in _by_gap(joint, holes):
                yield BoltedJoint(joint, part, hole, metal, tapped, gap_of(joint, hole))


def gap_of(joint: Joint, hole: Hole) -> float:
    """What gasket and shim hold a joint's faces apart at the spot of a hole, mm."""
    return joint.gap_at(joint.spots.get(hole.spot or "", (0.0, 0.0)))


def _by_gap(joint: Joint, holes: list[Hole]) -> list[Hole]:
    """The first hole where all have the same gap, else those of the least and of the greatest."""
    ordered = sorted(holes, key=lambda hole: gap_of(joint, hole))
    least, greatest = ordered[0], ordered[-1]
    same = gap_of(joint, greatest) - gap_of(joint, least) < SAME_GAP
    return [holes[0]] if same else [least, greatest]


def _tapped(stack: Stack, joint: Joint, face: Face) -> TappedSide:
    part = stack.find_part(face.owner)
    if part is None:
        return TappedSide(face.owner, face.material, face.thread_depth, False, None)
    hole = next((hole for hole in part.holes if hole.joint == joint.name and hole.tapping), None)
    depth = hole.tapping.depth if hole and hole.tapping else None
    return TappedSide(part.name, part.material, depth, bool(hole and hole.through), hole)


def under_head(part: Part, hole: Hole) -> float:
    """Metal between the head's seat and the far face of a plate, mm: less a counterbore, or a pocket that it is in."""
    return part.stock.height - seat_depth(part, hole)


def seat_depth(part: Part, hole: Hole) -> float:
    """How far below the face of entry the head sits, mm."""
    deep = hole.floor_depth
    for profile in part.profiles:
        blind = profile.side is hole.side and not profile.through
        if blind and any(contains(region, hole.centre) for region in profile.regions):
            deep = max(deep, profile.depth)
    return deep
