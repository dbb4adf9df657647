"""Brackets that join two parts: placed by one hole, how far do their other holes stand off what they are to meet."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._finding import PRACTICE, Finding, Limit, Sense, measured, not_checked
from platemaker.parts import Hole, Part, Stack, foot_of
from platemaker.resolved import resolved_stack
from platemaker.space import Frame, dot, sub

LOOP_HOLE, LOOP_GAP, LOOP_ANGLE = "PM711", "PM712", "PM713"

LARGEST_GAP = Limit(0.5, "mm", PRACTICE, caution=0.2, sense=Sense.AT_MOST)
"""Gap, or overlap, between a bracket's face and the face it is bolted to: more is drawn in by bending something."""
LARGEST_ANGLE = Limit(1.0, "degrees", PRACTICE, caution=0.5, sense=Sense.AT_MOST)
"""Angle between the two faces; 1 degree is what general tolerances on bends leave."""


def check_bracket_loops(stack: Stack) -> Iterator[Finding]:
    """Every hole of a bracket that lies over another part's hole, but the one that the bracket is placed by."""
    for part in stack.parts:
        if part.strip is None:
            continue
        closing = [hole for hole in part.holes if hole.over]
        for hole in closing:
            owner = stack.part(hole.over[0]) if hole.over else part
            if not part.places or len(owner.places) != 1:
                lost = part.name if not part.places else owner.name
                reason = f"{lost} has no single place in the stack"
                yield not_checked(LOOP_HOLE, "bracket: hole over hole", part.name, (hole.name,), reason)
                continue
            under = owner.cut(hole.over[1] if hole.over else "")
            if isinstance(under, Hole):
                bolt = resolved_stack(stack).bolt_in(part.name, hole.name)
                if bolt is not None:
                    yield from _misfit(part, part.strip.thickness, bolt.d, hole, owner, under)


def _misfit(part: Part, thickness: float, d: float, hole: Hole, owner: Part, under: Hole) -> Iterator[Finding]:
    """Seen in the bracket's frame: the other hole against the far end of the bracket's."""
    view: Frame = part.places[0]
    at = view.to_local(owner.places[0].to_world(under.at))
    way = view.unturn(owner.places[0].turn(under.direction))
    end = hole.point(thickness)
    off = sub(at, end)
    gap = dot(off, way)
    aside = math.sqrt(max(0.0, sum(c * c for c in off) - gap * gap))
    if max(aside, abs(gap)) < 1e-9 and hole is foot_of(part):
        return
    features, points = (hole.name, f"{owner.name} {under.name}"), [end, at]
    room = Limit((hole.diameter - d) / 2, "mm", "the hole's clearance round its bolt", sense=Sense.AT_MOST)
    inputs = [("hole", hole.diameter, "mm"), ("bolt", d, "mm")]
    yield measured(
        LOOP_HOLE, "bracket hole misalignment", part.name, features, aside, room, points=points, inputs=inputs
    )
    note = "the bracket does not reach the face" if gap > 0 else "the bracket is in the way"
    yield measured(
        LOOP_GAP, "bracket: gap between the faces", part.name, features, abs(gap), LARGEST_GAP, points=points, note=note
    )
    lean = math.degrees(2.0 * math.asin(min(1.0, math.dist(hole.direction, way) / 2)))
    title = "bracket: angle between the faces"
    yield measured(LOOP_ANGLE, title, part.name, features, lean, LARGEST_ANGLE, points=points)
