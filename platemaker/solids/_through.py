"""Which through cuts may be drawn as inner wires of the blank's face.

Inner wires that touch each other or the outline make an invalid solid without a word, so only cuts whose boxes (for
two round holes: whose circles) are clear of each other are drawn; the rest are cut out of the solid, which is right
for any overlap. Being too careful here costs time, never truth.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from platemaker.parts import Cut, Hole, Part
from platemaker.plane import Box, Circle, Edge, Line, Loop, Point, Region

CLEAR = 1e-3
"""Loops nearer to each other than this, mm, are cut out of the solid rather than drawn as inner wires."""


@dataclass(frozen=True)
class _Candidate:
    cut: str
    loop: Loop
    box: Box
    circle: Circle | None


def inner_loops(part: Part, outline: Region) -> dict[str, tuple[Loop, ...]]:
    """Loops to draw inside the blank's `outline`, by the name of the cut that they stand for."""
    found = [_candidate(cut, loop) for cut in part.cuts for loop in _through_loops(cut)]
    refused = {one.cut for one in found if not _inside(one, outline)}
    refused |= {name for pair in _meeting(found) for name in pair}
    loops: dict[str, tuple[Loop, ...]] = {}
    for one in found:
        if one.cut not in refused:
            loops[one.cut] = (*loops.get(one.cut, ()), one.loop)
    return loops


def _through_loops(cut: Cut) -> tuple[Loop, ...]:
    """Loops that the cut takes out of the whole thickness, none when it does more or less than that."""
    if isinstance(cut, Hole):
        plain = cut.through and cut.square and len(cut.steps) == 1 and cut.steps[0].start == 0
        return (Loop.circle(cut.centre, cut.diameter / 2),) if plain else ()
    if not cut.through or any(region.holes for region in cut.regions):
        return ()
    return tuple(region.outer for region in cut.regions)


def _candidate(cut: Cut, loop: Loop) -> _Candidate:
    return _Candidate(cut.name, loop, loop.bounds, loop.as_circle())


def _meeting(found: Iterable[_Candidate]) -> Iterator[tuple[str, str]]:
    """Pairs that may touch, by a sweep along X."""
    ordered = sorted(found, key=lambda one: one.box[0])
    for i, one in enumerate(ordered):
        for other in ordered[i + 1 :]:
            if other.box[0] > one.box[2] + CLEAR:
                break
            if _may_touch(one, other):
                yield one.cut, other.cut


def _may_touch(one: _Candidate, other: _Candidate) -> bool:
    if one.circle and other.circle:
        return math.dist(one.circle.centre, other.circle.centre) < one.circle.radius + other.circle.radius + CLEAR
    return _boxes_meet(one.box, other.box)


def _boxes_meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] + CLEAR and b[0] < a[2] + CLEAR and a[1] < b[3] + CLEAR and b[1] < a[3] + CLEAR


def _inside(one: _Candidate, outline: Region) -> bool:
    """Whether the loop is certain to lie in the blank, clear of its edges."""
    if not _surrounds(outline, one.loop.edges[0].start):
        return False
    if one.circle:
        return all(distance_to(edge, one.circle.centre) > one.circle.radius + CLEAR for edge in outline.edges)
    return not any(_boxes_meet(edge.bounds, one.box) for edge in outline.edges)


def distance_to(edge: Edge, p: Point) -> float:
    """From a point to a line or arc, mm."""
    if isinstance(edge, Line):
        (x0, y0), (x1, y1) = edge.start, edge.end
        dx, dy = x1 - x0, y1 - y0
        share = ((p[0] - x0) * dx + (p[1] - y0) * dy) / (dx * dx + dy * dy)
        return math.dist(p, edge.point(min(1.0, max(0.0, share))))
    away = math.dist(p, edge.centre)
    if away > 0 and edge.covers(math.atan2(p[1] - edge.centre[1], p[0] - edge.centre[0])):
        return abs(away - edge.radius)
    return min(math.dist(p, edge.start), math.dist(p, edge.end)) if away > 0 else edge.radius


def _surrounds(region: Region, p: Point) -> bool:
    """Whether a point off the region's edges lies in it: its boundaries together wind round it once."""
    return sum(_turn_seen(edge, p) for edge in region.edges) > math.pi


def _turn_seen(edge: Edge, p: Point) -> float:
    """The angle that the edge sweeps as seen from a point off it, radians."""
    ax, ay = edge.start[0] - p[0], edge.start[1] - p[1]
    bx, by = edge.end[0] - p[0], edge.end[1] - p[1]
    turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    if not isinstance(edge, Line) and math.dist(p, edge.centre) < edge.radius:
        # From inside the circle the view turns the way the arc runs, by up to a full turn.
        if edge.ccw and turn < 0:
            return turn + math.tau
        if not edge.ccw and turn > 0:
            return turn - math.tau
    return turn
