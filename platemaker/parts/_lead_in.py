"""The chamfer by which an injector's O-ring goes into its bore whole: worked out once, and cut where it has room."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

from platemaker.parts._records._cuts import Hole, Operation, Step
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._part import Part
from platemaker.parts._records._stack_records import RailRow, Stem
from platemaker.parts._records._stock import RoundStock
from platemaker.records import Record, replace

LEAD_IN_ANGLE = 20.0
"""Of the chamfer to the bore's axis, degrees. Common practice for O-rings, 15 to 20 degrees, from memory."""
STEP = 0.1
"""To which the chamfer's diameter is rounded up, mm."""


class LeadIn(Record):
    """A chamfer of `wide` diameter and some `length`, mm, at the mouth of the cylinder that seals on a ring.

    It is for one end of an injector, `end` in the spec, in the hole `hole` of a part; `bore` and `depth` are the
    cylinder's with the chamfer, which begins `start` below the entry, where its rim is whole; `seat` is the counterbore
    above it, 0 where there is none; `ring` is the diameter over the thickest ring on its groove.
    """

    part: str
    hole: Hole
    end: str
    stem: Stem
    wide: float
    bore: float
    start: float
    depth: float
    seat: float
    ring: float

    @property
    def length(self) -> float:
        """Along the axis, mm."""
        return on_grid((self.wide - self.bore) / 2 / math.tan(math.radians(LEAD_IN_ANGLE)))

    @property
    def is_cut(self) -> bool:
        """Whether the hole has it; not where it has no room, nor in the round side of a bar."""
        return any(step.operation is Operation.COUNTERSINK for step in self.hole.steps)


def lead_ins_of(parts: Iterable[Part], row: RailRow) -> Iterator[LeadIn]:
    """The chamfers of rail and bosses, one of each for all of a row; none where ring or groove is not specified."""
    if row.injector is None:
        return
    known = {part.name: part for part in parts}  # of some parts alone either may be left out
    for end, name, stem, place in (("rail_end", row.rail, row.injector.rail_end, 0),
                                   ("boss_end", row.bosses, row.injector.boss_end, -1)):  # fmt: skip
        bores = _bores(known[name], row) if name in known else []
        if not bores or stem.ring is None or stem.groove is None:
            continue
        steps = _plain(bores[0].steps)
        step, above = steps[place], steps[:place] if place else ()
        # Stretched over its groove a ring is thinner: at rest it is thickest.
        ring = stem.groove + 2 * (stem.ring.section + stem.ring.section_tolerance)
        wide = max(step.diameter, round(math.ceil(ring / STEP - 1e-6) * STEP, 6))
        seat = above[-1].diameter if above else 0.0
        start = max(step.start, rim_depth(known[name], wide))
        yield LeadIn(name, bores[0], end, stem, wide, step.diameter, start, step.end - start, seat, ring)


def rim_depth(part: Part, wide: float) -> float:
    """How far below its highest point the round side of a bar closes round a bore of a width, mm; 0 on a flat face."""
    if not isinstance(part.stock, RoundStock):
        return 0.0
    radius = part.stock.diameter / 2
    return radius - math.sqrt(max(radius**2 - (wide / 2) ** 2, 0.0))


def _bores(part: Part, row: RailRow) -> list[Hole]:
    """The bores of a rail for a row's injectors, or a boss's only one."""
    return [hole for hole in part.holes if hole.joint == row.joint] if part.name == row.rail else list(part.holes)


def _plain(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The cylinders of a bore, as they are without a lead-in."""
    before = (None, *steps)
    return tuple(
        replace(step, start=above.start) if above and above.operation is Operation.COUNTERSINK else step
        for above, step in zip(before, steps, strict=False)
        if step.operation is not Operation.COUNTERSINK
    )


def with_lead_ins(parts: Sequence[Part], rows: Iterable[RailRow]) -> list[Part]:
    """The parts with the lead-ins that have room cut into them."""
    found = list(parts)
    for row in rows:
        for one in lead_ins_of(found, row):
            fits = one.bore < one.wide and one.length < one.depth and (not one.seat or one.wide <= one.seat)
            found = [
                _chamfered(part, one, row) if fits and part.name == one.part and not _is_round(part) else part
                for part in found
            ]
    return found


def _is_round(part: Part) -> bool:
    return isinstance(part.stock, RoundStock)


def _chamfered(part: Part, one: LeadIn, row: RailRow) -> Part:
    end = on_grid(one.start + one.length)
    cone = Step(Operation.COUNTERSINK, one.wide, one.start, end, one.bore)
    bores = {hole.name for hole in _bores(part, row)}

    def cut(hole: Hole) -> Hole:
        steps = ((cone, replace(step, start=end)) if step.start == one.start else (step,) for step in hole.steps)
        return replace(hole, steps=tuple(piece for pair in steps for piece in pair))

    return replace(part, cuts=tuple(cut(it) if isinstance(it, Hole) and it.name in bores else it for it in part.cuts))
