"""What lies of bores inside a blank: their surfaces as straight lines, cut to the blank, and how far these lie apart.

A cylinder's and a cone's sides are runs of straight lines, and a flat end is a run of chords. A line's pieces inside a
prism are exact: it meets planes and round walls at roots of linear and quadratic equations. So the distance of what is
left of a bore from another figure is the least along its run of lines.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial
from itertools import product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from platemaker.plane import Arc, Line
from platemaker.records import Record
from platemaker.space._figures import Cone, Cylinder, Prism, Segment
from platemaker.space._flare import AnyFigure
from platemaker.space._inside import Numbers, depth, local
from platemaker.space._search import least_along, least_of_many
from platemaker.space._separation import FAR, Separation, is_empty, separation
from platemaker.space._vectors import Vec3, perpendiculars

INSIDE = 1e-7
"""A point less far outside a blank, mm, counts as on its surface."""
SHORT = 1e-8
"""Pieces of lines shorter than this, mm, are left out."""
LINES = 72
"""Lines of a run that are looked at first: a step of 5 degrees of a round surface."""
ZOOM, STEPS, WINDOWS = 9, 26, 4
"""Two runs: grids of ZOOM x ZOOM lines, narrowed to a third STEPS times, about the WINDOWS nearest pairs."""
MEET = 1e-7
"""Surfaces that come nearer than this, mm, meet."""

Round: TypeAlias = Cylinder | Cone
Rows: TypeAlias = NDArray[np.intp]
Pieces: TypeAlias = tuple[Numbers, Numbers, Rows]
Ways: TypeAlias = tuple[Numbers, Numbers, Numbers]
Lines: TypeAlias = Callable[[Numbers], tuple[Numbers, Numbers]]


class Run(Record):
    """A surface as a run of straight lines: `lines` gives their ends, (n, 3) each, for places from `low` to `high`."""

    low: float
    high: float
    lines: Lines


def separation_within(a: AnyFigure, b: AnyFigure, blank: Prism) -> Separation:
    """Separation of what lies of two figures inside a blank, mm: see `separation`.

    Cylinders and cones may reach out of the blank; prisms and flares lie inside it. Infinite where nothing of one is
    left. Where the two overlap inside the blank, the depth is that of the whole figures.
    """
    found = separation(a, b)
    if _is_inside(found, blank):
        return found
    if isinstance(a, Cylinder | Cone):
        inside = _between_runs(a, b, blank) if isinstance(b, Cylinder | Cone) else least_within(a, b, blank)
    elif isinstance(b, Cylinder | Cone):
        inside = least_within(b, a, blank).swapped
    else:
        return found
    return found if inside.distance <= MEET else inside


def _is_inside(found: Separation, blank: Prism) -> bool:
    if not math.isfinite(found.distance):
        return True
    points = np.array([found.point_a, found.point_b])
    if found.distance <= 0.0:
        return bool((depth(blank, np.vstack([points, points.mean(axis=0)])) >= -INSIDE).any())
    return bool((depth(blank, points) >= -INSIDE).all())


def least_within(figure: Round, other: AnyFigure, blank: Prism) -> Separation:
    """Separation of what lies of a bore inside a blank from a whole figure, mm; 0 or less where they meet."""
    best = FAR
    for run in runs_of(figure):

        def measure(place: float, run: Run = run) -> Separation:
            pieces = _pieces_at(run, np.array([place]), blank)
            return min((separation(piece, other) for piece in _segments(*pieces)), key=_distance, default=FAR)

        best = min(best, least_along(measure, run.low, run.high, LINES), key=_distance)
    return best


def _distance(found: Separation) -> float:
    return found.distance


def _segments(starts: Numbers, ends: Numbers) -> Iterator[Segment]:
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        yield Segment(tuple(start), tuple(end))


def runs_of(figure: Round) -> Iterator[Run]:
    """The surface of a cylinder or cone: its side, and its flat ends."""
    if is_empty(figure):
        return
    axis = np.array(figure.axis)
    across = [np.array(way) for way in perpendiculars(figure.axis)]
    ends = [np.array(figure.start), np.array(figure.end)]
    radii, normals = [0.0, 0.0], [axis, axis]
    if isinstance(figure, Cylinder):
        radii = [figure.radius, figure.radius]
        given = (figure.start_normal, figure.end_normal)
        normals = [axis if normal is None else np.array(normal) for normal in given]
    else:
        radii = [figure.radius_start, figure.radius_end]

    def rim(end: int, angles: Numbers) -> Numbers:
        ring: Numbers = radii[end] * (np.outer(np.cos(angles), across[0]) + np.outer(np.sin(angles), across[1]))
        lift = (ring @ normals[end]) / (axis @ normals[end])
        drawn: Numbers = ends[end] + ring - lift[:, None] * axis
        return drawn

    def chords(end: int, angles: Numbers) -> tuple[Numbers, Numbers]:
        return rim(end, angles), rim(end, -angles)

    yield Run(0.0, math.tau, lambda angles: (rim(0, angles), rim(1, angles)))
    for end in (0, 1):
        if radii[end] > 0.0:
            yield Run(0.0, math.pi, partial(chords, end))


def _pieces_at(run: Run, places: Numbers, blank: Prism) -> tuple[Numbers, Numbers]:
    starts, ends, _ = pieces_in(blank, *run.lines(places))
    return starts, ends


def pieces_in(blank: Prism, starts: Numbers, ends: Numbers) -> Pieces:
    """The pieces of lines that lie inside a prism: their starts and ends (m, 3), and the row of the line of each."""
    shares = _crossings(blank, np.column_stack(local(blank.frame, starts)), np.column_stack(local(blank.frame, ends)))
    low, high = shares[:, :-1], shares[:, 1:]
    way = ends - starts
    rows, columns = np.nonzero((high - low) * np.linalg.norm(way, axis=1)[:, None] > SHORT)
    low, high = low[rows, columns], high[rows, columns]
    middles = starts[rows] + ((low + high) / 2)[:, None] * way[rows]
    kept = depth(blank, middles) > 0.0 if len(rows) else np.zeros(0, dtype=bool)
    rows, low, high = _merged(rows[kept], low[kept], high[kept])
    return starts[rows] + low[:, None] * way[rows], starts[rows] + high[:, None] * way[rows], rows


def _merged(rows: Rows, low: Numbers, high: Numbers) -> tuple[Rows, Numbers, Numbers]:
    """Pieces of one line that follow on each other, as one."""
    fresh = np.ones(len(rows), dtype=bool)
    fresh[1:] = (rows[1:] != rows[:-1]) | (low[1:] > high[:-1])
    return rows[fresh], low[fresh], high[np.roll(fresh, -1)]


def _crossings(blank: Prism, starts: Numbers, ends: Numbers) -> Numbers:
    """Where lines meet the walls of a prism, given in its frame: shares of their lengths in rising order, 0 and 1 too.

    A place that a line does not meet counts as 1: it makes no piece.
    """
    way = ends - starts
    columns = [np.zeros(len(starts)), np.ones(len(starts))]
    columns += [_ratio(level - starts[:, 2], way[:, 2]) for level in (0.0, blank.height)]
    for edge in blank.region.edges:
        columns += _edge_crossings(edge, starts, way)
    shares = np.nan_to_num(np.column_stack(columns), nan=1.0, posinf=1.0, neginf=0.0)
    return np.sort(np.clip(shares, 0.0, 1.0), axis=1)


def _edge_crossings(edge: Line | Arc, starts: Numbers, way: Numbers) -> list[Numbers]:
    """Where lines meet the whole straight line or circle of an edge, seen along the prism."""
    if isinstance(edge, Line):
        ux, uy = edge.tangent(0.0)
        off = (edge.start[0] - starts[:, 0]) * uy - (edge.start[1] - starts[:, 1]) * ux
        return [_ratio(off, way[:, 0] * uy - way[:, 1] * ux)]
    x, y = starts[:, 0] - edge.centre[0], starts[:, 1] - edge.centre[1]
    a = way[:, 0] ** 2 + way[:, 1] ** 2
    b = x * way[:, 0] + y * way[:, 1]
    root = np.sqrt(np.maximum(0.0, b * b - a * (x * x + y * y - edge.radius**2)))
    return [_ratio(-b - root, a), _ratio(-b + root, a)]


def _ratio(part: Numbers, whole: Numbers) -> Numbers:
    level = np.abs(whole) < 1e-14
    ratio: Numbers = np.where(level, np.nan, part / np.where(level, 1.0, whole))
    return ratio


def least_to(figure: Round, blank: Prism, distances: Callable[[Numbers, Numbers], Ways]) -> Separation:
    """The least of a measure of lines over what lies of a bore inside a blank, mm; infinite where nothing does.

    `distances` gives for lines from starts to ends (n, 3) their distances from something, and the points of each.
    """
    best = FAR
    for run in runs_of(figure):

        def measure(places: Numbers, run: Run = run) -> Ways:
            starts, ends, rows = pieces_in(blank, *run.lines(places))
            apart, near, far = distances(starts, ends)
            order = np.argsort(apart, kind="stable")[::-1]  # of several pieces of one line the nearest is written last
            values = np.full(len(places), math.inf)
            points = np.zeros((2, len(places), 3))
            values[rows[order]], points[0][rows[order]], points[1][rows[order]] = apart[order], near[order], far[order]
            return values, points[0], points[1]

        distance, near, far = least_of_many(measure, run.low, run.high, LINES)
        if distance < best.distance:
            best = Separation(distance, _vec(near), _vec(far))
    return best


def _vec(point: Numbers) -> Vec3:
    x, y, z = point.tolist()
    return x, y, z


def _between_runs(a: Round, b: Round, blank: Prism) -> Separation:
    """Separation of what lies of two bores inside a blank; 0 where they meet."""
    best = FAR
    for one, other in product(runs_of(a), runs_of(b)):
        places = np.linspace(one.low, one.high, LINES + 1), np.linspace(other.low, other.high, LINES + 1)
        first, second = pieces_in(blank, *one.lines(places[0])), pieces_in(blank, *other.lines(places[1]))
        if _holds(b, first) or _holds(a, second):
            return Separation(0.0, a.start, b.start)
        if not len(first[2]) or not len(second[2]):
            continue
        apart, _, _ = line_distances(first[0], first[1], second[0], second[1])
        for i, j in _low_places(apart, first[2], second[2]):
            best = min(best, _zoomed(one, other, blank, (places[0][i], places[1][j])), key=_distance)
    return best


def _holds(figure: Round, pieces: Pieces) -> bool:
    middles = (pieces[0] + pieces[1]) / 2
    return bool(len(middles) and (depth(figure, middles) > MEET).any())


def _low_places(apart: Numbers, rows: Rows, columns: Rows) -> list[tuple[int, int]]:
    """The nearest pairs of lines, no two of them neighbours."""
    found: list[tuple[int, int]] = []
    for flat in np.argsort(apart, axis=None, kind="stable")[: 40 * WINDOWS]:
        k, m = divmod(int(flat), apart.shape[1])
        place = int(rows[k]), int(columns[m])
        if all(max(abs(place[0] - i), abs(place[1] - j)) > 1 for i, j in found):
            found.append(place)
        if len(found) == WINDOWS:
            break
    return found


def _zoomed(one: Run, other: Run, blank: Prism, at: tuple[float, float]) -> Separation:
    half = [(run.high - run.low) / LINES for run in (one, other)]
    centre, best = list(at), FAR
    for _ in range(STEPS):
        grids = [
            np.clip(np.linspace(c - h, c + h, ZOOM), run.low, run.high)
            for c, h, run in zip(centre, half, (one, other), strict=True)
        ]
        first, second = pieces_in(blank, *one.lines(grids[0])), pieces_in(blank, *other.lines(grids[1]))
        if not len(first[2]) or not len(second[2]):
            break
        apart, points, far_points = line_distances(first[0], first[1], second[0], second[1])
        k, m = divmod(int(apart.argmin()), apart.shape[1])
        if apart[k, m] < best.distance:
            near, far = points[k, m].tolist(), far_points[k, m].tolist()
            best = Separation(float(apart[k, m]), tuple(near), tuple(far))
            centre = [float(grids[0][first[2][k]]), float(grids[1][second[2][m]])]
        half = [h / 2.5 for h in half]
    return best


def line_distances(p0: Numbers, p1: Numbers, q0: Numbers, q1: Numbers) -> Ways:
    """Distances of every line from p0 to p1 (n, 3) and every line from q0 to q1 (m, 3), and the nearest points.

    Of two straight pieces either the feet of their common perpendicular are nearest, or an end of one and its foot on
    the other (elementary geometry): of these five ways the shortest is taken.
    """
    u, v = (p1 - p0)[:, None, :], (q1 - q0)[None, :, :]
    w = q0[None, :, :] - p0[:, None, :]
    uu, vv = (u * u).sum(-1), (v * v).sum(-1)
    uv, uw, vw = (u * v).sum(-1), (u * w).sum(-1), (v * w).sum(-1)
    across = uu * vv - uv * uv
    skew = across > 1e-14 * uu * vv
    s = np.where(skew, (uw * vv - vw * uv) / np.where(skew, across, 1.0), 0.0)
    t = np.where(skew, (uw * uv - vw * uu) / np.where(skew, across, 1.0), 0.0)
    within = skew & (s >= 0) & (s <= 1) & (t >= 0) & (t <= 1)
    ways = [(np.where(within, s, 0.0), np.where(within, t, np.clip(-vw / vv, 0, 1)))]
    ways += [(np.full_like(uw, end), np.clip((end * uv - vw) / vv, 0, 1)) for end in (0.0, 1.0)]
    ways += [(np.clip((uw + end * uv) / uu, 0, 1), np.full_like(uw, end)) for end in (0.0, 1.0)]
    best: Ways | None = None
    for share, other in ways:
        near = p0[:, None, :] + share[..., None] * u
        far = q0[None, :, :] + other[..., None] * v
        apart = np.linalg.norm(far - near, axis=-1)
        if best is None:
            best = apart, near, far
        else:
            nearer = apart < best[0]
            best = (
                np.where(nearer, apart, best[0]),
                np.where(nearer[..., None], near, best[1]),
                np.where(nearer[..., None], far, best[2]),
            )
    return best if best is not None else (uw, w, w)
