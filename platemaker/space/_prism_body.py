"""A prism over a convex outline of lines and arcs, as the solver sees it."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

from platemaker.plane import Arc, Edge, Line, Point, Region
from platemaker.space._bodies import Bond, End, Support
from platemaker.space._frame import Frame
from platemaker.space._vectors import Vec3, negative, scale


class Bow(NamedTuple):
    """A convex arc of at most half a turn: centre, radius, and the unit directions of its ends from the centre."""

    centre: Point
    radius: float
    first: Point
    last: Point

    def covers(self, x: float, y: float, slack: float = 1e-12) -> bool:
        """Whether the direction (x, y) lies within the arc's sweep, or within `slack` (a sine) of it."""
        return (
            self.first[0] * y - self.first[1] * x >= -slack
            and x * self.last[1] - y * self.last[0] >= -slack
            and (self.first[0] + self.last[0]) * x + (self.first[1] + self.last[1]) * y >= -max(slack, 1e-9)
        )


def is_convex(region: Region) -> bool:
    """Whether a region has no holes, no hollow arcs and no inward corner (turns within 1e-9 count as straight)."""
    if region.holes:
        return False
    edges = region.outer.edges
    for edge, following in pairwise((*edges, edges[0])):
        if isinstance(edge, Arc) and not edge.ccw:
            return False
        (ax, ay), (bx, by) = edge.tangent(1.0), following.tangent(0.0)
        if ax * by - ay * bx < -1e-9:
            return False
    return True


def halves(arc: Arc) -> list[Arc]:
    """The arc in equal pieces of at most half a turn."""
    if abs(arc.sweep) <= math.pi + 1e-12:
        return [arc]
    middle = arc.point(0.5)
    return [
        Arc(arc.start, middle, arc.centre, arc.radius, arc.ccw, arc.tag),
        Arc(middle, arc.end, arc.centre, arc.radius, arc.ccw, arc.tag),
    ]


def bow(arc: Arc) -> Bow:
    """A counter-clockwise arc of at most half a turn as a Bow."""
    (x, y), r = arc.centre, arc.radius
    return Bow(
        arc.centre,
        r,
        ((arc.start[0] - x) / r, (arc.start[1] - y) / r),
        ((arc.end[0] - x) / r, (arc.end[1] - y) / r),
    )


def nearest_on_edge(edge: Edge, point: Point) -> Point:
    """The point of a line or arc nearest to `point`, in the plane."""
    if isinstance(edge, Line):
        (x, y), (x1, y1) = edge.start, edge.end
        dx, dy = x1 - x, y1 - y
        share = ((point[0] - x) * dx + (point[1] - y) * dy) / (dx * dx + dy * dy)
        share = min(1.0, max(0.0, share))
        return x + share * dx, y + share * dy
    dx, dy = point[0] - edge.centre[0], point[1] - edge.centre[1]
    size = math.hypot(dx, dy)
    if size > 0.0 and edge.covers(math.atan2(dy, dx)):
        return edge.centre[0] + dx / size * edge.radius, edge.centre[1] + dy / size * edge.radius
    return min(edge.start, edge.end, key=lambda end: math.dist(end, point))


class CapFace:
    """The top or bottom of a convex prism."""

    def __init__(self, body: PrismBody, height: float) -> None:
        self.body, self.height = body, height

    def project(self, point: Vec3) -> Vec3:
        """The face's point nearest to `point`."""
        x, y, _ = self.body.frame.to_local(point)
        if not self.body.holds(x, y):
            x, y = min(
                (nearest_on_edge(edge, (x, y)) for edge in self.body.edges), key=lambda near: math.dist(near, (x, y))
            )
        return self.body.frame.to_world((x, y, self.height))


class SideFace:
    """A flat side of a prism: a rectangle on a straight edge of its outline."""

    def __init__(self, edge: Line, frame: Frame, height: float) -> None:
        self.edge, self.frame, self.height = edge, frame, height

    def project(self, point: Vec3) -> Vec3:
        """The face's point nearest to `point`."""
        x, y, z = self.frame.to_local(point)
        u, v = nearest_on_edge(self.edge, (x, y))
        return self.frame.to_world((u, v, min(self.height, max(0.0, z))))


class PrismBody:
    """A prism over a convex outline, from z = 0 to `height` of its frame, mm."""

    def __init__(self, region: Region, frame: Frame, height: float) -> None:
        self.frame, self.height = frame, height
        self.z = frame.z_axis
        self.edges: list[Edge] = []
        for edge in region.outer.edges:
            self.edges += halves(edge) if isinstance(edge, Arc) else [edge]
        self.corners = [edge.start for edge in self.edges]
        self.bows = [bow(edge) for edge in self.edges if isinstance(edge, Arc)]
        self.sides = [(edge, self._normal(edge)) for edge in self.edges if isinstance(edge, Line)]
        self.bounds = x0, y0, x1, y1 = region.bounds
        self.centre = frame.to_world(((x0 + x1) / 2, (y0 + y1) / 2, height / 2))
        self.size = math.hypot(x1 - x0, y1 - y0, height) / 2

    @staticmethod
    def _normal(edge: Line) -> Point:
        x, y = edge.tangent(0.0)
        return y, -x

    def holds(self, x: float, y: float) -> bool:
        """Whether a point of the plane lies in the outline, the boundary included."""
        x0, y0, x1, y1 = self.bounds
        if not (x0 <= x <= x1 and y0 <= y <= y1):
            return False  # an outline without width would else hold its whole straight line
        for edge in self.edges:
            (x0, y0), (x1, y1) = edge.start, edge.end
            if (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) >= 0.0:
                continue
            if isinstance(edge, Line) or math.dist(edge.centre, (x, y)) > edge.radius:
                return False
        return True

    def outline_point(self, x: float, y: float) -> Point:
        """The outline's point that reaches farthest along (x, y)."""
        best, found = -math.inf, self.corners[0]
        for corner in self.corners:
            value = corner[0] * x + corner[1] * y
            if value > best:
                best, found = value, corner
        for arc in self.bows:
            if arc.covers(x, y):
                size = math.hypot(x, y)
                if size > 0.0:
                    value = arc.centre[0] * x + arc.centre[1] * y + arc.radius * size
                    if value > best:
                        best = value
                        found = (arc.centre[0] + arc.radius * x / size, arc.centre[1] + arc.radius * y / size)
        return found

    def support(self, d: Vec3) -> Vec3:
        """A point that reaches farthest along d."""
        x, y, z = self.frame.unturn(d)
        u, v = self.outline_point(x, y)
        return self.frame.to_world((u, v, self.height if z > 0.0 else 0.0))

    def features(self, d: Vec3, angle: float) -> list[Support]:
        """Caps, sides, edges and corners within `angle` of d."""
        x, y, z = self.frame.unturn(d)
        flat = math.hypot(x, y)
        found: list[Support] = []
        upper = self.height if z > 0.0 else 0.0
        if flat <= angle:
            normal = self.z if z > 0.0 else negative(self.z)
            cap = CapFace(self, upper)
            found.append(Support((End(self.frame.to_world((*self.corners[0], upper))),), ((normal, 1.0),), cap))
        upright: Bond = (self.z, 0.0)
        heights: list[tuple[float, ...]] = (
            [(upper,)] if abs(z) > angle else [(0.0, self.height), (0.0,), (self.height,)]
        )
        spread = 2.0 if flat <= angle else min(2.0, angle / flat)
        for edge, normal2 in self.sides:
            if math.hypot(x - flat * normal2[0], y - flat * normal2[1]) <= spread * flat + 1e-15:
                found += self._side_features(edge, normal2, heights, upright)
        for ends in self._end_rings(x, y, spread, heights):
            found.append(Support(ends, (upright,) if len(ends) == 2 else ()))
        return found

    def _side_features(
        self, edge: Line, normal: Point, heights: list[tuple[float, ...]], upright: Bond
    ) -> list[Support]:
        found: list[Support] = []
        tangent = self.frame.turn((-normal[1], normal[0], 0.0))
        world_normal = self.frame.turn((normal[0], normal[1], 0.0))
        for levels in heights:
            if len(levels) == 2:
                end = End(self.frame.to_world((*edge.start, 0.0)))
                found.append(Support((end,), ((world_normal, 1.0),), SideFace(edge, self.frame, self.height)))
            else:
                ends = (
                    End(self.frame.to_world((*edge.start, levels[0]))),
                    End(self.frame.to_world((*edge.end, levels[0]))),
                )
                found.append(Support(ends, ((tangent, 0.0),)))
        return found

    def _end_rings(self, x: float, y: float, spread: float, heights: list[tuple[float, ...]]) -> list[tuple[End, ...]]:
        """Corners and arcs that may be touched, each at the given heights."""
        flat = math.hypot(x, y)
        reach = max(c[0] * x + c[1] * y for c in self.corners)
        slack = spread * flat * self.size + 1e-12
        rings: list[tuple[End, ...]] = []
        for corner in self.corners:
            if corner[0] * x + corner[1] * y >= reach - slack:
                rings += [tuple(End(self.frame.to_world((*corner, level))) for level in levels) for levels in heights]
        for arc in self.bows:
            if flat == 0.0 or arc.covers(x / flat, y / flat, spread):
                first = scale(self.frame.x_axis, arc.radius)
                second = scale(self.frame.y_axis, arc.radius)
                for levels in heights:
                    rings.append(
                        tuple(End(self.frame.to_world((*arc.centre, level)), first, second) for level in levels)
                    )
        return rings

    def directions(self) -> list[Vec3]:
        """The axis and the normals of the flat sides."""
        return [self.z, *(self.frame.turn((normal[0], normal[1], 0.0)) for _, normal in self.sides)]
