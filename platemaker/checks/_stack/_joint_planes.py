"""The planes in which joined things meet, so that what lies beside a joint can be kept apart from it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._stack._boss_rail import injectors_owner
from platemaker.checks._stack._own_bores import bosses_in_castings
from platemaker.parts import Hole, Joint, Part, Side, Stack, Vec3
from platemaker.records import Record
from platemaker.space import Frame, along, dot, sub

READ = 0.05
"""How far the face of an existing body may be off the joint's plane, mm: what callipers read (common practice)."""
LOOP = 0.5
"""The same for a bracket whose loop is checked."""


class JointPlane(Record):
    """Where two owners meet: a point of the first's face, its normal towards the second, the gap between faces, mm.

    The surface of `exact` owners must lie on its face, to `within` mm: nothing of an existing body is cut back on
    purpose. What other owners have behind their face is a groove, a relief or a pocket of the joint.
    """

    owners: tuple[str, str]
    point: Vec3
    normal: Vec3
    gap: float
    exact: frozenset[str]
    within: float = READ

    def is_own(self, first: Vec3, second: Vec3, owners: tuple[str, str]) -> bool:
        """Whether two points of these two owners lie across the joint from each other."""
        here, there = (first, second) if owners == self.owners else (second, first)
        across = dot(sub(there, here), self.normal)
        if math.dist(there, along(here, across, self.normal)) > self.within:
            return False
        before = dot(sub(here, self.point), self.normal), self.gap - dot(sub(there, self.point), self.normal)
        return all(
            off <= self.within and (off >= -self.within or owner not in self.exact)
            for owner, off in zip(self.owners, before, strict=True)
        )


def joint_planes(stack: Stack) -> Iterator[JointPlane]:
    """The plane of each joint, of each bracket over a hole, and of each casting that bosses stand in."""
    bodies = frozenset(body.name for body in stack.bodies)
    for joint in stack.joints:
        if joint.lower is not None and joint.upper is not None:
            owners = joint.lower.owner, joint.upper.owner
            found = _face(stack, joint, *owners) or _face(stack, joint, *reversed(owners))
            if found is not None:
                yield JointPlane(*found, joint.gap, bodies)
    for part in stack.parts:
        yield from _under_bracket(stack, part)
    rows = {row.bosses: injectors_owner(row.rail) for row in stack.rows}
    for boss, casting in bosses_in_castings(stack):
        if casting.places:
            top, out = casting.places[0].to_world((0.0, 0.0, casting.stock.height)), casting.places[0].z_axis
            for inner in (boss.name, rows.get(boss.name, boss.name)):
                for outer in (casting.name, casting.body):
                    yield JointPlane((outer, inner), top, out, 0.0, frozenset((outer, inner)))


def _face(stack: Stack, joint: Joint, owner: str, other: str) -> tuple[tuple[str, str], Vec3, Vec3] | None:
    """The owners, and a point of the first's face with its normal out of it; None where it has no single place."""
    place, high = _standing(stack, owner)
    side = next(face.side for face in joint.faces if face.owner == owner)
    if place is None:
        return None
    above = side is Side.ABOVE
    return (owner, other), place.to_world((0.0, 0.0, high if above else 0.0)), place.turn((0.0, 0.0, above * 2.0 - 1.0))


def _standing(stack: Stack, owner: str) -> tuple[Frame | None, float]:
    """Where a part or a body stands, and the height of its upper face."""
    part = stack.find_part(owner)
    if part is not None:
        return (part.places[0] if len(part.places) == 1 else None), part.stock.height
    body = next(body for body in stack.bodies if body.name == owner)
    return body.place, body.envelope.size[2] if body.envelope else 0.0


def _under_bracket(stack: Stack, part: Part) -> Iterator[JointPlane]:
    for hole in part.holes:
        under = stack.find_part(hole.over[0]) if hole.over else None
        cut = under.cut(hole.over[1]) if under and hole.over else None
        if under is not None and isinstance(cut, Hole) and len(under.places) == 1:
            x, y, z = under.places[0].turn(cut.direction)
            owners, point = (under.name, part.name), under.places[0].to_world(cut.at)
            yield JointPlane(owners, point, (-x, -y, -z), 0.0, frozenset(), LOOP)
