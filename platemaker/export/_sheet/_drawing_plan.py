"""The plan and the edge view of a drawing: what is seen from above and from the front, hidden edges dashed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.export._sheet._drawing_slope import edge_outline
from platemaker.parts import BendLine, Hole, Mark, Part, Profile, Side
from platemaker.plane import Arc, Box, Point, Region, contains
from platemaker.resolved import resolved
from platemaker.views import CAPITAL, LEAST, Align, Clip, Ink, Pen, Stroke, Text, View, known, mark_size, on_white

CENTRE_PAST, BEND_PAST = 1.5, 3.0
"""How far centre lines run past a hole, and bend lines past the blank, on the sheet, mm."""
MOST_HIDDEN = 24
"""Upright holes whose hidden edges the edge view still shows."""


def plan_ink(part: Part, view: View, bends: Sequence[BendLine] = ()) -> Iterator[Ink]:
    """A flat part seen from above."""
    region = part.stock.plan
    for profile in part.profiles:
        if not profile.through and profile.side is Side.BELOW:
            yield from _loops(profile.regions, view, Pen.HIDDEN)
    for profile in part.profiles:
        yield from _seen_profile(part, profile, view)
    for hole in part.holes:
        yield from _hole(hole, view)
    for bend in bends:
        y0, y1 = region.bounds[1], region.bounds[3]
        past = BEND_PAST / view.scale
        yield view.line((bend.x, y0 - past), (bend.x, y1 + past), Pen.BEND)
    yield from _loops((region,), view, Pen.WIDE)


def marks_ink(marks: Sequence[Mark], view: View) -> Iterator[Ink]:
    """Letters stamped on the part, at their true place and size as far as they can be read."""
    for mark in marks:
        size = max(LEAST, mark_size_on(mark, view))
        yield from on_white(Text(known(mark.text), view.at((mark.at[0], mark.at[1])), size))


def mark_size_on(mark: Mark, view: View) -> float:
    """The size of a mark's letters on the sheet in true proportion, mm: `height` is that of their capitals."""
    return mark.height / CAPITAL * view.scale


def _loops(regions: Sequence[Region], view: View, pen: Pen) -> Iterator[Stroke]:
    for region in regions:
        yield from (view.loop(loop, pen) for loop in region.loops)


def _seen_profile(part: Part, profile: Profile, view: View) -> Iterator[Ink]:
    if profile.through or profile.side is Side.ABOVE:
        yield from _loops(profile.regions, view, Pen.WIDE)
    if profile.mouth_width > 0:
        # A rounded mouth runs out tangent to the face: a narrow line where it begins. A chamfer has a true edge there.
        seen = Pen.NARROW if profile.mouth_radius > 0 else Pen.WIDE
        pen = seen if profile.mouth is Side.ABOVE else Pen.HIDDEN
        mouths = [void.plan for void in resolved(part).voids_by(profile) if void.what == "mouth"]
        yield from _loops(mouths, view, pen)


def _hole(hole: Hole, view: View) -> Iterator[Ink]:
    if not hole.square:
        yield from _slanted(hole, view)
        return
    below = hole.direction[2] > 0
    for step in hole.bored:
        yield view.circle(hole.centre, step.wide / 2, Pen.WIDE if step.through or not below else Pen.HIDDEN)
    if hole.tapping:
        yield _thread(hole.centre, hole.tapping.major_diameter / 2, view, Pen.HIDDEN if below else Pen.NARROW)
    yield from centre_cross(hole, view)


def centre_cross(hole: Hole, view: View) -> Iterator[Stroke]:
    """The two centre lines of a square hole."""
    (x, y), reach = hole.centre, mark_size(hole) + CENTRE_PAST / view.scale
    yield view.line((x - reach, y), (x + reach, y), Pen.CENTRE)
    yield view.line((x, y - reach), (x, y + reach), Pen.CENTRE)


def _thread(centre: Point, radius: float, view: View, pen: Pen) -> Stroke:
    """Three quarters of a circle: a thread seen end on (ISO 6410-1:1993, 3.2.1; from memory)."""
    (x, y) = view.at(centre)
    r = radius * view.scale
    return Stroke((Arc((x, y - r), (x + r, y), (x, y), r, False),), pen)


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


def _slanted(hole: Hole, view: View) -> Iterator[Ink]:
    """A hole not square to the face: its steps seen through, and where it enters."""
    for step in hole.bored:
        corners = barrel(hole, step.start, step.end, (step.wide / 2, step.narrow / 2), (0, 1))
        yield view.path(corners, Pen.HIDDEN, closed=True)
    dx, dy, dz = hole.direction
    past = CENTRE_PAST / view.scale
    yield view.line(hole.point(-past)[:2], hole.point(hole.depth + past)[:2], Pen.CENTRE)
    if abs(dz) > 1e-12:
        flat = math.hypot(dx, dy)
        u, n = (dx / flat, dy / flat), (-dy / flat, dx / flat)
        pen = Pen.WIDE if dz < 0 else Pen.HIDDEN
        yield view.path(_ellipse(hole.centre, u, n, hole.entry_diameter / 2, abs(dz)), pen, closed=True)
        reach, (x, y) = hole.entry_diameter / 2 + past, hole.centre
        yield view.line((x - reach * n[0], y - reach * n[1]), (x + reach * n[0], y + reach * n[1]), Pen.CENTRE)


def _ellipse(centre: Point, u: Point, n: Point, radius: float, lean: float) -> list[Point]:
    """A round bore where it meets the face, as 72 points."""
    points = []
    for turn in range(72):
        c, s = math.cos(turn * math.tau / 72) * radius / lean, math.sin(turn * math.tau / 72) * radius
        points.append((centre[0] + c * u[0] + s * n[0], centre[1] + c * u[1] + s * n[1]))
    return points


def edge_box(part: Part) -> Box:
    """The box of the edge view, mm: X to the right, Z up."""
    x0, _, z0, x1, _, z1 = part.stock.box
    return x0, z0, x1, z1


def edge_ink(part: Part, view: View) -> Iterator[Ink]:
    """A part seen from the front, that is towards +Y, with its holes hidden behind."""
    x0, z0, x1, z1 = edge_box(part)
    # A slanted hole may be given deeper than the part is thick; its hidden edges end at the faces.
    yield Clip(
        view.box((x0, z0, x1, z1)), tuple(ink for hole in part.holes for ink in _hole_from_front(hole, view, part))
    )
    if part.strip is not None:
        yield from _loops((part.strip.profile,), view, Pen.WIDE)
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
        yield View(1.0, (0.0, 0.0)).circle((x, y), 1.3, Pen.NARROW)
        yield View(1.0, (0.0, 0.0)).line((x - 2.6, y), (x + 2.6, y), Pen.NARROW)
        yield View(1.0, (0.0, 0.0)).line((x, y - 2.6), (x, y + 2.6), Pen.NARROW)


def caption(words: str, at: Point, size: float) -> Text:
    """A view's name under or over it."""
    return Text(known(words), at, size, Align.MIDDLE)
