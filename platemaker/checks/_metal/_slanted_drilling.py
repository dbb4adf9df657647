"""Slanted bores as a drill meets them: the spotface that it starts on, or the guide that it needs without one."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._finding import EQUAL, Finding, Input, Limit, measured
from platemaker.parts import Hole, Part, Side, Stack
from platemaker.records import replace
from platemaker.space import Cylinder, HalfSpace, entry, spotface_depth
from platemaker.units import said

SPOTFACE = "PM721"
WANDERS = 5.0
"""A drill that meets a face leaning more than this from square, degrees, wanders (common practice, no source)."""
SOURCE = "trigonometry: the high side of the spotface's floor reaches the flat over the whole drill"


def check_slanted_drilling(stack: Stack) -> Iterator[Finding]:
    """Every bore into a plate or casting that leans from square to the face it is entered from."""
    for part in stack.plates:
        for hole in part.holes:
            if abs(hole.direction[2]) > 1e-3 and not hole.square:
                yield from _started(part, hole)


def _started(part: Part, hole: Hole) -> Iterator[Finding]:
    bore = Cylinder(hole.at, hole.point(hole.depth), hole.diameter / 2)
    up = 1.0 if hole.side is Side.ABOVE else -1.0
    met = entry(bore, HalfSpace((0.0, 0.0, part.face_height(hole.side)), (0.0, 0.0, up)))
    if met.angle <= WANDERS:
        return
    first = hole.bored[0]
    faced = hole.is_stepped and first.what == "counterbore"
    needed = spotface_depth(bore.radius, met.angle)
    inputs: list[Input] = [
        ("lean from square", met.angle, "degrees"),
        ("ellipse, half axes", (met.section.minor, met.section.major), "mm"),
        ("guide without a spotface", met.lead, "mm"),
    ]
    depth = first.end if faced else 0.0
    short = depth < needed - EQUAL
    found = measured(
        SPOTFACE, "spotface before a slanted drill", part.name, (hole.name,), depth,
        Limit(0.0, "mm", SOURCE, caution=needed), points=[met.first, met.last], inputs=inputs,
        note=said("or_guide", guide=(met.lead, "mm")) if short else "",
    )  # fmt: skip
    yield replace(found, required=needed, margin=depth - needed)
