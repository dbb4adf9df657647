"""Shared volume of cylinders, prisms and half-spaces from plane slices.

A plane that is parallel to the axes of both figures cuts a cylinder in a rectangle (its ends may slant), a prism in
rectangles and a half-space in a half-plane. The area that two such slices share is exact; it is integrated over the
planes' distance by Gauss-Kronrod rules between the places where a slice begins, ends or changes its kind
(R. Piessens et al., QUADPACK, 1983, through scipy). Within each stretch s = middle + half · sin(t), which takes the
square root out of a cylinder's rim.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

from platemaker.plane import Arc, Line, Point, Region
from platemaker.space._figures import Cylinder, HalfSpace, Prism
from platemaker.space._frame import Frame
from platemaker.space._inside import end_planes
from platemaker.space._vectors import Vec3, cross, length, perpendiculars

Extruded: TypeAlias = Cylinder | Prism
Polygon: TypeAlias = list[Point]
FAR = 1e5
"""Half the length of a bore's slice before its ends cut it, mm: beyond any figure."""


def axis_of(figure: Extruded) -> Vec3:
    """The direction that a figure is drawn out along."""
    return figure.axis if isinstance(figure, Cylinder) else figure.frame.z_axis


def sliced_volume(a: Extruded, b: Extruded | HalfSpace, share: float) -> tuple[float, float]:
    """Shared volume and its error estimate, mm3."""
    from scipy.integrate import quad  # noqa: PLC0415 - slow to load, and only overlaps need it

    own = axis_of(a)
    square = cross(own, b.normal if isinstance(b, HalfSpace) else axis_of(b))
    normal = square if length(square) > 1e-9 else perpendiculars(own)[0]
    origin = a.start if isinstance(a, Cylinder) else a.frame.origin
    frame = Frame.from_normal(origin, normal, own)
    first, last = Slicer(a, frame), Slicer(b, frame) if not isinstance(b, HalfSpace) else None
    marks = sorted({round(s, 9) for s in (*first.marks, *(last.marks if last else ()))})
    low = max(first.marks[0], last.marks[0]) if last else first.marks[0]
    high = min(first.marks[-1], last.marks[-1]) if last else first.marks[-1]
    inner = [s for s in marks if low < s < high]

    def area(s: float) -> float:
        own_slices = first.at(s)
        if isinstance(b, HalfSpace):
            return sum(polygon_area(_behind(p, b.point, b.normal, frame, s)) for p in own_slices)
        others = last.at(s) if last else []
        return sum(polygon_area(clipped(p, q)) for p in own_slices for q in others)

    volume = error = 0.0
    for begin, end in pairwise([low, *inner, high]):
        middle, half = (begin + end) / 2, (end - begin) / 2
        if half <= 0.0:
            continue
        part, doubt = quad(
            lambda t, m=middle, h=half: area(m + h * math.sin(t)) * h * math.cos(t),
            -math.pi / 2,
            math.pi / 2,
            epsabs=1e-9,
            epsrel=share / 10,
            limit=60,
            full_output=1,
        )[:2]
        volume, error = volume + part, error + doubt
    return volume, error


class Slicer:
    """Slices of one figure by planes square to a frame's z axis; `marks` are where slices begin, end or change."""

    def __init__(self, figure: Extruded, frame: Frame) -> None:
        self.figure, self.frame = figure, frame
        if isinstance(figure, Cylinder):
            self.place = frame.to_local(figure.start)
            self.way = frame.unturn(figure.axis)
            self.marks = [self.place[2] - figure.radius, self.place[2] + figure.radius]
            return
        self.place = frame.to_local(figure.frame.origin)
        self.way = frame.unturn(figure.frame.z_axis)
        # The slicing planes meet the prism's own plane in lines m · p = s.
        self.across = (frame.unturn(figure.frame.x_axis), frame.unturn(figure.frame.y_axis))
        self.m = (self.across[0][2], self.across[1][2])
        self.marks = sorted({self.place[2] + value for value in _turns(figure.region, self.m)})

    def at(self, s: float) -> list[Polygon]:
        """The slice at distance s, as convex polygons in the frame's plane."""
        if isinstance(self.figure, Cylinder):
            return self._bore(self.figure, s)
        return self._prism(self.figure, s)

    def _bore(self, bore: Cylinder, s: float) -> list[Polygon]:
        rest = bore.radius**2 - (s - self.place[2]) ** 2
        if rest <= 0.0:
            return []
        half, (ux, uy, _), (x, y, _) = math.sqrt(rest), self.way, self.place
        strip = [
            (x + along * ux - side * uy, y + along * uy + side * ux)
            for along, side in ((-FAR, -half), (FAR, -half), (FAR, half), (-FAR, half))
        ]
        for point, normal in end_planes(bore):
            strip = _behind(strip, point, normal, self.frame, s)
        return [strip]

    def _prism(self, prism: Prism, s: float) -> list[Polygon]:
        crossings = sorted(_crossings(prism.region, self.m, s - self.place[2]))
        (ax, ay, _), (bx, by, _), (ux, uy, _) = *self.across, self.way
        rectangles = []
        for t0, t1 in zip(crossings[::2], crossings[1::2], strict=False):
            ends = []
            for t in (t0, t1):
                u = (s - self.place[2]) * self.m[0] - t * self.m[1]
                v = (s - self.place[2]) * self.m[1] + t * self.m[0]
                ends.append((self.place[0] + u * ax + v * bx, self.place[1] + u * ay + v * by))
            (x0, y0), (x1, y1) = ends
            lift = (prism.height * ux, prism.height * uy)
            corners = [(x0, y0), (x1, y1), (x1 + lift[0], y1 + lift[1]), (x0 + lift[0], y0 + lift[1])]
            rectangles.append(corners if _signed_area(corners) > 0.0 else corners[::-1])
        return rectangles


def _turns(region: Region, m: Point) -> list[float]:
    """Values of m · p at corners and at the extremes of arcs' circles that lie on the arcs."""
    found = []
    for edge in region.edges:
        found.append(m[0] * edge.start[0] + m[1] * edge.start[1])
        if isinstance(edge, Arc):
            angle = math.atan2(m[1], m[0])
            middle = m[0] * edge.centre[0] + m[1] * edge.centre[1]
            if edge.covers(angle):
                found.append(middle + edge.radius)
            if edge.covers(angle + math.pi):
                found.append(middle - edge.radius)
    return found


def _crossings(region: Region, m: Point, s: float) -> list[float]:
    """Where the line m · p = s crosses the region's boundary, as places along the line."""
    found = []
    for edge in region.edges:
        if isinstance(edge, Line):
            begin = m[0] * edge.start[0] + m[1] * edge.start[1] - s
            end = m[0] * edge.end[0] + m[1] * edge.end[1] - s
            if (begin > 0.0) != (end > 0.0):
                x, y = edge.point(begin / (begin - end))
                found.append(m[0] * y - m[1] * x)
            continue
        off = s - m[0] * edge.centre[0] - m[1] * edge.centre[1]
        if abs(off) >= edge.radius:
            continue
        turn, base = math.acos(off / edge.radius), math.atan2(m[1], m[0])
        for angle in (base + turn, base - turn):
            if edge.covers(angle):
                x = edge.centre[0] + edge.radius * math.cos(angle)
                y = edge.centre[1] + edge.radius * math.sin(angle)
                found.append(m[0] * y - m[1] * x)
    return found


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
    for p, q in zip(window, (*window[1:], window[0]), strict=True):
        nx, ny = q[1] - p[1], p[0] - q[0]
        polygon = cut(polygon, nx, ny, nx * p[0] + ny * p[1])
    return polygon


def _behind(polygon: Polygon, point: Vec3, normal: Vec3, frame: Frame, s: float) -> Polygon:
    """The part of a slice behind a plane."""
    nx, ny, nz = frame.unturn(normal)
    px, py, pz = frame.to_local(point)
    return cut(polygon, nx, ny, nx * px + ny * py + nz * (pz - s))


def cut(polygon: Polygon, nx: float, ny: float, limit: float) -> Polygon:
    """The part of a convex polygon with n · p <= limit."""
    kept: Polygon = []
    heights = [nx * x + ny * y - limit for x, y in polygon]
    for i, (point, height) in enumerate(zip(polygon, heights, strict=True)):
        before, level = polygon[i - 1], heights[i - 1]
        if (height <= 0.0) != (level <= 0.0):
            share = level / (level - height)
            kept.append((before[0] + share * (point[0] - before[0]), before[1] + share * (point[1] - before[1])))
        if height <= 0.0:
            kept.append(point)
    return kept
