"""Section of a part: cut by an upright plane and seen square to it, from the part's own figures; Z up."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum

from platemaker.checks import Finding
from platemaker.parts import Hole, Part, PlateStock, Profile, RoundStock, Side, top_of
from platemaker.plane import Arc, Box, Edge, Line, Loop, Point, Region
from platemaker.views._figures import mark_size, thickness
from platemaker.views._holes import hole_tags, kind_of
from platemaker.views._svg import polyline_data, region_data

_ALONG = 1e-9
"""Two directions whose sine or cosine is below this are parallel or square."""


_SLIVER = 0.05
"""Pieces of a section narrower than this, mm, are not drawn."""


class Cutting(StrEnum):
    """The plane that cuts: square to Y, so that X runs to the right, or square to X, so that Y does."""

    ACROSS_Y = "y"
    ACROSS_X = "x"

    @property
    def fixed(self) -> int:
        """Which coordinate the plane holds fixed."""
        return 1 if self is Cutting.ACROSS_Y else 0

    def flat(self, point: tuple[float, float, float]) -> Point:
        """A point of the part as it is seen in the section."""
        return point[1 - self.fixed], point[2]


def crossings(region: Region, cutting: Cutting, at: float) -> list[tuple[float, float]]:
    """Where the plane meets a region: the pieces inside it, from and to, mm.

    >>> crossings(Region.of(Loop.rectangle(10, 4)), Cutting.ACROSS_Y, 0.5)
    [(-5.0, 5.0)]
    """
    # A plane through a corner would meet it twice or not at all; a picture may be a nanometre beside it.
    level = at + 1.234e-6
    found = sorted(value for edge in region.edges for value in _meets(edge, cutting, level))
    return list(zip(found[::2], found[1::2], strict=False))


def material(part: Part, cutting: Cutting, at: float) -> list[str]:
    """Path data of the blank where the plane cuts it."""
    stock = part.stock
    if isinstance(stock, PlateStock):
        return [_slab(part, cutting, at, u0, u1) for u0, u1 in crossings(stock.region, cutting, at)]
    if isinstance(stock, RoundStock):
        r = stock.diameter / 2
        if cutting is Cutting.ACROSS_X:
            return [region_data(Region.of(Loop.circle((0.0, r), r)))] if abs(at) < stock.length / 2 else []
        half = _half_chord(r, at)
        return [_bar(-stock.length / 2, stock.length / 2, r - half, r + half)] if half > 0 else []
    if cutting is Cutting.ACROSS_Y:
        return [region_data(stock.profile)] if abs(at) < stock.width / 2 else []
    # The profile lies in X and Z, so a cut across X meets it as a plane across X meets a plan.
    heights = crossings(stock.profile, Cutting.ACROSS_X, at)
    return [_bar(-stock.width / 2, stock.width / 2, low, high) for low, high in heights]


def heights_at(part: Part, cutting: Cutting, at: float, *places: float) -> list[float]:
    """How high a plate's upper face stands at places along a section, mm; a planed face slopes."""
    top = top_of(part)
    if top is None:
        return [thickness(part)] * len(places)
    return [top.at(*((u, at) if cutting is Cutting.ACROSS_Y else (at, u))) for u in places]


def _slab(part: Part, cutting: Cutting, at: float, u0: float, u1: float) -> str:
    z0, z1 = heights_at(part, cutting, at, u0, u1)
    return polyline_data([(u0, 0.0), (u1, 0.0), (u1, z1), (u0, z0)], closed=True)


def taken_by_profile(profile: Profile, part: Part, cutting: Cutting, at: float) -> Iterator[str]:
    """Path data of what a milled figure takes out of the section."""
    top = thickness(part)
    low, high = (top - profile.depth, top) if profile.side is Side.ABOVE else (0.0, profile.depth)
    for region in profile.regions:
        for u0, u1 in _wide(crossings(region, cutting, at)):
            if profile.mouth_width > 0:
                yield _mouthed(u0, u1, top, profile)
            else:
                yield _bar(u0, u1, low, high)


def taken_by_hole(hole: Hole, cutting: Cutting, at: float) -> Iterator[str]:
    """Path data of what a hole takes out of the section, where its axis lies along the plane or square to it."""
    off = hole.at[cutting.fixed] - at
    lean = abs(hole.direction[cutting.fixed])
    if lean < _ALONG:
        for step in hole.steps:
            half = _half_chord(step.diameter / 2, off)
            if half > 0:
                yield polyline_data(_barrel(hole, cutting, half, step.start, step.end), closed=True)
        half = _half_chord(hole.diameter / 2, off)
        if hole.tip_angle is not None and not hole.through and half > 0:
            yield polyline_data(_tip(hole, cutting, half, hole.tip_angle), closed=True)
    elif lean > 1 - _ALONG:
        depth = abs(off)
        for step in hole.steps:
            if step.start < depth < step.end:
                yield region_data(Region.of(Loop.circle(cutting.flat(hole.at), step.diameter / 2)))


def thread_lines(hole: Hole, cutting: Cutting, at: float) -> Iterator[str]:
    """Path data of a thread's major diameter, seen from the side: a thin line each side (ISO 6410-1; from memory)."""
    if hole.tapping is None or abs(hole.direction[cutting.fixed]) >= _ALONG:
        return
    half = _half_chord(hole.tapping.major_diameter / 2, hole.at[cutting.fixed] - at)
    if half > 0:
        a, b, c, d = _barrel(hole, cutting, half, 0.0, hole.tapping.depth, overshoot=False)
        yield from (polyline_data((a, b)), polyline_data((c, d)), polyline_data((b, c)))


def busiest(part: Part) -> tuple[Cutting, float]:
    """The plane that meets most kinds of cuts, then most cuts; of equals one across Y, nearest the datum."""
    letters = {name: kind_of(tag) for name, tag in hole_tags(part).items()}

    def rank(plane: tuple[Cutting, float]) -> tuple[int, int, bool, float, float]:
        names = _met(part, *plane)
        kinds = {letters.get(name, name) for name in names}
        return -len(kinds), -len(names), plane[0] is Cutting.ACROSS_X, abs(plane[1]), plane[1]

    return min(_planes(part), key=rank)


def cutting_of(finding: Finding) -> tuple[Cutting, float]:
    """The plane in which a finding's points lie best: through their middle, across the lesser of X and Y."""
    xs, ys, _ = zip(*finding.points, strict=True)
    across_x = max(xs) - min(xs) < max(ys) - min(ys)
    values = xs if across_x else ys
    return (Cutting.ACROSS_X if across_x else Cutting.ACROSS_Y), sum(values) / len(values)


def upright(finding: Finding) -> bool:
    """Whether a finding's distance runs more up and down than across, so that a section shows it best."""
    if len(finding.points) != 2:
        return False
    (x0, y0, z0), (x1, y1, z1) = finding.points
    return abs(z1 - z0) > min(abs(x1 - x0), abs(y1 - y0)) + _ALONG


def section_box(part: Part, cutting: Cutting) -> Box:
    """The box of a section over all, mm."""
    stock, top = part.stock, thickness(part)
    if isinstance(stock, PlateStock):
        x0, y0, x1, y1 = stock.region.bounds
    elif isinstance(stock, RoundStock):
        x0, y0, x1, y1 = -stock.length / 2, -stock.diameter / 2, stock.length / 2, stock.diameter / 2
    else:
        x0, low, x1, high = stock.profile.bounds
        return (x0, low, x1, high) if cutting is Cutting.ACROSS_Y else (-stock.width / 2, low, stock.width / 2, high)
    return (x0, 0.0, x1, top) if cutting is Cutting.ACROSS_Y else (y0, 0.0, y1, top)


def _wide(pieces: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Pieces that a picture can show: a plane that touches an arc would draw a sliver."""
    return [(u0, u1) for u0, u1 in pieces if u1 - u0 > _SLIVER]


def _planes(part: Part) -> set[tuple[Cutting, float]]:
    """Planes worth a look: through the datum, and along the axis of each hole."""
    planes = {(Cutting.ACROSS_Y, 0.0)}
    for hole in part.holes:
        for cutting in Cutting:
            if abs(hole.direction[cutting.fixed]) < _ALONG:
                planes.add((cutting, round(hole.at[cutting.fixed], 6)))
    return planes


def _met(part: Part, cutting: Cutting, at: float) -> list[str]:
    """The names of the cuts that a plane meets in a way that a section shows."""
    names = [hole.name for hole in part.holes if meets_hole(hole, cutting, at)]
    return names + [
        one.name for one in part.profiles if any(_wide(crossings(region, cutting, at)) for region in one.regions)
    ]


def meets_hole(hole: Hole, cutting: Cutting, at: float) -> bool:
    """Whether a plane meets a hole along its axis or square to it."""
    off, lean = abs(hole.at[cutting.fixed] - at), abs(hole.direction[cutting.fixed])
    if lean < _ALONG:
        return off < max(step.diameter for step in hole.steps) / 2
    return lean > 1 - _ALONG and any(step.start < off < step.end for step in hole.steps)


def _meets(edge: Line | Arc, cutting: Cutting, level: float) -> Iterator[float]:
    fixed, free = cutting.fixed, 1 - cutting.fixed
    if isinstance(edge, Line):
        before, after = edge.start[fixed] - level, edge.end[fixed] - level
        if (before < 0) != (after < 0):
            yield edge.start[free] + before / (before - after) * (edge.end[free] - edge.start[free])
        return
    off = level - edge.centre[fixed]
    half = _half_chord(edge.radius, off)
    for sign in (-1.0, 1.0) if half > 0 else ():
        point = [0.0, 0.0]
        point[fixed], point[free] = off, sign * half
        if edge.covers(math.atan2(point[1], point[0])):
            yield edge.centre[free] + sign * half


def _half_chord(radius: float, off: float) -> float:
    return math.sqrt(radius**2 - off**2) if abs(off) < radius else 0.0


def _bar(u0: float, u1: float, low: float, high: float) -> str:
    return polyline_data([(u0, low), (u1, low), (u1, high), (u0, high)], closed=True)


def _mouthed(u0: float, u1: float, top: float, profile: Profile) -> str:
    """An opening with its mouth, drawn as where the plane meets the walls square to them."""
    wide, deep, below = profile.mouth_width, profile.mouth_depth, profile.mouth is Side.BELOW
    face, start, far = (0.0, deep, top) if below else (top, top - deep, 0.0)
    right, left, out_right, out_left = (u1, start), (u0, start), (u1 + wide, face), (u0 - wide, face)
    rims: tuple[Edge, Edge] = (Line(out_right, right), Line(left, out_left))
    if profile.mouth_radius > 0:
        # The quarter rounds stand in the material, so their centres lie outside the opening.
        rims = (
            Arc(out_right, right, (u1 + wide, start), wide, not below),
            Arc(left, out_left, (u0 - wide, start), wide, not below),
        )
    edges = (rims[0], Line(right, (u1, far)), Line((u1, far), (u0, far)), Line((u0, far), left), rims[1],
             Line(out_left, out_right))  # fmt: skip
    return region_data(Region.of(Loop(edges)))


def _barrel(
    hole: Hole, cutting: Cutting, half: float, start: float, end: float, *, overshoot: bool = True
) -> Sequence[Point]:
    """The four corners of a step, walked round; open ends run past the face, where the blank's edge clips them."""
    spare = 2 * mark_size(hole)
    begin = start - spare if overshoot and start == 0 else start
    finish = end + spare if overshoot and hole.through and end == hole.depth else end
    (u, z), (du, dz) = cutting.flat(hole.at), cutting.flat(hole.direction)

    def at(along: float, side: float) -> Point:
        return u + along * du - side * dz, z + along * dz + side * du

    return at(begin, half), at(finish, half), at(finish, -half), at(begin, -half)


def _tip(hole: Hole, cutting: Cutting, half: float, angle: float) -> Sequence[Point]:
    (u, z), (du, dz) = cutting.flat(hole.at), cutting.flat(hole.direction)
    deep = hole.depth + half / math.tan(math.radians(angle) / 2)
    base, tip = (u + hole.depth * du, z + hole.depth * dz), (u + deep * du, z + deep * dz)
    return (base[0] - half * dz, base[1] + half * du), tip, (base[0] + half * dz, base[1] - half * du)
