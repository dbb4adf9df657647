"""Stock: the blanks that parts are cut from, in the part's own frame (Z = 0 at the underside)."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TypeAlias

from platemaker.errors import GeometryError
from platemaker.parts._records._cuts import Vec3
from platemaker.plane import Arc, Line, Loop, Point, Region
from platemaker.records import Record
from platemaker.space import Box3


class StockBase(Record):
    """What every stock states of itself, in the part's frame."""

    @property
    def box(self) -> Box3:
        """The box round it: least X, Y, Z, then greatest, mm."""
        raise NotImplementedError

    @property
    def plan(self) -> Region:
        """What it covers, seen from above."""
        raise NotImplementedError

    @property
    def volume(self) -> float:
        """Volume, mm3."""
        raise NotImplementedError

    @property
    def size(self) -> Vec3:
        """Size over all (x, y, z), mm."""
        x0, y0, z0, x1, y1, z1 = self.box
        return x1 - x0, y1 - y0, z1 - z0

    @property
    def height(self) -> float:
        """Height over all, mm."""
        return self.size[2]


class PlateStock(StockBase):
    """A flat blank: outline in the XY plane, from Z = 0 up to `thickness`, mm.

    Rectangular bar and a turned boss standing on its end are plates too.
    """

    region: Region
    thickness: float

    @property
    def box(self) -> Box3:
        """The box round it: least X, Y, Z, then greatest, mm."""
        x0, y0, x1, y1 = self.region.bounds
        return x0, y0, 0.0, x1, y1, self.thickness

    @property
    def plan(self) -> Region:
        """Its outline."""
        return self.region

    @property
    def volume(self) -> float:
        """Volume, mm3."""
        return self.region.area * self.thickness


class RoundStock(StockBase):
    """Round bar of `diameter` and `length`, mm, lying along X: centred on X = Y = 0, its axis at Z = diameter / 2."""

    diameter: float
    length: float

    @property
    def box(self) -> Box3:
        """The box round it: least X, Y, Z, then greatest, mm."""
        half, radius = self.length / 2, self.diameter / 2
        return -half, -radius, 0.0, half, radius, self.diameter

    @property
    def plan(self) -> Region:
        """What it covers, seen from above: a rectangle."""
        return Region.of(Loop.rectangle(self.length, self.diameter))

    @property
    def volume(self) -> float:
        """Volume, mm3."""
        return math.pi * self.diameter**2 / 4 * self.length


class Bend(Record):
    """A bend of a strip: `angle` in degrees turned from flat, positive towards +Z; inside `radius`, mm."""

    angle: float
    radius: float


class StripStock(StockBase):
    """Flat bar bent about lines square to its length.

    `legs` are outside lengths to the sharp outside corners, mm: on the lower face at a bend towards +Z, on the upper
    face at one towards -Z. The first leg lies on Z = 0 along +X with its free end at X = 0, the bar's width centred on
    Y = 0.
    """

    width: float
    thickness: float
    legs: tuple[float, ...]
    bends: tuple[Bend, ...]

    def __post_init__(self) -> None:
        for number, leg in enumerate(self.legs):
            taken = sum(self.setback(i) for i in (number - 1, number) if 0 <= i < len(self.bends))
            if leg - taken <= 0:
                message = f"leg {number + 1} of {leg:g} mm is shorter than its bends need, {taken:g} mm"
                raise GeometryError(message)

    @property
    def box(self) -> Box3:
        """The box round it as it stands bent: least X, Y, Z, then greatest, mm."""
        x0, z0, x1, z1 = self.profile.bounds
        return x0, -self.width / 2, z0, x1, self.width / 2, z1

    @property
    def plan(self) -> Region:
        """What it covers as it stands bent, seen from above: a rectangle."""
        x0, _, x1, _ = self.profile.bounds
        return Region.of(Loop.rectangle(x1 - x0, self.width, centre=((x0 + x1) / 2, 0.0)))

    def setback(self, bend: int) -> float:
        """From the sharp outside corner to where bend number `bend` (from 0) starts, mm: (R + t) tan(angle / 2)."""
        it = self.bends[bend]
        return (it.radius + self.thickness) * math.tan(math.radians(abs(it.angle)) / 2)

    def _short(self, bend: int) -> float:
        """How much nearer the lower face's sharp corner at a bend lies than the outside one, mm; 0 at a free end."""
        if not 0 <= bend < len(self.bends) or self.bends[bend].angle > 0:
            return 0.0
        return self.thickness * math.tan(math.radians(-self.bends[bend].angle) / 2)

    def flat_of(self, leg: int) -> tuple[float, float]:
        """Where the straight part of leg number `leg` (from 0) begins and ends along it, mm."""
        first = self.setback(leg - 1) if leg else 0.0
        return first, self.legs[leg] - (self.setback(leg) if leg < len(self.bends) else 0.0)

    @cached_property
    def corners(self) -> tuple[Point, ...]:
        """Sharp corners of the lower face's line in the XZ plane, from the first free end to the last."""
        points = [(0.0, 0.0)]
        for number, (leg, u) in enumerate(zip(self.legs, self.directions, strict=True)):
            length = leg - self._short(number - 1) - self._short(number)
            points.append(_shift(points[-1], u, length))
        return tuple(points)

    @cached_property
    def directions(self) -> tuple[Point, ...]:
        """Unit direction of each leg in the XZ plane."""
        angles = [0.0]
        for bend in self.bends:
            angles.append(angles[-1] + math.radians(bend.angle))
        return tuple((math.cos(angle), math.sin(angle)) for angle in angles)

    @cached_property
    def profile(self) -> Region:
        """The bent bar seen along Y: a region in (X, Z), exact arcs at the bends."""
        lower: list[Line | Arc] = []
        upper: list[Line | Arc] = []
        at = self.corners[0]
        for number, u in enumerate(self.directions):
            n = (-u[1], u[0])
            end = self.corners[number + 1]
            if number < len(self.bends):
                back = self.setback(number) - self._short(number)
                end = (end[0] - back * u[0], end[1] - back * u[1])
            lower.append(Line(at, end))
            upper.append(Line(_shift(at, n, self.thickness), _shift(end, n, self.thickness)))
            if number < len(self.bends):
                at = self._bend_arcs(number, end, n, lower, upper)
        first, last = lower[0], lower[-1]
        edges = [
            *lower,
            Line(last.end, upper[-1].end),
            *(edge.reversed() for edge in reversed(upper)),
            Line(upper[0].start, first.start),
        ]
        return Region.of(Loop(tuple(edges)))

    def _bend_arcs(
        self, number: int, start: Point, n: Point, lower: list[Line | Arc], upper: list[Line | Arc]
    ) -> Point:
        bend, t = self.bends[number], self.thickness
        ccw = bend.angle > 0
        reach = bend.radius + t if ccw else -bend.radius
        centre = _shift(start, n, reach)
        v = self.directions[number + 1]
        m = (-v[1], v[0])
        end = _shift(centre, m, -reach)
        low, up = (bend.radius + t, bend.radius) if ccw else (bend.radius, bend.radius + t)
        lower.append(Arc(start, end, centre, low, ccw))
        upper.append(Arc(_shift(start, n, t), _shift(end, m, t), centre, up, ccw))
        return end

    def leg_point(self, leg: int, along: float, across: float) -> tuple[Vec3, Vec3]:
        """Entry on the bottom face and direction into the bar for a hole in leg number `leg` (from 0).

        `along` runs from the leg's beginning (free end, or sharp outside corner of the bend before it), mm.
        """
        u = self.directions[leg]
        x, z = _shift(self.corners[leg], u, along - self._short(leg - 1))
        return (x, across, z), (-u[1], 0.0, u[0])

    def along_leg(self, leg: int, point: Vec3) -> float:
        """How far along leg number `leg` (from 0) a point lies, mm, measured as `leg_point` does."""
        (x, z), u = self.corners[leg], self.directions[leg]
        return (point[0] - x) * u[0] + (point[2] - z) * u[1] + self._short(leg - 1)

    @property
    def volume(self) -> float:
        """Volume of the bent bar, mm3."""
        return self.profile.area * self.width


Stock: TypeAlias = PlateStock | RoundStock | StripStock


def _shift(p: Point, n: Point, d: float) -> Point:
    return p[0] + d * n[0], p[1] + d * n[1]
