"""What a tool and a bolt need round head and nut: sockets, hexagon keys with their swing, wrenches, the way out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.catalog import countersunk_head, hex_key, hex_nut, socket_head, socket_wrench, washer
from platemaker.plane import Arc, Line, Loop, Region
from platemaker.records import Record
from platemaker.resolved import Bolt, head_size, nut_size
from platemaker.space import Cylinder, Frame, Prism

SOCKET_LENGTH = 50.0
"""A hand socket with the end of its drive, over the seat, mm (common practice, no source)."""
BIT_REACH, BIT_SOCKET_DIAMETER, BIT_SOCKET_LENGTH = 15.0, 23.0, 60.0
"""A socket with a hexagon bit, 1/2 in drive: bit out of the head, diameter, and length in all, mm (common practice)."""
LIFT = 0.5
"""Sockets and heads are drawn from this far over what the head sits on, mm: so the seat is not in their way."""
SWING = 60.0
"""A hexagon takes a key again every 60 degrees: it must swing that far."""
DIRECTIONS = 24
"""A key's swing, and a wrench's handle, are tried in this many directions round the bolt."""
RING_WIDTH, RING_HEIGHT, HANDLE = (1.5, 1.0), (0.7, 2.0), (0.4, 10.0)
"""A ring wrench by its opening s, mm: head 1.5 s + 1 wide and 0.7 s + 2 high, as wide and high as A-A-1346A table 3.2
lets it be at most; handle s wide, 0.4 s thick and 10 s long (common practice)."""


class ToolEnvelope(Record):
    """One way to turn a bolt: its name, and the figures, in the stack's frame, that must stay free."""

    name: str
    figures: tuple[Cylinder | Prism, ...]


def tool_envelopes(bolt: Bolt) -> Iterator[ToolEnvelope]:
    """The ways to turn a bolt, handiest first, each with the room that the bolt itself needs to come out."""
    out = _way_out(bolt)
    if bolt.bolts.head in ("hex", "stud"):
        wide = socket_wrench(bolt.head_diameter).outside_diameter
        seat, past = bolt.lift, _past_head(bolt)  # a deep socket, where a stud stands out of its nut
        yield ToolEnvelope("a socket", (_upright(bolt, seat + LIFT, seat + SOCKET_LENGTH + past, wide / 2), *out))
        return
    across = (countersunk_head if bolt.bolts.head == "countersunk" else socket_head)(bolt.thread).key
    high = head_size(bolt.thread, bolt.bolts.head)[1]
    key, corner, top = hex_key(across), across / math.sqrt(3), bolt.lift + high
    # A countersunk head ends in its face: the tool begins a little over it, as a socket does over its seat.
    bit = _upright(bolt, max(top, bolt.lift + LIFT), top + BIT_REACH, corner)
    body = _upright(bolt, top + BIT_REACH, top + BIT_SOCKET_LENGTH, BIT_SOCKET_DIAMETER / 2)
    yield ToolEnvelope("a bit socket", (bit, body, *out))
    deep = high / 2  # a hexagon socket is about half as deep as its head is high
    for words, stem, arm in (
        ("a key, long arm out", key.short_arm, key.long_arm),
        ("a key, long arm in", key.long_arm, key.short_arm),
    ):
        level = top - deep + stem
        upright = _upright(bolt, max(top, bolt.lift + LIFT), level, corner)
        for number in range(DIRECTIONS):
            swing = _swing(bolt, level - 2 * corner, 2 * corner, arm, 360.0 * number / DIRECTIONS)
            yield ToolEnvelope(words, (upright, swing, *out))


def nut_envelopes(bolt: Bolt) -> Iterator[ToolEnvelope]:
    """The ways to hold a bolt's nut while its head is turned, handiest first; each with the nut's way on to the shank.

    A held wrench does not swing: its handle lies in one direction.
    """
    nut = hex_nut(bolt.thread)
    flats, high = nut.across_flats, nut.nut_height
    lift = bolt.lift
    tip = max(bolt.past_nut, lift + high)
    wide = max(nut_size(bolt.thread)[0], _washer_width(bolt))
    on = _past(bolt, LIFT, tip + lift + high, wide / 2)
    past = tip - lift - high  # a deep socket, where the shank stands out of the nut
    socket = socket_wrench(flats).outside_diameter / 2
    yield ToolEnvelope("a socket", (_past(bolt, lift + LIFT, lift + SOCKET_LENGTH + past, socket), on))
    ring, thick = (share * flats + more for share, more in (RING_WIDTH, RING_HEIGHT))
    head = _past(bolt, lift + LIFT, tip + thick, ring / 2)
    thin, long = (share * flats for share in HANDLE)
    for number in range(DIRECTIONS):
        angle = 2 * math.pi * number / DIRECTIONS
        base = Frame.from_normal(
            bolt.past(lift + LIFT + thick - thin), (-bolt.seat.out[0], -bolt.seat.out[1], -bolt.seat.out[2])
        )
        bar = Region.of(Loop.rectangle(long, flats, centre=(long / 2, 0.0)))
        turned = base.rotated(base.origin, base.z_axis, math.degrees(angle))
        yield ToolEnvelope("a ring wrench", (head, Prism(bar, turned, thin), on))


def _washer_width(bolt: Bolt) -> float:
    return washer(bolt.thread).outside_diameter if bolt.bolts.washers else 0.0


def _way_out(bolt: Bolt) -> tuple[Cylinder, ...]:
    """The path of head and washer while the bolt is drawn out straight by its length; none where no length is known.

    Of a stud its nut's, off the tip.
    """
    if bolt.long is None:
        return ()
    wide, high = head_size(bolt.thread, bolt.bolts.head)
    reach = max(wide, _washer_width(bolt)) / 2
    way = _past_head(bolt) if bolt.is_stud else bolt.long
    return (_upright(bolt, bolt.lift + LIFT, bolt.lift + high + way + bolt.is_stud * high, reach),)


def _past_head(bolt: Bolt) -> float:
    """How far a stud stands out of its nut, mm; 0 for a screw."""
    return max(bolt.ends[0] - bolt.lift - head_size(bolt.thread, bolt.bolts.head)[1], 0.0) if bolt.is_stud else 0.0


def _past(bolt: Bolt, low: float, high: float, radius: float) -> Cylinder:
    """A cylinder about the axis between two heights beyond what the nut sits on."""
    return Cylinder(bolt.past(low), bolt.past(high), radius)


def _upright(bolt: Bolt, low: float, high: float, radius: float) -> Cylinder:
    return Cylinder(bolt.at(low), bolt.at(high), radius)


def _swing(bolt: Bolt, low: float, height: float, arm: float, start: float) -> Prism:
    """A sector round the bolt's axis, `SWING` degrees from `start`, that a key's arm sweeps."""
    first, last = math.radians(start), math.radians(start + SWING)
    a, b = ((arm * math.cos(angle), arm * math.sin(angle)) for angle in (first, last))
    sector = Loop((Line((0.0, 0.0), a), Arc(a, b, (0.0, 0.0), arm, True), Line(b, (0.0, 0.0))))
    return Prism(Region.of(sector), Frame.from_normal(bolt.at(low), bolt.seat.out), height)
