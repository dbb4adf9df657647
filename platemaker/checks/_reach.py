"""How tools reach a bolt: what stands in the room that a way of turning it needs, and how near the rest comes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from platemaker.checks._fasteners import Fastener
from platemaker.checks._near import gap
from platemaker.checks._stack_items import Item, Solid
from platemaker.checks._tools import Envelope, tool_envelopes
from platemaker.space import Box3, Separation, apart, bounding_box, separation

WINDOW = 5.0
"""Things farther than this from a tool, mm, are not told."""


@dataclass(frozen=True)
class Hit:
    """Something near a tool: how far from its room, minus infinity where it is in it, and the two figures."""

    item: Item
    distance: float
    figures: tuple[Solid, Solid]

    @property
    def separation(self) -> Separation:
        """Measured in full, with depth and points."""
        return separation(*self.figures)


@dataclass(frozen=True)
class Reach:
    """A bolt, a way to turn it, and what is in that way's room or near it, nearest first."""

    bolt: Fastener
    way: str
    hits: tuple[Hit, ...]

    @property
    def blockers(self) -> frozenset[str]:
        """The owners that stand in the room."""
        return frozenset(hit.item.owner for hit in self.hits if hit.distance < 0)

    def nearest(self, owners: frozenset[str]) -> Hit | None:
        """The nearest of what belongs to these owners."""
        return next((hit for hit in self.hits if hit.item.owner in owners), None)


def reach_of(bolt: Fastener, items: Sequence[Item]) -> Reach:
    """The handiest way to turn a bolt."""
    return _reached(bolt, next(tool_envelopes(bolt)), items)


def other_ways(reach: Reach, items: Sequence[Item]) -> Reach:
    """The way to turn a bolt in whose room the fewest things stand, the handiest of equals."""
    best = reach
    for envelope in tool_envelopes(reach.bolt):
        if not best.blockers:
            break
        found = _reached(reach.bolt, envelope, items)
        if len(found.blockers) < len(best.blockers):
            best = found
    return best


def _reached(bolt: Fastener, envelope: Envelope, items: Sequence[Item]) -> Reach:
    around = [bounding_box(figure) for figure in envelope.figures]
    hits = sorted(_hits(bolt, envelope, around, items), key=lambda hit: hit.distance)
    return Reach(bolt, envelope.name, tuple(hits))


def _hits(bolt: Fastener, envelope: Envelope, around: Sequence[Box3], items: Sequence[Item]) -> Iterator[Hit]:
    """The part that the head sits on counts only where it is in the way; the bolt's own pieces do not count."""
    for item in items:
        if item.unit == bolt.name or min(gap(box, item.box) for box in around) > WINDOW:
            continue
        found = _hit(envelope, around, item, 0.0 if item.owner == bolt.head_owner else WINDOW)
        if found is not None:
            yield found


def _hit(envelope: Envelope, around: Sequence[Box3], item: Item, window: float) -> Hit | None:
    """How near an item comes to an envelope, below `window`; the first overlap that is met settles it."""
    best, least = None, window
    for figure, box in zip(envelope.figures, around, strict=True):
        for other, other_box in zip(item.figures, item.boxes, strict=True):
            if gap(box, other_box) > least:
                continue
            found = apart(figure, other)
            if found is None:
                return Hit(item, -math.inf, (figure, other))
            if found.distance < least:
                best, least = Hit(item, found.distance, (figure, other)), found.distance
    return best
