"""Two things of the stack at their nearest, and what their distance is held against."""

from __future__ import annotations

from platemaker.checks._finding import EQUAL, Finding, Limit, measured
from platemaker.checks._stack._stack_items import ItemKind, Pair, StackItem
from platemaker.parts import Stack, Vec3
from platemaker.records import Record
from platemaker.units import Words, joined, said

CLEARANCE, CONTACT = "PM641", "PM642"

PRACTICE = Limit(1.0, "mm", "common practice, no source", caution=2.0)
TOUCHING = Limit(0.0, "mm", "parts that are joined touch and do not enter each other")
LOOP = Limit(-0.5, "mm", "common practice, no source: what a bracket may be drawn in by, as its loop is checked for")
SUNK = Limit(0.1, "mm", "common practice, no source")
"""How far a head stays below the face that it is sunk in, where another part lies on that face."""
WINDOW = 5.0
"""Pairs up to this many times the limit apart are listed, and the nearest pair of all."""


class Near(Record):
    """Two items at their nearest: signed distance, points in the stack's frame, shared volume where they overlap."""

    a: StackItem
    b: StackItem
    distance: float
    points: tuple[Vec3, Vec3]
    volume: float = 0.0
    where: Words = ""

    @property
    def owners(self) -> Pair:
        """The two owners."""
        return frozenset((self.a.owner, self.b.owner))

    @property
    def is_parts(self) -> bool:
        """Whether both are parts or bodies."""
        return {self.a.kind, self.b.kind} <= {ItemKind.PART, ItemKind.BODY}

    def finding(self, stack: Stack, check: str, title: str, limit: Limit) -> Finding:
        """The finding, reported on a made part where one of the two is one, its points in that part's frame."""
        overlap: Words = ""
        inputs = []
        if self.distance < -EQUAL:
            overlap = said("overlap", volume=(self.volume, "mm3"))
            inputs = [("overlap", self.volume, "mm3")]
        owner, points = self.a.owner, list(self.points)
        for part in stack.parts:
            if part.name in (self.a.owner, self.b.owner) and part.made:
                owner = part.name
                points = [part.places[0].to_local(point) for point in points] if len(part.places) == 1 else points
                break
        names = (self.a.name, self.b.name)
        return measured(
            check, title, owner, names, self.distance + 0.0, limit, points=points, inputs=inputs,
            note=joined(overlap, self.where),
        )  # fmt: skip
