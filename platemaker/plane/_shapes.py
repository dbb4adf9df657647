"""Lines, arcs, loops and regions: the exact figures of the plane. Values only; operations stand beside."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from typing import TypeAlias

from msgspec import Struct

from platemaker.errors import GeometryError
from platemaker.records import Record, replace

Point: TypeAlias = tuple[float, float]
Box: TypeAlias = tuple[float, float, float, float]

CLOSE = 1e-9
"""Two points nearer than this, in mm, are one point: loops are closed to it."""


ROUNDED = 2e-6
"""An arc's ends lie on its circle within this, mm: as near as coordinates rounded to 1e-6 mm can say."""


class Line(Struct, frozen=True):
    """A straight piece from `start` to `end`, mm. `tag` names the feature that made it."""

    start: Point
    end: Point
    tag: str = ""

    @property
    def length(self) -> float:
        """Length, mm."""
        return math.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def bounds(self) -> Box:
        """(x_min, y_min, x_max, y_max), mm."""
        (x0, y0), (x1, y1) = self.start, self.end
        return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)

    def point(self, share: float) -> Point:
        """The point at `share` (0 to 1) of the length."""
        return (
            self.start[0] + share * (self.end[0] - self.start[0]),
            self.start[1] + share * (self.end[1] - self.start[1]),
        )

    def tangent(self, share: float) -> Point:
        """Unit direction of travel."""
        length = self.length
        return (self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length

    def reversed(self) -> Line:
        """The same piece travelled the other way."""
        return Line(self.end, self.start, self.tag)


class Arc(Struct, frozen=True):
    """A circular piece from `start` to `end` about `centre`, mm; sweep above 0 and below a full turn.

    `ccw` is True when the piece is travelled counter-clockwise. A whole circle is two arcs (see Loop.circle).
    """

    start: Point
    end: Point
    centre: Point
    radius: float
    ccw: bool
    tag: str = ""

    @property
    def start_angle(self) -> float:
        """Direction from the centre to the start, radians in (-pi, pi]."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    @property
    def end_angle(self) -> float:
        """Direction from the centre to the end, radians in (-pi, pi]."""
        return math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])

    @property
    def sweep(self) -> float:
        """Signed angle travelled, radians; positive counter-clockwise."""
        (cx, cy), (x0, y0), (x1, y1) = self.centre, self.start, self.end
        x0, y0, x1, y1 = x0 - cx, y0 - cy, x1 - cx, y1 - cy
        turn = math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1)
        if self.ccw:
            return turn if turn > 0 else turn + math.tau
        return turn if turn < 0 else turn - math.tau

    @property
    def length(self) -> float:
        """Length along the arc, mm."""
        return self.radius * abs(self.sweep)

    @property
    def bulge(self) -> float:
        """tan(sweep / 4), the arc's form in a DXF polyline."""
        return math.tan(self.sweep / 4)

    @property
    def bounds(self) -> Box:
        """(x_min, y_min, x_max, y_max), mm."""
        xs, ys = [self.start[0], self.end[0]], [self.start[1], self.end[1]]
        for quarter, (dx, dy) in enumerate(((1, 0), (0, 1), (-1, 0), (0, -1))):
            if self.covers(quarter * math.pi / 2):
                xs.append(self.centre[0] + dx * self.radius)
                ys.append(self.centre[1] + dy * self.radius)
        return min(xs), min(ys), max(xs), max(ys)

    def covers(self, angle: float) -> bool:
        """Whether the direction `angle` (radians, from the centre) lies on the arc, ends included."""
        sweep = self.sweep
        turn = (angle - self.start_angle) % math.tau if self.ccw else (self.start_angle - angle) % math.tau
        return turn <= abs(sweep)

    def point(self, share: float) -> Point:
        """The point at `share` (0 to 1) of the length."""
        angle = self.start_angle + share * self.sweep
        return self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle)

    def tangent(self, share: float) -> Point:
        """Unit direction of travel at `share` of the length."""
        angle = self.start_angle + share * self.sweep
        sign = 1.0 if self.ccw else -1.0
        return -sign * math.sin(angle), sign * math.cos(angle)

    def reversed(self) -> Arc:
        """The same piece travelled the other way."""
        return Arc(self.end, self.start, self.centre, self.radius, not self.ccw, self.tag)


Edge: TypeAlias = Line | Arc


class Circle(Struct, frozen=True):
    """A whole circle: centre and radius, mm."""

    centre: Point
    radius: float

    @property
    def bounds(self) -> Box:
        """(x_min, y_min, x_max, y_max), mm."""
        (x, y), r = self.centre, self.radius
        return x - r, y - r, x + r, y + r


class Loop(Record):
    """A closed run of lines and arcs that does not cross itself. Counter-clockwise loops have positive area."""

    edges: tuple[Edge, ...]

    def __post_init__(self) -> None:
        if not self.edges:
            message = "a loop has pieces: its corners lie on one another"
            raise GeometryError(message)
        before = self.edges[-1]
        for edge in self.edges:
            gap = math.dist(before.end, edge.start)
            if gap > CLOSE:
                message = f"loop is open by {gap:.3g} mm at ({before.end[0]:.6f}, {before.end[1]:.6f})"
                raise GeometryError(message)
            if isinstance(edge, Arc):
                _refuse_bad_arc(edge)
            before = edge

    @classmethod
    def circle(cls, centre: Point, radius: float, tag: str = "") -> Loop:
        """A whole circle as two half arcs, counter-clockwise."""
        if radius <= 0:
            message = f"a circle's radius must be above 0 mm, met {radius:g}"
            raise GeometryError(message)
        right, left = (centre[0] + radius, centre[1]), (centre[0] - radius, centre[1])
        return cls((Arc(right, left, centre, radius, True, tag), Arc(left, right, centre, radius, True, tag)))

    @classmethod
    def rounded(cls, corners: Sequence[Point], radii: Sequence[float] | float = 0.0, tag: str = "") -> Loop:
        """A polygon through `corners`, each rounded by its radius, mm (0 leaves it sharp); made counter-clockwise.

        Raises GeometryError when a radius does not fit its corner, naming the corner and the largest that fits.
        """
        points = list(corners)
        sizes = [float(radii)] * len(points) if isinstance(radii, int | float) else [float(r) for r in radii]
        if len(points) < 3 or len(sizes) != len(points):
            message = f"a rounded loop needs 3 or more corners with a radius each, met {len(points)} and {len(sizes)}"
            raise GeometryError(message)
        if _shoelace(points) < 0:
            points.reverse()
            sizes.reverse()
        return cls(tuple(_rounded_edges(points, sizes, tag)))

    @classmethod
    def rectangle(
        cls,
        width: float,
        height: float,
        corner_radius: float = 0.0,
        centre: Point = (0.0, 0.0),
        tag: str = "",
    ) -> Loop:
        """A rectangle of `width` along X and `height` along Y about `centre`, mm."""
        x, y, w, h = *centre, width / 2, height / 2
        return cls.rounded([(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)], corner_radius, tag)

    @classmethod
    def slot(cls, length: float, width: float, centre: Point = (0.0, 0.0), angle: float = 0.0, tag: str = "") -> Loop:
        """A round-ended slot of overall `length` and `width`, mm, turned by `angle` degrees.

        Equal length and width is a round hole; a shorter length raises GeometryError.
        """
        if length < width:
            message = f"a slot's length {length:g} mm must not be less than its width {width:g} mm"
            raise GeometryError(message)
        if length - width <= CLOSE:
            return cls.circle(centre, width / 2, tag)
        u = (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
        n, half, r = (-u[1], u[0]), (length - width) / 2, width / 2
        a = (centre[0] - half * u[0], centre[1] - half * u[1])
        b = (centre[0] + half * u[0], centre[1] + half * u[1])
        a1, a2 = (a[0] - r * n[0], a[1] - r * n[1]), (a[0] + r * n[0], a[1] + r * n[1])
        b1, b2 = (b[0] - r * n[0], b[1] - r * n[1]), (b[0] + r * n[0], b[1] + r * n[1])
        return cls((Line(a1, b1, tag), Arc(b1, b2, b, r, True, tag), Line(b2, a2, tag), Arc(a2, a1, a, r, True, tag)))

    def __iter__(self) -> Iterator[Edge]:
        return iter(self.edges)

    @cached_property
    def area(self) -> float:
        """Signed area, mm2: exact, by Green's theorem over lines and arcs."""
        total = 0.0
        x, y = self.edges[0].start  # far from the origin the products would lose the digits of a small loop
        for edge in self.edges:
            (x0, y0), (x1, y1) = (edge.start[0] - x, edge.start[1] - y), (edge.end[0] - x, edge.end[1] - y)
            total += (x0 * y1 - x1 * y0) / 2
            if isinstance(edge, Arc):
                sweep = edge.sweep
                total += edge.radius**2 * (sweep - math.sin(sweep)) / 2
        return total

    @cached_property
    def perimeter(self) -> float:
        """Length of the boundary, mm."""
        return sum(edge.length for edge in self.edges)

    @cached_property
    def bounds(self) -> Box:
        """(x_min, y_min, x_max, y_max), mm."""
        boxes = [edge.bounds for edge in self.edges]
        return (
            min(box[0] for box in boxes),
            min(box[1] for box in boxes),
            max(box[2] for box in boxes),
            max(box[3] for box in boxes),
        )

    def reversed(self) -> Loop:
        """The same boundary travelled the other way."""
        return Loop(tuple(edge.reversed() for edge in reversed(self.edges)))

    def as_circle(self) -> Circle | None:
        """The circle that this loop is, or None when it is any other shape."""
        return self._circle

    @cached_property
    def _circle(self) -> Circle | None:
        first = self.edges[0]
        if not isinstance(first, Arc):
            return None
        for edge in self.edges[1:]:
            if not isinstance(edge, Arc) or edge.ccw != first.ccw or abs(edge.radius - first.radius) > CLOSE:
                return None
            if math.dist(edge.centre, first.centre) > CLOSE:
                return None
        return Circle(first.centre, first.radius)

    def tagged(self, tag: str) -> Loop:
        """The same loop with every piece named `tag`."""
        return Loop(tuple(replace(edge, tag=tag) for edge in self.edges))


class Region(Record):
    """An outer boundary (counter-clockwise) with holes (clockwise) that lie inside it and do not touch."""

    outer: Loop
    holes: tuple[Loop, ...] = ()

    @classmethod
    def of(cls, outer: Loop, holes: Iterable[Loop] = ()) -> Region:
        """A region from loops of any direction of travel."""
        return cls(
            outer if outer.area > 0 else outer.reversed(),
            tuple(hole if hole.area < 0 else hole.reversed() for hole in holes),
        )

    @property
    def loops(self) -> tuple[Loop, ...]:
        """The outer boundary, then the holes."""
        return self.outer, *self.holes

    @cached_property
    def edges(self) -> tuple[Edge, ...]:
        """Every boundary piece; material lies to the left of travel."""
        return tuple(edge for loop in self.loops for edge in loop.edges)

    @property
    def area(self) -> float:
        """Area of the material, mm2."""
        return sum(loop.area for loop in self.loops)

    @property
    def perimeter(self) -> float:
        """Length of all boundaries, mm."""
        return sum(loop.perimeter for loop in self.loops)

    @property
    def bounds(self) -> Box:
        """(x_min, y_min, x_max, y_max), mm."""
        return self.outer.bounds


def _refuse_bad_arc(arc: Arc) -> None:
    (x, y), centre, radius = arc.start, arc.centre, arc.radius
    if math.dist(arc.start, arc.end) <= CLOSE:
        message = f"an arc at ({x:.6f}, {y:.6f}) begins where it ends; a whole circle is two arcs"
        raise GeometryError(message)
    stray = max(abs(math.dist(arc.start, centre) - radius), abs(math.dist(arc.end, centre) - radius))
    if stray > ROUNDED:
        message = f"an arc's end at ({x:.6f}, {y:.6f}) is {stray:.3g} mm off its circle"
        raise GeometryError(message)


def _shoelace(points: Sequence[Point]) -> float:
    following = (*points[1:], points[0])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, following, strict=True)) / 2


def _rounded_edges(points: list[Point], sizes: list[float], tag: str) -> Iterator[Edge]:
    corners = [_corner(points[i - 1], p, points[(i + 1) % len(points)], sizes[i]) for i, p in enumerate(points)]
    for i, point in enumerate(points):
        following = points[(i + 1) % len(points)]
        room = math.dist(point, following)
        taken = math.dist(point, corners[i][1]) + math.dist(following, corners[(i + 1) % len(points)][0])
        if taken > room + CLOSE:
            message = (
                f"corner radius {sizes[i]:g} mm at ({point[0]:g}, {point[1]:g}) does not fit: the side to "
                f"({following[0]:g}, {following[1]:g}) is {room:g} mm and its corners take {taken:g} mm"
            )
            raise GeometryError(message)
    for i, (enter, leave, centre, ccw) in enumerate(corners):
        before = corners[i - 1][1]
        straight = math.dist(before, enter) > CLOSE
        if straight:
            yield Line(before, enter, tag)
        if centre is not None:
            yield Arc(enter if straight else before, leave, centre, sizes[i], ccw, tag)


def _corner(before: Point, at: Point, after: Point, radius: float) -> tuple[Point, Point, Point | None, bool]:
    """Where a corner's arc is entered and left, its centre, and whether it turns counter-clockwise."""
    if radius <= 0:
        return at, at, None, True
    u = _unit(before, at)
    v = _unit(at, after)
    turn = math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
    if abs(turn) < 1e-12:
        return at, at, None, True
    if abs(turn) > math.pi - 1e-9:
        message = f"the outline turns back on itself at ({at[0]:g}, {at[1]:g})"
        raise GeometryError(message)
    reach, ccw = radius * math.tan(abs(turn) / 2), turn > 0
    enter = (at[0] - reach * u[0], at[1] - reach * u[1])
    leave = (at[0] + reach * v[0], at[1] + reach * v[1])
    side = radius if ccw else -radius
    return enter, leave, (enter[0] - side * u[1], enter[1] + side * u[0]), ccw


def _unit(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    if length <= CLOSE:
        message = f"two corners coincide at ({a[0]:g}, {a[1]:g})"
        raise GeometryError(message)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length
