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
    found: Floats = np.rint(turns(edges, points) / math.tau)
    return found


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
