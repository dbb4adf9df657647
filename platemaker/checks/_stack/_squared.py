"""Tapered shims as the stack counts them."""

from __future__ import annotations

from platemaker.parts import Hole, Part, PlateStock, Stack
from platemaker.records import replace


def squared(part: Part, stack: Stack) -> Part:
    """A tapered shim as the stack counts it: between faces that it makes square, as high as in the middle of its bolts.

    Its slope fills what one of the real faces is out of square, and neither face is drawn so.
    """
    planed = part.planed
    if planed is None or planed.joint is None:
        return part
    high, thick = planed.face.at(*stack.joint(planed.joint).middle), part.stock.height
    cuts = [replace(one, depth=high) for one in part.profiles]
    return replace(
        part,
        stock=PlateStock(part.stock.plan, high),
        cuts=(*cuts, *(_cut_to(one, thick - high) for one in part.holes)),
    )


def _cut_to(hole: Hole, by: float) -> Hole:
    """A hole from a face that is `by` mm lower."""
    x, y, z = hole.at
    steps = tuple(replace(step, end=step.end - by) for step in hole.steps)
    return replace(hole, at=(x, y, z - by), steps=steps)
