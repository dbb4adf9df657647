"""The chamfer by which an injector's O-ring goes into its bore whole."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.parts import Hole, RailRow, Stack, Stem

LEAD_IN_ANGLE = 20.0
"""Of the chamfer to the bore's axis, degrees. Common practice for O-rings, 15 to 20 degrees, from memory."""
STEP = 0.1
"""To which the chamfer's diameter is rounded up, mm."""


@dataclass(frozen=True)
class LeadIn:
    """A chamfer of `wide` diameter and some `length`, mm, at the mouth of the cylinder that seals on a ring.

    It is for one end of an injector, `end` in the spec, in the hole `hole` of a part; `bore` and `depth` are the
    cylinder's, `seat` the counterbore above it, 0 where there is none; `ring` is the diameter over the thickest ring
    on its groove.
    """

    part: str
    hole: Hole
    end: str
    stem: Stem
    wide: float
    bore: float
    depth: float
    seat: float
    ring: float

    @property
    def length(self) -> float:
        """Along the axis, mm."""
        return (self.wide - self.bore) / 2 / math.tan(math.radians(LEAD_IN_ANGLE))


def lead_ins_of(stack: Stack, row: RailRow) -> Iterator[LeadIn]:
    """The chamfers of rail and bosses, one of each for all of a row; none where ring or groove is not specified."""
    if row.injector is None:
        return
    rail, bosses = stack.find_part(row.rail), stack.find_part(row.bosses)  # of some parts alone either may be left out
    bores = [hole for hole in rail.holes if hole.joint == row.joint] if rail else []
    ends = (("rail_end", row.rail, bores, row.injector.rail_end, 0),
            ("boss_end", row.bosses, bosses.holes if bosses else (), row.injector.boss_end, -1))  # fmt: skip
    for end, part, holes, stem, place in ends:
        if not holes or stem.ring is None or stem.groove is None:
            continue
        steps = holes[0].bored
        step, above = steps[place], steps[:place] if place else ()
        # Stretched over its groove a ring is thinner: at rest it is thickest.
        ring = stem.groove + 2 * (stem.ring.section + stem.ring.section_tolerance)
        wide = max(step.wide, round(math.ceil(ring / STEP - 1e-6) * STEP, 6))
        seat = above[-1].wide if above else 0.0
        yield LeadIn(part, holes[0], end, stem, wide, step.wide, step.end - step.start, seat, ring)
