"""Edges as columns, where they cross, and the pieces that they are cut to: points and shares by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Edge, Line, Loop, Point, Region
from platemaker.plane import _winding as winding_module
from platemaker.plane._chain import Course, _direction, nested, simple_loops
from platemaker.plane._consistency import _agree, _slack, _under, add_up_in_all, under_stretches
from platemaker.plane._crossings import crossings
from platemaker.plane._necks import _at_corner, _neighbours, _shortens
from platemaker.plane._pieces import _made_one, cut
from platemaker.plane._simplify import _off_line, runs_on, simplified_loop
from platemaker.plane._table import TOUCH, EdgeTable, edges_of
from platemaker.plane._winding import turned, winding


def table(*edges: Edge) -> EdgeTable:
    return EdgeTable.of(edges)


def complexes(*values: complex) -> Any:
    return np.array(values, dtype=complex)


QUARTER = Arc((6.0, 2.0), (1.0, 7.0), (1.0, 2.0), 5.0, True)
"""Radius 5 about (1, 2), from the right to the top."""
WIDE = Arc((1.0, 7.0), (6.0, 2.0), (1.0, 2.0), 5.0, True)
"""The rest of that circle."""
SLANT = Line((0.0, 0.0), (6.0, 8.0))
LENS = {1 + 13 / 3 + 1j * (2 + way * math.sqrt(25 - (13 / 3) ** 2)) for way in (1, -1)}
"""Where circles of 5 and 3 whose centres are 6 apart along x cross: (36 + 25 - 9) / 12 = 13 / 3 from the first's."""


def test_points_headings_and_shares_of_edges() -> None:
    """A 3-4-5 line of 10; a third of the quarter is 30 degrees on, run backwards it is two thirds."""
    edges = table(SLANT, QUARTER, QUARTER.reversed(), WIDE)
    third = complex(1 + 5 * math.cos(math.pi / 6), 2 + 2.5)
    points = complexes(3 + 4j, third, third, -4 + 2j)
    shares = [0.5, 1 / 3, 2 / 3, 1 / 3]
    assert edges.point(np.array(shares)) == pytest.approx(points)
    assert edges.share_of(points) == pytest.approx(shares)
    tangent = complex(-0.5, math.cos(math.pi / 6))
    assert edges.heading(np.array(shares)) == pytest.approx(complexes(0.6 + 0.8j, tangent, -tangent, -1j))
    assert edges.sweep == pytest.approx([0, math.pi / 2, -math.pi / 2, 1.5 * math.pi])
    assert edges.share_of(complexes(9 + 12j, 1 - 3j, 1 - 3j, 6 + 2j)) == pytest.approx([1.5, 3.0, 2.0, 1.0])
    assert edges.arcs.tolist() == [False, True, True, True]


def test_a_line_of_no_length_is_a_point() -> None:
    point = EdgeTable.straight(complexes(3 + 4j), complexes(3 + 4j))
    assert point.heading(0.5).tolist() == [0]
    assert point.nearest(complexes(9 + 9j)).tolist() == [3 + 4j]
    assert point.share_of(complexes(9 + 9j)).tolist() == [0.0]
    assert edges_of((3.0, 4.0)) == (Line((3.0, 4.0), (3.0, 4.0)),)


@pytest.mark.parametrize(
    ("point", "near"),
    [
        (7 + 10j, (6 + 8j, 4 + 6j, 1 + 7j)),  # past the line's end; 6 and 8 from the centre; the nearer end of the rest
        (-3 - 1j, (0j, 1 + 7j, -3 - 1j)),  # 4 and 3 from the centre: on the rest of the circle itself
        (-1 + 7j, (3 + 4j, 1 + 7j, complex(1 - 10 / math.sqrt(29), 2 + 25 / math.sqrt(29)))),
        (1 + 2j, (1.32 + 1.76j, 6 + 2j, 1 + 7j)),  # the arcs' centre: their starts
    ],
)
def test_the_nearest_points_of_edges(point: complex, near: tuple[complex, complex, complex]) -> None:
    edges = table(SLANT, QUARTER, WIDE)
    assert edges.nearest(np.full(3, point)) == pytest.approx(np.array(near))


@pytest.mark.parametrize(
    ("degrees", "quarter"), [(0, True), (45, True), (90, True), (91, False), (-1, False), (180, False), (225, False)]
)
def test_which_directions_an_arc_covers(degrees: float, quarter: bool) -> None:
    """Ends are on both of the two arcs of a circle."""
    at = complexes(*[1 + 2j + 7 * np.exp(1j * math.radians(degrees))] * 3)
    found = table(QUARTER, QUARTER.reversed(), WIDE).covers(at).tolist()
    assert found[:2] == [quarter, quarter]
    if degrees not in {0, 90}:
        assert found[2] is not quarter


def test_boxes_of_edges_are_exact() -> None:
    found = np.array(table(SLANT, QUARTER, WIDE, Arc((1.0, 7.0), (-4.0, 2.0), (1.0, 2.0), 5.0, False)).boxes).T
    assert found == pytest.approx(np.array([[0, 0, 6, 8], [1, 2, 6, 7], [-4, -3, 6, 7], [-4, -3, 6, 7]]))


@pytest.mark.parametrize(
    ("a", "b", "hits"),
    [
        (Line((0, 0), (10, 0)), Line((4, -3), (4, 9)), {4 + 0j}),
        (Line((0, 0), (10, 0)), Line((20, 5), (15, 10)), {25 + 0j}),  # where the full lines cross
        (Line((0, 0), (10, 0)), Line((0, 5), (10, 5)), set()),
        (Line((-9, 5), (9, 5)), QUARTER, {-3 + 5j, 5 + 5j}),  # 3 over the centre: 4 to each side
        (QUARTER, Line((-9, 5), (9, 5)), {-3 + 5j, 5 + 5j}),
        (Line((-9, 7), (9, 7)), QUARTER, {1 + 7j}),  # touches at the top
        (Line((-9, 7.5), (9, 7.5)), QUARTER, set()),
        (Line((6, -9), (6, 9)), QUARTER, {6 + 2j}),
        (QUARTER, Arc((10, 2), (7, 5), (7, 2), 3.0, True), LENS),
        (QUARTER, Arc((12, 2), (9, 5), (9, 2), 3.0, True), {6 + 2j}),  # from outside: 5 + 3 = 8 apart
        (QUARTER, Arc((6, 2), (3, 5), (3, 2), 3.0, True), {6 + 2j}),  # from inside: 5 - 3 = 2 apart
        (Arc((6, 2), (3, 5), (3, 2), 3.0, True), QUARTER, {6 + 2j}),
        (QUARTER, Arc((12.1, 2), (9.1, 5), (9.1, 2), 3.0, True), set()),
        (QUARTER, Arc((5.9, 2), (2.9, 5), (2.9, 2), 3.0, True), set()),
        (QUARTER, Arc((4, 2), (1, 5), (1, 2), 3.0, True), set()),  # about one centre
        (QUARTER, WIDE, set()),  # one circle
    ],
)
def test_where_lines_and_circles_cross(a: Edge, b: Edge, hits: set[complex]) -> None:
    found = crossings(table(a), table(b))[:, 0]
    real = found[~np.isnan(found)]
    assert len({complex(np.round(z, 9)) for z in real}) == len(hits)
    for z in hits:
        assert np.abs(real - z).min() < 1e-9


@pytest.mark.parametrize(("off", "count"), [(0.5e-8, 1), (-0.5e-8, 1), (2e-8, 0), (-2e-8, 2)])
def test_what_comes_within_the_measure_of_touching_touches_in_one_point(off: float, count: int) -> None:
    """A line over a circle, and circles beside each other and one in the other, apart or over by half of 1e-8 mm, or twice."""
    line = crossings(table(Line((-9, 7 + off), (9, 7 + off))), table(QUARTER))[:, 0]
    beside = crossings(table(QUARTER), table(Arc((12 + off, 2), (9 + off, 5), (9 + off, 2), 3.0, True)))[:, 0]
    within = crossings(table(QUARTER), table(Arc((6 - off, 2), (3 - off, 5), (3 - off, 2), 3.0, True)))[:, 0]
    for found in (line, beside, within):
        assert len({complex(z) for z in found[~np.isnan(found)]}) == count


def test_points_within_touch_become_one() -> None:
    """A chain of three, each within touch of the next; another far off; two whose skew places agree but that are apart."""
    across = 1j * complex(0.8309, 0.5564)
    points = complexes(0, 0.8e-8, 1.6e-8, 5, 5 + across, 5 + 3e-8)
    kept, place = _made_one(points, 1e-8)
    assert place.tolist()[:3] == [0, 0, 0]
    assert len(kept) == 4
    assert len(set(place.tolist()[2:])) == 4
    assert kept[place] == pytest.approx(points, abs=2e-8)


def stretches(edges: list[Edge]) -> list[tuple[complex, complex, int]]:
    """Ends of each stretch, and of how many pieces it is."""
    found = cut(EdgeTable.of(edges), TOUCH)
    return sorted(
        (
            (
                complex(np.round(found.vertices[a], 6)),
                complex(np.round(found.vertices[b], 6)),
                int((found.of == k).sum()),
            )
            for k, (a, b) in enumerate(zip(found.first, found.last, strict=True))
        ),
        key=str,
    )


def test_edges_are_cut_where_they_meet() -> None:
    """A cross, and a T: a line that ends on another cuts it."""
    cross = stretches([Line((-5, 0), (5, 0)), Line((0, -5), (0, 5))])
    assert {frozenset(s[:2]) for s in cross} == {frozenset({0j, z}) for z in (5 + 0j, -5 + 0j, 5j, -5j)}
    tee = stretches([Line((-5, 0), (5, 0)), Line((2, 0), (2, 5))])
    assert {frozenset(s[:2]) for s in tee} == {frozenset({2 + 0j, z}) for z in (5 + 0j, -5 + 0j, 2 + 5j)}
    assert len(stretches([Line((-5, 0), (5, 0)), Line((2, 1), (2, 5))])) == 2


@pytest.mark.parametrize("back", [False, True])
def test_edges_that_lie_on_one_another_share_their_stretches(back: bool) -> None:
    """0 to 10 and 4 to 14: 4 to 10 is of both, whichever way each runs."""
    other = Line((14, 0), (4, 0)) if back else Line((4, 0), (14, 0))
    found = cut(EdgeTable.of([Line((0, 0), (10, 0)), other]), TOUCH)
    ends = {
        frozenset({complex(found.vertices[a]), complex(found.vertices[b])}): int((found.of == k).sum())
        for k, (a, b) in enumerate(zip(found.first, found.last, strict=True))
    }
    assert ends == {frozenset({0j, 4 + 0j}): 1, frozenset({4 + 0j, 10 + 0j}): 2, frozenset({10 + 0j, 14 + 0j}): 1}
    middle = next(k for k in range(3) if (found.of == k).sum() == 2)
    signs = found.sign[found.of == middle]
    assert bool(signs[0] != signs[1]) is back
    assert set(np.abs(found.sign).tolist()) == {1}
    assert found.along[middle] == 0  # it is part of the first edge
    assert {float(found.begin[middle]), float(found.stop[middle])} == {0.4, 1.0}
    for share in (0.0, 0.25, 1.0):
        at = found.vertices[found.first] + share * (found.vertices[found.last] - found.vertices[found.first])
        assert found.point(EdgeTable.of([Line((0, 0), (10, 0)), other]), share) == pytest.approx(at)


def test_an_arc_and_its_chord_and_the_arc_opposite_are_three_stretches() -> None:
    found = stretches(
        [Arc((5, 0), (-5, 0), (0, 0), 5.0, True), Arc((-5, 0), (5, 0), (0, 0), 5.0, True), Line((-5, 0), (5, 0))]
    )
    assert [count for *_, count in found] == [1, 1, 1]


def test_a_crossing_is_counted_once_for_many_edges() -> None:
    """Four lines through one point, and a circle about it: 8 spokes' outer parts, 8 inner, 8 arcs."""
    lines = [Line((-9 * c, -9 * s), (9 * c, 9 * s)) for c, s in ((1.0, 0.0), (0.6, 0.8), (0.0, 1.0), (-0.6, 0.8))]
    found = stretches([*lines, *Loop.circle((0, 0), 5).edges])
    assert len(found) == 24
    assert sum(0j in ends for *ends, _ in found) == 8


def test_areas_under_stretches_and_how_far_they_may_differ() -> None:
    """Of a square of 10: 100 in all, seen from anywhere; an arc adds its segment. Slack: 8 touches of its 40, and rounding."""
    square = EdgeTable.of(Loop.rectangle(10, 10).edges)
    for origin in (0j, 70 - 30j):
        found = _under(square.start - origin, square.end - origin, square.radius, square.sweep)
        assert found.sum() == pytest.approx(100)
    assert _under(complexes(5), complexes(5j), np.array([5.0]), np.array([math.pi / 2]))[0] == pytest.approx(
        25 * math.pi / 4
    )
    assert _slack(square, 1e-8) == pytest.approx(8e-8 * 40 + 1e-14 * 1600)
    circle = EdgeTable.of(Loop.circle((0, 0), 5).edges)
    assert _slack(circle, 1e-8) == pytest.approx(8e-8 * 10 * math.pi + 1e-14 * (10 * math.pi) ** 2)


def test_areas_that_differ_are_refused() -> None:
    _agree(100.0, 100.5, 0.5, 3 + 4j)
    with pytest.raises(GeometryError, match=r"areas near \(3\.000000, 4\.000000\) do not add up: 100 for 100\.6 mm2"):
        _agree(100.0, 100.6, 0.5, 3 + 4j)
    square = EdgeTable.of(Loop.rectangle(10, 10, 0, (30, 20)).edges)
    pieces = cut(square, TOUCH)
    steps = np.ones(4)
    own = under_stretches(square, pieces, square.start[0])
    assert abs(own.sum()) <= 100 + 1e-9
    turned_to_fit = pieces.sign[np.argsort(pieces.of)].astype(float)
    add_up_in_all(square, turned_to_fit, own, square.start[0], TOUCH)
    with pytest.raises(GeometryError, match="do not add up: 300 for 100 mm2"):
        add_up_in_all(square, steps * 3 * turned_to_fit, own, square.start[0], TOUCH)


@pytest.mark.parametrize(
    ("a", "b", "merged"),
    [
        (Line((0, 0), (5, 0)), Line((5, 0), (9, 0)), True),
        (Line((0, 0), (5, 0)), Line((5, 0), (2, 0)), False),  # back
        (Line((0, 0), (5, 0)), Line((5, 0), (9, 1)), False),
        (Line((0, 0), (5, 0)), Line((5, 0), (9, 0), "other"), False),
        (QUARTER, Arc((1.0, 7.0), (-4.0, 2.0), (1.0, 2.0), 5.0, True), True),
        (QUARTER, WIDE, False),  # a whole turn
        (QUARTER, Arc((1.0, 7.0), (6.0, 2.0), (1.0, 2.0), 5.0, False), False),  # back
        (QUARTER, Arc((1.0, 7.0), (-1.0, 5.0), (1.0, 5.0), 2.0, True), False),  # another circle
        (QUARTER, Arc((1.0, 7.0), (-4.0, 12.0), (-4.0, 7.0), 5.0, True), False),  # as wide, elsewhere
        (QUARTER, Line((1.0, 7.0), (-4.0, 7.0)), False),
    ],
)
def test_which_pieces_run_on(a: Edge, b: Edge, merged: bool) -> None:
    assert runs_on(a, b) is merged
    assert runs_on(a, b, across_tags=True) is (merged or b.tag == "other")


def test_how_far_a_point_is_off_a_line() -> None:
    """Off the line through (1, 1) along (3, 4): (4, 0) from it is 4 · 4 / 5."""
    assert _off_line((5, 1), (1, 1), (4, 5)) == pytest.approx(3.2)
    assert _off_line((1, 6), (1, 1), (4, 5)) == pytest.approx(3.0)


def test_short_pieces_are_left_out_and_what_runs_on_is_merged() -> None:
    """A square begun in the middle of a side, with a corner cut off by 1e-9."""
    points = [(0, 0), (5, 0), (10 - 1e-9, 0), (10, 1e-9), (10, 10), (0, 10)]
    edges = [Line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)]
    found = simplified_loop(Loop(tuple(edges)))
    assert found is not None
    assert len(found.edges) == 4
    assert found.area == pytest.approx(100)
    assert simplified_loop(Loop.rectangle(5e-9, 5e-9)) is None


def ring(*radii: float) -> list[Loop]:
    return [Loop.circle((0, 0), r) if k % 2 == 0 else Loop.circle((0, 0), r).reversed() for k, r in enumerate(radii)]


def test_holes_belong_to_the_smallest_outline_about_them() -> None:
    """Rings 20 to 15 and 10 to 5 about one centre, and one aside with a hole."""
    aside = [Loop.circle((40, 0), 8), Loop.circle((40, 0), 2).reversed()]
    found = nested([*ring(20, 15, 10, 5), *aside])
    assert sorted((region.area / math.pi, len(region.holes)) for region in found) == [
        (pytest.approx(60), 1), (pytest.approx(75), 1), (pytest.approx(175), 1),
    ]  # fmt: skip
    with pytest.raises(GeometryError, match=r"a hole near \(\S+, \S+\) lies in no outline"):
        nested([*ring(20, 15), *aside, Loop.circle((90, 0), 2).reversed()])


def course(points: list[complex], runs: list[tuple[int, int]]) -> tuple[EdgeTable, Course]:
    vertices = np.array(points)
    start, end = np.array(runs).T
    lines = EdgeTable.straight(vertices[start], vertices[end])
    rows = np.arange(len(runs))
    return lines, Course(vertices, start, end, rows, np.zeros(len(runs), dtype=bool))


def test_two_squares_that_touch_in_a_corner_are_two_loops() -> None:
    """Each run goes on round the same corner of material: the next one clockwise."""
    points = [0j, 5 + 0j, 5 + 5j, 5j, -5 + 0j, -5 - 5j, -5j]
    runs = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 4), (4, 5), (5, 6), (6, 0)]
    loops = [sorted(loop) for loop in simple_loops(*course(points, runs))]
    assert sorted(loops) == [[0, 1, 2, 3], [4, 5, 6, 7]]
    with pytest.raises(GeometryError, match=r"does not close at \(-5\.000000, -5\.000000\): 1 pieces arrive, 0 leave"):
        list(simple_loops(*course(points, [run for run in runs if run != (5, 6)])))


@pytest.mark.parametrize(("ccw", "way"), [(True, 1.0), (False, -1.0)])
def test_the_direction_in_which_a_piece_leaves_a_corner(ccw: bool, way: float) -> None:
    """On a circle of radius 5 a chord of 5 turns by 30 degrees; a line does not turn. From its end the way is back."""
    arc = Arc((0.0, 0.0), (5.0, 5.0 * way), (0.0, 5.0 * way), 5.0, ccw)
    edges = table(arc, Line((0.0, 0.0), (9.0, 0.0)))
    vertices = complexes(0, complex(5, 5 * way), 9)
    ends = np.array([1, 2])
    forth = Course(vertices, np.array([0, 0]), ends, np.array([0, 1]), np.zeros(2, dtype=bool))
    assert _direction(edges, forth, np.array([0, 1]), 5.0, from_end=False) == pytest.approx(
        complexes(np.exp(1j * way * math.pi / 6), 1)
    )
    # At (5, 5) the arc runs upwards; seen from there it goes back down, turned by 30 degrees the other way.
    back = _direction(edges, forth, np.array([0, 1]), 5.0, from_end=True)
    assert back == pytest.approx(complexes(-1j * way * np.exp(-1j * way * math.pi / 6), -1))
    against = Course(vertices, ends, np.array([0, 0]), np.array([0, 1]), np.ones(2, dtype=bool))
    assert _direction(edges, against, np.array([0, 1]), 5.0, from_end=True) == pytest.approx(
        complexes(np.exp(1j * way * math.pi / 6), 1)
    )


def test_neighbours_go_round_each_loop_by_itself() -> None:
    before, after = _neighbours(Region.of(Loop.rectangle(9, 9), [Loop.circle((0, 0), 1)]))
    assert (before.tolist(), after.tolist()) == ([3, 0, 1, 2, 5, 4], [1, 2, 3, 0, 5, 4])


@pytest.mark.parametrize(
    ("edge", "at", "to", "move", "shortens"),
    [
        (Line((0, 0), (10, 0)), 5 + 0j, 5 + 4j, 1 + 0j, False),  # square to the line
        (Line((0, 0), (10, 0)), 5 + 0j, 6 + 4j, 1 + 0j, True),
        (Line((0, 0), (10, 0)), 5 + 0j, 6 + 4j, -1 + 0j, False),
        (Arc((6, 2), (1, 7), (1, 2), 5.0, True), 5 + 5j, -3 - 1j, -0.6 + 0.8j, True),  # 10 across: past the centre
        (Arc((6, 2), (1, 7), (1, 2), 5.0, True), 5 + 5j, 3 + 3.5j, -0.6 + 0.8j, False),  # 2.5: before it
        (Arc((6, 2), (1, 7), (1, 2), 5.0, True), 5 + 5j, 9 + 8j, -0.6 + 0.8j, False),  # outwards
    ],
)
def test_whether_moving_along_a_piece_shortens_a_way(
    edge: Edge, at: complex, to: complex, move: complex, shortens: bool
) -> None:
    assert _shortens(table(edge), complexes(move), complexes(at), complexes(to)).tolist() == [shortens]


def test_which_points_are_corners() -> None:
    at = complexes(0, 1e-9, 5, 10, 1e-6)
    assert _at_corner(table(*[Line((0, 0), (10, 0))] * 5), at).tolist() == [1, 1, 0, 1, 0]


def test_how_far_an_edge_turns_about_a_point() -> None:
    """A quarter turn of radius 5 seen from its centre is 90 degrees; from between chord and arc more than half a turn."""
    from_centre, between, outside = (turned(table(QUARTER), complexes(z))[0] for z in (1 + 2j, 4.2 + 5.2j, 9 + 10j))
    assert from_centre == pytest.approx(math.pi / 2)
    assert between > math.pi
    ways = (6 + 2j - 9 - 10j), (1 + 7j - 9 - 10j)
    assert outside == pytest.approx(np.angle(ways[1] / ways[0]))
    assert turned(table(QUARTER.reversed()), complexes(4.2 + 5.2j))[0] == pytest.approx(-between)


PARTS: list[tuple[Callable[[], Region], Point, int]] = [
    (lambda: Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 3)]), (0.0, 0.0), 0),
    (lambda: Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 3)]), (4.0, 1.0), 1),
    (lambda: Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 3)]), (0.0, 3.5), 1),
    (lambda: Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 3)]), (0.0, -2.9), 0),
    (lambda: Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 3)]), (12.0, 0.0), 0),
    (lambda: Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 3)]), (-12.0, 5.0), 0),
    (lambda: Region(Loop.slot(32, 12)), (15.0, 2.0), 1),
    (lambda: Region(Loop.slot(32, 12)), (15.0, 4.0), 0),
    (lambda: Region(Loop.slot(32, 12)), (-15.9, 0.0), 1),
    (lambda: Region(Loop.slot(32, 12)), (-16.1, 0.0), 0),
]


@pytest.mark.parametrize(("make", "point", "times"), PARTS)
def test_how_often_loops_wind_round_a_point(
    make: Callable[[], Region], point: Point, times: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By angles, and by counting crossings; also beside the corners' heights, where counting leaves it to the angles."""
    edges, at = EdgeTable.of(make().edges), complexes(complex(*point))
    assert winding(edges, at).tolist() == [times]
    monkeypatch.setattr(winding_module, "FEW_PAIRS", 0)
    assert winding(edges, at).tolist() == [times]
    back = EdgeTable(edges.end, edges.start, edges.centre, edges.radius, -edges.sweep)
    assert winding(back, at).tolist() == [-times]
    many = np.concatenate([at, complexes(100, 100 + 100j), at])
    assert winding(edges, many).tolist() == [times, 0, 0, times]
