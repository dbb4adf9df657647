"""How often closed loops of edges wind round points: exact on lines and arcs, and quick for many of both."""

from __future__ import annotations

import math

import numpy as np

from platemaker.plane._arrays import FEW, Complexes, Floats, Integers
from platemaker.plane._boxes import near_boxes
from platemaker.plane._shapes import CLOSE
from platemaker.plane._table import TOUCH, EdgeTable

TOGETHER = 16
"""Edges of one run that are seen as one from afar."""
ALL = 32_768
"""Up to this many pairs of an edge and a point it is quicker to look at each."""
FEW_PAIRS = 2_000
"""Up to this many the angles are quicker than to count crossings."""
DOUBT = 1e-7
"""Nearer than this to an edge, mm, a count of crossings is left to the angles: far above the rounding of places."""


def turned(edges: EdgeTable, points: Complexes) -> Floats:
    """Angle, radians, by which each edge turns about its point; one for each pair that the shapes make together.

    An arc turns as its chord does, and by a full turn more when the point lies between arc and chord. There, by the
    theorem of the inscribed angle, the chord is seen under more than half a turn less half the sweep; the same angle
    shows on which side of the chord the point lies, so no rounding can count a point twice.
    """
    to_start, to_end = edges.start - points, edges.end - points
    cross = to_start.real * to_end.imag - to_start.imag * to_end.real
    angle = np.arctan2(cross, to_start.real * to_end.real + to_start.imag * to_end.imag)
    if np.count_nonzero(edges.arcs):
        way = np.sign(edges.sweep)
        between = angle * way < np.abs(edges.sweep) / 2 - math.pi
        angle = angle + math.tau * way * between
    return angle


def winding(edges: EdgeTable, points: Complexes) -> Floats:
    """How often the edges, closed loops, wind round each point; any whole number on points off the boundary."""
    if len(edges) * len(points) <= FEW_PAIRS:
        found: Floats = np.rint(turns(edges, points) / math.tau)
        return found
    return _counted(edges, points)


def _counted(edges: EdgeTable, points: Complexes) -> Floats:
    """The same by counting which edges a way from each point to the right crosses, upwards or downwards.

    An arc counts as its chord, and once more about points between both. Points all but on a chord or a circle, where
    rounding could count wrongly, are left to their angles.
    """
    order = np.argsort(points.imag, kind="stable")
    height = points.imag[order]
    low, high = np.minimum(edges.start.imag, edges.end.imag), np.maximum(edges.start.imag, edges.end.imag)
    row, edge = _in_bands(height, low - DOUBT, high + DOUBT)
    start, way, at = edges.start[edge], (edges.end - edges.start)[edge], points[order[row]]
    side = way.real * (at.imag - start.imag) - way.imag * (at.real - start.real)  # above 0: the point lies left
    met = (height[row] >= low[edge]) & (height[row] < high[edge])
    up = way.imag > 0
    sign = np.where(met & up & (side > 0), 1.0, 0.0) - np.where(met & ~up & (side < 0), 1.0, 0.0)
    doubtful = np.abs(side) <= DOUBT * np.abs(way)
    total: Floats = np.bincount(order[row], sign, len(points)).astype(float)
    doubt = np.zeros(len(points), dtype=bool)
    doubt[order[row[doubtful]]] = True
    ends = np.sort(np.concatenate([edges.start.imag, edges.end.imag]))
    gaps = np.diff(ends)
    loose = np.nonzero((gaps > 0.0) & (gaps <= CLOSE))[0]  # edges that all but meet: a way between them crosses neither
    doubt[order[_in_bands(height, ends[loose] - DOUBT, ends[loose + 1] + DOUBT)[0]]] = True
    arcs = np.nonzero(edges.arcs)[0]
    if len(arcs):
        centre, radius = edges.centre[arcs], edges.radius[arcs]
        row, arc = _in_bands(height, centre.imag - radius - DOUBT, centre.imag + radius + DOUBT)
        at, edge = points[order[row]], arcs[arc]
        start, way = edges.start[edge], (edges.end - edges.start)[edge]
        side = way.real * (at.imag - start.imag) - way.imag * (at.real - start.real)
        off, turn = np.abs(at - centre[arc]) - radius[arc], np.sign(edges.sweep[edge])
        total += np.bincount(order[row], np.where((off < 0) & (side * turn < 0), turn, 0.0), len(points))
        doubt[order[row[np.abs(off) <= DOUBT]]] = True
    if doubt.any():
        total[doubt] = np.rint(turns(edges, points[doubt]) / math.tau)
    return total


def _in_bands(heights: Floats, low: Floats, high: Floats) -> tuple[Integers, Integers]:
    """Rows of ascending heights that lie in each band, and the band's row, pair by pair."""
    first, last = np.searchsorted(heights, low, "left"), np.searchsorted(heights, high, "right")
    count = last - first
    band = np.repeat(np.arange(len(low)), count)
    return np.arange(len(band)) + np.repeat(first - np.cumsum(count) + count, count), band


def turns(edges: EdgeTable, points: Complexes) -> Floats:
    """Angle, radians, by which all the edges together turn about each point.

    From outside of a box a run of edges in it is seen under the same angle as its chord, the way from its start to
    its end; that of a closed run is nothing. So the chords of short runs are asked, and the edges themselves only
    about points in the box of their run.
    """
    if len(edges) * len(points) <= ALL:
        return _each_about_each(edges, points)
    first, chords = _runs(edges)
    open_runs = chords.start != chords.end
    if 2 * np.count_nonzero(open_runs) > len(edges):
        return _each_about_each(edges, points)
    x0, y0, x1, y1 = edges.boxes
    boxes = (
        np.minimum.reduceat(x0, first),
        np.minimum.reduceat(y0, first),
        np.maximum.reduceat(x1, first),
        np.maximum.reduceat(y1, first),
    )
    total = turns(chords.take(open_runs), points)
    point, run = near_boxes((points.real, points.imag, points.real, points.imag), boxes, TOUCH)
    count = np.diff(np.append(first, len(edges)))[run]
    edge = np.repeat(first[run] - np.cumsum(count) + count, count) + np.arange(count.sum())
    total -= np.bincount(point, turned(chords.take(run), points[point]), len(points))
    point = np.repeat(point, count)
    total += np.bincount(point, turned(edges.take(edge), points[point]), len(points))
    return total


def _each_about_each(edges: EdgeTable, points: Complexes) -> Floats:
    step = max(1, FEW // max(1, len(edges)))
    parts = [turned(edges, points[low : low + step, None]).sum(axis=1) for low in range(0, len(points), step)]
    return np.concatenate(parts) if parts else np.zeros(0)


def _runs(edges: EdgeTable) -> tuple[Integers, EdgeTable]:
    """The first rows of short runs of edges that follow on, forwards or backwards, and the chord of each run."""
    forward = (np.abs(edges.end[:-1] - edges.start[1:]) <= CLOSE).tolist()
    backward = (np.abs(edges.start[:-1] - edges.end[1:]) <= CLOSE).tolist()
    first, back, runs_forward, runs_back = [0], [], True, True
    for row, (onward, behind) in enumerate(zip(forward, backward, strict=True), 1):
        still = (runs_forward and onward, runs_back and behind)
        if any(still) and row - first[-1] < TOGETHER:
            runs_forward, runs_back = still
        else:
            back.append(not runs_forward)
            first.append(row)
            runs_forward, runs_back = True, True
    back.append(not runs_forward)
    firsts, against = np.array(first), np.array(back)
    lasts = np.append(firsts[1:], len(edges)) - 1
    begin = np.where(against, edges.start[lasts], edges.start[firsts])
    end = np.where(against, edges.end[firsts], edges.end[lasts])
    return firsts, EdgeTable.straight(begin, np.where(np.abs(end - begin) <= CLOSE, begin, end))
