"""Shared volume of cylinders, prisms and half-spaces from plane slices.

A plane that is parallel to the axes of both figures cuts a cylinder in a rectangle (its ends may slant), a prism in
rectangles and a half-space in a half-plane. The area that such slices share is exact; it is integrated over the planes'
distance between the places where a slice begins, ends or changes its kind: see _quadrature.py.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import TypeAlias

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Loop, Point, Region
from platemaker.space._bounds import local_bounds
from platemaker.space._figures import Cone, Cylinder, HalfSpace, Prism
from platemaker.space._frame import Frame
from platemaker.space._inside import end_planes
from platemaker.space._quadrature import integral
from platemaker.space._vectors import Vec3, along, cross, dot, length, perpendiculars, scale, sub

Extruded: TypeAlias = Cylinder | Prism
Round: TypeAlias = Cylinder | Cone
Polygon: TypeAlias = list[Point]
SIDES = 64
"""Sides of the polygon that stands for a curved slice."""
CURVED = 1e-3
"""Share of a whole bore by which its volume may be off where polygons stand for curves."""
LEVEL = 1e-9
"""Sine of the angle below which an axis lies in the slicing planes."""
NEAR = 1e-6
"""How far beyond the ends of a loop a line is still held to it, mm: more than rounding moves them."""
FAR = 1e5
"""Half the length of a bore's slice before its ends cut it, mm: beyond any figure."""


def axis_of(figure: Extruded) -> Vec3:
    """The direction that a figure is drawn out along."""
    return figure.axis if isinstance(figure, Cylinder) else figure.frame.z_axis


def sliced_volume(a: Extruded, b: Extruded | HalfSpace, share: float) -> tuple[float, float]:
    """Shared volume and its error estimate, mm3."""
    frame = _slicing_frame(a, b.normal if isinstance(b, HalfSpace) else axis_of(b))
    first, last = Slicer(a, frame), Slicer(b, frame) if not isinstance(b, HalfSpace) else None
    marks = sorted({round(s, 9) for s in (*first.marks, *(last.marks if last else ()))})
    low = max(first.marks[0], last.marks[0]) if last else first.marks[0]
    high = min(first.marks[-1], last.marks[-1]) if last else first.marks[-1]
    inner = [s for s in marks if low < s < high]
    behind = _seen(b.point, b.normal, frame) if isinstance(b, HalfSpace) else None

    def area(s: float) -> float:
        own_slices = first.at(s)
        if behind is not None:
            return sum(polygon_area(_behind(p, behind, s)) for p in own_slices)
        others = last.at(s) if last and own_slices else []
        return sum(polygon_area(clipped(p, q)) for p in own_slices for q in others)

    return integral(area, [low, *inner, high], share)


def volume_left(a: Cylinder | Cone, b: Prism, without: Sequence[Round | Prism] = ()) -> tuple[float, float]:
    """Volume that a bore takes out of a prism where no figure of `without` did before, and its error estimate, mm3.

    Exact slices as above where the axes of all figures lie in parallel planes. What is sliced to a curve otherwise, a
    cone or a bore on a third axis, stands as a polygon of SIDES tangents and the same area, and the error is CURVED.

    >>> from platemaker.space import box
    >>> bar = box((-5, -5, 0), (5, 5, 10))
    >>> round(volume_left(Cylinder((0, 0, -1), (0, 0, 11), 1.0), bar, [box((-5, -5, 4), (5, 5, 11))])[0], 6)
    12.566371
    """
    frame = _slicing_frame(a, b.frame.z_axis)
    own, within, others = _slicer(a, frame), _slicer(b, frame), [_slicer(one, frame) for one in without]
    slicers = (own, within, *others)
    low, high = max(own.marks[0], within.marks[0]), min(own.marks[-1], within.marks[-1])
    marks = [s for one in slicers for s in one.marks] + [s for one in slicers[1:] for s in _passing(own, one)]
    inner = sorted({round(s, 9) for s in marks if low < s < high})
    if high <= low:
        return 0.0, 0.0

    def area(s: float) -> float:
        pieces = [clipped(p, q) for p in own.at(s) for q in within.at(s)]
        taken = [polygon for one in others for polygon in one.at(s) if len(polygon) > 2]
        return sum(_area_left(piece, taken) for piece in pieces)

    curved = any(isinstance(one, RoundSlicer) for one in slicers)
    whole = (own.marks[-1] - own.marks[0]) * max(polygon_area(p) for p in own.at((own.marks[0] + own.marks[-1]) / 2))
    volume, error = integral(area, [low, *inner, high], CURVED if curved else 1e-8, whole=whole)
    return volume, error + (CURVED * whole if curved else 0.0)


def _passing(own: Slicer | RoundSlicer, other: Slicer | RoundSlicer) -> Iterator[float]:
    """Where the sides of a bore's slices pass the ends of a prism, or the sides of a bore, that lie along its axis."""
    if not isinstance(own, Slicer) or not isinstance(other, Slicer) or not isinstance(own.figure, Cylinder):
        return
    bore, figure, first = own.figure, other.figure, own.place[2]
    lean = dot(bore.axis, axis_of(figure))
    if isinstance(figure, Prism) and abs(lean) <= LEVEL:
        base = dot(sub(figure.frame.origin, bore.start), figure.frame.z_axis)
        for off in (base, base + figure.height):
            if abs(off) < bore.radius:
                half = math.sqrt(bore.radius**2 - off**2)
                yield from (first - half, first + half)
    elif isinstance(figure, Cylinder) and length(cross(bore.axis, figure.axis)) <= LEVEL:
        # Where two circles cross, in the plane square to both axes: s along the slices' normal, w square to it.
        s, w = other.place[2] - first, dot(sub(figure.start, bore.start), cross(bore.axis, own.frame.z_axis))
        apart = math.hypot(s, w)
        if abs(bore.radius - figure.radius) < apart < bore.radius + figure.radius:
            along_way = (apart**2 + bore.radius**2 - figure.radius**2) / (2 * apart)
            aside = math.sqrt(max(bore.radius**2 - along_way**2, 0.0))
            yield from (first + (along_way * s + sign * aside * w) / apart for sign in (-1.0, 1.0))


def _area_left(polygon: Polygon, taken: Sequence[Polygon]) -> float:
    """Area of a convex polygon less what convex polygons, which may overlap, cover of it."""
    if len(polygon) < 3:
        return 0.0
    if not taken:
        return polygon_area(polygon)
    return _area_left(polygon, taken[1:]) - _area_left(clipped(polygon, taken[0]), taken[1:])


def _slicing_frame(a: Extruded | Cone, other: Vec3) -> Frame:
    """A frame whose z axis, the planes' normal, is square to a figure's axis and to another direction."""
    own = a.axis if isinstance(a, Cone) else axis_of(a)
    square = cross(own, other)
    normal = square if length(square) > 1e-9 else perpendiculars(own)[0]
    return Frame.from_normal(a.frame.origin if isinstance(a, Prism) else a.start, normal, own)


def _slicer(figure: Round | Prism, frame: Frame) -> Slicer | RoundSlicer:
    if not isinstance(figure, Cone) and abs(dot(axis_of(figure), frame.z_axis)) <= LEVEL:
        return Slicer(figure, frame)
    if isinstance(figure, Prism):
        message = f"a prism along {axis_of(figure)} cannot be sliced along {frame.z_axis}"
        raise GeometryError(message)
    return RoundSlicer(figure, frame)


class RoundSlicer:
    """Slices of a bore or cone that planes cut in curves, as polygons of as large an area; `marks` as below."""

    def __init__(self, figure: Round, frame: Frame) -> None:
        self.frame = frame
        x0, y0, low, x1, y1, high = local_bounds(figure, frame)
        self.marks = [float(low), float(high)]
        self.box = [(float(x), float(y)) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
        wide = figure.radius if isinstance(figure, Cylinder) else figure.radius_start
        grows = 0.0 if isinstance(figure, Cylinder) else (figure.radius_end - wide) / figure.length
        share = math.sqrt(math.pi / (SIDES * math.tan(math.pi / SIDES)))
        first, second = perpendiculars(figure.axis)
        self.planes = [_seen(*plane, frame) for plane in end_planes(figure)]
        for number in range(SIDES):
            c, s = math.cos(math.tau * number / SIDES), math.sin(math.tau * number / SIDES)
            out = along(scale(first, c), s, second)
            normal = along(out, -share * grows, figure.axis)
            self.planes.append(_seen(along(figure.start, share * wide, out), normal, frame))

    def at(self, s: float) -> list[Polygon]:
        """The slice at distance s, as convex polygons in the frame's plane."""
        polygon = self.box
        for plane in self.planes:
            polygon = _behind(polygon, plane, s)
        return [polygon]


class Slicer:
    """Slices of one figure by planes square to a frame's z axis; `marks` are where slices begin, end or change."""

    def __init__(self, figure: Extruded, frame: Frame) -> None:
        self.figure, self.frame = figure, frame
        if isinstance(figure, Cylinder):
            self.place = frame.to_local(figure.start)
            self.way = frame.unturn(figure.axis)
            self.marks = [self.place[2] - figure.radius, self.place[2] + figure.radius]
            self.ends = [_seen(*plane, frame) for plane in end_planes(figure)]
            return
        self.place = frame.to_local(figure.frame.origin)
        self.way = frame.unturn(figure.frame.z_axis)
        # The slicing planes meet the prism's own plane in lines m · p = s.
        self.across = (frame.unturn(figure.frame.x_axis), frame.unturn(figure.frame.y_axis))
        self.m = (self.across[0][2], self.across[1][2])
        turns = [(loop, _turns(loop, self.m)) for loop in figure.region.loops]
        self.loops = [(loop, min(values) - NEAR, max(values) + NEAR) for loop, values in turns]
        self.marks = sorted({self.place[2] + value for _, values in turns for value in values})

    def at(self, s: float) -> list[Polygon]:
        """The slice at distance s, as convex polygons in the frame's plane."""
        if isinstance(self.figure, Cylinder):
            return self._bore(self.figure, s)
        return self._prism(self.figure.height, s)

    def _bore(self, bore: Cylinder, s: float) -> list[Polygon]:
        rest = bore.radius**2 - (s - self.place[2]) ** 2
        if rest <= 0.0:
            return []
        half, (ux, uy, _), (x, y, _) = math.sqrt(rest), self.way, self.place
        strip = [
            (x + along * ux - side * uy, y + along * uy + side * ux)
            for along, side in ((-FAR, -half), (FAR, -half), (FAR, half), (-FAR, half))
        ]
        for plane in self.ends:
            strip = _behind(strip, plane, s)
        return [strip]

    def _prism(self, height: float, s: float) -> list[Polygon]:
        off = s - self.place[2]
        loops = [loop for loop, low, high in self.loops if low <= off <= high]
        crossings = sorted(_crossings(loops, self.m, off))
        (ax, ay, _), (bx, by, _), (ux, uy, _) = *self.across, self.way
        rectangles = []
        for t0, t1 in zip(crossings[::2], crossings[1::2], strict=False):
            ends = []
            for t in (t0, t1):
                u = off * self.m[0] - t * self.m[1]
                v = off * self.m[1] + t * self.m[0]
                ends.append((self.place[0] + u * ax + v * bx, self.place[1] + u * ay + v * by))
            (x0, y0), (x1, y1) = ends
            lift = (height * ux, height * uy)
            corners = [(x0, y0), (x1, y1), (x1 + lift[0], y1 + lift[1]), (x0 + lift[0], y0 + lift[1])]
            rectangles.append(corners if _signed_area(corners) > 0.0 else corners[::-1])
        return rectangles


def _turns(loop: Loop | Region, m: Point) -> list[float]:
    """Values of m · p at corners and at the extremes of arcs' circles that lie on the arcs."""
    found = []
    for edge in loop.edges:
        found.append(m[0] * edge.start[0] + m[1] * edge.start[1])
        if isinstance(edge, Arc):
            angle = math.atan2(m[1], m[0])
            middle = m[0] * edge.centre[0] + m[1] * edge.centre[1]
            if edge.covers(angle):
                found.append(middle + edge.radius)
            if edge.covers(angle + math.pi):
                found.append(middle - edge.radius)
    return found


def _crossings(loops: Iterable[Loop], m: Point, s: float) -> list[float]:
    """Where the line m · p = s crosses closed loops, as places along the line: an even number of them."""
    found = []
    for loop in loops:
        heights = [m[0] * edge.start[0] + m[1] * edge.start[1] - s for edge in loop.edges]
        for edge, begin, end in zip(loop.edges, heights, (*heights[1:], heights[0]), strict=True):
            if isinstance(edge, Arc):
                points = _arc_crossings(edge, m, s, begin, end)
            else:
                points = [edge.point(begin / (begin - end))] if (begin > 0.0) != (end > 0.0) else []
            found += [m[0] * y - m[1] * x for x, y in points]
    return found


def _arc_crossings(arc: Arc, m: Point, s: float, begin: float, end: float) -> list[Point]:
    """Where an arc crosses a line: once if its ends, at heights `begin` and `end`, are on two sides, else twice or not.

    So a line through a joint crosses one of the two pieces there, or both, whatever rounding does to the angles.
    """
    off = s - m[0] * arc.centre[0] - m[1] * arc.centre[1]
    meets = (begin > 0.0) != (end > 0.0)
    if not meets and abs(off) >= arc.radius:  # nearly every one
        return []
    base, turn = math.atan2(m[1], m[0]), math.acos(min(1.0, max(-1.0, off / arc.radius)))
    middle = arc.start_angle + arc.sweep / 2
    angles = sorted((base - turn, base + turn), key=lambda angle: -math.cos(angle - middle))
    if meets:
        angles = angles[:1]
    elif not arc.covers(base + math.pi if end > 0.0 else base):
        return []
    return [(arc.centre[0] + arc.radius * math.cos(a), arc.centre[1] + arc.radius * math.sin(a)) for a in angles]


def _signed_area(polygon: Sequence[Point]) -> float:
    following = (*polygon[1:], *polygon[:1])
    return sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(polygon, following, strict=True)) / 2


def polygon_area(polygon: Sequence[Point]) -> float:
    """Area of a polygon, taken about its first corner so that far places lose no digits."""
    if len(polygon) < 3:
        return 0.0
    x, y = polygon[0]
    return abs(_signed_area([(px - x, py - y) for px, py in polygon]))


def clipped(polygon: Polygon, window: Polygon) -> Polygon:
    """The part of a convex polygon inside a convex, counter-clockwise window."""
    for p, q in pairwise((*window, window[0])):
        nx, ny = q[1] - p[1], p[0] - q[0]
        polygon = cut(polygon, nx, ny, nx * p[0] + ny * p[1])
    return polygon


def _seen(point: Vec3, normal: Vec3, frame: Frame) -> tuple[Vec3, Vec3]:
    """A plane's point and normal in the frame of the slices."""
    return frame.to_local(point), frame.unturn(normal)


def _behind(polygon: Polygon, plane: tuple[Vec3, Vec3], s: float) -> Polygon:
    """The part of a slice behind a plane."""
    (px, py, pz), (nx, ny, nz) = plane
    return cut(polygon, nx, ny, nx * px + ny * py + nz * (pz - s))


def cut(polygon: Polygon, nx: float, ny: float, limit: float) -> Polygon:
    """The part of a convex polygon with n · p <= limit."""
    kept: Polygon = []
    heights = [nx * x + ny * y - limit for x, y in polygon]
    if not heights or max(heights) <= 0.0:
        return polygon
    for i, (point, height) in enumerate(zip(polygon, heights, strict=True)):
        before, level = polygon[i - 1], heights[i - 1]
        if (height <= 0.0) != (level <= 0.0):
            share = level / (level - height)
            kept.append((before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1])))
        if height <= 0.0:
            kept.append(point)
    return kept
