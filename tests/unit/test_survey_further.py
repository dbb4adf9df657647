"""Which further readings are proposed, what they would do, and which features nothing joins: closed forms by hand."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, ReadingKind
from platemaker.survey._adjustment._equations import Layout
from platemaker.survey._adjustment._rank import Candidate, candidates, cures, islands, movers, taken_pairs
from platemaker.survey._answer._suggest import _again, _blocks, _major, _ranked, _way, suggestions
from platemaker.survey._records import Picture

CENTRES = ReadingKind.CENTRES


def network(names, *pairs, pictures=(), sizes=()):
    features = tuple(Feature(n, FeatureKind.EDGE if n > "M" else FeatureKind.HOLE, dict(sizes).get(n)) for n in names)
    readings = tuple(Reading(i, CENTRES, tuple(pair), 80.0, 0.1) for i, pair in enumerate(pairs, 1))
    return Network(features, readings, Datum("A", "B"), pictures=pictures)


@pytest.mark.parametrize(
    ("pairs", "groups"),
    [
        ((), ["A", "B", "C", "D", "E"]),
        (("AB", "CD"), ["AB", "CD", "E"]),
        (("DE", "CE", "AB"), ["CDE", "AB"]),
        (("AB", "CD", "BC"), ["ABCD", "E"]),
        (("ABC", "CE"), ["ABCE", "D"]),
    ],
)
def test_features_that_readings_join_largest_group_first(pairs, groups):
    assert islands(network("ABCDE", *pairs)) == [tuple(group) for group in groups]


def test_a_picture_joins_what_it_shows():
    seen = Picture("scan", {"B": (1.0, 2.0), "C": (3.0, 4.0)}, 1.0)
    assert islands(network("ABCD", "AB", pictures=(seen,))) == [("A", "B", "C"), ("D",)]


def test_between_which_features_something_was_read():
    assert taken_pairs(network("ABC", "AB", "CB", "ABC")) == {frozenset("AB"), frozenset("BC")}


def test_what_a_further_reading_feels():
    """A (0, 0) and B (3, 4): along 0.6, 0.8. The edge y = -2: a hole's Y, less its offset, and less x for each radian."""
    layout = Layout(("A", "B"), ("A",), ("S",))
    figure = np.array([0, 0, 3, 4, 8.5, math.pi / 2, -2.0])
    names, rows = candidates(layout, figure, set())
    assert list(map(str, names)) == ["A-B", "S-A", "S-B"]
    assert rows == pytest.approx(
        np.array([[-0.6, -0.8, 0.6, 0.8, 0, 0, 0], [0, 1, 0, 0, 0, 0, -1], [0, 0, 0, 1, 0, -3, -1]]), abs=1e-12
    )
    names, rows = candidates(layout, figure, {frozenset("AB"), frozenset("SA")})
    assert (list(map(str, names)), rows.shape) == (["S-B"], (1, 7))
    assert str(Candidate(("A",))) == "diameter of A"
    assert candidates(Layout(("A",), (), ()), figure[:2], set())[0] == []


SQUARE = np.array([0, 0, 80, 0, 80, 60, 0, 60], dtype=float)
FOUR = Layout(("A", "B", "C", "D"), (), ())


def free_modes(*changes, size=8):
    columns = np.zeros((size, len(changes)))
    for number, change in enumerate(changes):
        for row, value in change.items():
            columns[row, number] = value
    return columns


@pytest.mark.parametrize(
    ("free", "named"),
    [
        ([{7: 1.0}], ["D"]),
        ([{2: 0.6, 3: 0.8}], ["B"]),
        ([{4: 1.0, 6: 1.0}], ["C", "D"]),
        ([{6: 1.0}, {7: 1.0}], ["D"]),
        ([{1: 0.5, 3: 0.5, 5: 0.5, 7: -0.5}], ["D"]),  # the other three moved together
    ],
)
def test_the_fewest_features_that_move_are_named(free, named):
    assert movers(FOUR, SimpleNamespace(unknowns=SQUARE), free_modes(*free)) == named


def test_a_diameter_that_nothing_holds_is_named_where_no_place_moves():
    layout = Layout(("A", "B", "C", "D"), ("B",), ())
    solved = SimpleNamespace(unknowns=np.append(SQUARE, 8.5))
    assert movers(layout, solved, free_modes({8: 1.0}, size=9)) == ["the diameter of B"]


def test_the_reading_that_feels_a_free_motion_most_is_its_cure():
    """D moves along X alone: D-C lies along it, D-B at 0.8 of it, D-A across."""
    solved = SimpleNamespace(unknowns=SQUARE)
    read = network("ABCD", "AB", "BC", "AC", "AD")
    assert list(map(str, cures(read, FOUR, solved, free_modes({6: 1.0})))) == ["C-D"]
    also = network("ABCD", "AB", "BC", "AC", "AD", "CD")
    assert list(map(str, cures(also, FOUR, solved, free_modes({6: 1.0})))) == ["B-D"]
    both = cures(network("ABCD", "AB", "BC", "AC"), FOUR, solved, free_modes({6: 1.0}, {7: 1.0}))
    assert sorted(map(str, both)) == ["A-D", "C-D"]  # each along its own
    every = network("ABCD", "AB", "BC", "AC", "AD", "CD", "BD")
    assert cures(every, FOUR, solved, free_modes({6: 1.0})) == []
    layout = Layout(("A", "B", "C", "D"), ("B",), ())
    sized = SimpleNamespace(unknowns=np.append(SQUARE, 8.5))
    assert list(map(str, cures(every, layout, sized, free_modes({8: 1.0}, size=9)))) == ["diameter of B"]


TWO = Layout(("A", "B"), (), ())
ALONG = np.array([[-1.0, 0.0, 1.0, 0.0]])


@pytest.mark.parametrize(
    ("block", "factor", "half"),
    [(((4, 0), (0, 1)), 1.0, 2.0), (((1, 0), (0, 4)), 9.0, 6.0), (((2.5, 1.5), (1.5, 2.5)), 1.0, 2.0),
     (((2.5, -1.5), (-1.5, 2.5)), 4.0, 4.0), (((0, 0), (0, 0)), 1.0, 0.0)],
)  # fmt: skip
def test_the_longer_half_axis_of_an_ellipse(block, factor, half):
    """Eigenvalues 4 and 1 each time."""
    assert _major(np.array(block, dtype=float), factor) == pytest.approx(half)


def test_each_holes_own_covariance():
    whole = np.arange(36, dtype=float).reshape(6, 6)
    assert _blocks(TWO, whole).tolist() == [[[0, 1], [6, 7]], [[14, 15], [20, 21]]]


@pytest.mark.parametrize(("spread", "after"), [(math.sqrt(12), 3.0), (2.0, 2.0), (math.sqrt(4 / 3), 1.0)])
def test_what_a_reading_along_a_long_axis_leaves(spread, after):
    """B's variance along X of 4 becomes 4 - 16 / (s^2 + 4): half axes at a factor of 4."""
    covariance = np.diag([0.0, 0.0, 4.0, 0.25])
    [one] = _ranked(TWO, covariance, 4.0, ([(("A", "B"), "a reading")], ALONG, np.array([spread])))
    assert (one.worst_before, one.worst_after) == pytest.approx((4.0, 2 * math.sqrt(after)))
    assert one.features == ("A", "B")
    assert (
        one.message
        == f"a reading would shorten the longest 95 % half axis (B) from 4.000 to {2 * math.sqrt(after):.3f} mm"
    )


@pytest.mark.parametrize(("left", "helps"), [(0.979, True), (0.981, False)])
def test_a_reading_that_shortens_it_by_less_than_a_fiftieth_is_not_proposed(left, helps):
    """4 - 16 / (s^2 + 4) = 4 left^2 where s^2 = 4 left^2 / (1 - left^2)."""
    covariance = np.diag([0.0, 0.0, 4.0, 0.25])
    spread = np.array([math.sqrt(4 * left**2 / (1 - left**2))])
    assert bool(_ranked(TWO, covariance, 1.0, ([(("A", "B"), "a reading")], ALONG, spread))) is helps
    assert _ranked(TWO, covariance, 1.0, ([], ALONG[:0], spread[:0])) == ()


def test_the_three_best_readings_are_proposed_the_best_first():
    covariance = np.diag([0.0, 0.0, 4.0, 0.25])
    ways = [((name, "B"), name) for name in "PQRST"]
    spread = np.array([3.0, 1.0, 2.0, 5.0, 1.0])
    found = _ranked(TWO, covariance, 1.0, (ways, np.repeat(ALONG, 5, axis=0), spread))
    assert [one.features[0] for one in found] == ["Q", "T", "R"]


def test_a_reading_taken_again_is_a_length_that_counts():
    taken = [SimpleNamespace(features=(n, "B"), title=f"reading {n}", is_length=n != "C") for n in "ACDE"]
    equations = SimpleNamespace(observations=taken, sigmas=np.array([0.1, 0.2, 0.3, 0.4]))
    solved = SimpleNamespace(weights=np.array([1.0, 1.0, 0.0, 2.0]), slopes=np.arange(8.0).reshape(4, 2))
    ways, rows, spread = _again(equations, solved)
    assert ways == [(("A", "B"), "reading A taken again"), (("E", "B"), "reading E taken again")]
    assert (rows.tolist(), spread.tolist()) == ([[0, 1], [6, 7]], [0.1, 0.4])


def test_the_middle_deviation_of_those_taken_is_that_of_a_further_one():
    """A-B is still to be read; lengths were read to 0.1, 2 and 9: 4 - 16 / (4 + 4) = 2."""
    taken = [SimpleNamespace(sigma=s, is_length=s != 7.0, features=("A", "B")) for s in (9.0, 0.1, 7.0, 2.0)]
    equations = SimpleNamespace(layout=TWO, observations=taken)
    solved = SimpleNamespace(unknowns=np.array([0.0, 0.0, 80.0, 0.0]))
    covariance = np.diag([0.0, 0.0, 4.0, 0.25])
    [one] = suggestions(network("AB"), equations, solved, covariance, 1.0)
    assert (one.worst_after, one.message[:25]) == (pytest.approx(math.sqrt(2.0)), "a reading between A and B")
    assert suggestions(network("AB"), equations, solved, np.zeros((4, 4)), 1.0) == ()
    assert _way(Layout(("A",), (), ("S",)), Candidate(("S", "A"))) == "from edge S to A"
