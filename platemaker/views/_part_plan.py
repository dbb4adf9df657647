"""The plan of a part: stock, milled figures, holes by kind. Solid from above, dashed from below."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Sequence

import numpy as np

from platemaker.parts import BendLine, Cut, Hole, Part, Planed, Profile, Side, StepVoid
from platemaker.plane import Arc, Box, Point
from platemaker.resolved import resolved
from platemaker.space import pieces_in
from platemaker.views._ink._model import EllipseCurve, Group, Ink, Pen, Stroke, View
from platemaker.views._labels import joined

BEND_PAST = 3.0
"""How far bend lines run past a blank, mm of the sheet."""


def plan_ink(
    part: Part,
    view: View,
    past: float,
    *,
    hot: Collection[str] = (),
    bends: Sequence[BendLine] = (),
    apart: float = 0.0,
) -> Iterator[Ink]:
    """A part seen from above, from the bottom up; the page marks features named in `hot`.

    Centre lines run `past` what they are for, and bend lines of a flat pattern past the blank, mm of the sheet. The arc
    of a thread stands at least `apart`, mm of the sheet, outside its drilled hole.
    """
    yield view.area(part.stock.plan, Pen.WIDE, "stock")
    _, y0, _, y1 = part.stock.plan.bounds
    over = BEND_PAST / view.scale
    lines = [(bend.x, y0 - over, y1 + over) for bend in bends]
    if part.strip is not None:
        half = part.strip.width / 2
        lines += [(x, -half, half) for x, _ in part.strip.corners[1:-1]]
    blind = [profile for profile in part.profiles if not profile.through]
    for profile in sorted((one for one in blind if one.side is Side.ABOVE), key=lambda one: one.depth):
        # A third of full tint at the face, full tint at the far side: deeper is darker.
        share = 0.35 + 0.65 * min(profile.depth / part.stock.height, 1.0)
        yield from _milled(profile, view, Pen.WIDE, _named("milled", profile.name, hot), share)
    for profile in blind:
        if profile.side is Side.BELOW:
            yield from _milled(profile, view, Pen.HIDDEN, _named("under", profile.name, hot))
    for profile in part.profiles:
        if profile.through:
            yield from _milled(profile, view, Pen.WIDE, _named("through", profile.name, hot))
    for profile in part.profiles:
        yield from _mouth(part, profile, view)
    for hole in part.holes:
        yield Group(tuple(_hole(hole, part, view, past, apart)), _named("hole", hole.name, hot))
    yield from (view.line((x, low), (x, high), Pen.BEND, "bend") for x, low, high in lines)


def mark_size(hole: Hole) -> float:
    """Radius of all that is drawn for a square hole, mm: widest step or thread."""
    return hole.widest / 2


def hole_box(hole: Hole, part: Part) -> Box:
    """The box of what is drawn for a hole of a part, mm."""
    r = mark_size(hole)
    x, y = hole.centre
    drawn = [] if hole.square else [point for step in hole.bored for point in _outline(hole, step, part)]
    xs, ys = zip((x - r, y - r), (x + r, y + r), *drawn, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def cut_box(cut: Cut, part: Part) -> Box:
    """The box of what is drawn for a cut of a part, mm."""
    if isinstance(cut, Hole):
        return hole_box(cut, part)
    if isinstance(cut, Planed):
        return (-math.inf, -math.inf, math.inf, math.inf)  # it reaches over the whole part
    return joined(region.bounds for region in cut.regions)


def cuts_named(part: Part, features: Iterable[str]) -> set[str]:
    """The names of the cuts that a finding's features mean; a feature may be a cut's name with a word behind it."""
    words = list(features)
    return {cut.name for cut in part.cuts if any(word == cut.name or word.startswith(f"{cut.name} ") for word in words)}


def _named(kind: str, name: str, hot: Collection[str]) -> str:
    return f"{kind} hot" if name in hot else kind


def _milled(profile: Profile, view: View, pen: Pen, look: str, tint: float | None = None) -> Iterator[Ink]:
    return (view.area(region, pen, look, tint) for region in profile.regions)


def _mouth(part: Part, profile: Profile, view: View) -> Iterator[Ink]:
    if profile.mouth_width > 0:
        # A rounded mouth runs out tangent to the face: a narrow line where it begins. A chamfer has a true edge there.
        seen = Pen.NARROW if profile.mouth_radius > 0 else Pen.WIDE
        pen, look = (seen, "mouth") if profile.mouth is Side.ABOVE else (Pen.HIDDEN, "mouth hidden")
        mouths = (void.plan for void in resolved(part).voids_by(profile) if void.what == "mouth")
        yield from (view.loop(loop, pen, look) for mouth in mouths for loop in mouth.loops)


def _hole(hole: Hole, part: Part, view: View, past: float, apart: float) -> Iterator[Ink]:
    if not hole.square:
        yield from _slanted(hole, part, view, past / view.scale)
        return
    below = hole.direction[2] > 0
    hidden = " hidden" if below else ""
    for step in hole.bored:
        # The end of a through hole is seen from both faces.
        pen, look = (Pen.WIDE, "open") if step.through else (Pen.HIDDEN if below else Pen.WIDE, "floor" + hidden)
        yield view.circle(hole.centre, step.wide / 2, pen, look)
    if hole.tapping:
        # Three quarters of a circle: a thread seen end on (ISO 6410-1:1993, 3.2.1; from memory).
        (x, y), r = view.at(hole.centre), hole.tapping.major_diameter / 2 * view.scale
        r = max(r, hole.diameter / 2 * view.scale + apart)
        turn = Arc((x, y - r), (x + r, y), (x, y), r, ccw=False)
        yield Stroke((turn,), Pen.HIDDEN if below else Pen.NARROW, look="thread" + hidden)
    yield from view.cross(hole.centre, mark_size(hole) + past / view.scale, Pen.CENTRE, "centre")


def _slanted(hole: Hole, part: Part, view: View, past: float) -> Iterator[Ink]:
    """A hole that is not square to the face: its steps seen through, and its entry as an ellipse where it has one."""
    (x0, y0), (dx, dy, dz), deep = hole.centre, hole.direction, 0.0
    for step in hole.bored:
        corners = _outline(hole, step, part)
        deep = max(deep, *(((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy) for x, y in corners))
        yield view.path(corners, Pen.HIDDEN, "silhouette hidden", closed=True)
    r = hole.entry_diameter / 2
    if abs(dz) > 1e-12:
        flat, angle = math.hypot(dx, dy), math.degrees(math.atan2(dy, dx))
        entry = EllipseCurve(view.at(hole.centre), r / abs(dz) * view.scale, r * view.scale, angle)
        pen, look = (Pen.WIDE, "floor") if dz < 0 else (Pen.HIDDEN, "floor hidden")
        yield Stroke(entry, pen, True, look)
        u, v = -dy / flat * (r + past), dx / flat * (r + past)
        yield view.line((x0 - u, y0 - v), (x0 + u, y0 + v), Pen.CENTRE, "centre")
    yield view.line(hole.point(-past)[:2], hole.point(deep + past)[:2], Pen.CENTRE, "centre")


def _outline(hole: Hole, step: StepVoid, part: Part) -> list[Point]:
    """The corners of a slanted step seen from above: the two lines of its side that bound it, as far as metal goes."""
    dx, dy, _ = hole.direction
    flat = math.hypot(dx, dy)
    near, far = hole.point(step.start), hole.point(step.end)
    one, lines = resolved(part), []
    for side in (0.5, -0.5):
        ends = ((near, side * step.wide), (far, side * step.narrow))
        start, end = ((x - r * dy / flat, y + r * dx / flat, z) for (x, y, z), r in ends)
        if one.bent is None:  # the blank of a bent part lies flat, not as the part is seen here
            first, last, _ = pieces_in(one.blank.prism, np.array([start]), np.array([end]))
            start, end = (first[0].tolist(), last[-1].tolist()) if len(first) else (start, end)
        lines.append((start, end))
    (a, b), (c, d) = lines
    return [(x, y) for x, y, _ in (a, b, d, c)]
