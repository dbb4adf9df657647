"""Lead-in chamfers for injectors' O-rings: what they leave of the cylinder, and whether the seat has room for them."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._finding import PRACTICE, Finding, Limit, measured
from platemaker.parts import Stack, lead_ins_of

LEAD_IN = "PM722"
FITS = Limit(0.0, "mm", "geometry: the chamfer lies within the seat")


def check_lead_ins(stack: Stack) -> Iterator[Finding]:
    """The chamfer of each row's rail and bosses, as it is cut, or as the drawing asks for it."""
    for row in stack.rows:
        for one in lead_ins_of(stack.parts, row):
            section = one.stem.ring.section if one.stem.ring else 0.0
            groove = one.stem.groove_width or section
            inputs = [
                ("over the thickest ring", one.ring, "mm"), ("bore", one.bore, "mm"), ("bore's depth", one.depth, "mm"),
                ("lead-in's diameter", one.wide, "mm"), ("lead-in's length", one.length, "mm"),
            ]  # fmt: skip
            limit = Limit(groove, "mm", f"the whole groove lies in the cylinder; {PRACTICE}")
            yield measured(
                LEAD_IN, "cylinder left below the O-ring's lead-in", one.part, (one.end, "length"),
                one.depth - one.length, limit, points=[one.hole.at], inputs=inputs,
            )  # fmt: skip
            if one.seat:
                yield measured(
                    LEAD_IN, "seat round the O-ring's lead-in", one.part, (one.end, "width"), one.seat - one.wide, FITS,
                    points=[one.hole.at], inputs=[*inputs, ("seat", one.seat, "mm")],
                )  # fmt: skip
