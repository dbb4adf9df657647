"""How a nominal pattern is written and laid on a survey, by hand: what is pasted into a spec must be what was judged."""

import math

import numpy as np
import pytest

from platemaker.records import replace
from platemaker.report import worded
from platemaker.survey import Nominal, NominalKind
from platemaker.survey._pattern._nominal import _estimated, _laid, _without_rigid_motion
from platemaker.survey._pattern._shapes import Shape

INCH = 25.4
CORNERS = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
BASES = np.stack([CORNERS * (1, 0), CORNERS * (0, 1)])
FOUR = Nominal(
    NominalKind.RECTANGLE, (80.0, 60.0), 10.0, (2, 2), 1.0, 5, 0.5, ("A", "B", "C", "D"),
    ((0.0, 0.0),) * 4, (0.1, 0.3, 0.2, 0.3), (1.5, -2.25), 30.0, ((0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (0.0, 60.0)),
)  # fmt: skip


@pytest.mark.parametrize(
    ("size", "number"),
    [
        (25.4, "1"),
        (12.7, "1/2"),
        (6.625 * INCH, "6-5/8"),
        (INCH / 32, "1/32"),
        (3 * INCH / 32, "3/32"),
        (31 * INCH / 32, "31/32"),
        (2.5 * INCH, "2-1/2"),
        (-2.5 * INCH, "-2-1/2"),
        (-INCH / 4, "-1/4"),
        (-4 * INCH, "-4"),
        (0.0, "0"),
        (2.54, "0.1"),  # no whole thirty-seconds
        (1.27, "0.05"),
        (INCH / 64, "0.015625"),
    ],
)
def test_inches_are_written_as_fractions(size, number):
    assert replace(FOUR, step=INCH)._number(size) == number


@pytest.mark.parametrize(
    ("size", "number"), [(80.0, "80"), (31.5, "31.5"), (0.25, "0.25"), (25.4, "25.4"), (-0.0, "0"), (1 / 3, "0.333333")]
)
def test_millimetres_are_written_as_decimals(size, number):
    assert FOUR._number(size) == number


@pytest.mark.parametrize(
    ("sizes", "step", "digits"),
    [
        ((90.0, 90.0), 10.0, 1.0),  # 9 steps: log10(1 + 9); written once
        ((90.0, 990.0), 10.0, 3.0),
        ((9.9,), 0.1, 2.0),
        ((9 * INCH,), INCH, 1.0),
    ],
)
def test_the_digits_that_sizes_take(sizes, step, digits):
    """The fewest are proposed first."""
    assert replace(FOUR, sizes=sizes, step=step).digits == pytest.approx(digits)


@pytest.mark.parametrize(("step", "inch"), [(10.0, False), (0.1, False), (INCH, True), (INCH / 32, True), (6.35, True)])
def test_which_steps_are_inches(step, inch):
    assert replace(FOUR, step=step).is_inch is inch


@pytest.mark.parametrize(
    ("change", "spelled"),
    [
        ({}, "{rectangle: [80 mm, 60 mm]}"),
        ({"rows": (3, 2)}, "{rectangle: [80 mm, 60 mm], rows: [3, 2]}"),
        ({"rows": (2, 3)}, "{rectangle: [80 mm, 60 mm], rows: [2, 3]}"),
        ({"kind": NominalKind.CIRCLE, "sizes": (110.0,)}, "{circle: 110 mm, count: 4}"),
        ({"kind": NominalKind.CIRCLE, "sizes": (5 * INCH,), "step": INCH}, "{circle: 5 in, count: 4}"),
        ({"kind": NominalKind.GRID}, "{points: [[0 mm, 0 mm], [80 mm, 0 mm], [80 mm, 60 mm], [0 mm, 60 mm]]}"),
        ({"kind": NominalKind.ROW}, "{row: [0 mm, 80 mm, 80 mm, 0 mm]}"),
    ],
)
def test_a_nominal_as_a_spec_spells_it(change, spelled):
    one = replace(FOUR, **change)
    assert one.spelled == spelled
    assert one.placed == spelled[:-1] + ", at: [1.5 mm, -2.25 mm], turn: 30}"


def test_where_a_nominal_lies_is_stated_to_a_micrometre():
    placed = replace(FOUR, at=(1.23456, -0.0001), turn=-0.123456).placed
    assert placed.endswith(", at: [1.235 mm, 0 mm], turn: -0.1235}")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({}, "within its uncertainty this is a 80 × 60 mm rectangle"),
        ({"simplest": False}, "it may also be a 80 × 60 mm rectangle"),
        ({"kind": NominalKind.CIRCLE, "sizes": (110.0,)}, "4 holes evenly on a 110 mm bolt circle"),
        ({"kind": NominalKind.EVEN_ROW, "sizes": (31.5,)}, "an even row of 4 holes at 31.5 mm pitch"),
        ({"kind": NominalKind.ROW, "sizes": (50.0, 80.0, 95.0)}, "4 holes, 50, 80, 95 mm from the first"),
        ({"kind": NominalKind.GRID, "rows": (4, 3)}, "a full grid of 4 × 3 holes over 80 × 60 mm"),
    ],
)
def test_a_nominal_in_words(change, words):
    """With the first of its largest misfits, 0.3 mm at B."""
    said = worded(replace(FOUR, **change).message).metric
    assert words in said
    assert "(largest misfit 0.300 mm at B" in said


@pytest.mark.parametrize("turn", [0.0, 30.0, 120.0, -88.0, 180.0])
def test_a_shape_laid_on_holes(turn):
    """Its origin comes to lie in the middle of a rectangle, and its holes on those that were turned and moved."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    places = CORNERS * (80, 60) @ np.array([[c, s], [-s, c]]) + (17, -4)
    laid, matrix, at = _laid(places, BASES, np.array([80.0, 60.0]))
    assert laid == pytest.approx(places)
    assert at == pytest.approx((17, -4))
    assert matrix == pytest.approx(np.array([[c, -s], [s, c]]))
    # About a corner the origin is that corner.
    corner = np.stack([(CORNERS + 0.5) * (1, 0), (CORNERS + 0.5) * (0, 1)])
    laid, _, at = _laid(places, corner, np.array([80.0, 60.0]))
    assert (laid, at) == (pytest.approx(places), pytest.approx(places[0]))
    # Too large by 8 and 6: every hole stands out by half of it.
    assert np.linalg.norm(_laid(places, BASES, np.array([88.0, 66.0]))[0] - places, axis=1) == pytest.approx([5.0] * 4)


def test_the_sizes_of_a_rectangle_are_the_means_of_its_sides():
    """Each hole to 0.1 mm both ways. The width is (x2 + x3 - x1 - x4) / 2, to 4 x 0.01 / 4 = 0.01 mm2. One hole pulled
    out by 0.2 makes it 0.1 wider; of the 0.04 mm2 a shift takes 0.04 / 4, the width 0.1^2, and a turn (30 x 0.2)^2 over
    4 x 50^2: 0.0164 is left, 1.64 variances.
    """
    places = CORNERS * (80, 60)
    pulled = places + np.array([(0, 0), (0, 0), (0.2, 0), (0, 0)])
    free = _without_rigid_motion(pulled)
    weight = np.linalg.inv(free.T @ (0.01 * np.eye(8)) @ free)
    shape = Shape(NominalKind.RECTANGLE, BASES, [0, 1, 2, 3], np.array([70.0, 70.0]), (2, 2))
    sizes, cofactor, left = _estimated(pulled, shape, free, weight)
    assert sizes == pytest.approx((80.1, 60.0), abs=1e-3)
    assert cofactor == pytest.approx(0.01 * np.eye(2), abs=1e-5)
    assert left == pytest.approx(1.64, rel=1e-2)
