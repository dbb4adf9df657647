"""Screws of no joint: how far the holes that one of them goes through lie off each other."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.catalog import coordinate_tolerance
from platemaker.checks._finding import Finding, Limit, Sense, measured
from platemaker.parts import Hole, Part, Stack
from platemaker.resolved import Bolt, resolved_stack
from platemaker.space import beside

MISALIGNED = "PM307"


def check_hole_alignment(stack: Stack) -> Iterator[Finding]:
    """Every screw of no joint that holds placed parts none of which is a bracket: its loop is checked by itself."""
    for bolt in resolved_stack(stack).bolts:
        pairs = [(stack.part(part), stack.part(part).cut(hole)) for part, hole in bolt.through]
        holes = [(part, hole) for part, hole in pairs if isinstance(hole, Hole)]
        plain = all(part.strip is None and len(part.places) == 1 for part, _ in holes)
        if len(holes) > 1 and plain and bolt.fits:
            yield _misalignment(stack, bolt, holes)


def _misalignment(stack: Stack, bolt: Bolt, holes: list[tuple[Part, Hole]]) -> Finding:
    (first, own), *rest = holes
    place = first.places[0]
    at, way = place.to_world(own.at), place.turn(own.direction)
    axes = [beside(at, part.places[0].to_world(hole.at), way) for part, hole in rest]
    other = max(axes, key=lambda axis: math.dist(at, axis))
    off = math.dist(at, other)
    grade = stack.drafting.tolerances
    zones = [math.hypot(*(coordinate_tolerance(c, grade).deviation for c in hole.centre)) for _, hole in holes]
    room, widest = bolt.passes / 2, sum(sorted(zones)[-2:])
    source = f"half the screw's play; {coordinate_tolerance(own.centre[0], grade).source} class {grade.value}"
    limit = Limit(room, "mm", source, max(room - widest, 0.0), Sense.AT_MOST)
    inputs = [("play", bolt.passes, "mm"), ("general tolerance of both holes", widest, "mm")]
    note = "" if off <= limit.fail and off + widest <= room else "general tolerances alone may take the play up"
    return measured(
        MISALIGNED, "hole over hole misalignment", first.name, bolt.features_on(first.name), off, limit,
        points=[own.at, place.to_local(other)], note=note, inputs=inputs,
    )  # fmt: skip
