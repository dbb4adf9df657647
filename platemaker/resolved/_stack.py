"""What follows from a stack: its joints and every screw, each worked out when it is first asked for."""

from __future__ import annotations

from functools import cached_property

from platemaker.parts import Load, Stack
from platemaker.records import Record, kept_with
from platemaker.resolved._belt import ResolvedBelt, resolved_belt
from platemaker.resolved._belt_bracket import IdlerPlate, brackets_of
from platemaker.resolved._belt_line import PulleyLine, pulley_lines
from platemaker.resolved._bolt import BearingSeat, Bolt
from platemaker.resolved._bolts import joint_bolts
from platemaker.resolved._joints import ResolvedJoint, resolved_joints
from platemaker.resolved._over_holes import Loose, bolts_over_holes
from platemaker.units import Words


class ResolvedStack(Record):
    """A stack with what follows from it."""

    stack: Stack

    @cached_property
    def joints(self) -> tuple[ResolvedJoint, ...]:
        """Its joints as they stand."""
        return resolved_joints(self.stack)

    def joint(self, name: str) -> ResolvedJoint:
        """The joint called `name`; KeyError when there is none."""
        for one in self.joints:
            if one.joint.name == name:
                return one
        raise KeyError(name)

    @cached_property
    def belt(self) -> ResolvedBelt | None:
        """Its belt drive as it runs; None without one."""
        return resolved_belt(self.stack)

    @cached_property
    def pulley_lines(self) -> tuple[PulleyLine, ...]:
        """How true the belt's pulleys run to the driving one; none without a belt."""
        return pulley_lines(self.belt, self.joints) if self.belt else ()

    @cached_property
    def brackets(self) -> tuple[IdlerPlate | tuple[str, Words], ...]:
        """The made plates that hold the belt's idlers, under its pull; or part, and what is missing."""
        return brackets_of(self.stack, self.belt) if self.belt else ()

    @cached_property
    def loads(self) -> tuple[Load, ...]:
        """What acts on its joints: the design's loads, and what the belt does to its pulleys."""
        stated = self.stack.design.loads if self.stack.design else ()
        return (*stated, *(self.belt.loads if self.belt else ()))

    @cached_property
    def _over(self) -> tuple[tuple[Bolt, ...], tuple[Loose, ...]]:
        return bolts_over_holes(self.stack, self.joints)

    @cached_property
    def bolts(self) -> tuple[Bolt, ...]:
        """Every screw: those of the joints, then those through holes that lie over other parts' holes."""
        return (*joint_bolts(self.joints), *self._over[0])

    @property
    def loose_holes(self) -> tuple[Loose, ...]:
        """Holes for bolts that nothing in the stack lies over or under."""
        return self._over[1]

    @cached_property
    def _by_hole(self) -> dict[tuple[str, str], Bolt]:
        return {key: one for one in reversed(self._over[0]) for key in one.through}

    def bolt_in(self, part: str, hole: str) -> Bolt | None:
        """The screw of no joint that goes through, or into, a hole of a part; None where nothing does."""
        return self._by_hole.get((part, hole))

    @cached_property
    def _seats(self) -> dict[tuple[str, str], tuple[BearingSeat, str, bool]]:
        return {
            (seat.owner, seat.hole.name): (seat, head, bolt.bolts.washers)
            for bolt in self.bolts
            for seat, head in ((bolt.seat, bolt.bolts.head), (bolt.nut, "hex"))
            if seat is not None and seat.hole is not None
        }

    def seat_in(self, part: str, hole: str) -> tuple[BearingSeat, str, bool] | None:
        """What bears on a part round a hole: its seat, the kind of head (of a nut `hex`), whether it has a washer."""
        return self._seats.get((part, hole))

    @cached_property
    def _by_group(self) -> dict[str, tuple[Bolt, ...]]:
        found: dict[str, tuple[Bolt, ...]] = {}
        for one in self.bolts:
            found[one.group] = (*found.get(one.group, ()), one)
        return found

    def bolts_of(self, group: str) -> tuple[Bolt, ...]:
        """The screws of one joint, or of one hole; none where nothing is known that their heads bear on."""
        return self._by_group.get(group, ())


def resolved_stack(stack: Stack) -> ResolvedStack:
    """What follows from a stack; kept with it, so that every reader reads the same."""
    return kept_with(stack, "_resolved", lambda: ResolvedStack(stack))
