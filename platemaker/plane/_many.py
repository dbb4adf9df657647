"""Walls among many shapes: only neighbours are looked at, so that the work grows little faster than their number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from platemaker.plane._distance import Nearest, round_of
from platemaker.plane._inside import nearest_of_all, winding
from platemaker.plane._shapes import Circle, Loop, Region
from platemaker.plane._table import TOUCH, Complexes, Floats, Integers, edges_of, table_of, to_point
from platemaker.plane._wall import Filled, wall, wall_between


def closest_pairs(shapes: Sequence[Filled], limit: float) -> tuple[tuple[int, int, Nearest], ...]:
    """Every pair (i, j), i < j, whose wall is under `limit` mm, with the wall; in the order of the indices.

    >>> holes = [Circle((0.0, 0.0), 2.0), Circle((5.0, 0.0), 2.0), Circle((50.0, 0.0), 2.0)]
    >>> [(i, j, wall.distance) for i, j, wall in closest_pairs(holes, 3.0)]
    [(0, 1, 1.0)]
    """
    return tuple(_walls(shapes, *_neighbours(_boxes(shapes), max(limit, 0.0)), limit))


def nearest_each(shapes: Sequence[Filled]) -> tuple[tuple[int, Nearest] | None, ...]:
    """For each shape the index of the shape nearest to it, and the wall between them; None for a lone shape.

    An overlap counts as nearer than any wall. Of equally near shapes the one of lower index is given.
    """
    best: list[tuple[int, Nearest] | None] = [None] * len(shapes)
    if len(shapes) < 2:
        return tuple(best)
    boxes = _boxes(shapes)
    width, height = np.ptp(boxes[[0, 2]]), np.ptp(boxes[[1, 3]])
    reach = float(np.hypot(width, height)) / len(shapes) ** 0.5
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


def walls_inside(shapes: Sequence[Filled], outline: Region | Loop) -> tuple[Nearest, ...]:
    """The wall of each shape to an outline that it should stay inside, as `wall_between` has it, circles in one go."""
    rounds = [round_of(shape) for shape in shapes]
    found = [None if circle else wall_between(shape, outline) for circle, shape in zip(rounds, shapes, strict=True)]
    circles = [circle for circle in rounds if circle is not None]
    table, edges = table_of(outline), edges_of(outline)
    centres = np.array([complex(*circle.centre) for circle in circles], dtype=complex)
    if not len(centres):
        return tuple(way for way in found if way is not None)
    places, apart, rows = nearest_of_all(table, centres)
    inside = winding(table, centres) != 0
    ways = iter(zip(circles, centres, places, apart, rows, inside, strict=True))
    made = []
    for way in found:
        if way is not None:
            made.append(way)
            continue
        circle, centre, place, gap, row, within = next(ways)
        if gap <= TOUCH:
            made.append(wall_between(circle, outline))
            continue
        sign = 1.0 if within else -1.0
        at = centre + circle.radius * sign * (place - centre) / gap
        made.append(Nearest(float(sign * gap - circle.radius), to_point(at), to_point(place), "", edges[int(row)].tag))
    return tuple(made)


def _keep(best: list[tuple[int, Nearest] | None], of: int, other: int, way: Nearest) -> None:
    found = best[of]
    if found is None or (way.distance, other) < (found[1].distance, found[0]):
        best[of] = (other, way)


def _boxes(shapes: Sequence[Filled]) -> Floats:
    """Rows x_min, y_min, x_max, y_max; a column a shape."""
    sides = []
    for shape in shapes:
        circle = round_of(shape)
        if circle is not None:
            (x, y), r = circle.centre, circle.radius
            sides.append((x - r, y - r, x + r, y + r))
        else:
            boxes = [edge.bounds for edge in edges_of(shape)]
            sides.append(
                (min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))
            )
    return np.array(sides).reshape(-1, 4).T


def _neighbours(boxes: Floats, limit: float) -> tuple[Integers, Integers]:
    """Pairs i < j of boxes within `limit`, not below 0, of one another.

    The plane is laid out in strips as high as an ordinary box and the limit; within its strips each box is paired
    with those that begin before it ends.
    """
    x0, y0, x1, y1 = boxes
    tall = y1 - y0 + limit
    strip = float(np.sort(tall)[len(tall) // 2]) if len(tall) else 1.0
    strip = max(strip, float(tall.max(initial=0.0)) / 64, 1e-6)
    low, high = np.floor((y0 - limit / 2) / strip).astype(np.intp), np.floor((y1 + limit / 2) / strip).astype(np.intp)
    owner = np.repeat(np.arange(len(x0)), high - low + 1)
    first = np.repeat(np.cumsum(high - low + 1) - (high - low + 1), high - low + 1)
    row = low[owner] + np.arange(len(owner)) - first
    order = np.lexsort((x0[owner], row))
    owner, row = owner[order], row[order]
    # One sorted key for all strips: rank of the strip, then x. Strips are set far enough apart not to mix.
    far = float(x1.max(initial=0.0) - x0.min(initial=0.0)) + 2 * limit + 1.0
    key = row * far + x0[owner]
    ends = np.searchsorted(key, row * far + x1[owner] + limit, side="right")
    counts = np.maximum(ends - np.arange(len(owner)) - 1, 0)
    i = np.repeat(np.arange(len(owner)), counts)
    j = i + 1 + np.arange(len(i)) - np.repeat(np.cumsum(counts) - counts, counts)
    i, j = owner[i], owner[j]
    near = (y0[i] <= y1[j] + limit) & (y0[j] <= y1[i] + limit)
    i, j = np.minimum(i[near], j[near]), np.maximum(i[near], j[near])
    return np.divmod(np.unique(i * len(x0) + j), max(1, len(x0)))


def _walls(shapes: Sequence[Filled], i: Integers, j: Integers, limit: float) -> Iterator[tuple[int, int, Nearest]]:
    """The walls under `limit` of the given pairs: circles all at once, other shapes one by one."""
    rounds = [round_of(shape) for shape in shapes]
    tags = ["" if isinstance(shape, Circle) else edges_of(shape)[0].tag for shape in shapes]
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
