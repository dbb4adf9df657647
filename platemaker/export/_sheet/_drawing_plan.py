"""The edge view of a drawing, seen from the front, hidden edges dashed; marks and the zero in its plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_slope import edge_outline
from platemaker.parts import Hole, Mark, Part, Profile, Side
from platemaker.plane import Box, Point, Region, contains
from platemaker.views import CAPITAL, LEAST, TRUE, Align, Clip, Ink, Pen, Text, View, known, on_white

CENTRE_PAST = 1.5
"""How far centre lines run past a hole on the sheet, mm."""
THREAD_APART = 0.7
"""Least room between the two lines of a thread, mm of the sheet (ISO 6410-1:1993, 3.2.2; from memory)."""
MOST_HIDDEN = 24
"""Upright holes whose hidden edges the edge view still shows."""


def marks_ink(marks: Sequence[Mark], view: View) -> Iterator[Ink]:
    """Letters stamped on the part, at their true place and size as far as they can be read."""
    for mark in marks:
        size = max(LEAST, mark_size_on(mark, view))
        yield from on_white(Text(known(mark.text), view.at((mark.at[0], mark.at[1])), size))


def mark_size_on(mark: Mark, view: View) -> float:
    """The size of a mark's letters on the sheet in true proportion, mm: `height` is that of their capitals."""
    return mark.height / CAPITAL * view.scale


def barrel(hole: Hole, start: float, end: float, radii: tuple[float, float], axes: tuple[int, int]) -> list[Point]:
    """The four corners of a step of a hole as seen square to the axes named by their places 0, 1, 2.

    `radii` are those at its start and its end, mm.
    """
    a, b = axes
    (u, v), (du, dv) = (hole.at[a], hole.at[b]), (hole.direction[a], hole.direction[b])
    flat = math.hypot(du, dv)
    if flat < 1e-9:
        return []
    n, (first, last) = (-dv / flat, du / flat), radii
    near, far = (u + start * du, v + start * dv), (u + end * du, v + end * dv)
    return [
        (near[0] + first * n[0], near[1] + first * n[1]),
        (far[0] + last * n[0], far[1] + last * n[1]),
        (far[0] - last * n[0], far[1] - last * n[1]),
        (near[0] - first * n[0], near[1] - first * n[1]),
    ]


def edge_box(part: Part) -> Box:
    """The box of the edge view, mm: X to the right, Z up."""
    x0, _, z0, x1, _, z1 = part.stock.box
    return x0, z0, x1, z1


def edge_ink(part: Part, view: View) -> Iterator[Ink]:
    """A part seen from the front, that is towards +Y, with its holes hidden behind."""
    x0, z0, x1, z1 = edge_box(part)
    # A slanted hole may be given deeper than the part is thick; its hidden edges end at the faces.
    hidden = [ink for hole in part.holes for ink in _hole_from_front(hole, view, part)]
    hidden += [ink for cut in part.profiles for ink in _figure_from_front(cut, view, part)]
    yield Clip(view.box((x0, z0, x1, z1)), tuple(hidden))
    if part.strip is not None:
        yield from (view.loop(loop, Pen.WIDE) for loop in part.strip.profile.loops)
        return
    lying = part.bar is not None
    if lying or part.stock.plan.outer.as_circle():
        middle = (z0 + z1) / 2 if lying else (x0 + x1) / 2
        past = 2 / view.scale
        ends = ((x0 - past, middle), (x1 + past, middle)) if lying else ((middle, z0 - past), (middle, z1 + past))
        yield view.line(*ends, Pen.CENTRE)
    if part.planed is not None:
        yield from edge_outline(part, view)
        return
    yield view.path(((x0, z0), (x1, z0), (x1, z1), (x0, z1)), Pen.WIDE, closed=True)


def crowded(part: Part) -> bool:
    """Whether hidden edges of so many holes would lie on each other in the edge view that none could be read."""
    return sum(hole.square for hole in part.holes) > MOST_HIDDEN


def _hole_from_front(hole: Hole, view: View, part: Part) -> Iterator[Ink]:
    dy = hole.direction[1]
    if abs(dy) > 1 - 1e-9:
        seen = dy > 0 and (part.plate is None or _at_front(hole, part.plate.region))
        for step in hole.bored:
            yield view.circle((hole.at[0], hole.at[2]), step.wide / 2, Pen.WIDE if seen else Pen.HIDDEN)
        return
    if hole.square and crowded(part):
        return
    for step in hole.bored:
        radii = step.wide / 2, step.narrow / 2
        corners = barrel(hole, step.start + _planed_off(hole, part), step.end, radii, (0, 2))
        if corners:
            yield view.path(corners, Pen.HIDDEN, closed=True)


def _figure_from_front(cut: Profile, view: View, part: Part) -> Iterator[Ink]:
    """The hidden sides and floor of a milled figure of a plate, at its widest."""
    if part.strip is not None or part.bar is not None:
        return
    height = part.stock.height
    low, high = (0.0, height) if cut.through else (0.0, cut.depth)
    if cut.side is Side.ABOVE and not cut.through:
        low, high = height - cut.depth, height
    for region in cut.regions:
        x0, _, x1, _ = region.bounds
        yield view.path(((x0, low), (x1, low), (x1, high), (x0, high)), Pen.HIDDEN, closed=True)


def _planed_off(hole: Hole, part: Part) -> float:
    """How far below its entry on the blank a hole begins under a planed face, mm."""
    return hole.at[2] - part.planed.face.at(*hole.centre) if part.planed and hole.direction[2] < 0 else 0.0


def _at_front(hole: Hole, region: Region) -> bool:
    """Whether a level hole enters through the face that is seen, with no material before it."""
    return not contains(region, (hole.at[0], hole.at[1] - 1e-3))


def zero_ink(view: View, zone: Box) -> Iterator[Ink]:
    """The part's zero, where it lies in the view: a small circle with a cross."""
    x, y = view.at((0.0, 0.0))
    if zone[0] <= x <= zone[2] and zone[1] <= y <= zone[3]:
        yield TRUE.circle((x, y), 1.3, Pen.NARROW)
        yield from TRUE.cross((x, y), 2.6, Pen.NARROW)


def caption(words: str, at: Point, size: float) -> Text:
    """A view's name under or over it."""
    return Text(known(words), at, size, Align.MIDDLE)
