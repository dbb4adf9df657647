"""The marks of a plan view: stock, milled figures, holes by kind. Solid from above, dashed from below."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator

import numpy as np

from platemaker.parts import Cut, Hole, Part, Planed, Profile, Side, StepVoid
from platemaker.plane import Box, Loop, Point
from platemaker.resolved import resolved
from platemaker.space import pieces_in
from platemaker.views._labels import joined
from platemaker.views._svg import circle, element, group, line, polyline_data, region_data


def draw_part(part: Part, hot: Collection[str], hatch: str) -> Iterator[str]:
    """A part seen from above, painted from the bottom up; features named in `hot` are marked.

    `hatch` is the id of the pattern for what is cut from below.
    """
    yield element("path", d=region_data(part.stock.plan), class_="stock")
    yield from _bend_lines(part)
    deep = part.stock.height
    blind = [profile for profile in part.profiles if not profile.through]
    above = sorted((one for one in blind if one.side is Side.ABOVE), key=lambda one: one.depth)
    below = [one for one in blind if one.side is Side.BELOW]
    for profile in above:
        # A third of full tint at the face, full tint at the far side: deeper is darker.
        share = 0.35 + 0.65 * min(profile.depth / deep, 1.0)
        yield from _profile(profile, _named("milled", profile.name, hot), opacity=share)
    for profile in below:
        yield from _profile(profile, _named("under", profile.name, hot), fill=f"url(#{hatch})")
    for profile in part.profiles:
        if profile.through:
            yield from _profile(profile, _named("through", profile.name, hot))
    for hole in part.holes:
        yield group(_hole(hole, part), _named("hole", hole.name, hot))


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


def _profile(profile: Profile, class_: str, opacity: float | None = None, fill: str | None = None) -> Iterator[str]:
    for region in profile.regions:
        yield element("path", d=region_data(region), class_=class_, fill_opacity=opacity, fill=fill)


def _hole(hole: Hole, part: Part) -> Iterator[str]:
    if not hole.square:
        yield from _slanted(hole, part)
        return
    hidden = "" if hole.direction[2] < 0 else " hidden"
    for step in hole.bored:
        # The end of a through hole is seen from both faces.
        yield circle(hole.centre, step.wide / 2, "open" if step.through else "floor" + hidden)
    if hole.tapping:
        yield element("path", d=_three_quarters(hole.centre, hole.tapping.major_diameter / 2), class_="thread" + hidden)
    reach = mark_size(hole) * 1.25
    x, y = hole.centre
    yield line((x - reach, y), (x + reach, y), "centre")
    yield line((x, y - reach), (x, y + reach), "centre")


def _slanted(hole: Hole, part: Part) -> Iterator[str]:
    """A hole that is not square to the face: its entry as an ellipse where it has one, and its steps seen through."""
    (x0, y0), (dx, dy, dz), deep = hole.centre, hole.direction, 0.0
    for step in hole.bored:
        corners = _outline(hole, step, part)
        deep = max(deep, *(((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy) for x, y in corners))
        yield element("path", d=polyline_data(corners, closed=True), class_="silhouette hidden")
    if abs(dz) > 1e-12:
        angle = -math.degrees(math.atan2(dy, dx))
        r, (x, y) = hole.entry_diameter / 2, hole.centre
        turn = f"rotate({angle:.6f} {x:.6f} {-y:.6f})"
        yield element("ellipse", cx=x, cy=-y, rx=r / abs(dz), ry=r, transform=turn, class_="floor")
    yield line(hole.point(-mark_size(hole))[:2], hole.point(deep + mark_size(hole))[:2], "centre")


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


def _three_quarters(centre: Point, radius: float) -> str:
    """Three quarters of a circle: the sign of a thread seen end on (ISO 6410-1:1993, 3.2.1; from memory)."""
    whole = Loop.circle(centre, radius)
    (x, y), upper = centre, whole.edges[0]
    start = (x, y - radius)
    return f"M{start[0]:.6f} {-start[1]:.6f}A{radius:.6f} {radius:.6f} 0 1 1 {upper.start[0]:.6f} {-upper.start[1]:.6f}"


def _bend_lines(part: Part) -> Iterator[str]:
    if part.strip is not None:
        half = part.strip.width / 2
        yield from (line((x, -half), (x, half), "bend") for x, _ in part.strip.corners[1:-1])
