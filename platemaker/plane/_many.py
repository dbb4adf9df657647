"""Walls among many shapes: only neighbours are looked at, so that the work grows little faster than their number."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from platemaker.plane._arrays import Complexes, Floats, Integers
from platemaker.plane._boxes import Sides, near_boxes
from platemaker.plane._distance import Nearest, round_of
from platemaker.plane._inside import nearest_of_all
from platemaker.plane._shapes import Circle, Loop, Point, Region
from platemaker.plane._table import TOUCH, Shape, edges_of, table_of, to_point
from platemaker.plane._wall import Filled, tag_of, wall, wall_between
from platemaker.plane._winding import winding


def neighbours(a: Sequence[Filled], b: Sequence[Filled], reach: float = 0.0) -> tuple[tuple[int, int], ...]:
    """Pairs (i, j) of a shape of `a` and one of `b` whose upright boxes are within `reach`, mm; only these can meet.

    >>> neighbours([Circle((0.0, 0.0), 2.0)], [Circle((5.0, 0.0), 2.0), Circle((3.0, 3.0), 2.0)])
    ((0, 1),)
    """
    i, j = near_boxes(_boxes(a), _boxes(b), reach)
    return tuple(zip(i.tolist(), j.tolist(), strict=True))


def closest_pairs(shapes: Sequence[Filled], limit: float) -> tuple[tuple[int, int, Nearest], ...]:
    """Every pair (i, j), i < j, whose wall is under `limit` mm, with the wall; in the order of the indices.

    >>> holes = [Circle((0.0, 0.0), 2.0), Circle((5.0, 0.0), 2.0), Circle((50.0, 0.0), 2.0)]
    >>> [(i, j, wall.distance) for i, j, wall in closest_pairs(holes, 3.0)]
    [(0, 1, 1.0)]
    """
    return tuple(_walls(shapes, *_neighbours(_boxes(shapes), max(limit, 0.0)), limit))


def walls_inside(holes: Sequence[Filled], outline: Region | Loop | Circle) -> tuple[Nearest, ...]:
    """`wall_between` of every hole and the outline that it must stay inside.

    >>> holes = [Circle((6.0, 0.0), 1.0), Circle((10.0, 0.0), 1.0)]
    >>> [wall.distance for wall in walls_inside(holes, Loop.rectangle(20.0, 10.0))]
    [3.0, -1.0]
    """
    circles = [round_of(hole) for hole in holes]
    centre = np.array([complex(*circle.centre) for circle in circles if circle is not None], dtype=complex)
    radius = np.array([circle.radius for circle in circles if circle is not None])
    table, edges = table_of(outline), edges_of(outline)
    on, apart, rows = nearest_of_all(table, centre)
    sign = np.where(winding(table, centre) != 0, 1.0, -1.0)
    with_way = apart > TOUCH  # a centre on the outline itself has no way to it
    at = centre + radius * (sign * (on - centre) / np.where(with_way, apart, 1.0))
    size = sign * apart - radius
    quick = iter(zip(with_way.tolist(), size.tolist(), at.tolist(), on.tolist(), rows.tolist(), strict=True))
    found = []
    for hole, circle in zip(holes, circles, strict=True):
        clear, distance, a, b, row = next(quick) if circle is not None else (False, 0.0, 0j, 0j, 0)
        if clear:
            way = Nearest(distance, to_point(a), to_point(b), tag_of(hole), edges[row].tag)
        else:
            way = wall_between(hole, outline)
        found.append(way)
    return tuple(found)


def nearest_to(points: Sequence[Point], shape: Shape) -> tuple[Nearest, ...]:
    """`nearest` from every point to the boundary of one shape.

    >>> [way.distance for way in nearest_to([(0.0, 0.0), (9.0, 0.0)], Loop.rectangle(20.0, 10.0))]
    [5.0, 1.0]
    """
    edges = edges_of(shape)
    on, apart, rows = nearest_of_all(table_of(shape), np.array([complex(*point) for point in points], dtype=complex))
    found = zip(points, on.tolist(), apart.tolist(), rows.tolist(), strict=True)
    return tuple(Nearest(size, point, to_point(at), "", edges[row].tag) for point, at, size, row in found)


def nearest_each(shapes: Sequence[Filled]) -> tuple[tuple[int, Nearest] | None, ...]:
    """For each shape the index of the shape nearest to it, and the wall between them; None for a lone shape.

    An overlap counts as nearer than any wall. Of equally near shapes the one of lower index is given.
    """
    best: list[tuple[int, Nearest] | None] = [None] * len(shapes)
    if len(shapes) < 2:
        return tuple(best)
    boxes = _boxes(shapes)
    x0, y0, x1, y1 = boxes
    reach = math.hypot(float(x1.max() - x0.min()), float(y1.max() - y0.min())) / len(shapes) ** 0.5
    wanted = np.ones(len(shapes), dtype=bool)
    while wanted.any():
        i, j = _neighbours(boxes, reach)
        asked = wanted[i] | wanted[j]
        for first, second, way in _walls(shapes, i[asked], j[asked], reach):
            _keep(best, first, second, way)
            _keep(best, second, first, way.swapped())
        wanted &= np.array([found is None for found in best])
        reach *= 2
    return tuple(best)


def _keep(best: list[tuple[int, Nearest] | None], of: int, other: int, way: Nearest) -> None:
    found = best[of]
    if found is None or (way.distance, other) < (found[1].distance, found[0]):
        best[of] = (other, way)


def _boxes(shapes: Sequence[Filled]) -> Sides:
    sides = np.array([(round_of(shape) or shape).bounds for shape in shapes], dtype=float).reshape(-1, 4)
    return list(sides.T)


def _neighbours(boxes: Sides, limit: float) -> tuple[Integers, Integers]:
    """Pairs i < j of boxes within `limit`, not below 0, of one another."""
    i, j = near_boxes(boxes, boxes, limit)
    once = i < j
    return i[once], j[once]


def _walls(shapes: Sequence[Filled], i: Integers, j: Integers, limit: float) -> Iterator[tuple[int, int, Nearest]]:
    """The walls under `limit` of the given pairs: circles all at once, other shapes one by one."""
    rounds = [round_of(shape) for shape in shapes]
    tags = [tag_of(shape) for shape in shapes]
    centre = np.array([complex(*c.centre) if c else 0j for c in rounds], dtype=complex)
    radius = np.array([c.radius if c else np.nan for c in rounds])
    wall_size, at_i, at_j = _circle_walls(centre, radius, i, j)
    for k in np.nonzero(np.isnan(wall_size) | (wall_size < limit))[0]:
        first, second = int(i[k]), int(j[k])
        if np.isnan(wall_size[k]):
            way = wall(shapes[first], shapes[second])
            if way.distance >= limit:
                continue
        else:
            way = Nearest(float(wall_size[k]), to_point(at_i[k]), to_point(at_j[k]), tags[first], tags[second])
        yield first, second, way


def _circle_walls(centre: Complexes, radius: Floats, i: Integers, j: Integers) -> tuple[Floats, Complexes, Complexes]:
    way = centre[j] - centre[i]
    apart = np.abs(way)
    way = np.where(apart > 0, way / np.where(apart > 0, apart, 1.0), 1 + 0j)
    return apart - radius[i] - radius[j], centre[i] + radius[i] * way, centre[j] - radius[j] * way
