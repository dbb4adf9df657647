"""Sections: a part cut by an upright plane, what each of its voids takes out of the cut faces, and what is seen behind.

Worked out from the blank and the voids; pictures and drawings only paint it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import pairwise

from platemaker.parts import Hole, Part, Side, bent_point, top_of
from platemaker.plane import Arc, Edge, Line, Loop, Point, Region, contains, moved, offset, rotated, subtract, unite
from platemaker.records import Record
from platemaker.resolved._blank import Blank
from platemaker.resolved._cutting import ALONG, Cutting, crossings, cut_round, half_chord, polygon
from platemaker.resolved._voids import Bored, Milled, Void

PIPE_TAPER = 1 / 16
"""By which a taper pipe thread narrows, on its diameter (ASME B1.20.1-2013)."""
SPARE = 1.0
"""How far an open cut is drawn past its face before it is taken away, mm."""
SLIVER = 0.05
"""Pieces of a milled figure narrower than this, mm, are left out: a plane that touches an arc would give one."""
NEAR_AXIS = 0.05
"""A plane off a hole's axis by no more than this share of its diameter shows the hole as a section through it does."""
SQUARELY = 1e-6
"""A mouth's wall that a plane meets wider than it grows by less than this, mm, stands square to the plane."""
SLICES = 24
"""Heights at which a mouth is followed where the plane does not meet its wall squarely."""


class Taken(Record):
    """What a void takes out of a section: `region` runs past open ends, `edges` are those seen behind the plane."""

    void: Void
    region: Region
    edges: tuple[Line, ...]


class Threaded(Record):
    """A thread seen from the side: two lines of its major diameter, which narrow in a taper thread, and its end.

    `runs_out` where the drilled hole goes on beyond that end.
    """

    sides: tuple[Line, Line]
    end: Line
    runs_out: bool


class SeenHole(Record):
    """What a section shows of a hole along its plane: its threads, and its axis where the plane passes near it."""

    hole: Hole
    axis: Line | None
    threads: tuple[Threaded, ...]


class Section(Record):
    """A part cut by a plane, in the plane's own (along, Z): the blank's faces, and what its cuts take out of them."""

    cutting: Cutting
    at: float
    blank: tuple[Region, ...]
    taken: tuple[Taken, ...]
    holes: tuple[SeenHole, ...]

    @cached_property
    def faces(self) -> tuple[Region, ...]:
        """The cut faces."""
        return subtract(self.blank, *(one.region for one in self.taken)) if self.taken else self.blank

    @cached_property
    def behind(self) -> tuple[Line, ...]:
        """Edges of the voids seen behind the plane: those in the blank that no other cut takes away."""
        return tuple(edge for one in self.taken for edge in one.edges if self._is_seen(one.void, edge.point(0.5)))

    def _is_seen(self, void: Void, middle: Point) -> bool:
        if not any(contains(region, middle) for region in self.blank):
            return False
        return not any(contains(one.region, middle) for one in self.taken if one.void.cut is not void.cut)

    def taken_by(self, name: str) -> tuple[Region, ...]:
        """What the cut called `name` takes out, a figure each, with an edge wherever two of them meet.

        A rounded mouth leaves the wall of its opening without one, so that the two are one figure.
        """
        own = [one for one in self.taken if one.void.cut.name == name]
        regions = [one.region for one in own]
        rounded = any(isinstance(one.void, Milled) and one.void.profile.mouth_radius > 0 for one in own)
        return unite(*regions) if rounded else tuple(regions)


def section_of(part: Part, blank: Blank, voids: Sequence[Void], cutting: Cutting, at: float) -> Section:
    """The section of a part; `blank` and `voids` are those of its flat pattern where it is bent from strip.

    Figures milled in a bent leg are shown in sections along the strip alone.
    """
    made = {hole.name: hole for hole in part.holes}
    taken: list[Taken] = []
    seen: dict[str, list[Threaded]] = {}
    for void in voids:
        if isinstance(void, Milled):
            taken += _milled(void, part, cutting, at)
        elif isinstance(void, Bored):
            hole = made[void.cut.name]
            if void.what == "thread":
                seen.setdefault(hole.name, []).extend(_thread(void, hole, cutting, at))
            else:
                taken += _bored(void, hole, cutting, at)
    holes = [SeenHole(hole, _axis(hole, cutting, at), tuple(seen.get(hole.name, ()))) for hole in part.holes]
    shown = tuple(one for one in holes if one.axis is not None or one.threads)
    return Section(cutting, at, _faces(part, blank, cutting, at), tuple(taken), shown)


def lies_along(hole: Hole, cutting: Cutting) -> bool:
    """Whether a hole's axis runs along the plane, so that the plane may cut it lengthwise."""
    return abs(hole.direction[cutting.fixed]) < ALONG


def through_axis(hole: Hole, cutting: Cutting, at: float) -> bool:
    """Whether a plane along a hole passes so near its axis that its picture is the hole's."""
    return lies_along(hole, cutting) and abs(hole.at[cutting.fixed] - at) <= NEAR_AXIS * hole.diameter


def meets_hole(hole: Hole, cutting: Cutting, at: float) -> bool:
    """Whether a plane meets a hole along its axis or square to it: a section shows such a hole in true shape."""
    off, lean = at - hole.at[cutting.fixed], hole.direction[cutting.fixed]
    if abs(lean) < ALONG:
        return abs(off) < hole.entry_diameter / 2
    return abs(lean) > 1 - ALONG and any(step.start < off * lean < step.end for step in hole.bored)


def heights_at(part: Part, cutting: Cutting, at: float, *places: float) -> list[float]:
    """How high a plate's upper face stands at places along a section, mm; a planed face slopes."""
    top = top_of(part)
    if top is None:
        return [part.stock.height] * len(places)
    return [top.at(*cutting.in_plan(place, at)) for place in places]


def _faces(part: Part, blank: Blank, cutting: Cutting, at: float) -> tuple[Region, ...]:
    """The blank where the plane cuts it."""
    if part.bar is not None:
        ends, radius = (blank.frame.origin, blank.frame.to_world((0.0, 0.0, blank.height))), part.bar.diameter / 2
        found = cut_round(ends, blank.frame.z_axis, (radius, radius), cutting, at)
        return () if found is None else (found,)
    if part.strip is None:
        return tuple(_slab(part, cutting, at, *piece) for piece in crossings(blank.region, cutting, at))
    half, profile = part.strip.width / 2, part.strip.profile
    if cutting is Cutting.ACROSS_Y:
        return (profile,) if abs(at) < half else ()
    # The profile lies in X and Z, so a cut across X meets it as a plane across X meets a plan.
    return tuple(_bar(-half, half, *piece) for piece in crossings(profile, Cutting.ACROSS_X, at))


def _slab(part: Part, cutting: Cutting, at: float, u0: float, u1: float) -> Region:
    z0, z1 = heights_at(part, cutting, at, u0, u1)
    return polygon([(u0, 0.0), (u1, 0.0), (u1, z1), (u0, z0)])


def _bar(u0: float, u1: float, low: float, high: float) -> Region:
    return polygon([(u0, low), (u1, low), (u1, high), (u0, high)])


def _bored(void: Bored, hole: Hole, cutting: Cutting, at: float) -> Iterator[Taken]:
    step, (before, after) = void.step, void.reach
    opens, ends = step.start == 0.0, hole.through and step.end == hole.depth
    start = step.start - (before + SPARE if opens else 0.0)
    end = step.end + (after + SPARE if ends else 0.0)
    wide = step.widened(step.start - start) if step.what == "countersink" else step.wide
    region = cut_round((hole.point(start), hole.point(end)), hole.direction, (wide / 2, step.narrow / 2), cutting, at)
    if region is None:
        return
    # A rim that leans to its face or lies on a curved one is no straight edge.
    rims = [step.start] if not opens or before == 0.0 else []
    if step.end == hole.depth and not (ends and after > 0.0):
        rims.append(step.end)
    wanted = lies_along(hole, cutting) and step.what != "point"
    half = half_chord(step.wide / 2, hole.at[cutting.fixed] - at)
    edges = tuple(Line(*_across(hole, cutting, rim, half)) for rim in rims) if wanted else ()
    yield Taken(void, region, edges)


def _across(hole: Hole, cutting: Cutting, depth: float, half: float) -> tuple[Point, Point]:
    """The two points of a section beside a hole's axis at a depth."""
    (u, z), (du, dz) = cutting.flat(hole.point(depth)), cutting.flat(hole.direction)
    return (u - half * dz, z + half * du), (u + half * dz, z - half * du)


def _thread(void: Bored, hole: Hole, cutting: Cutting, at: float) -> Iterator[Threaded]:
    step, off = void.step, hole.at[cutting.fixed] - at
    tapers = (step.end - step.start) * PIPE_TAPER if hole.tapping is not None and hole.tapping.is_taper else 0.0
    half, deep = half_chord(step.wide / 2, off), half_chord((step.wide - tapers) / 2, off)
    if not lies_along(hole, cutting) or half <= 0.0 or deep <= 0.0:
        return
    (a, b), (c, d) = _across(hole, cutting, step.start, half), _across(hole, cutting, step.end, deep)
    runs_out = step.end < hole.depth and hole.tapping is not None and step.end == hole.tapping.depth
    yield Threaded((Line(a, c), Line(b, d)), Line(c, d), runs_out)


def _axis(hole: Hole, cutting: Cutting, at: float) -> Line | None:
    if not through_axis(hole, cutting, at):
        return None
    return Line(cutting.flat(hole.at), cutting.flat(hole.point(hole.depth)))


def _milled(void: Milled, part: Part, cutting: Cutting, at: float) -> Iterator[Taken]:
    made = _mouth(void, cutting, at) if void.what == "mouth" else _straight(void, cutting, at)
    for loop, edges in made:
        if part.strip is None:
            yield Taken(void, Region.of(loop), edges)
        elif cutting is Cutting.ACROSS_Y:
            yield Taken(void, Region.of(_bent(part, loop, at)), ())


def _bent(part: Part, loop: Loop, at: float) -> Loop:
    """A loop of the flat pattern's section along a strip, where its leg carries it when it is bent."""
    middle = (loop.bounds[0] + loop.bounds[2]) / 2
    (x, _, z), (over_x, _, over_z) = (bent_point(part, (middle, at, level)) for level in (0.0, 1.0))
    turn = math.degrees(math.atan2(x - over_x, over_z - z))
    return moved(rotated(loop, turn, (middle, 0.0)), x - middle, z)


def _straight(void: Milled, cutting: Cutting, at: float) -> Iterator[tuple[Loop, tuple[Line, ...]]]:
    (low, high), profile = void.span, void.profile
    bottom, top = low - (SPARE if 0 in void.opens else 0.0), high + (SPARE if 1 in void.opens else 0.0)
    # Where a mouth meets the face, the edge is the mouth's.
    mouth = None if profile.mouth_width <= 0 else profile.mouth
    ends = [z for z, side in ((high, Side.ABOVE), (low, Side.BELOW)) if side is not mouth]
    for u0, u1 in crossings(void.region, cutting, at):
        if u1 - u0 > SLIVER:
            corners = [(u0, bottom), (u1, bottom), (u1, top), (u0, top)]
            yield Loop.rounded(corners), tuple(Line((u0, z), (u1, z)) for z in ends)


def _mouth(void: Milled, cutting: Cutting, at: float) -> Iterator[tuple[Loop, tuple[Line, ...]]]:
    """The section of a mouth, whose outline is convex: chamfer or quarter round where the plane cuts its wall squarely.

    Elsewhere they are stretched; straight lines between points of the mouth at several heights stand for its walls.
    """
    growing, wide = void.upright.edge, void.profile.mouth_width
    (_, foot), (_, face) = growing.start, growing.end
    out = face + (SPARE if face > foot else -SPARE)
    inner = crossings(void.region, cutting, at)[:1]
    for left, right in crossings(void.plan, cutting, at)[:1]:
        rim, edges = [(left, face), (left, out), (right, out), (right, face)], [Line((left, face), (right, face))]
        if inner and isinstance(growing, Line):
            edges.append(Line((inner[0][0], foot), (inner[0][1], foot)))
        if any(abs(u0 - wide - left) + abs(u1 + wide - right) < SQUARELY for u0, u1 in inner):
            yield _squarely(inner[0], rim, growing, face > foot), tuple(edges)
        else:
            slices = list(_slices(void, growing, cutting, at))
            lefts, rights = [(u0, z) for u0, _, z in slices], [(u1, z) for _, u1, z in reversed(slices)]
            yield Loop.rounded([*lefts, *rim, *rights]), tuple(edges)


def _squarely(inner: tuple[float, float], rim: Sequence[Point], growing: Line | Arc, up: bool) -> Loop:
    """A mouth from the opening's two walls out to its rim; quarter rounds stand in the metal, centred outside."""
    foot = growing.start[1]
    near, far = (inner[0], foot), (inner[1], foot)
    walls: tuple[Edge, Edge] = (Line(near, rim[0]), Line(rim[-1], far))
    if isinstance(growing, Arc):
        radius = growing.radius
        walls = (
            Arc(near, rim[0], (rim[0][0], foot), radius, up),
            Arc(rim[-1], far, (rim[-1][0], foot), radius, up),
        )
    return Loop((walls[0], *(Line(a, b) for a, b in pairwise(rim)), walls[1], Line(far, near)))


def _slices(void: Milled, growing: Line | Arc, cutting: Cutting, at: float) -> Iterator[tuple[float, float, float]]:
    """Where a plane meets a mouth at several heights, from its foot or where the plane first meets it: from, to, Z."""
    box, wide = void.region.bounds, void.profile.mouth_width
    first = max(box[cutting.fixed] - at, at - box[cutting.fixed + 2], 0.0) / wide
    if isinstance(growing, Arc):
        first = math.acos(1.0 - first) / (math.pi / 2)
    for number in range(SLICES):
        # Where the plane misses the opening, the section begins round or flat, as wide as the root of its height.
        share = number / SLICES if first == 0.0 else (max(number, 0.2) / SLICES) ** 2
        grown, z = growing.point(first + (1.0 - first) * share)
        figure = offset(void.region, grown) if grown > SQUARELY else (void.region,)
        for u0, u1 in crossings(figure[0], cutting, at)[:1]:
            if u1 - u0 > SLIVER:
                yield u0, u1, z
