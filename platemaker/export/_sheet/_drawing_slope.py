"""A planed face seen from the front: silhouette and nearer edge, and the section along its slope."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from platemaker.parts import Part
from platemaker.plane import Arc, Point, Region
from platemaker.resolved import Cutting, crossings
from platemaker.views import Ink, Pen, View

ALMOST = 1e-6
"""A rise below this, mm a mm, cannot be seen."""
Run: TypeAlias = list[Point]


def profiles_of(part: Part) -> tuple[Run, Run]:
    """The upper line of a planed part's silhouette from the front, and that of its other edge: X and height, mm."""
    planed, outline = part.planed, part.stock.plan
    front: Run = []
    back: Run = []
    if planed is None:
        return front, back
    for x in _stations(outline):
        ys = [y for piece in crossings(outline, Cutting.ACROSS_X, x) for y in piece]
        if ys:
            front.append((x, planed.face.at(x, min(ys))))
            back.append((x, planed.face.at(x, max(ys))))
    return (back, front) if planed.face.along_y > 0 else (front, back)


def edge_outline(part: Part, view: View) -> Iterator[Ink]:
    """A planed part seen from the front: its silhouette, and the upper line of its lower edge, hidden where behind."""
    planed = part.planed
    high, low = profiles_of(part)
    if planed is None or not high:
        return
    (x0, _), (x1, _) = high[0], high[-1]
    yield view.path([(x0, 0.0), (x1, 0.0), *reversed(high)], Pen.WIDE, closed=True)
    if abs(planed.face.along_y) > ALMOST:
        yield view.path(low, Pen.WIDE if planed.face.along_y > 0 else Pen.HIDDEN)


def _stations(outline: Region) -> list[float]:
    """Places along X at which an outline is followed: just inside its ends, at its corners, and along its arcs."""
    x0, _, x1, _ = outline.bounds
    found = {x0, x1}
    for edge in outline.outer.edges:
        steps = 16 if isinstance(edge, Arc) else 1
        found |= {edge.point(number / steps)[0] for number in range(steps + 1)}
    # A section through the very end of an outline meets nothing.
    near = 1e-5 * (x1 - x0)
    return sorted({min(max(x, x0 + near), x1 - near) for x in found})


def slope_section(part: Part) -> tuple[Cutting, float] | None:
    """The plane along a planed face's steeper axis, through the middle of the part; None for a flat part."""
    planed = part.planed
    if planed is None:
        return None
    x0, y0, x1, y1 = part.stock.plan.bounds
    if abs(planed.face.along_x) >= abs(planed.face.along_y):
        return Cutting.ACROSS_Y, round((y0 + y1) / 2, 6)
    return Cutting.ACROSS_X, round((x0 + x1) / 2, 6)
