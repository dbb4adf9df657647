"""Shapes of holes as a drawing numbers them, and circles round misfits, by hand."""

import math

import numpy as np
import pytest

from platemaker.survey import FitKind, NominalKind, Pattern, best_fit, better_placed, nominals
from platemaker.survey._adjustment._statistics import chi_square_above, ellipse, median
from platemaker.survey._pattern._best_fit import _smallest_circle, _through
from platemaker.survey._pattern._nominal import INCH_STEPS, MM_STEPS
from platemaker.survey._pattern._shapes import _boxed, _circle, _filled, _rows, _sides, shapes


def test_holes_along_a_rectangle_go_round_it_counter_clockwise_from_its_first_corner():
    h, t = 0.5, 1 / 6
    assert _sides(2, 2).tolist() == [[-h, -h], [h, -h], [h, h], [-h, h]]
    assert _sides(3, 4) == pytest.approx(np.array(
        [(-h, -h), (0, -h), (h, -h), (h, -t), (h, t), (h, h), (0, h), (-h, h), (-h, t), (-h, -t)]
    ))  # fmt: skip


def test_holes_over_a_grid_go_row_by_row():
    assert _filled(3, 2).tolist() == [[-0.5, -0.5], [0, -0.5], [0.5, -0.5], [-0.5, 0.5], [0, 0.5], [0.5, 0.5]]


@pytest.mark.parametrize(
    ("places", "order", "steps"),
    [
        ([(30, 5), (10, 5), (50, 5)], [1, 0, 2], [20, 40]),
        ([(0, 9), (0, 3), (0, -1)], [2, 1, 0], [4, 10]),  # along Y: upwards
        ([(8, -6), (0, 0), (4, -3)], [1, 2, 0], [5, 10]),  # falls, and still along X
    ],
)
def test_a_row_is_numbered_along_x_and_measured_from_its_first_hole(places, order, steps):
    even, single = _rows(np.array(places, dtype=float))
    assert (even.kind, single.kind) == (NominalKind.EVEN_ROW, NominalKind.ROW)
    assert even.order == single.order == order
    assert single.start == pytest.approx(steps)
    assert even.start == pytest.approx(steps[-1:] / np.array(2.0))
    assert even.bases.tolist() == [[[0, 0], [1, 0], [2, 0]]]
    assert single.bases.tolist() == [[[0, 0], [1, 0], [0, 0]], [[0, 0], [0, 0], [1, 0]]]


def test_two_holes_are_an_even_row_alone():
    assert [shape.kind for shape in shapes(np.array([[0.0, 0.0], [30.0, 0.0]]))] == [NominalKind.EVEN_ROW]


def test_a_bolt_circle_is_numbered_counter_clockwise_from_the_hole_nearest_to_x():
    places = np.array([(5, 17), (-5, 7), (5, -3), (15, 7)], dtype=float)
    found = _circle(places)
    assert found.order == [3, 0, 1, 2]
    assert found.start == pytest.approx([20])
    assert found.bases[0] == pytest.approx(np.array([(0.5, 0), (0, 0.5), (-0.5, 0), (0, -0.5)]))


@pytest.mark.parametrize("turn", [0.0, 30.0, -40.0])
def test_the_box_round_a_rectangle_is_turned_back(turn):
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = np.array([(0, 0), (80, 0), (80, 60), (0, 60)], dtype=float) - (40, 30)
    turned, size = _boxed(corners @ np.array([[c, s], [-s, c]]) + (500, -3))
    assert turned == pytest.approx(corners)
    assert size == pytest.approx([80, 60])


@pytest.mark.parametrize(
    ("count", "rows"),
    [
        ((2, 2), {(NominalKind.RECTANGLE, (2, 2))}),
        ((4, 2), {(NominalKind.RECTANGLE, (4, 2))}),
        ((2, 4), {(NominalKind.RECTANGLE, (2, 4))}),
        ((3, 3), {(NominalKind.GRID, (3, 3))}),
        ((4, 3), {(NominalKind.GRID, (4, 3))}),
        ((3, 4), {(NominalKind.GRID, (3, 4))}),
        ((5, 3), {(NominalKind.GRID, (5, 3))}),
    ],
)
def test_a_full_grid_and_a_rectangle_are_found_by_the_holes_along_their_sides(count, rows):
    places = _filled(*count) * (90, 50)
    found = [shape for shape in shapes(places) if shape.kind in (NominalKind.RECTANGLE, NominalKind.GRID)]
    assert {(shape.kind, shape.rows) for shape in found} == rows
    assert found[0].start == pytest.approx([90, 50])


MM_PITCHES = [(40.0, 10.0), (35.0, 5.0), (37.0, 1.0), (37.5, 0.5), (37.25, 0.25), (37.3, 0.1)]
IN_32NDS = [(64, 32), (48, 16), (56, 8), (60, 4), (62, 2), (61, 1)]  # 2, 1-1/2, 1-3/4, 1-7/8, 1-15/16, 1-29/32 in


@pytest.mark.parametrize(
    ("pitch", "step"), [*MM_PITCHES, *((ticks * 25.4 / 32, step * 25.4 / 32) for ticks, step in IN_32NDS)]
)
def test_a_pitch_is_proposed_at_the_coarsest_step_that_it_is_round_to(pitch, step):
    pattern = Pattern(("A", "B"), ((0.0, 0.0), (pitch, 0.0)), 1e-6 * np.eye(4))
    steps = MM_STEPS if step in MM_STEPS else INCH_STEPS
    assert [nominal.step for nominal in nominals(pattern, steps)] == [pytest.approx(step)]


@pytest.mark.parametrize(("off", "fits"), [(0.0030, True), (0.0033, False)])
def test_a_size_off_by_more_than_chance_is_no_nominal(off, fits):
    """Two holes, 0.001 mm each way: sd of the pitch 0.001 sqrt(2). Two-sided normal at 1 - sqrt(0.95) = 2.53 %: 2.236
    deviations (from memory of the normal's table: 2.241 at 2.5 %) = 0.00316 mm."""
    pattern = Pattern(("A", "B"), ((0.0, 0.0), (40.0 + off, 0.0)), 1e-6 * np.eye(4))
    assert bool(nominals(pattern, (10.0,))) is fits


@pytest.mark.parametrize(("sigma", "tried"), [(0.0352, True), (0.0355, False)])
def test_steps_finer_than_two_deviations_are_not_tried(sigma, tried):
    """The pitch's deviation is sqrt(2) sigma; 0.1 / (2 sqrt(2)) = 0.03536."""
    pattern = Pattern(("A", "B"), ((0.0, 0.0), (40.0, 0.0)), sigma**2 * np.eye(4))
    assert bool(nominals(pattern, (0.1,))) is tried


@pytest.mark.parametrize(
    ("value", "freedom"), [(3.841, 1), (5.991, 2), (7.815, 3), (9.488, 4), (11.070, 5), (12.592, 6)]
)
def test_chance_of_a_chi_square(value, freedom):
    """5 % points of any table of chi-square (from memory)."""
    assert chi_square_above(value, freedom) == pytest.approx(0.05, abs=3e-5)


def test_no_chi_square_is_certain_to_be_exceeded():
    assert chi_square_above(0.0, 3) == chi_square_above(-1e-18, 2) == 1.0
    assert chi_square_above(1e-9, 2) == pytest.approx(1.0)  # exp(-x / 2) of two degrees
    assert chi_square_above(1e-9, 2) < 1.0


@pytest.mark.parametrize(("values", "middle"), [([7.0], 7), ([5, 1], 3), ([9, 1, 4], 4), ([8, 1, 2, 4], 3)])
def test_middle_value(values, middle):
    assert median(values) == middle


@pytest.mark.parametrize(
    ("covariance", "angle"),
    [
        ([[4, 0], [0, 1]], 0),
        ([[1, 0], [0, 4]], 90),
        ([[2.5, 1.5], [1.5, 2.5]], 45),  # eigenvalues 2.5 +- 1.5
        ([[2.5, -1.5], [-1.5, 2.5]], -45),
        ([[1.75, 1.5 * math.sqrt(0.75)], [1.5 * math.sqrt(0.75), 3.25]], 60),  # 2.5 +- 1.5 cos 120
        ([[1.75, -1.5 * math.sqrt(0.75)], [-1.5 * math.sqrt(0.75), 3.25]], -60),
    ],
)
def test_half_axes_and_direction_of_an_ellipse(covariance, angle):
    found = ellipse(np.array(covariance), 9.0)
    assert (found.semi_major, found.semi_minor, found.angle) == pytest.approx((6, 3, angle))


@pytest.mark.parametrize(
    ("points", "centre", "radius"),
    [
        ([(1, 2)], (1, 2), 0),
        ([(1, 2), (7, 10)], (4, 6), 5),
        ([(4, 3), (-3, 4), (0, -5)], (0, 0), 5),
        ([(4, 3), (-3, 4), (0, -5), (1, 1), (-2, 0)], (0, 0), 5),
        ([(0, 0), (10, 0), (5, 1)], (5, 0), 5),  # blunt: the longest side alone
        ([(5, 1), (0, 0), (10, 0), (5, -2)], (5, 0), 5),
        ([(0, 0), (1, 0), (4, 0)], (2, 0), 2),
    ],
)
def test_smallest_circle_round_points(points, centre, radius):
    for shift in (0, 20 - 30j):
        found, size = _smallest_circle([complex(*point) + shift for point in points])
        assert (found - shift, size) == pytest.approx((complex(*centre), radius))


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 0, 1), (1, 0, 2)])
def test_circle_through_three_points(order):
    points = [complex(7, 5), complex(0, 6), complex(3, -3)]  # 5 about (3, 2): 3-4-5
    assert _through(*(points[i] for i in order)) == pytest.approx((3 + 2j, 5))
    row = [1 + 1j, 3 + 1j, 9 + 1j]
    assert _through(*(row[i] for i in order)) == pytest.approx((5 + 1j, 4))


def test_a_placement_says_where_any_point_comes_to_lie():
    """A quarter turn about the mean (20, 10), then to (15, 25); the misfits of 3 holes by hand."""
    start = Pattern(("A", "B", "C"), ((0.0, 0.0), (40.0, 0.0), (20.0, 30.0)))
    goal = Pattern(("A", "B", "C"), ((25.0, 5.0), (25.0, 45.0), (-5.0, 25.0)))
    found = best_fit(start, goal)
    assert (*found.middle, *found.shift, found.turn) == pytest.approx((20, 10, -5, 15, 90))
    assert found.place((30.0, 12.0)) == pytest.approx((13, 35))  # (10, 2) turned: (-2, 10)
    assert found.root_mean_square == pytest.approx(0, abs=1e-9)


def test_what_a_placement_leaves_is_placed_less_wanted():
    """Two holes 10 apart on two 10.6 apart: 0.3 at either end, inwards."""
    found = best_fit(Pattern(("A", "B"), ((0.0, 0.0), (10.0, 0.0))), Pattern(("A", "B"), ((5.0, 1.0), (15.6, 1.0))))
    assert np.array([(one.dx, one.dy) for one in found.misfits]) == pytest.approx(np.array([(0.3, 0), (-0.3, 0)]))
    assert found.root_mean_square == pytest.approx(0.3)
    assert found.shift == pytest.approx((5.3, 1))


def test_one_hole_is_put_on_the_other_unturned():
    found = best_fit(Pattern(("A",), ((3.0, 4.0),)), Pattern(("A",), ((1.0, 1.0),)), FitKind.LEAST_LARGEST)
    assert (found.turn, found.shift, found.largest.distance) == (0.0, (-2.0, -3.0), 0.0)
    assert better_placed(Pattern(("A",), ((3.0, 4.0),)), Pattern(("A",), ((1.0, 1.0),))) is None


def test_least_largest_misfit_halves_what_one_hole_is_off():
    """Corners of a square of 100, one of them 0.4 out along X: two goals lie 100.4 apart, so that one hole is 0.2 off at
    least, however the square is placed; least squares leave more."""
    corners = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
    goal = (*corners[:2], (100.4, 100.0), corners[3])
    found = best_fit(Pattern(tuple("ABCD"), corners), Pattern(tuple("ABCD"), goal), FitKind.LEAST_LARGEST)
    squares = best_fit(Pattern(tuple("ABCD"), corners), Pattern(tuple("ABCD"), goal))
    assert found.largest.distance == pytest.approx(0.2, abs=1e-9)
    assert squares.largest.distance > 0.21
