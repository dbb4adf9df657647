"""What a set of readings leaves unnoticed, which sets fold, and how a plan is laid out: small cases by hand."""

import itertools
import math
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.errors import SpecError
from platemaker.survey import Datum, Feature, FeatureKind, Reading, ReadingKind
from platemaker.survey._answer._reliability import repeat_bound
from platemaker.survey._answer._slips import meant_as, other_kind
from platemaker.survey._planning._plan import (
    Criterion,
    RoughHoles,
    _joined,
    _moved,
    _multiples,
    _rows,
    candidate_pairs,
    unfolding,
)
from platemaker.survey._planning._plan_file import _Draft, _kind, _natural, _Planner
from platemaker.survey._records import Rough

SQUARE = np.array([(0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (0.0, 60.0)])


def criterion_of(places, halves=0.0, sigma=0.03, diameter_sigma=0.03):
    pairs = candidate_pairs(places)
    spots = RoughHoles(places, np.full(len(places), 8.5), sigma, diameter_sigma)
    return Criterion(spots, pairs, [(halves, halves)] * len(pairs))


@pytest.mark.parametrize(
    ("halves", "diameter_sigma", "share"), [(0.0, 0.03, math.sqrt(2) / 4), (-1.0, 0.12, math.sqrt(2) / 2)]
)
def test_what_a_span_read_twice_leaves_unnoticed(halves, diameter_sigma, share):
    """Of two values of 0.03 the mean is off by bound x 0.03 / sqrt(2) unnoticed, and each end moves by half of it: a
    share of sqrt(2) / 4. A diameter of two values of 0.12 = 4 x 0.03 counts half in the span, and so a quarter at each
    end: 4 / sqrt(2) / 4."""
    criterion = criterion_of(SQUARE[:2], halves, 0.03, diameter_sigma)
    assert criterion.worst(np.array([[2]]))[0] == pytest.approx(share * 0.03 * repeat_bound(2), rel=1e-6)
    assert criterion.worst(np.array([[1], [0]])).tolist() == [math.inf, math.inf]


def test_a_quadrilateral_with_four_sides_alone_is_held_by_nothing():
    criterion = criterion_of(SQUARE)
    sides = [1 if (j - i) in (1, 3) else 0 for i, j in criterion.pairs]
    five = [1, *([1] * 4), 0]
    found = criterion.worst(np.array([sides, five, [1] * 6, [2] * 6]))
    assert found[0] == found[1] == math.inf  # five hold it, and check nothing
    assert found[3] < found[2] < 1.0


@pytest.mark.parametrize("times", [1, 2])
def test_a_reading_less_is_the_set_without_it(times):
    """The covariance that is updated, against the one that is inverted from the start."""
    places = np.array([(0.0, 0.0), (80.0, 5.0), (75.0, 62.0), (-3.0, 58.0), (33.0, 31.0)])
    criterion = criterion_of(places, -1.0)
    chosen = np.full(10, times)
    chosen[3] = 3 - times
    rows = np.arange(10)
    less = np.repeat(chosen[None], 10, axis=0)
    less[rows, rows] -= 1
    assert criterion.without(chosen, rows) == pytest.approx(criterion.worst(less), rel=1e-5)


def test_the_farthest_that_an_effect_moves_a_hole():
    effects = np.array([[3.0, 4.0, 0.0, -6.0, 99.0, 99.0], [1.0, 0.0, -8.0, 6.0, 99.0, 99.0]])
    assert _moved(effects, 2).tolist() == [6.0, 10.0]


def test_three_holes_want_all_spans_and_four_too():
    three, four = criterion_of(SQUARE[:3]), criterion_of(SQUARE)
    assert unfolding(three, range(3))
    assert not any(unfolding(three, rows) for rows in itertools.combinations(range(3), 2))
    assert unfolding(four, range(6))
    assert not any(unfolding(four, rows) for rows in itertools.combinations(range(6), 5))
    four.deciding.append(frozenset({2}))
    assert unfolding(four, range(6))
    four.deciding.append(frozenset())
    assert not unfolding(four, range(6))


def test_two_blocks_that_hang_on_two_holes_fold():
    """Two groups of four that share two holes: either may be mirrored in the line through these."""
    places = np.array([(0, 0), (7, 50), (-60, 11), (-50, 45), (70, 5), (61, 40)], dtype=float)
    criterion = criterion_of(places)
    blocks = [set(itertools.combinations((0, 1, 2, 3), 2)), set(itertools.combinations((0, 1, 4, 5), 2))]
    rows = [row for row, pair in enumerate(criterion.pairs) if any(pair in block for block in blocks)]
    assert not unfolding(criterion, rows)
    assert unfolding(criterion, range(15))
    across = [row for row, pair in enumerate(criterion.pairs) if pair in ((2, 4), (3, 5))]
    assert unfolding(criterion, [*rows, *across])


@pytest.mark.parametrize(("off", "rows"), [(0.0, [0b00111]), (1.9, [0b00111]), (-1.9, [0b00111]), (2.1, [])])
def test_holes_within_two_millimetres_of_a_line_are_a_row(off, rows):
    places = np.array([(5, 7), (105, 7 + off), (205, 7), (5, 307), (500, 400)], dtype=float)
    assert list(_rows(RoughHoles(places, np.full(5, 8.5), 0.03, 0.03))) == rows


@pytest.mark.parametrize(
    ("near", "among", "whole"),
    [
        ([0b0010, 0b0101, 0b1010, 0b0100], 0b1111, True),  # a chain
        ([0b0010, 0b0101, 0b1010, 0b0100], 0b1011, False),  # without its third
        ([0b0010, 0b0001, 0b1000, 0b0100], 0b1111, False),  # two pairs
        ([0b0010, 0b0001, 0b1000, 0b0100], 0b1100, True),
        ([0b1000, 0b1000, 0b1000, 0b0111], 0b1111, True),
    ],
)
def test_whether_holes_hang_together(near, among, whole):
    assert _joined(near, among) is whole


@pytest.mark.parametrize(
    ("total", "sets"),
    [
        (1, [((0,), ()), ((1,), ())]),
        (2, [((0, 1), ()), ((0,), (0,)), ((1,), (1,))]),
        (3, [((0, 1), (0,)), ((0, 1), (1,))]),
        (4, [((0, 1), (0, 1))]),
    ],
)
def test_every_set_of_so_many_readings(total, sets):
    """Each pair not at all, once or twice."""
    assert list(_multiples({1: [(0,), (1,)], 2: [(0, 1)]}, total)) == sets


def test_up_to_sixteen_holes_every_pair_may_be_read():
    ring = [(math.cos(i), math.sin(i)) for i in range(17)]
    assert len(candidate_pairs(np.array(ring[:16]))) == 16 * 15 / 2
    assert len(candidate_pairs(np.array(ring))) < 17 * 16 / 2


def feature(name, at, kind=FeatureKind.HOLE, diameter=8.0):
    return Feature(name, kind, rough=Rough(at, 1.0, diameter))


def planner(**model):
    loaded = SimpleNamespace(where=lambda keys: None)
    return _Planner(loaded, SimpleNamespace(units="mm", datum=None, **model), lambda pattern: {})


@pytest.mark.parametrize(
    ("places", "datum"),
    [
        ({"1": (0, 0), "2": (80, 0), "3": (80, 60)}, Datum("1", "2", left=("3",))),
        ({"1": (0, 0), "2": (80, 0), "3": (80, -60)}, Datum("1", "2", right=("3",))),
        ({"1": (5, 5), "2": (5, 85), "3": (-15, 5)}, Datum("1", "2", left=("3",))),
        ({"1": (5, 5), "2": (5, 85), "3": (20, 30)}, Datum("1", "2", right=("3",))),
        ({"1": (0, 0), "2": (30, 0), "3": (90, 0)}, Datum("1", "3")),
        # Of two that are distant X runs towards the one that lies more along X, though the other is farther.
        ({"1": (10, 20), "2": (90, 30), "3": (10, 120)}, Datum("1", "2", left=("3",))),
    ],
)
def test_a_plan_without_a_datum_takes_its_first_hole_and_x_along_the_plan(places, datum):
    assert planner()._datum(tuple(feature(name, at) for name, at in places.items())) == datum


@pytest.mark.parametrize(("off", "refused"), [(0.99, True), (1.01, False)])
def test_holes_under_a_millimetre_apart_are_refused(off, refused):
    features = tuple(feature(name, at) for name, at in (("A", (0, 0)), ("B", (50, 0)), ("C", (50, off))))
    places = np.array([one.rough.at for one in features])
    if refused:
        with pytest.raises(SpecError, match=r"B and C lie 0\.99 mm apart"):
            planner()._apart(features, places)
    else:
        planner()._apart(features, places)


def test_what_a_plan_says_each_pair_will_roughly_read():
    """Holes of 8 and 10 and a stud of 12 at 3, 4, 5: 100 - 4 - 5; the near sides 60 - 4 - 6; twice to 0.03 / sqrt(2)."""
    features = (feature("A", (0, 0)), feature("B", (80, 60), diameter=10.0),
                feature("S", (0, 60), FeatureKind.STUD, 12.0), feature("T", (80, 0), FeatureKind.STUD, 14.0))  # fmt: skip
    spots = RoughHoles(np.array([one.rough.at for one in features]), np.array([8.0, 10.0, 12.0, 14.0]), 0.03, 0.03)
    draft = _Draft(features, spots, Datum("A", "B"))
    chosen = np.array([1, 2, 0, 0, 0, 1])
    assert [draft.pairs[row] for row in np.flatnonzero(chosen)] == [(0, 1), (0, 2), (2, 3)]
    found = [(one.number, one.kind, one.features, one.repeats) for one in draft.readings(chosen)]
    inside, outside = ReadingKind.INSIDE, ReadingKind.OUTSIDE
    assert found == [(1, inside, ("A", "B"), 1), (2, inside, ("A", "S"), 2), (3, outside, ("S", "T"), 1)]
    assert [one.value for one in draft.readings(chosen)] == pytest.approx([91, 50, 100 + 6 + 7])
    assert [one.sigma for one in draft.readings(chosen)] == pytest.approx([0.03, 0.03 / math.sqrt(2), 0.03])
    assert _kind(features[2], features[1]) is inside


def test_names_are_in_the_order_in_which_one_counts():
    assert sorted(["B10", "B9", "A", "10", "9", "B"], key=_natural) == ["9", "10", "A", "B", "B9", "B10"]


@pytest.mark.parametrize(
    ("value", "expected", "inch", "words"),
    [
        (7.5, 190.4, False, "7.5 in is 190.50 mm"),
        (190.5, 7.5, False, "190.5 mm is 7.5000 in"),
        (19.05, 190.5, False, "with the point elsewhere it is 190.5 mm"),
        (1905.0, 190.5, False, "with the point elsewhere it is 190.5 mm"),
        (1.905, 190.5, False, "with the point elsewhere it is 190.5 mm"),
        (19050.0, 190.5, False, "with the point elsewhere it is 190.5 mm"),
        (109.5, 190.5, False, "with two digits swapped it is 190.5 mm"),
        (190.52, 190.25, False, "with two digits swapped it is 190.25 mm"),
        (2.54, 25.4, True, "with the point elsewhere it is 1 in"),
        (1.23 * 25.4, 1.32 * 25.4, True, "with two digits swapped it is 1.32 in"),
        (170.0, 190.5, False, ""),
        (190.4, 190.5, False, ""),
    ],
)
def test_what_a_wrong_length_was_probably_meant_as(value, expected, inch, words):
    assert meant_as(value, expected, 0.12, inch=inch) == words


@pytest.mark.parametrize(
    ("kind", "off", "words"),
    [
        # Holes of 8 and 12: centres 80, inside 70, outside 90, same side 80 + 4 - 6 = 78.
        (ReadingKind.CENTRES, -10, "as inside it would do"),
        (ReadingKind.CENTRES, 10, "as outside it would do"),
        (ReadingKind.CENTRES, -2, "as same side it would do"),
        (ReadingKind.INSIDE, 20, "as outside it would do"),
        (ReadingKind.OUTSIDE, -20, "as inside it would do"),
        (ReadingKind.SAME_SIDE, 2, "as centres it would do"),
        (ReadingKind.SAME_SIDE, -8, "as inside it would do"),
        (ReadingKind.CENTRES, 5, ""),
        (ReadingKind.CENTRES, 0, ""),
        (ReadingKind.ANGLE, 10, ""),
    ],
)
def test_which_other_kind_of_reading_a_value_would_suit(kind, off, words):
    reading = Reading(1, kind, ("A", "B"), 80.0 + off, 0.05)
    assert other_kind(reading, 80.0, 0.3, {"A": 8.0, "B": 12.0}) == words
    assert other_kind(reading, 80.0, 0.3, {"A": 8.0}) == ""


@pytest.mark.parametrize("repeats", [2, 8])
def test_what_repeated_values_notice_falls_with_the_root_of_their_number(repeats):
    """A value off by d moves the mean by d / n: in deviations sigma / sqrt(n) the same d counts 1 / sqrt(n)."""
    assert repeat_bound(repeats) * math.sqrt(repeats) == pytest.approx(repeat_bound(2) * math.sqrt(2))
    assert repeat_bound(1) == math.inf
