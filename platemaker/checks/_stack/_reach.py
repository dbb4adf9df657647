"""How tools reach a bolt: what stands in the room that a way to turn or hold it needs, and how near the rest comes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property

from platemaker.checks._stack._between import Solid, apart, box_about, separation
from platemaker.checks._stack._stack_items import StackItem, items_near
from platemaker.checks._stack._tools import ToolEnvelope, nut_envelopes, tool_envelopes
from platemaker.records import Record
from platemaker.remembered import remembered
from platemaker.resolved import BearingSeat, Bolt
from platemaker.space import Box3, Separation, bounding_box, box_gap

WINDOW = 5.0
"""Things farther than this from a tool, mm, are not reported."""


class Hit(Record):
    """Something near a tool: how far from its room, minus infinity where it is in it, and the two figures."""

    item: StackItem
    distance: float
    figures: tuple[Solid, Solid]

    @cached_property
    def separation(self) -> Separation:
        """Measured in full, with depth and points."""
        return separation(*self.figures)


class BoltEnd(Record):
    """The end of a bolt that a tool goes on: its head, or its nut."""

    bolt: Bolt
    is_nut: bool = False

    @property
    def name(self) -> str:
        """The bolt's name, or its nut's."""
        return f"{self.bolt.name} nut" if self.is_nut else self.bolt.name

    @property
    def seat(self) -> BearingSeat:
        """What it bears on."""
        return self.bolt.nut if self.is_nut and self.bolt.nut else self.bolt.seat

    @property
    def owner(self) -> str:
        """The part or body that it bears on."""
        return self.seat.owner

    def ways(self) -> Iterator[ToolEnvelope]:
        """The ways to turn or hold it, handiest first."""
        return nut_envelopes(self.bolt) if self.is_nut else tool_envelopes(self.bolt)


def ends_of(bolt: Bolt) -> Iterator[BoltEnd]:
    """The head, and the nut where there is one."""
    yield BoltEnd(bolt)
    if bolt.nut is not None:
        yield BoltEnd(bolt, is_nut=True)


class Reach(Record):
    """The end of a bolt, a way to turn or hold it, and what is in that way's room or near it, nearest first."""

    end: BoltEnd
    way: str
    hits: tuple[Hit, ...]

    @property
    def blockers(self) -> frozenset[str]:
        """The owners that stand in the room."""
        return frozenset(hit.item.owner for hit in self.hits if hit.distance < 0)

    def nearest(self, owners: frozenset[str]) -> Hit | None:
        """The nearest of what belongs to these owners."""
        return next((hit for hit in self.hits if hit.item.owner in owners), None)


def reach_of(end: BoltEnd, items: Sequence[StackItem]) -> Reach:
    """The handiest way to turn or hold a bolt's end."""
    return _reached(end, next(end.ways()), items)


def other_ways(reach: Reach, items: Sequence[StackItem]) -> Reach:
    """The way in whose room the fewest things stand, the handiest of equals."""
    best = reach
    for envelope in reach.end.ways():
        if not best.blockers:
            break
        found = _reached(reach.end, envelope, items)
        if len(found.blockers) < len(best.blockers):
            best = found
    return best


def _reached(end: BoltEnd, envelope: ToolEnvelope, items: Sequence[StackItem]) -> Reach:
    around = [bounding_box(figure) for figure in envelope.figures]
    hits = sorted(_hits(end, envelope, around, items), key=lambda hit: hit.distance)
    return Reach(end, envelope.name, tuple(hits))


def _hits(end: BoltEnd, envelope: ToolEnvelope, around: Sequence[Box3], items: Sequence[StackItem]) -> Iterator[Hit]:
    """The part that head or nut sits on counts only where it is in the way; the bolt's own pieces do not count."""
    for item in items_near(box_about(around), items, WINDOW):
        own = end.seat.part is None and item.owner == end.owner  # a body is known by its box alone, not over its flange
        if own or item.unit == end.bolt.name:
            continue
        found = _hit(envelope, around, item, 0.0 if item.owner == end.owner else WINDOW)
        if found is not None:
            yield found


@remembered(8192)
def _hit(envelope: ToolEnvelope, around: Sequence[Box3], item: StackItem, window: float) -> Hit | None:
    """How near an item comes to an envelope, below `window`; the first overlap that is met settles it."""
    best, least = None, window
    for figure, box in zip(envelope.figures, around, strict=True):
        for other, other_box in zip(item.figures, item.boxes, strict=True):
            if box_gap(box, other_box) > least:
                continue
            found = apart(figure, other)
            if found is None:
                return Hit(item, -math.inf, (figure, other))
            if found.distance < least:
                best, least = Hit(item, found.distance, (figure, other)), found.distance
    return best
