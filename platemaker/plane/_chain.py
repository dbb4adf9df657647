"""Pieces of boundary chained to loops, and loops nested to regions."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from platemaker.errors import GeometryError
from platemaker.plane._arrays import Booleans, Complexes, Floats, Integers
from platemaker.plane._boxes import near_boxes
from platemaker.plane._shapes import Arc, Edge, Line, Loop, Point, Region
from platemaker.plane._simplify import runs_on
from platemaker.plane._table import EdgeTable, to_point
from platemaker.plane._winding import winding
from platemaker.records import replace

SPECK = 1e-6
"""A loop no wider than this all along, mm, is left out: it is where curves were meant to meet."""


class Course(Struct, frozen=True):
    """Boundary pieces with the material on their left: `start` and `end` (rows of `vertices`), the `edge` that each is
    part of, and whether it runs `against` that edge.
    """

    vertices: Complexes
    start: Integers
    end: Integers
    edge: Integers
    against: Booleans


def chained(edges: Sequence[Edge], table: EdgeTable, course: Course) -> tuple[Region, ...]:
    """The regions that the pieces bound. Where regions or loops touch in a point, each has its own loop."""
    places = [to_point(vertex) for vertex in course.vertices]
    loops = []
    for rows in simple_loops(table, course):
        loop = _loop(edges, course, rows, places)
        if loop is not None:
            loops.append(loop)
    return nested(loops)


def simple_loops(table: EdgeTable, course: Course) -> Iterator[list[int]]:
    """Closed runs of pieces that meet no vertex twice."""
    following = _following(table, course)
    begins = course.start.tolist()
    unused = np.ones(len(begins), dtype=bool)
    for first in range(len(begins)):
        run: list[int] = []
        at: dict[int, int] = {}
        row = first
        while unused[row]:
            unused[row] = False
            vertex = begins[row]
            if vertex in at:
                cut = at[vertex]
                loop, run = run[cut:], run[:cut]
                for member in loop:
                    del at[begins[member]]
                yield loop
            at[vertex] = len(run)
            run.append(row)
            row = following[row]
        if run:
            yield run


def _following(table: EdgeTable, course: Course) -> list[int]:
    """For each piece the one that goes on round the same corner of material."""
    leaving: dict[int, list[int]] = defaultdict(list)
    arriving: dict[int, list[int]] = defaultdict(list)
    for row, (begin, end) in enumerate(zip(course.start.tolist(), course.end.tolist(), strict=True)):
        leaving[begin].append(row)
        arriving[end].append(row)
    following = [0] * len(course.start)
    for vertex, rows in arriving.items():
        out = leaving[vertex]
        if len(out) != len(rows):
            x, y = to_point(course.vertices[vertex])
            message = f"the boundary does not close at ({x:.6f}, {y:.6f}): {len(rows)} pieces arrive, {len(out)} leave"
            raise GeometryError(message)
        if len(rows) == 1:
            following[rows[0]] = out[0]
        else:
            _match(table, course, rows, out, following)
    return following


def _match(table: EdgeTable, course: Course, rows: list[int], out: list[int], following: list[int]) -> None:
    """Pairs arriving with leaving pieces at a vertex where several meet: the next one clockwise.

    Directions are taken where each piece leaves a small circle about the vertex, so that pieces with a common tangent
    are distinguished by their curvature.
    """
    both = np.array(rows + out)
    reach = float(np.abs(course.vertices[course.end[both]] - course.vertices[course.start[both]]).min()) / 2
    back = np.angle(_direction(table, course, np.array(rows), reach, from_end=True))
    ahead = np.angle(_direction(table, course, np.array(out), reach, from_end=False))
    chosen = [int(((angle - ahead) % math.tau).argmin()) for angle in back]
    if len(set(chosen)) < len(rows):
        x, y = to_point(course.vertices[course.end[rows[0]]])
        message = f"pieces of the boundary cannot be distinguished at ({x:.6f}, {y:.6f})"
        raise GeometryError(message)
    for row, choice in zip(rows, chosen, strict=True):
        following[row] = out[choice]


def _direction(table: EdgeTable, course: Course, rows: Integers, reach: float, *, from_end: bool) -> Complexes:
    """Direction from an end of each piece to where it leaves a circle of radius `reach` about that end."""
    edge = table.take(course.edge[rows])
    vertex = course.vertices[(course.end if from_end else course.start)[rows]]
    against = course.against[rows] != from_end
    heading = edge.heading(edge.share_of(vertex)) * np.where(against, -1.0, 1.0)
    bend: Floats = np.arcsin(np.minimum(reach / (2 * np.where(edge.arcs, edge.radius, np.inf)), 1.0))
    turned: Complexes = heading * np.exp(1j * bend * np.sign(edge.sweep) * np.where(against, -1.0, 1.0))
    return turned


def _loop(edges: Sequence[Edge], course: Course, rows: list[int], places: Sequence[Point]) -> Loop | None:
    """The loop of the given pieces, those of one line or circle merged; None for a sliver."""
    made: list[Edge] = []
    for row in rows:
        edge = edges[course.edge[row]]
        start, end = places[course.start[row]], places[course.end[row]]
        if isinstance(edge, Arc):
            edge = Arc(start, end, edge.centre, edge.radius, edge.ccw is not bool(course.against[row]), edge.tag)
        else:
            edge = Line(start, end, edge.tag)
        if made and runs_on(made[-1], edge):
            edge = replace(made.pop(), end=end)
        made.append(edge)
    while len(made) > 2 and runs_on(made[-1], made[0]):
        made[0] = replace(made[0], start=made.pop().start)
    if len(made) < 2:
        return None
    loop = Loop(tuple(made))
    return loop if abs(loop.area) > SPECK * loop.perimeter / 2 else None


def nested(loops: Sequence[Loop]) -> tuple[Region, ...]:
    """Regions from loops that do not cross: each clockwise loop is a hole of the smallest outer loop round it."""
    outers = sorted((loop for loop in loops if loop.area > 0), key=lambda loop: loop.area)
    inner = [loop for loop in loops if loop.area < 0]
    if len(outers) == 1:
        return (Region(outers[0], tuple(inner)),)
    holes: dict[int, list[Loop]] = defaultdict(list)
    for hole, owner in zip(inner, _owners(inner, outers), strict=True):
        holes[owner].append(hole)
    return tuple(Region(outer, tuple(holes[k])) for k, outer in enumerate(outers))


def _owners(inner: Sequence[Loop], outers: Sequence[Loop]) -> Iterator[int]:
    """For each hole the first of the outer loops that winds round it."""
    points = np.array([complex(*hole.edges[0].point(0.5)) for hole in inner], dtype=complex)
    boxes = np.array([outer.bounds for outer in outers], dtype=float).reshape(-1, 4)
    near, outer = near_boxes((points.real, points.imag, points.real, points.imag), list(boxes.T), 0.0)
    tables = [EdgeTable.of(one.edges) for one in outers]
    first = np.searchsorted(near, np.arange(len(points) + 1))
    for k, point in enumerate(points):
        around = (int(o) for o in outer[first[k] : first[k + 1]] if winding(tables[o], points[k : k + 1])[0] > 0)
        owner = next(around, None)
        if owner is None:
            message = f"a hole near ({point.real:.6f}, {point.imag:.6f}) lies in no outline"
            raise GeometryError(message)
        yield owner
