"""Sections of a drawing: which planes show what matters, the cut faces as exact regions, and their hatching."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from platemaker.export._drawing_slope import slope_section
from platemaker.export._sheet_ink import Clip, Ink, Pen, View
from platemaker.parts import Hole, Part, PlateStock, Profile, RoundStock, Side
from platemaker.plane import Arc, Edge, Line, Loop, Point, Region, contains, rotated, subtract
from platemaker.views import Cutting, crossings, heights_at, hole_tags, joined, kind_of, mark_size

MOST = 3
"""Sections on a sheet: what more planes would show is in the hole table."""
HATCH_PITCH, HATCH_TURN = 2.6, 45.0
"""Distance between hatch lines on the sheet, mm, and their slope, degrees."""
AXIS_PAST = 2.5
"""How far axes run past the part on the sheet, mm."""
_SPARE = 1.0
"""How far an open cut is drawn past the face before it is taken away, mm."""
_ALONG = 1e-9


@dataclass(frozen=True)
class Plane:
    """A cutting plane with the letter that it bears on the sheet."""

    letter: str
    cutting: Cutting
    at: float


@dataclass(frozen=True)
class Taken:
    """What a cut takes out of a section, and the edges of it that are seen behind the plane."""

    region: Region
    behind: tuple[Line, ...]


def planes_of(part: Part) -> list[Plane]:
    """Up to three planes that show every kind of cut which a plan does not tell whole."""
    if not isinstance(part.stock, PlateStock | RoundStock):
        return []
    tags = hole_tags(part)
    wanted = {kind_of(tags[hole.name]) for hole in part.holes if _matters(hole)}
    wanted |= {one.name for one in part.profiles if not one.through or one.mouth_width > 0}
    shown = {plane: _shown(part, *plane, tags) for plane in _candidates(part)}
    sloping = slope_section(part)
    chosen: list[tuple[Cutting, float]] = [] if sloping is None else [sloping]
    while wanted and shown and len(chosen) < MOST:
        best = min(shown, key=partial(_rank, shown, wanted))
        if not shown[best] & wanted:
            break
        chosen.append(best)
        wanted -= shown[best]
    return [Plane(letter, *plane) for letter, plane in zip("ABC", chosen, strict=False)]


def _rank(
    shown: Mapping[tuple[Cutting, float], set[str]], wanted: set[str], plane: tuple[Cutting, float]
) -> tuple[int, int, bool, float, float]:
    """Least for the plane that shows most of what is wanted, then most of all; of equals the one nearest the zero."""
    cutting, at = plane
    return -len(shown[plane] & wanted), -len(shown[plane]), cutting is Cutting.ACROSS_X, abs(at), at


def _matters(hole: Hole) -> bool:
    return len(hole.steps) > 1 or not hole.through or hole.tapping is not None or not hole.square


def _candidates(part: Part) -> list[tuple[Cutting, float]]:
    """Planes through the axes of holes and the middles of milled figures."""
    planes = set()
    for cutting in Cutting:
        for hole in part.holes:
            if abs(hole.direction[cutting.fixed]) < _ALONG:
                planes.add((cutting, round(hole.at[cutting.fixed], 6)))
        for profile in part.profiles:
            for region in profile.regions:
                box = region.bounds
                planes.add((cutting, round((box[cutting.fixed] + box[cutting.fixed + 2]) / 2, 6)))
    return sorted(planes)


def _shown(part: Part, cutting: Cutting, at: float, tags: dict[str, str]) -> set[str]:
    """The kinds of cuts that a plane shows well: holes along their axis, figures across most of their width."""
    kinds = {
        kind_of(tags[hole.name])
        for hole in part.holes
        if abs(hole.direction[cutting.fixed]) < _ALONG and _through_middle(hole, cutting, at)
    }
    free = 1 - cutting.fixed
    for profile in part.profiles:
        for region in profile.regions:
            wide = sum(u1 - u0 for u0, u1 in crossings(region, cutting, at))
            if wide > 0.75 * (region.bounds[free + 2] - region.bounds[free]):
                kinds.add(profile.name)
    return kinds


def _through_middle(hole: Hole, cutting: Cutting, at: float) -> bool:
    """Whether a plane passes so near a hole's axis that its picture is the hole's: within a tenth of its radius."""
    return abs(hole.at[cutting.fixed] - at) <= 0.05 * hole.diameter


def section_ink(part: Part, plane: Plane, view: View) -> Iterator[Ink]:
    """A section: hatched cut faces, the edges behind them, threads and axes."""
    blank = _blank(part, plane)
    taken = list(_taken(part, plane))
    faces = subtract(blank, *(one.region for one in taken)) if taken else blank
    yield from hatch(faces, view)
    for one in taken:
        others = [other.region for other in taken if other is not one]
        for edge in one.behind:
            middle = edge.point(0.5)
            if any(contains(region, middle) for region in blank) and not any(contains(it, middle) for it in others):
                yield view.line(edge.start, edge.end, Pen.NARROW)
    x0, y0, x1, y1 = view.box(joined(region.bounds for region in blank))
    box = (x0 - AXIS_PAST, y0 - AXIS_PAST, x1 + AXIS_PAST, y1 + AXIS_PAST)
    yield Clip(box, tuple(ink for hole in part.holes for ink in _thread_and_axis(hole, plane, view)))
    for face in faces:
        yield from (view.loop(loop, Pen.WIDE) for loop in face.loops)


def hatch(faces: tuple[Region, ...], view: View) -> Iterator[Ink]:
    """Slanting lines over regions: where level lines meet the regions turned back, turned again."""
    pitch = HATCH_PITCH / view.scale
    for face in faces:
        level_face = rotated(face, -HATCH_TURN)
        _, low, _, high = level_face.bounds
        row = math.ceil(low / pitch)
        while row * pitch < high:
            level = row * pitch
            for u0, u1 in crossings(level_face, Cutting.ACROSS_Y, level):
                yield view.line(_turned((u0, level)), _turned((u1, level)), Pen.FINE)
            row += 1


def _turned(point: Point) -> Point:
    c, s = math.cos(math.radians(HATCH_TURN)), math.sin(math.radians(HATCH_TURN))
    return c * point[0] - s * point[1], s * point[0] + c * point[1]


def _blank(part: Part, plane: Plane) -> tuple[Region, ...]:
    stock = part.stock
    if isinstance(stock, PlateStock):
        pieces = crossings(stock.region, plane.cutting, plane.at)
        return tuple(_slab(part, plane, u0, u1) for u0, u1 in pieces)
    if not isinstance(stock, RoundStock):
        return ()
    r = stock.diameter / 2
    if plane.cutting is Cutting.ACROSS_X:
        return (Region.of(Loop.circle((0.0, r), r)),)
    half = math.sqrt(max(r**2 - plane.at**2, 0.0))
    return (_bar(-stock.length / 2, stock.length / 2, r - half, r + half),)


def _slab(part: Part, plane: Plane, u0: float, u1: float) -> Region:
    z0, z1 = heights_at(part, plane.cutting, plane.at, u0, u1)
    return Region.of(Loop.rounded([(u0, 0.0), (u1, 0.0), (u1, z1), (u0, z0)]))


def _top(part: Part) -> float:
    return part.stock.diameter if isinstance(part.stock, RoundStock) else getattr(part.stock, "thickness", 0.0)


def _taken(part: Part, plane: Plane) -> Iterator[Taken]:
    top = _top(part)
    for profile in part.profiles:
        for region in profile.regions:
            for u0, u1 in crossings(region, plane.cutting, plane.at):
                if u1 - u0 > 1e-3:
                    yield _by_profile(profile, u0, u1, top)
    for hole in part.holes:
        lean, off = hole.direction[plane.cutting.fixed], hole.at[plane.cutting.fixed] - plane.at
        if abs(lean) < _ALONG:
            made = _by_hole(hole, plane, abs(off))
            if made is not None:
                yield made
        elif abs(lean) > 1 - _ALONG:
            for step in hole.steps:
                # The plane lies this deep along the axis.
                if step.start < -off * lean < step.end:
                    yield Taken(Region.of(Loop.circle(plane.cutting.flat(hole.at), step.diameter / 2)), ())


def _by_profile(profile: Profile, u0: float, u1: float, top: float) -> Taken:
    if profile.mouth_width > 0:
        return _mouthed(profile, u0, u1, top)
    above = profile.side is Side.ABOVE
    floor = top - profile.depth if above else profile.depth
    face = top if above else 0.0
    far = (0.0 - _SPARE if above else top + _SPARE) if profile.through else floor
    near = top + _SPARE if above else -_SPARE
    other = (0.0 if above else top) if profile.through else floor
    behind = (Line((u0, face), (u1, face)), Line((u0, other), (u1, other)))
    return Taken(_bar(u0, u1, min(near, far), max(near, far)), behind)


def _mouthed(profile: Profile, u0: float, u1: float, top: float) -> Taken:
    """An opening with its mouth; quarter rounds stand in the material, their centres at the face."""
    wide, deep, below = profile.mouth_width, profile.mouth_depth, profile.mouth is Side.BELOW
    face, start, far = (0.0, deep, top) if below else (top, top - deep, 0.0)
    out, past = (face - _SPARE, far + _SPARE) if below else (face + _SPARE, far - _SPARE)
    wide0, wide1 = u0 - wide, u1 + wide
    rims: tuple[Edge, Edge] = (Line((u0, start), (wide0, face)), Line((wide1, face), (u1, start)))
    if profile.mouth_radius > 0:
        rims = (
            Arc((u0, start), (wide0, face), (wide0, start), wide, not below),
            Arc((wide1, face), (u1, start), (wide1, start), wide, not below),
        )
    edges = (
        Line((u1, past), (u0, past)),
        Line((u0, past), (u0, start)),
        rims[0],
        Line((wide0, face), (wide0, out)),
        Line((wide0, out), (wide1, out)),
        Line((wide1, out), (wide1, face)),
        rims[1],
        Line((u1, start), (u1, past)),
    )
    behind = (Line((wide0, face), (wide1, face)), Line((u0, far), (u1, far)))
    return Taken(Region.of(Loop(edges)), behind)


def _by_hole(hole: Hole, plane: Plane, off: float) -> Taken | None:
    """The outline of a hole along its axis, one figure from entry to end, so that no two steps share an edge."""
    outline: list[tuple[float, float]] = []
    behind: list[tuple[float, float]] = []
    for step in hole.steps:
        half = _half_chord(step.diameter / 2, off)
        if half <= 0:
            break
        last = step is hole.steps[-1]
        start = step.start - _reach(hole) if not outline else step.start
        end = step.end + _reach(hole) if last and hole.through else step.end
        outline += [(start, half), (end, half)]
        behind.append((step.start, half))
        if last:
            behind.append((step.end, half))
            if hole.tip_angle is not None and not hole.through:
                outline.append((step.end + half / math.tan(math.radians(hole.tip_angle) / 2), 0.0))
    if not outline:
        return None
    # Steps of one width meet in one corner.
    corners = [one for one, after in zip(outline, [*outline[1:], None], strict=True) if one != after]
    back = [(along, -half) for along, half in reversed(corners) if half > 0]
    points = [_seen(hole, plane, along, side) for along, side in [*corners, *back]]
    lines = [Line(_seen(hole, plane, along, half), _seen(hole, plane, along, -half)) for along, half in behind]
    # The wider circle of a shoulder is on the cut face already; the entry of a slanted bore is no straight edge.
    return Taken(Region.of(Loop.rounded(points)), tuple(lines if hole.square else lines[1:-1]))


def _reach(hole: Hole) -> float:
    return _SPARE if hole.square else 2 * max(step.diameter for step in hole.steps)


def _seen(hole: Hole, plane: Plane, along: float, side: float) -> Point:
    (u, z), (du, dz) = plane.cutting.flat(hole.at), plane.cutting.flat(hole.direction)
    return u + along * du - side * dz, z + along * dz + side * du


def _thread_and_axis(hole: Hole, plane: Plane, view: View) -> Iterator[Ink]:
    off = abs(hole.at[plane.cutting.fixed] - plane.at)
    if abs(hole.direction[plane.cutting.fixed]) >= _ALONG or off >= mark_size(hole):
        return
    past = 2 / view.scale
    if _through_middle(hole, plane.cutting, plane.at):
        yield view.line(_seen(hole, plane, -past, 0.0), _seen(hole, plane, hole.depth + past, 0.0), Pen.CENTRE)
    if hole.tapping is None:
        return
    half, deep = _half_chord(hole.tapping.major_diameter / 2, off), hole.tapping.depth
    if half > 0:
        for side in (half, -half):
            yield view.line(_seen(hole, plane, 0.0, side), _seen(hole, plane, deep, side), Pen.NARROW)
        if deep < hole.depth:
            yield view.line(_seen(hole, plane, deep, half), _seen(hole, plane, deep, -half), Pen.WIDE)


def _half_chord(radius: float, off: float) -> float:
    return math.sqrt(radius**2 - off**2) if off < radius else 0.0


def _bar(u0: float, u1: float, low: float, high: float) -> Region:
    return Region.of(Loop.rounded([(u0, low), (u1, low), (u1, high), (u0, high)]))
