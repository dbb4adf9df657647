"""Plan figures from a spec's numbers: closed rings of lines and arcs, built here and nowhere else."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

Point: TypeAlias = tuple[float, float]


def number(value: Any) -> float:
    """A bare number of a spec, or one with `mm` or `deg` behind it."""
    return float(value.removesuffix("deg").removesuffix("mm")) if isinstance(value, str) else float(value)


def grid(value: Any) -> float:
    """A coordinate as the project takes it in: rounded once, to 1e-6 mm."""
    return round(number(value), 6) + 0.0


@dataclass(frozen=True)
class Straight:
    """A straight side, travelled with the figure on its left."""

    a: Point
    b: Point

    @property
    def start(self) -> Point:
        return self.a

    @property
    def end(self) -> Point:
        return self.b


@dataclass(frozen=True)
class Bow:
    """An arc of a circle: `start` and `sweep` are radians, counter-clockwise above 0."""

    centre: Point
    radius: float
    first: float
    sweep: float

    def at(self, share: float) -> Point:
        angle = self.first + share * self.sweep
        return self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle)

    @property
    def start(self) -> Point:
        return self.at(0.0)

    @property
    def end(self) -> Point:
        return self.at(1.0)


Side: TypeAlias = Straight | Bow


@dataclass(frozen=True)
class Ring:
    """A closed ring of sides, counter-clockwise; a whole circle is one bow of a full turn."""

    sides: tuple[Side, ...]

    @property
    def circle(self) -> Bow | None:
        """The one bow of a circle."""
        only = self.sides[0]
        return only if len(self.sides) == 1 and isinstance(only, Bow) else None

    def grown(self, by: float) -> Ring:
        """The parallel ring outside; only for convex rings without sharp corners."""
        made: list[Side] = []
        for side in self.sides:
            if isinstance(side, Bow):
                made.append(Bow(side.centre, side.radius + by, side.first, side.sweep))
            else:
                (ax, ay), (bx, by_) = side.a, side.b
                size = math.dist(side.a, side.b)
                off = (by * (by_ - ay) / size, -by * (bx - ax) / size)
                made.append(Straight((ax + off[0], ay + off[1]), (bx + off[0], by_ + off[1])))
        return Ring(tuple(made))

    @property
    def length(self) -> float:
        """Perimeter, mm."""
        return sum(
            abs(side.radius * side.sweep) if isinstance(side, Bow) else math.dist(side.a, side.b)
            for side in self.sides
        )  # fmt: skip


def circle(at: Point, diameter: float) -> Ring:
    return Ring((Bow(at, diameter / 2, 0.0, 2 * math.pi),))


def placed(point: Point, at: Point, turn: float) -> Point:
    """A point of a frame that is turned by `turn` degrees, then moved to `at`."""
    if turn == 0.0:
        return point[0] + at[0], point[1] + at[1]
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return at[0] + c * point[0] - s * point[1], at[1] + s * point[0] + c * point[1]


def rounded(corners: Sequence[Point], radii: Sequence[float]) -> Ring:
    """A polygon with each corner rounded by its radius; corners either way round."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))
    if area < 0:
        corners, radii = corners[::-1], radii[::-1]
    count = len(corners)
    bows: list[tuple[Point, Point, Bow | None]] = []
    for i in range(count):
        p, before, after, r = corners[i], corners[i - 1], corners[(i + 1) % count], radii[i]
        if r <= 0:
            bows.append((p, p, None))
            continue
        u, v = _unit(before, p), _unit(p, after)
        bend = math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
        back = r * math.tan(abs(bend) / 2)
        first = (p[0] - back * u[0], p[1] - back * u[1])
        last = (p[0] + back * v[0], p[1] + back * v[1])
        way = 1.0 if bend > 0 else -1.0
        middle = (first[0] - way * r * u[1], first[1] + way * r * u[0])
        bows.append((first, last, Bow(middle, r, math.atan2(first[1] - middle[1], first[0] - middle[0]), bend)))
    sides: list[Side] = []
    for i, (_, last, bow) in enumerate(bows):
        if bow is not None:
            sides.append(bow)
        following = bows[(i + 1) % count][0]
        if math.dist(last, following) > 1e-9:
            sides.append(Straight(last, following))
    return Ring(tuple(sides))


def _unit(a: Point, b: Point) -> Point:
    size = math.dist(a, b)
    return (b[0] - a[0]) / size, (b[1] - a[1]) / size


def ring_of(shape: dict[str, Any], at: Point = (0.0, 0.0), turn: float = 0.0) -> Ring:
    """The ring of a spec's shape, itself placed in a frame at `at` turned by `turn` degrees."""
    own_at = (number(shape.get("at", [0, 0])[0]), number(shape.get("at", [0, 0])[1]))
    own_turn = number(shape.get("turn", 0))

    def put(point: Point) -> Point:
        x, y = placed(placed(point, own_at, own_turn), at, turn)
        return grid(x), grid(y)

    if "circle" in shape:
        return circle(put((0.0, 0.0)), number(shape["circle"]))
    if "rectangle" in shape:
        w, h = (number(one) / 2 for one in shape["rectangle"])
        corners = [put(one) for one in ((-w, -h), (w, -h), (w, h), (-w, h))]
        return rounded(corners, [number(shape.get("corner_radius", 0))] * 4)
    if "slot" in shape:
        return slot(put((0.0, 0.0)), *(number(one) for one in shape["slot"]), own_turn + turn)
    corners = [put((number(one[0]), number(one[1]))) for one in shape["loop"]]
    return rounded(corners, [number(one[2]) if len(one) > 2 else 0.0 for one in shape["loop"]])


def slot(at: Point, length: float, width: float, turn: float) -> Ring:
    """A round-ended slot of an overall length."""
    r, lean = width / 2, math.radians(turn)
    half = length / 2 - r
    if half <= 0:
        return circle(at, width)
    u = (math.cos(lean), math.sin(lean))
    right, left = ((at[0] + s * half * u[0], at[1] + s * half * u[1]) for s in (1.0, -1.0))
    far, near = Bow(right, r, lean - math.pi / 2, math.pi), Bow(left, r, lean + math.pi / 2, math.pi)
    return Ring((far, Straight(far.end, near.start), near, Straight(near.end, far.start)))


def inside(ring: Ring, point: Point) -> bool:
    """Whether a point lies in a ring, by the angle under which the ring is seen from it."""
    bow = ring.circle
    if bow is not None:
        return math.dist(point, bow.centre) < bow.radius
    seen, corners = 0.0, []
    for side in ring.sides:
        corners += [side.at(i / 64) for i in range(64)] if isinstance(side, Bow) else [side.a]
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        u, v = (a[0] - point[0], a[1] - point[1]), (b[0] - point[0], b[1] - point[1])
        seen += math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
    return seen > math.pi


def lies_in(ring: Ring, centre: Point, radius: float) -> bool:
    """Whether a circle lies, whole, in a ring."""
    return inside(ring, centre) and min(to_side(side, centre) for side in ring.sides) >= radius


def to_side(side: Side, point: Point) -> float:
    """From a point to a side, mm."""
    if isinstance(side, Straight):
        (ax, ay), (bx, by) = side.a, side.b
        size = math.dist(side.a, side.b)
        u = ((bx - ax) / size, (by - ay) / size)
        share = min(size, max(0.0, (point[0] - ax) * u[0] + (point[1] - ay) * u[1]))
        return math.dist(point, (ax + share * u[0], ay + share * u[1]))
    angle = math.atan2(point[1] - side.centre[1], point[0] - side.centre[0]) - side.first
    angle = angle % math.tau if side.sweep > 0 else -((-angle) % math.tau)
    if abs(angle) <= abs(side.sweep):
        return abs(math.dist(point, side.centre) - side.radius)
    return min(math.dist(point, side.start), math.dist(point, side.end))
