"""The faces that a bolt pulls together: whether metal is there round it to meet, or a pocket that it pulls into."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.checks._finding import PRACTICE, Finding, Limit, measured
from platemaker.parts import Hole, Part, Stack
from platemaker.plane import Loop, Region, areas_left
from platemaker.resolved import BearingSeat, Bolt, resolved, resolved_stack
from platemaker.space import dot

CONTACT = "PM403"
SPREAD = math.tan(math.radians(30.0))
"""Half-apex angle of the cone in which a head presses: 30 degrees (Shigley, 9th ed., 8-5)."""
LIMIT = Limit(0.5, "times the ring under the head", f"cone of 30 degrees: Shigley, 9th ed., 8-5; {PRACTICE}", 1.0)


def check_contact(stack: Stack) -> Iterator[Finding]:
    """Of every joint, and of every screw of none, the bolt with the least metal round it where two faces meet."""
    faces = [
        (bolt, part, radius, figures) for bolt in resolved_stack(stack).bolts if _ring(bolt) > 0
        for part, hole, is_entry, radius in _faces(stack, bolt)
        if (figures := _figures(part, hole, radius, is_entry=is_entry)) is not None
    ]  # fmt: skip
    metal = areas_left([figures for *_, figures in faces])
    groups: dict[str, list[Finding]] = {}
    for (bolt, part, radius, _), left in zip(faces, metal, strict=True):
        groups.setdefault(bolt.group, []).append(_finding(bolt, part, left, radius))
    for ones in groups.values():
        yield min(ones, key=lambda found: round(found.measured or 0.0, 6))


def _ring(bolt: Bolt) -> float:
    """Area on which the head bears, mm2."""
    return math.pi / 4 * (bolt.bearing_diameter**2 - bolt.seat.bore**2)


def _finding(bolt: Bolt, part: Part, metal: float, radius: float) -> Finding:
    ring = _ring(bolt)
    inputs = [("radius of the cone", radius, "mm"), ("metal in it", metal, "mm2"), ("ring under the head", ring, "mm2")]
    return measured(
        CONTACT, "metal round the bolt where the faces meet", part.name, bolt.features_on(part.name), metal / ring,
        LIMIT, points=bolt.points_on(part.name), inputs=inputs,
        note="a cut takes away the face that the bolt pulls at" if metal < ring else "",
    )  # fmt: skip


def _faces(stack: Stack, bolt: Bolt) -> Iterator[tuple[Part, Hole, bool, float]]:
    """Made parts with a face that the bolt pulls at another: whether its hole enters there, and the cone's radius."""
    head = bolt.bearing_diameter / 2 + SPREAD * bolt.seat.metal
    ends = [(bolt.seat, head)]
    if bolt.nut is not None:
        ends.append((bolt.nut, bolt.nut_bearing_diameter / 2 + SPREAD * bolt.nut.metal))
    for seat, radius in ends:
        if seat.part is not None and seat.hole is not None:
            yield seat.part, seat.hole, _along(seat.part, seat, seat.hole) > 0, radius
    if bolt.tapped is not None and bolt.tapped.hole is not None:
        part, hole = stack.part(bolt.tapped.owner), bolt.tapped.hole
        known = bolt.seat.placed and len(part.places) == 1
        yield part, hole, not known or _along(part, bolt.seat, hole) < 0, head


def _along(part: Part, seat: BearingSeat, hole: Hole) -> float:
    """How far the way out of a seat goes along a hole of a part."""
    return dot(part.places[0].unturn(seat.out) if seat.placed and part.places else seat.out, hole.direction)


def _figures(
    part: Part, hole: Hole, radius: float, *, is_entry: bool
) -> tuple[Region, Region, Sequence[Region]] | None:
    """A disc round a hole, the blank, and the cuts in its face near it; None for a leaning bore and in round bar."""
    one = resolved(part)
    own = one.flat.cut(hole.name)
    if part.bar is not None or not isinstance(own, Hole) or not own.square:
        return None
    (x, y), disc = own.centre, Region.of(Loop.circle(own.centre, radius))
    cuts = [void.plan for void in one.breaking(own.side if is_entry else own.side.other)]
    boxes = [cut.bounds for cut in cuts]
    near = [
        cut for cut, (x0, y0, x1, y1) in zip(cuts, boxes, strict=True)
        if math.hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)) < radius
    ]  # fmt: skip
    return disc, one.blank.region, near
