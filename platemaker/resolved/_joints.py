"""Joints as they stand: their frame in the stack, and on either side the part or body with its holes and slots."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from platemaker.catalog import gasket_values
from platemaker.errors import CatalogError
from platemaker.parts import Face, Hole, Joint, Mounting, Part, Profile, ProfileKind, Side, Stack
from platemaker.plane import contains
from platemaker.records import Record
from platemaker.resolved._bolt import Clamp
from platemaker.space import Frame


class JointSide(Record):
    """One side of a joint: its face, the part that has it (None: an existing body), and how that carries the joint.

    `plane` is the joint's frame as this side has it, on its own face, in the stack's frame; None where it has no place.
    """

    joint: Joint
    face: Face
    part: Part | None
    mounting: Mounting | None
    plane: Frame | None = None

    @property
    def owner(self) -> str:
        """The part or body whose side it is."""
        return self.face.owner

    @cached_property
    def holes(self) -> Mapping[str, Hole]:
        """The part's holes of the joint by spot; none on a body."""
        own = self.part.holes if self.part else ()
        return {hole.spot: hole for hole in own if hole.joint == self.joint.name and hole.spot is not None}

    @cached_property
    def slots(self) -> Mapping[str, Profile]:
        """The slots of a part that can be set along them, by the spot that stands in each."""
        if self.part is None or self.mounting is None:
            return {}
        own = [one for one in self.part.profiles if one.kind is ProfileKind.SLOT and one.joint == self.joint.name]
        found = {}
        for spot, point in self.joint.spots.items() if own else ():
            at = self.mounting.in_plan(point)
            slot = next((one for one in own if any(contains(region, at) for region in one.regions)), None)
            if slot is not None:
                found[spot] = slot
        return found


class ResolvedJoint(Record):
    """A joint with its sides, the lower one first, and the names of its gasket and its shim.

    `frame` lies on the face of the lower part that carries the joint, or of the upper where only that is made and has a
    place, Z up through it; None without one.
    `carrier` is that part's side.
    """

    joint: Joint
    sides: tuple[JointSide, ...]
    sheets: tuple[str, ...]
    frame: Frame | None
    carrier: Side | None

    def side(self, owner: str) -> JointSide | None:
        """The side that a part or body has; None where it has none."""
        return next((one for one in self.sides if one.owner == owner), None)

    @property
    def sets(self) -> int:
        """How many of it are put together: as many as of that part which is made most often."""
        return max((side.part.sets for side in self.sides if side.part), default=1)

    def between(self, gap: float) -> Iterator[Clamp]:
        """The shim and the gasket between its faces where together they are `gap` mm thick."""
        shim, sheet = self.joint.shim, self.joint.gasket
        if shim is not None:
            thick = gap - (sheet.thickness if sheet else 0.0)
            yield Clamp("shim", thick, shim.material.elastic_modulus or 0.0, material=shim.material)
        if sheet is None:
            return
        try:
            modulus = gasket_values(sheet.material, sheet.thickness).modulus
        except CatalogError:
            modulus = 0.0  # stated where the joint is loaded; its thickness counts all the same
        yield Clamp("gasket", sheet.thickness, modulus, soft=True)

    def height_of(self, side: JointSide, gap: float) -> float:
        """How high a side's face lies over the joint's frame where gasket and shim are `gap` mm thick, mm."""
        if side.face.side is self.carrier:
            return 0.0
        return gap if self.carrier is Side.ABOVE else -gap


def resolved_joints(stack: Stack) -> tuple[ResolvedJoint, ...]:
    """Every joint of a stack with what follows from where it stands."""
    return tuple(_resolved(stack, joint) for joint in stack.joints)


def _resolved(stack: Stack, joint: Joint) -> ResolvedJoint:
    sides, frame, carrier = [], None, None
    for face in joint.faces:
        part = stack.find_part(face.owner)
        mounting = part.mounting(joint.name) if part else None
        sides.append(JointSide(joint, face, part, mounting, _plane(stack, face, part, mounting)))
    carrying = [(part, one) for part in stack.parts for one in part.mountings if one.joint == joint.name]
    sheets = tuple(part.name for part, _ in carrying if part.is_gasket_or_shim)
    # The lower part's face before the upper's, whichever is listed first: loads have their levers about it.
    for part, mounting in sorted(carrying, key=lambda one: one[1].side is not Side.ABOVE):
        if part.places and not part.is_gasket_or_shim:
            frame, carrier = part.joint_frame(mounting).placed(part.places[0]), mounting.side
            break
    return ResolvedJoint(joint, tuple(sides), sheets, frame, carrier)


def _plane(stack: Stack, face: Face, part: Part | None, mounting: Mounting | None) -> Frame | None:
    if part is not None:
        return part.joint_frame(mounting).placed(part.places[0]) if mounting and len(part.places) == 1 else None
    body = next((one for one in stack.bodies if one.name == face.owner), None)
    if body is None or body.place is None:
        return None
    high = body.envelope.size[2] if body.envelope and face.side is Side.ABOVE else 0.0
    return face.frame(high).placed(body.place)
