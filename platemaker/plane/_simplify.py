"""Fewer pieces for the same boundary: lines that run on and arcs of one circle become one piece."""

from __future__ import annotations

import math

from platemaker.plane._shapes import Arc, Edge, Line, Loop, Point, Region
from platemaker.plane._table import TOUCH
from platemaker.records import replace

WHOLE = math.tau - 1e-6
"""A single arc stays under a whole turn, by enough that its ends are well apart."""


def simplified(region: Region, tolerance: float = TOUCH, *, across_tags: bool = False) -> Region:
    """The region with pieces merged and pieces shorter than `tolerance`, mm, dropped; no point moves farther than that.

    Collinear lines and arcs of one circle that follow on become one piece where their tags agree, or `across_tags`
    always (the first tag stays). A hole that shrinks to nothing is dropped.
    """
    outer, *holes = (simplified_loop(loop, tolerance, across_tags=across_tags) for loop in region.loops)
    if outer is None:
        return region
    return Region(outer, tuple(hole for hole in holes if hole is not None))


def simplified_loop(loop: Loop, tolerance: float = TOUCH, *, across_tags: bool = False) -> Loop | None:
    """The loop with its pieces merged as `simplified` does; None when nothing is left of it."""
    edges = _without_short(list(loop.edges), tolerance)
    if len(edges) < 2:
        return None
    merged: list[Edge] = []
    for edge in _from_a_corner(edges, tolerance, across_tags):
        if merged and runs_on(merged[-1], edge, tolerance, across_tags=across_tags):
            merged[-1] = replace(merged[-1], end=edge.end)
        else:
            merged.append(edge)
    return Loop(tuple(merged))


def runs_on(a: Edge, b: Edge, tolerance: float = TOUCH, *, across_tags: bool = False) -> bool:
    """Whether `b`, which begins where `a` ends, goes on along the same line or circle, and one piece can be both."""
    if not across_tags and a.tag != b.tag:
        return False
    if isinstance(a, Arc) and isinstance(b, Arc):
        same = a.ccw == b.ccw and abs(a.radius - b.radius) <= tolerance
        return (
            same and math.dist(a.centre, b.centre) <= tolerance and a.length + b.length < math.tau * a.radius - 1.0e-6
        )
    if isinstance(a, Line) and isinstance(b, Line):
        forward = (a.end[0] - a.start[0]) * (b.end[0] - b.start[0]) + (a.end[1] - a.start[1]) * (b.end[1] - b.start[1])
        return forward > 0 and _off_line(a.end, a.start, b.end) <= tolerance
    return False


def _off_line(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from the line through two others, mm."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return abs(dx * (point[1] - start[1]) - dy * (point[0] - start[0])) / math.hypot(dx, dy)


def _without_short(edges: list[Edge], tolerance: float) -> list[Edge]:
    """Pieces longer than the tolerance, the one before each gap drawn on to where the next begins."""
    kept = [edge for edge in edges if edge.length > tolerance]
    return [
        edge if edge.end == kept[(i + 1) % len(kept)].start else replace(edge, end=kept[(i + 1) % len(kept)].start)
        for i, edge in enumerate(kept)
    ]


def _from_a_corner(edges: list[Edge], tolerance: float, across_tags: bool) -> list[Edge]:
    """The same closed run, begun at a piece that does not run on from the one before it, if there is one."""
    for i, edge in enumerate(edges):
        if not runs_on(edges[i - 1], edge, tolerance, across_tags=across_tags):
            return edges[i:] + edges[:i]
    return edges
