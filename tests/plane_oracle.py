"""An independent oracle for the plane: school formulas over points, written without the package's own arithmetic.

Distances to lines and arcs point by point, inside and outside by counting the crossings of a ray, and random plates.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from platemaker.plane import Arc, Circle, Edge, Line, Loop, Region, Spared

Floats = NDArray[np.float64]
UNJUDGED = 2e-7
"""mm: points nearer to a boundary are not judged, for curves within TOUCH (1e-8) of one another may be taken as one."""
CHORDS = 360
"""Chords that a whole turn of a dense polygon has."""


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
    """Whether each point is inside closed loops: an odd number of crossings by a ray.

    The ray runs in a direction that no drawing uses, for points level with an end of a piece would be counted twice.
    """
    c, s = math.cos(0.7318), math.sin(0.7318)
    x, y = c * x - s * y, s * x + c * y
    odd = np.zeros(np.shape(x), dtype=bool)
    for edge in edges:
        (ax, ay), (bx, by) = ((c * p[0] - s * p[1], s * p[0] + c * p[1]) for p in (edge.start, edge.end))
        if isinstance(edge, Line):
            across = (ay <= y) != (by <= y)
            odd ^= across & (ax + (y - ay) / (by - ay) * (bx - ax) > x)
            continue
        u, v = edge.centre
        u, v = c * u - s * v, s * u + c * v
        half = np.sqrt(np.maximum(edge.radius**2 - (y - v) ** 2, 0))
        for side in (-half, half):
            on = _angle_on_arc(edge, np.arctan2(y - v, side) - 0.7318)
            odd ^= (np.abs(y - v) < edge.radius) & on & (u + side > x)
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


def agree(
    rng: random.Random,
    result: Sequence[Region],
    sources: Sequence[Edge],
    wanted: Callable[..., Floats],
    unjudged: float = UNJUDGED,
) -> None:
    """Every probe lies in the result exactly when `wanted` is below 0 there."""
    edges = [edge for region in result for edge in region.edges]
    x, y = probes(rng, [*edges, *sources], count=150)
    got = inside(edges, x, y) if edges else np.zeros(len(x), dtype=bool)
    size = wanted(x, y)
    judged = np.abs(size) > unjudged
    if edges:
        judged &= distance_to_boundary(edges, x, y) > unjudged
    wrong = judged & (got != (size < 0))
    assert not wrong.any(), list(zip(x[wrong], y[wrong], size[wrong], strict=True))[:3]
    for region in result:
        assert region.outer.area > 0
        assert all(hole.area < 0 for hole in region.holes)


def dense_polygon(region: Region) -> Polygon:
    """The region with its arcs as chords."""
    return Polygon(_corners(region.outer), [_corners(hole) for hole in region.holes])


def _corners(loop: Loop) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for edge in loop.edges:
        count = math.ceil(abs(edge.sweep) / math.tau * CHORDS) if isinstance(edge, Arc) else 1
        found += [edge.point(k / count) for k in range(count)]
    return found


def hidden_by_chords(edges: Iterable[Edge]) -> float:
    """Area that the chords of a dense polygon may hide, mm2."""
    arcs = [edge for edge in edges if isinstance(edge, Arc)]
    return sum(arc.length * arc.radius * (1 - math.cos(math.pi / CHORDS)) for arc in arcs) + 1e-6


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


def random_plate(rng: random.Random) -> tuple[Region, list[Spared], float, float]:
    """Bounds, spared shapes, a cutter's radius and a land; some shapes coincide, touch or cross the outline."""
    bounds = random_region(rng, 40.0)
    cutter = rng.choice([1.0, 2.0, 3.0, 4.0, 6.35])
    spared: list[Spared] = []
    for k in range(rng.choice([0, 1, 3, 6, 12])):
        x, y, wall = rng.uniform(-40, 40), rng.uniform(-40, 40), rng.choice([0.0, 1.0, 2.5, 5.0])
        kind = rng.randrange(8)
        shape: Circle | Loop | Region | Edge = Circle((x, y), rng.choice([1.0, 2.0, 4.5]))
        if kind == 0:
            shape = random_loop(rng, (x, y), 6.0)
        elif kind == 1:
            shape = Line((x, y), (x + rng.uniform(1, 10), y))
        elif kind == 2 and spared and isinstance(spared[-1].shape, Circle):
            # Exactly one cutter's width, or nothing, between the two walls.
            last, (u, v) = spared[-1], rng.choice([(1.0, 0.0), (0.6, 0.8), (0.0, 1.0)])
            apart = last.shape.radius + last.wall + 2.0 + wall + rng.choice([2 * cutter, 0.0])
            shape = Circle((last.shape.centre[0] + apart * u, last.shape.centre[1] + apart * v), 2.0)
        elif kind == 3 and spared:
            shape = spared[-1].shape
        elif kind == 4:
            edge = rng.choice(bounds.edges)
            shape = Circle(edge.start, 2.0)
        spared.append(Spared(f"spared{k}", shape, wall))
    return bounds, spared, cutter, rng.choice([0.0, 1.0, 3.0])


def edges_round(shape: Circle | Loop | Region | Edge) -> tuple[Edge, ...]:
    """The boundary pieces of a spared shape."""
    if isinstance(shape, Circle):
        return Loop.circle(shape.centre, shape.radius).edges
    return (shape,) if isinstance(shape, Line | Arc) else shape.edges


def room(bounds: Region, spared: Sequence[Spared], land: float, x: Floats, y: Floats) -> Floats:
    """How far each point is inside all limits, mm: its least distance from a land or wall, below 0 beyond one."""
    least = -signed_distance(bounds.edges, x, y) - land
    for item in spared:
        edges = edges_round(item.shape)
        alone = isinstance(item.shape, Line | Arc)
        apart = distance_to_boundary(edges, x, y) if alone else signed_distance(edges, x, y)
        least = np.minimum(least, apart - item.wall)
    return least


def lattice_region(rng: random.Random) -> Region:
    """A figure with whole-number sizes on whole-number places: neighbours share sides, corners and tangents."""
    x, y = float(rng.randrange(-4, 5)), float(rng.randrange(-4, 5))
    kind = rng.randrange(5)
    if kind == 0:
        radius = rng.choice([1.0, 2.0, 3.0, 5.0])
        holes = [Loop.circle((x, y), rng.choice([1.0, 2.0]))] if radius >= 3 and rng.random() < 0.5 else []
        return Region.of(Loop.circle((x, y), radius), holes)
    if kind == 1:
        return Region.of(Loop.rectangle(rng.choice([2, 4, 6, 8]), rng.choice([2, 4, 6]), 0, (x, y)))
    if kind == 2:
        return Region.of(Loop.rectangle(rng.choice([4, 6, 8]), rng.choice([4, 6]), rng.choice([1, 2]), (x, y)))
    if kind == 3:
        return Region.of(Loop.slot(rng.choice([4, 6, 8]), rng.choice([2, 4]), (x, y), rng.choice([0, 45, 90])))
    return Region.of(Loop.rounded([(x, y), (x + 3, y), (x, y + 4)], rng.choice([0, 0, 1])))
