"""Plates that can be set along their slots: how far, and what moves with them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._stack._boss_rail import injectors_owner
from platemaker.checks._stack._stack_items import bolts_owner
from platemaker.parts import Part, Profile, ProfileKind, Stack, Vec3, linked
from platemaker.plane import Arc
from platemaker.records import Record
from platemaker.resolved import Bolt
from platemaker.units import Words, said


class Slide(Record):
    """A plate's travel either way from where it stands, in the stack's frame, mm; `moves` are what goes along."""

    part: str
    joint: str
    reach: Vec3
    moves: frozenset[str]

    def ends(self) -> Iterator[tuple[Vec3, Words]]:
        """How far the plate stands from its middle at either end of its travel, and that in words."""
        for sign, words in ((1.0, "one end"), (-1.0, "the other end")):
            by = (sign * self.reach[0], sign * self.reach[1], sign * self.reach[2])
            far = math.dist(by, (0.0, 0.0, 0.0))
            yield by, said("at_end_of_travel", part=self.part, end=words, far=(far, "mm"))


def slides_of(stack: Stack, fasteners: tuple[Bolt, ...]) -> Iterator[Slide]:
    """Every plate with a place and with slots that adjust a joint; of several slots the shortest sets the travel."""
    for part in stack.parts:
        slots = [one for one in part.profiles if one.kind is ProfileKind.SLOT and one.joint is not None]
        if not slots or len(part.places) != 1:
            continue
        reach = min((_half_travel(slot) for slot in slots), key=lambda v: v[0] ** 2 + v[1] ** 2)
        joint = slots[0].joint or ""
        yield Slide(part.name, joint, part.places[0].turn(reach), _carried(stack, part, joint, fasteners))


def _half_travel(slot: Profile) -> Vec3:
    """Half the distance between the centres of a slot's round ends; no travel for a round slot."""
    ends = [edge.centre for edge in slot.regions[0].outer.edges if isinstance(edge, Arc)]
    (x0, y0), (x1, y1) = ends[0], ends[-1]
    return (x1 - x0) / 2, (y1 - y0) / 2, 0.0


def _carried(stack: Stack, part: Part, joint: str, fasteners: tuple[Bolt, ...]) -> frozenset[str]:
    """What hangs together with a part when one of its joints is left out, with the bolts between."""
    links = [set(one.joins) | {bolts_owner(one.group)} for one in fasteners if one.group != joint]
    links += [
        {face.owner for face in (other.lower, other.upper) if face is not None}
        for other in stack.joints
        if other.name != joint
    ]
    links += [{row.bosses, row.casting, injectors_owner(row.rail)} for row in stack.rows]
    links += [{one.name, one.body} for one in stack.parts if one.body]
    links += [{one.name, f"{one.name} fittings"} for one in stack.parts]
    return frozenset(linked({part.name}, links))
