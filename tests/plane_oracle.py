"""An independent oracle for the plane: school formulas over points, written without the package's own arithmetic.

Distances to lines and arcs point by point, inside and outside by counting the crossings of a ray, and random plates.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from platemaker.plane import Arc, Circle, Edge, Line, Loop, Region

Floats = NDArray[np.float64]


def distance_to_edge(edge: Edge, x: Floats, y: Floats) -> Floats:
    """Distance of each point from one piece, mm."""
    (ax, ay), (bx, by) = edge.start, edge.end
    if isinstance(edge, Line):
        dx, dy = bx - ax, by - ay
        t = np.clip(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0, 1)
        return np.hypot(x - ax - t * dx, y - ay - t * dy)
    on = _angle_on_arc(edge, np.arctan2(y - edge.centre[1], x - edge.centre[0]))
    rim = np.abs(np.hypot(x - edge.centre[0], y - edge.centre[1]) - edge.radius)
    return np.where(on, rim, np.minimum(np.hypot(x - ax, y - ay), np.hypot(x - bx, y - by)))


def _angle_on_arc(arc: Arc, angle: Floats) -> NDArray[np.bool_]:
    first, last = (arc.start, arc.end) if arc.ccw else (arc.end, arc.start)
    begin = math.atan2(first[1] - arc.centre[1], first[0] - arc.centre[0])
    length = (math.atan2(last[1] - arc.centre[1], last[0] - arc.centre[0]) - begin) % math.tau or math.tau
    return (angle - begin) % math.tau <= length


def distance_to_boundary(edges: Iterable[Edge], x: Floats, y: Floats) -> Floats:
    """Distance of each point from the nearest of the pieces, mm."""
    return np.min([distance_to_edge(edge, x, y) for edge in edges], axis=0)


def inside(edges: Iterable[Edge], x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Whether each point is inside closed loops: an odd number of crossings by a ray to the right.

    Points level with an end of a piece to 1e-12 are the caller's to avoid; random points are never there.
    """
    odd = np.zeros(np.shape(x), dtype=bool)
    for edge in edges:
        (ax, ay), (bx, by) = edge.start, edge.end
        if isinstance(edge, Line):
            if ay != by:
                across = (ay <= y) != (by <= y)
                odd ^= across & (ax + (y - ay) / (by - ay) * (bx - ax) > x)
            continue
        height = y - edge.centre[1]
        half = np.sqrt(np.maximum(edge.radius**2 - height**2, 0))
        for side in (-half, half):
            hit = (np.abs(height) < edge.radius) & _angle_on_arc(edge, np.arctan2(height, side))
            odd ^= hit & (edge.centre[0] + side > x)
    return odd


def signed_distance(edges: Sequence[Edge], x: Floats, y: Floats) -> Floats:
    """Distance from the boundary, mm: below 0 inside."""
    apart = distance_to_boundary(edges, x, y)
    return np.where(inside(edges, x, y), -apart, apart)


def probes(rng: random.Random, edges: Sequence[Edge], count: int = 300, near: float = 1e-5) -> tuple[Floats, Floats]:
    """Points to ask: spread over the box of the edges and beyond, and on both sides of each piece, `near` mm off it."""
    boxes = [edge.bounds for edge in edges]
    x0, y0 = min(b[0] for b in boxes) - 3, min(b[1] for b in boxes) - 3
    x1, y1 = max(b[2] for b in boxes) + 3, max(b[3] for b in boxes) + 3
    points = [(rng.uniform(x0, x1), rng.uniform(y0, y1)) for _ in range(count)]
    for edge in edges:
        for _ in range(3):
            share = rng.random()
            (x, y), (tx, ty) = edge.point(share), edge.tangent(share)
            points += [(x - near * ty, y + near * tx), (x + near * ty, y - near * tx)]
    return np.array([p[0] for p in points]), np.array([p[1] for p in points])


def random_loop(rng: random.Random, centre: tuple[float, float], size: float, tag: str = "") -> Loop:
    """A circle, slot, rectangle, rounded star or pie with a nearly full turn, about `centre`."""
    kind = rng.randrange(6)
    x, y = centre
    if kind == 0:
        return Loop.circle(centre, size * rng.uniform(0.4, 1), tag)
    if kind == 1:
        length = size * rng.uniform(1.2, 2)
        return Loop.slot(length, length * rng.uniform(0.2, 0.9), centre, rng.choice([0, 30, 45, 90, 101]), tag)
    if kind == 2:
        w, h = size * rng.uniform(0.5, 2), size * rng.uniform(0.5, 2)
        return Loop.rectangle(w, h, rng.choice([0.0, min(w, h) / 2, min(w, h) / 4]), centre, tag)
    if kind == 3:
        start, sweep = rng.uniform(0, math.tau), math.radians(rng.choice([359.9, 300, 180, 200, 90]))
        a = (x + size * math.cos(start), y + size * math.sin(start))
        b = (x + size * math.cos(start + sweep), y + size * math.sin(start + sweep))
        return Loop((Arc(a, b, centre, size, True, tag), Line(b, centre, tag), Line(centre, a, tag)))
    count = rng.randrange(3, 9)
    corners = []
    for k in range(count):
        r, angle = size * rng.uniform(0.35, 1), math.tau * (k + rng.uniform(-0.3, 0.3)) / count
        corners.append((x + r * math.cos(angle), y + r * math.sin(angle)))
    for radius in (size * rng.uniform(0, 0.2), size * 0.02, 0.0):
        try:
            return Loop.rounded(corners, radius, tag)
        except ValueError:
            continue
    raise AssertionError("a sharp polygon always fits")


def random_region(rng: random.Random, size: float = 20.0, tag: str = "outline") -> Region:
    """A random outline, half the time with one or two small holes that lie inside it."""
    outer = random_loop(rng, (rng.uniform(-5, 5), rng.uniform(-5, 5)), size, tag)
    holes: list[Loop] = []
    for _ in range(rng.choice([0, 0, 1, 2])):
        x, y = rng.uniform(-size, size), rng.uniform(-size, size)
        hole = random_loop(rng, (x, y), size * rng.uniform(0.05, 0.2), f"hole{len(holes)}")
        reach = max(math.dist((x, y), p) for edge in hole.edges for p in (edge.start, edge.end, edge.point(0.5)))
        spot = (np.array([x]), np.array([y]))
        clear = -signed_distance(outer.edges, *spot)[0]
        apart = min((distance_to_boundary(other.edges, *spot)[0] for other in holes), default=math.inf)
        if min(clear, apart) > 1.5 * reach and not any(inside(other.edges, *spot)[0] for other in holes):
            holes.append(hole)
    return Region.of(outer, holes)


def circle_distance(circle: Circle, x: Floats, y: Floats) -> Floats:
    """Distance from a circle's rim, mm: below 0 inside."""
    return np.hypot(x - circle.centre[0], y - circle.centre[1]) - circle.radius
