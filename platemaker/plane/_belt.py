"""The path of a belt round pulleys: tangent lines and arcs, exact, for pulleys on either side of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property
from itertools import combinations

from platemaker.errors import GeometryError
from platemaker.plane._shapes import Arc, Line, Point
from platemaker.records import Record

NO_ARC = 1e-9
"""A wrap smaller than this, radians, is no arc."""


class Wheel(Record):
    """A pulley in the belt's plane: its centre, its radius at the pitch line, mm, and its rotation."""

    name: str
    centre: Point
    radius: float
    ccw: bool

    @property
    def sign(self) -> int:
        """1 counter-clockwise, -1 clockwise."""
        return 1 if self.ccw else -1


class BeltPath(Record):
    """A closed belt: `spans[i]` leaves `wheels[i]` for the next one; `wraps[i]`, radians, is round `wheels[i]`."""

    wheels: tuple[Wheel, ...]
    spans: tuple[Line, ...]
    wraps: tuple[float, ...]

    @property
    def length(self) -> float:
        """Length of the path, mm."""
        return sum(span.length for span in self.spans) + sum(self.arc_lengths)

    @property
    def arc_lengths(self) -> tuple[float, ...]:
        """Length of the belt on each pulley, mm."""
        return tuple(wrap * wheel.radius for wrap, wheel in zip(self.wraps, self.wheels, strict=True))

    @cached_property
    def edges(self) -> tuple[Line | Arc, ...]:
        """The path piece by piece: the arc on each pulley, then the span that leaves it."""
        found: list[Line | Arc] = []
        for place, wheel in enumerate(self.wheels):
            start, end = self.spans[place - 1].end, self.spans[place].start
            if self.wraps[place] > NO_ARC:
                found.append(Arc(start, end, wheel.centre, wheel.radius, wheel.ccw, wheel.name))
            found.append(self.spans[place])
        return tuple(found)


def belt_path(wheels: Sequence[Wheel], *, crossed: bool = False) -> BeltPath:
    """The path of a belt that passes the wheels in their order, each on the side that its rotation asks for.

    With `crossed` its spans may cross, as those of a crossed belt on two pulleys do. Raises GeometryError, which names
    the wheels: for fewer than two, for wheels that overlap, for a wheel that the belt does not reach (with the way to
    move it), for spans that cross, and for a span that runs through another wheel.
    """
    if len(wheels) < 2:
        message = f"a belt goes round two pulleys or more, met {len(wheels)}"
        raise GeometryError(message)
    _refuse_overlaps(wheels)
    following = [*wheels[1:], wheels[0]]
    spans = tuple(_span(one, other) for one, other in zip(wheels, following, strict=True))
    wraps = tuple(_wrap(spans[place - 1], spans[place], wheel) for place, wheel in enumerate(wheels))
    path = BeltPath(tuple(wheels), spans, wraps)
    _refuse_slack(path, crossed)
    _refuse_tangles(path, crossed)
    return path


def _refuse_overlaps(wheels: Sequence[Wheel]) -> None:
    for one, other in combinations(wheels, 2):
        gap = math.dist(one.centre, other.centre) - one.radius - other.radius
        if gap <= 0:
            message = (
                f"pulleys {one.name} and {other.name} overlap by {-gap:.2f} mm; their centres are to be more than "
                f"{one.radius + other.radius:.2f} mm apart"
            )
            raise GeometryError(message)


def _span(one: Wheel, other: Wheel) -> Line:
    """The tangent along which a belt runs from one wheel to another."""
    x, y = other.centre[0] - one.centre[0], other.centre[1] - one.centre[1]
    lean = math.asin((other.sign * other.radius - one.sign * one.radius) / math.hypot(x, y))
    along = math.atan2(y, x) - lean
    out = (math.sin(along), -math.cos(along))
    start, end = (
        (wheel.centre[0] + wheel.sign * wheel.radius * out[0], wheel.centre[1] + wheel.sign * wheel.radius * out[1])
        for wheel in (one, other)
    )
    return Line(start, end, f"{one.name} to {other.name}")


def _heading(span: Line) -> float:
    return math.atan2(span.end[1] - span.start[1], span.end[0] - span.start[0])


def _wrap(arriving: Line, leaving: Line, wheel: Wheel) -> float:
    turn = (wheel.sign * (_heading(leaving) - _heading(arriving))) % math.tau
    return 0.0 if math.tau - turn < NO_ARC else turn


def _refuse_slack(path: BeltPath, crossed: bool) -> None:
    """A belt that is not crossed turns once round; a wheel that it does not reach would add a turn."""
    if crossed:
        return
    turned = sum(wheel.sign * wrap for wheel, wrap in zip(path.wheels, path.wraps, strict=True)) / math.tau
    turns = round(turned)
    if abs(turns) == 1 and len({wheel.ccw for wheel in path.wheels}) == 1:
        return
    first = path.wheels[0].sign
    extra = turns - first
    if extra == 0:
        return
    side = 1 if extra > 0 else -1
    places = [place for place, wheel in enumerate(path.wheels) if wheel.sign == side]
    if not places or len(path.wheels) == 2:
        message = (
            f"no belt closes round {', '.join(wheel.name for wheel in path.wheels)} turning as stated unless it is "
            "crossed"
        )
        raise GeometryError(message)
    place = max(places, key=lambda one: path.wraps[one])
    wheel, negative = path.wheels[place], math.degrees(path.wraps[place]) - 360
    message = f"the belt does not reach {wheel.name}: its wrap would be {negative:.1f} degrees"
    short = _short_of(path, place)
    if short is not None:
        message += f"; move it {short[0]:.2f} mm or more along [{short[1][0]:.3f}, {short[1][1]:.3f}]"
    raise GeometryError(message)


def _short_of(path: BeltPath, place: int) -> tuple[float, Point] | None:
    """How far a wheel stands off the straight run between its neighbours, mm, and the way towards it."""
    wheel, before, after = path.wheels[place], path.wheels[place - 1], path.wheels[(place + 1) % len(path.wheels)]
    if before is after:
        return None
    run = _span(before, after)
    u = run.tangent(0.0)
    out = (wheel.sign * u[1], -wheel.sign * u[0])
    reach = [wheel.centre[axis] + wheel.radius * out[axis] - run.start[axis] for axis in (0, 1)]
    short = -(reach[0] * out[0] + reach[1] * out[1])
    return (short, out) if short > 0 else None


def _refuse_tangles(path: BeltPath, crossed: bool) -> None:
    for place, span in enumerate(path.spans):
        ends = {place, (place + 1) % len(path.wheels)}
        for number, wheel in enumerate(path.wheels):
            if number in ends:
                continue
            gap = distance_to(span, wheel.centre) - wheel.radius
            if gap < 0:
                message = (
                    f"the belt from {span.tag} runs {-gap:.2f} mm into {wheel.name}: set it off, or change the order"
                )
                raise GeometryError(message)
    for one, other in combinations(path.spans, 2):
        if not crossed and _cross(one, other):
            message = f"the belt crosses itself: {one.tag} over {other.tag}; change the order or the rotation"
            raise GeometryError(message)


def distance_to(span: Line, point: Point) -> float:
    """Least distance of a point from a span, mm."""
    (x0, y0), (u, v) = span.start, span.tangent(0.0)
    along = min(max((point[0] - x0) * u + (point[1] - y0) * v, 0.0), span.length)
    return math.dist(point, (x0 + along * u, y0 + along * v))


def _cross(one: Line, other: Line) -> bool:
    def side(line: Line, point: Point) -> float:
        (x0, y0), (x1, y1) = line.start, line.end
        return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)

    return side(one, other.start) * side(one, other.end) < 0 and side(other, one.start) * side(other, one.end) < 0
