"""Bores as runs of straight lines, and lines cut to a blank: shares of lengths and distances by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.plane import Arc, Line, Loop, Region
from platemaker.space import Cone, Cylinder, Frame, Prism, box, pieces_in
from platemaker.space._clipped import (
    _crossings,
    _edge_crossings,
    _low_places,
    _merged,
    _ratio,
    least_to,
    line_distances,
    runs_of,
)

BLANK = box((0, 0, 0), (10, 6, 4))


def rows(*points: tuple[float, float, float]) -> np.ndarray:
    return np.array(points, dtype=float)


def test_a_line_through_a_blank_is_cut_at_its_faces() -> None:
    starts, ends, lines = pieces_in(
        BLANK, rows((-10, 3, 2), (5, 3, -4), (5, 20, 2)), rows((30, 3, 2), (5, 3, 12), (9, 20, 2))
    )
    assert lines.tolist() == [0, 1]
    assert starts == pytest.approx(rows((0, 3, 2), (5, 3, 0)))
    assert ends == pytest.approx(rows((10, 3, 2), (5, 3, 4)))


def test_a_line_over_a_pocket_is_cut_in_two() -> None:
    """A hole of radius 5 about the middle of 40 x 30: along y = 3 the hole is there from x = -4 to 4."""
    plate = Prism(Region.of(Loop.rectangle(40, 30), [Loop.circle((0, 0), 5)]), Frame((0, 0, 1)), 4.0)
    starts, ends, lines = pieces_in(plate, rows((-30, 3, 2), (-30, 6, 2)), rows((30, 3, 2), (30, 6, 2)))
    assert lines.tolist() == [0, 0, 1]
    assert starts[:, 0] == pytest.approx([-20, 4, -20])
    assert ends[:, 0] == pytest.approx([-4, 20, 20])


def test_shares_at_which_a_line_meets_walls_are_in_rising_order() -> None:
    """From (-5, 3, 1), 20 along x: the end walls at 5 and 15 of 20; walls along it count as 1."""
    shares = _crossings(BLANK, rows((-5, 3, 1)), rows((15, 3, 1)))
    assert shares.tolist() == [[0.0, 0.25, 0.75, 1.0, 1.0, 1.0, 1.0, 1.0]]


@pytest.mark.parametrize(
    ("start", "way", "share"),
    [
        ((0, 0, 0), (10, 0, 0), 0.4),  # 10s = 4
        ((0, 2, 0), (4, 1, 0), 0.4),  # 2 + 5s = 4
        ((1, 1, 5), (1, 1, 9), 1.0),  # 2 + 2s = 4
        ((9, 0, 0), (-4, -1, 0), 1.0),  # 9 - 5s = 4, on the wall's line beyond its end
    ],
)
def test_a_line_meets_the_line_of_a_wall(
    start: tuple[float, float, float], way: tuple[float, float, float], share: float
) -> None:
    """The wall runs from (4, 0) to (0, 4): x + y = 4."""
    (found,) = _edge_crossings(Line((4.0, 0.0), (0.0, 4.0)), rows(start), rows(way))
    assert found == pytest.approx([share])


def test_a_line_meets_the_circle_of_a_wall_twice() -> None:
    """Radius 5 about (1, 2); along y = 5 from x = -9, way 20: at x = -3 and 5, so 6 / 20 and 14 / 20."""
    arc = Arc((6.0, 2.0), (1.0, 7.0), (1.0, 2.0), 5.0, True)
    first, last = _edge_crossings(arc, rows((-9, 5, 0)), rows((20, 0, 7)))
    assert (first[0], last[0]) == pytest.approx((0.3, 0.7))
    # Aslant: from (-5, -6) along (12, 16) through the centre: 10 in, less and more 5, of 20.
    first, last = _edge_crossings(arc, rows((-5, -6, 0)), rows((12, 16, 0)))
    assert (first[0], last[0]) == pytest.approx((0.25, 0.75))
    upright = _edge_crossings(arc, rows((1, 2, 0)), rows((0, 0, 5)))
    assert np.isnan(upright).all()


def test_a_ratio_to_nothing_is_none() -> None:
    assert _ratio(np.array([6.0, 1.0]), np.array([4.0, -2.0])).tolist() == [1.5, -0.5]
    assert np.isnan(_ratio(np.array([1.0]), np.array([0.0])))[0]


def test_pieces_of_a_line_that_follow_on_are_one() -> None:
    lines = np.array([0, 0, 0, 1, 1])
    low, high = np.array([0.0, 0.2, 0.6, 0.0, 0.5]), np.array([0.2, 0.4, 0.9, 0.5, 1.0])
    kept, begin, end = _merged(lines, low, high)
    assert (kept.tolist(), begin.tolist(), end.tolist()) == ([0, 0, 1], [0.0, 0.6, 0.0], [0.4, 0.9, 1.0])


@pytest.mark.parametrize(
    ("p", "q", "apart", "near", "far"),
    [
        # The common perpendicular: 3 in z, met at the middle of one and a quarter of the other.
        (((-5, 0, 0), (5, 0, 0)), ((0, -2, 3), (0, 6, 3)), 3.0, (0, 0, 0), (0, 0, 3)),
        # Past the end of the first: from (5, 0, 0) to (8, 0, 4), 3-4-5.
        (((-5, 0, 0), (5, 0, 0)), ((8, -2, 4), (8, 6, 4)), 5.0, (5, 0, 0), (8, 0, 4)),
        # Before its start.
        (((-5, 0, 0), (5, 0, 0)), ((-8, -2, 4), (-8, 6, 4)), 5.0, (-5, 0, 0), (-8, 0, 4)),
        # Past the end of the second, and before its start.
        (((-5, 0, 0), (5, 0, 0)), ((1, -9, 4), (1, -3, 4)), 5.0, (1, 0, 0), (1, -3, 4)),
        (((-5, 0, 0), (5, 0, 0)), ((1, 3, 4), (1, 9, 4)), 5.0, (1, 0, 0), (1, 3, 4)),
        # End to end: (5, 0, 0) to (7, 3, 6): 4 + 9 + 36 = 49.
        (((-5, 0, 0), (5, 0, 0)), ((7, 3, 6), (9, 9, 9)), 7.0, (5, 0, 0), (7, 3, 6)),
        # In one line.
        (((0, 0, 0), (5, 0, 0)), ((7, 0, 0), (9, 0, 0)), 2.0, (5, 0, 0), (7, 0, 0)),
        # Skew: u = (1, 2, 2), v = (2, 0, 1): u × v = (2, 3, -4), moved along it by 29 of its own squares.
        (((-1, -2, -2), (1, 2, 2)), ((0, 3, -5), (4, 3, -3)), math.sqrt(29), (0, 0, 0), (2, 3, -4)),
    ],
)
def test_two_straight_pieces_are_nearest_where_elementary_geometry_says(
    p: tuple[tuple[float, float, float], ...],
    q: tuple[tuple[float, float, float], ...],
    apart: float,
    near: tuple[float, float, float],
    far: tuple[float, float, float],
) -> None:
    found, at, there = line_distances(rows(p[0]), rows(p[1]), rows(q[0]), rows(q[1]))
    assert found[0, 0] == pytest.approx(apart)
    assert at[0, 0] == pytest.approx(near, abs=1e-12)
    assert there[0, 0] == pytest.approx(far, abs=1e-12)
    found, there, at = line_distances(rows(q[0]), rows(q[1]), rows(p[0]), rows(p[1]))
    assert (found[0, 0], *at[0, 0], *there[0, 0]) == pytest.approx((apart, *near, *far), abs=1e-12)


def test_each_line_is_measured_to_each() -> None:
    """Parallel lines at heights 0 and 1 against some at 4, 6 and 9."""
    p = rows((0, 0, 0), (0, 0, 1)), rows((5, 0, 0), (5, 0, 1))
    q = rows((0, 0, 4), (0, 0, 6), (0, 0, 9)), rows((5, 0, 4), (5, 0, 6), (5, 0, 9))
    apart, _, _ = line_distances(*p, *q)
    assert apart == pytest.approx(np.array([[4, 6, 9], [3, 5, 8]]))


def test_low_places_are_the_nearest_that_are_no_neighbours() -> None:
    apart = np.array([[5.0, 1.0, 2.0, 9.0, 3.0], [8.0, 1.5, 7.0, 9.0, 9.0], [4.0, 9.0, 9.0, 9.0, 6.0]])
    lines, others = np.arange(3), np.arange(5)
    # 1.0 at (0, 1); 1.5 and 2.0 lie next to it; then 3.0 at (0, 4), 4.0 at (2, 0), 6.0 at (2, 4).
    assert _low_places(apart, lines, others) == [(0, 1), (0, 4), (2, 0), (2, 4)]
    assert _low_places(apart, lines, np.array([0, 2, 4, 6, 8])) == [(0, 2), (0, 4), (0, 8), (2, 0)]


def ends_at(run: object, *places: float) -> tuple[np.ndarray, np.ndarray]:
    starts, ends = run.lines(np.array(places))  # type: ignore[attr-defined]
    return starts, ends


def test_the_side_of_a_cone_runs_from_rim_to_rim() -> None:
    """Radius 2 at z = 1 and 5 at z = 4: every line of the side is sqrt(3² + 3²) long."""
    cone = Cone((1, 2, 1), (1, 2, 4), 2.0, 5.0)
    side, small, large = runs_of(cone)
    starts, ends = ends_at(side, 0.0, 1.0, 4.0)
    assert np.hypot(starts[:, 0] - 1, starts[:, 1] - 2) == pytest.approx([2, 2, 2])
    assert np.hypot(ends[:, 0] - 1, ends[:, 1] - 2) == pytest.approx([5, 5, 5])
    assert starts[:, 2] == pytest.approx([1, 1, 1])
    assert ends[:, 2] == pytest.approx([4, 4, 4])
    assert np.linalg.norm(ends - starts, axis=1) == pytest.approx([math.sqrt(18)] * 3)
    assert (side.low, side.high, small.low, small.high) == (0.0, math.tau, 0.0, math.pi)
    # Chords of the large end: at a quarter turn a diameter, at a sixth 5 · sqrt(3).
    starts, ends = ends_at(large, math.pi / 2, math.pi / 3)
    assert np.linalg.norm(ends - starts, axis=1) == pytest.approx([10.0, 5 * math.sqrt(3)])
    assert len(list(runs_of(Cone((0, 0, 0), (0, 0, 3), 2.0, 0.0)))) == 2, "a tip has no flat end"
    assert list(runs_of(Cone((0, 0, 0), (0, 0, 0), 2.0, 1.0))) == []


def test_a_slanted_end_lies_in_its_plane() -> None:
    """The plane z = 10 + x cuts the upper end of an upright bore."""
    bore = Cylinder((0, 0, 0), (0, 0, 10), 3.0, None, (-1, 0, 1))
    side, _, upper = runs_of(bore)
    places = np.linspace(0, 6, 7)
    starts, ends = ends_at(side, *places)
    assert starts[:, 2] == pytest.approx(np.zeros(7))
    assert ends[:, 2] == pytest.approx(10 + ends[:, 0])
    starts, ends = ends_at(upper, 1.0, 2.0)
    assert starts[:, 2] == pytest.approx(10 + starts[:, 0])
    assert np.hypot(ends[:, 0], ends[:, 1]) == pytest.approx([3, 3])


def test_the_least_of_a_measure_over_a_bore_in_a_blank() -> None:
    """Height over z = 1 of a level bore of radius 2 about z = 3.5: 0.5, at its lowest line; where it is out, nothing."""

    def heights(starts: np.ndarray, ends: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        low = np.where((starts[:, 2] <= ends[:, 2])[:, None], starts, ends)
        return low[:, 2] - 1.0, low, low * (1.0, 1.0, 0.0) + (0.0, 0.0, 1.0)

    bore = Cylinder((-5, 3, 3.5), (15, 3, 3.5), 2.0)
    found = least_to(bore, BLANK, heights)
    assert found.distance == pytest.approx(0.5, abs=1e-9)
    assert found.point_a[1:] == pytest.approx((3.0, 1.5), abs=1e-4)
    assert found.point_b[2] == 1.0
    assert least_to(bore.moved((0, 20, 0)), BLANK, heights).distance == math.inf
