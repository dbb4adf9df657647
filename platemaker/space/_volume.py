"""Volume that two figures share.

Two figures of one section (cylinders, prisms) or one and a half-space are sliced: see _slices.py. Where a cone takes
part the overlap is cut into parallel lines. On each line the length inside both figures is exact: it meets planes and
round surfaces at roots of linear and quadratic equations. The lengths are summed over the lines' plane by Gauss's rule
of 3 × 3 points on rectangles that are split in four wherever the four differ from the one (adaptive cubature; P. J.
Davis, P. Rabinowitz, Methods of Numerical Integration, ch. 5 and 6, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Line
from platemaker.records import Record
from platemaker.space._bounds import local_bounds
from platemaker.space._figures import Cone, Cylinder, Disc, Figure, HalfSpace, Prism, Segment
from platemaker.space._frame import Frame
from platemaker.space._inside import Numbers, depth, end_planes
from platemaker.space._slices import sliced_volume
from platemaker.space._vectors import Vec3

Lengths: TypeAlias = Callable[[Numbers, Numbers], Numbers]

MOST = 300_000
FIRST = 12
TRIALS = 64
AT = np.array([-math.sqrt(0.6), 0.0, math.sqrt(0.6)])
WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0


class Overlap(Record):
    """A shared volume and the estimate of its error, mm3."""

    volume: float
    error: float


def overlap_volume(a: Figure, b: Figure, share: float = 1e-3) -> Overlap:
    """Volume that two figures share, mm3, to about `share` of itself (1e-9 to 0.1; with a cone, 1e-4 at the finest).

    Adaptive quadrature over exact slices, or over exact line lengths where a cone takes part; `error` is an estimate:
    the rules' own for slices, three times what the last splits still changed for lines. Segments, discs and empty
    figures have no volume.
    Raises GeometryError for two half-spaces, whose overlap is unbounded.

    >>> from platemaker.space import box
    >>> round(overlap_volume(box((0, 0, 0), (10, 10, 10)), box((8, 7, 6), (20, 20, 20))).volume, 6)
    24.0
    """
    if not 1e-9 <= share <= 0.1:
        message = f"an overlap's share of error must be from 1e-9 to 0.1, met {share:g}"
        raise GeometryError(message)
    if isinstance(a, HalfSpace) and isinstance(b, HalfSpace):
        message = f"two half-spaces share no bounded volume: faces at {a.point} and {b.point}"
        raise GeometryError(message)
    if isinstance(a, HalfSpace) or (isinstance(b, Prism) and not isinstance(a, Prism)):
        a, b = b, a
    if _is_thin(a) or _is_thin(b):
        return Overlap(0.0, 0.0)
    if isinstance(a, Cylinder | Prism) and isinstance(b, Cylinder | Prism | HalfSpace):
        return Overlap(*sliced_volume(a, b, share))
    frame = _oblique_frame(a, b)
    box, other = local_bounds(a, frame), local_bounds(b, frame)
    low, high = np.maximum(box[:3], other[:3]), np.minimum(box[3:], other[3:])
    if np.any(high <= low):
        return Overlap(0.0, 0.0)
    return _cubature(_lengths(a, b, frame, float(low[2]), float(high[2])), low, high, max(share, 1e-4))


def _is_thin(figure: Figure) -> bool:
    return isinstance(figure, Segment | Disc) or (isinstance(figure, Cone) and figure.is_empty)


def _oblique_frame(a: Figure, b: Figure) -> Frame:
    """A frame at `a` whose z axis leans on every flat face and every axis of both, so lengths change without jumps."""
    base = _own_frame(a)
    flats = np.array([n for figure in (a, b) for n in _normals(figure)]).reshape(-1, 3)
    axes = np.array([_own_frame(figure).z_axis for figure in (a, b) if not isinstance(figure, HalfSpace)])
    turn = math.pi * (3.0 - math.sqrt(5.0))
    best, found = -1.0, base.z_axis
    for i in range(TRIALS):
        height = 1.0 - (i + 0.5) / TRIALS
        radius, angle = math.sqrt(1.0 - height * height), turn * i
        d = base.turn((radius * math.cos(angle), radius * math.sin(angle), height))
        across = np.sqrt(np.maximum(0.0, 1.0 - (axes @ np.array(d)) ** 2))
        lean = min(float(np.min(np.abs(flats @ np.array(d)), initial=1.0)), float(np.min(across, initial=1.0)))
        if lean > best:
            best, found = lean, d
    return Frame.from_normal(base.origin, found, base.x_axis)


def _own_frame(figure: Figure) -> Frame:
    if isinstance(figure, Prism):
        return figure.frame
    if isinstance(figure, Cylinder | Cone):
        return Frame.from_normal(figure.start, figure.axis)
    return Frame()


def _normals(figure: Figure) -> list[Vec3]:
    if isinstance(figure, HalfSpace):
        return [figure.normal]
    if isinstance(figure, Cylinder | Cone):
        return [normal for _, normal in end_planes(figure)]
    if isinstance(figure, Prism):
        sides = [edge.tangent(0.0) for edge in figure.region.edges if isinstance(edge, Line)]
        return [figure.frame.z_axis, *(figure.frame.turn((t[1], -t[0], 0.0)) for t in sides)]
    return []


def _lengths(a: Figure, b: Figure, frame: Frame, low: float, high: float) -> Lengths:
    """For places in the frame's plane, the length of the upright line there that lies in both figures."""
    up = np.array(frame.z_axis)
    axes = np.array([frame.x_axis, frame.y_axis])

    def measure(x: Numbers, y: Numbers) -> Numbers:
        feet = np.column_stack([x, y]) @ axes + np.array(frame.origin)
        marks = [np.full((len(x), 1), low), np.full((len(x), 1), high)]
        for figure in (a, b):
            marks += _marks(figure, feet, up)
        cuts = np.sort(np.clip(np.hstack(marks), low, high), axis=1)
        steps = np.diff(cuts, axis=1)
        rows, columns = np.nonzero(steps > 1e-12)
        middles = (cuts[rows, columns] + cuts[rows, columns + 1]) / 2
        points = feet[rows] + middles[:, None] * up
        within = (depth(a, points) >= 0.0) & (depth(b, points) >= 0.0)
        sums = np.bincount(rows[within], weights=steps[rows, columns][within], minlength=len(x))
        return np.asarray(sums, dtype=np.float64)

    return measure


def _marks(figure: Figure, feet: Numbers, up: Numbers) -> list[Numbers]:
    """Where the lines feet + t · up meet the figure's surfaces: columns of t (0 where they do not)."""
    planes: list[tuple[Vec3, Vec3]] = []
    marks: list[Numbers] = []
    if isinstance(figure, HalfSpace):
        planes = [(figure.point, figure.normal)]
    elif isinstance(figure, Cylinder):
        planes = end_planes(figure)
        marks.append(_round_marks(feet, up, figure.start, figure.axis, figure.radius, 0.0))
    elif isinstance(figure, Cone):
        planes = end_planes(figure)
        growth = (figure.radius_end - figure.radius_start) / figure.length
        marks.append(_round_marks(feet, up, figure.start, figure.axis, figure.radius_start, growth))
    elif isinstance(figure, Prism):
        axis = figure.frame.z_axis
        planes = [(figure.frame.to_world((0.0, 0.0, level)), axis) for level in (0.0, figure.height)]
        for edge in figure.region.edges:
            if isinstance(edge, Line):
                tangent = edge.tangent(0.0)
                normal = figure.frame.turn((tangent[1], -tangent[0], 0.0))
                planes.append((figure.frame.to_world((*edge.start, 0.0)), normal))
        rounds = {(edge.centre, edge.radius) for edge in figure.region.edges if isinstance(edge, Arc)}
        for centre, radius in sorted(rounds):
            marks.append(_round_marks(feet, up, figure.frame.to_world((*centre, 0.0)), axis, radius, 0.0))
    for point, normal in planes:
        slope = float(up @ np.array(normal))
        if abs(slope) > 1e-12:
            marks.append((((np.array(point) - feet) @ np.array(normal)) / slope)[:, None])
    return marks


def _round_marks(feet: Numbers, up: Numbers, centre: Vec3, axis: Vec3, radius: float, growth: float) -> Numbers:
    """Roots t of |across(x)| = radius + growth · along(x) on x = foot + t · up, two columns."""
    u = np.array(axis)
    offset = feet - np.array(centre)
    along_foot, along_up = offset @ u, float(up @ u)
    across_foot, across_up = offset - along_foot[:, None] * u, up - along_up * u
    start, slope = radius + growth * along_foot, growth * along_up
    a = float(across_up @ across_up) - slope**2
    b = across_foot @ across_up - start * slope
    c = np.einsum("ij,ij->i", across_foot, across_foot) - start**2
    if abs(a) < 1e-14:
        once = np.divide(-c, 2.0 * b, out=np.zeros_like(c), where=np.abs(b) > 1e-14)
        return np.column_stack([once, once])
    root = np.sqrt(np.maximum(0.0, b * b - a * c))
    return np.column_stack([(-b - root) / a, (-b + root) / a])


def _cubature(measure: Lengths, low: Numbers, high: Numbers, share: float) -> Overlap:
    half = (high[:2] - low[:2]) / (2 * FIRST)
    grid = np.arange(FIRST) * 2.0 + 1.0
    x, y = (m.ravel() for m in np.meshgrid(low[0] + grid * half[0], low[1] + grid * half[1], indexing="ij"))
    whole = _on_cells(measure, x, y, half)
    settled = error = 0.0
    points = 9 * len(x)
    while True:
        half = half / 2
        sides = np.array([-1.0, 1.0])
        child_x = (x[:, None, None] + sides[None, :, None] * half[0] + np.zeros((1, 1, 2))).ravel()
        child_y = (y[:, None, None] + sides[None, None, :] * half[1] + np.zeros((1, 2, 1))).ravel()
        parts = _on_cells(measure, child_x, child_y, half)
        points += 9 * len(parts)
        sums = parts.reshape(-1, 4).sum(axis=1)
        change = np.abs(sums - whole)
        total = settled + float(sums.sum())
        allowed = share * max(total, 1e-9)
        # Cells whose change is the least, together within half of what may be lost in all, are settled.
        order = np.argsort(change)
        done = order[np.cumsum(change[order]) + error <= allowed / 2]
        settled += float(sums[done].sum())
        error += float(change[done].sum())
        rest = np.setdiff1d(order, done)
        if len(rest) == 0 or points > MOST:
            return Overlap(settled + float(sums[rest].sum()), 3.0 * (error + float(change[rest].sum())))
        keep = (rest[:, None] * 4 + np.arange(4)).ravel()
        x, y, whole = child_x[keep], child_y[keep], parts[keep]


def _on_cells(measure: Lengths, x: Numbers, y: Numbers, half: Numbers) -> Numbers:
    """Gauss's 3 × 3 rule on rectangles about (x, y)."""
    at_x = (x[:, None, None] + AT[None, :, None] * half[0] + np.zeros((1, 1, 3))).ravel()
    at_y = (y[:, None, None] + AT[None, None, :] * half[1] + np.zeros((1, 3, 1))).ravel()
    values = measure(at_x, at_y).reshape(-1, 3, 3)
    sums: Numbers = np.einsum("nij,i,j->n", values, WEIGHTS, WEIGHTS) * (4.0 * half[0] * half[1])
    return sums
