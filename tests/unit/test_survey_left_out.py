"""Every reading and every pair left out by a linear downdate, and figures with a hole in another place.

Expected: what adjusting again without them gives, of a network whose readings are off by so little that it is linear,
and of a square, where theory says what is left.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, ReadingKind, solve
from platemaker.survey._adjustment._equations import Equations
from platemaker.survey._drawing._clues import clues_of
from platemaker.survey._drawing._start import placed_again
from platemaker.survey._figure._outliers import excluding, left_out
from tests.survey_simulation import BLUNDERS, casting

WHERE = {"A": (0, 0), "B": (90, 0), "C": (100, 55), "D": (20, 70), "E": (50, 120)}


def network(spans, sigma=0.03, where=WHERE):
    features = tuple(Feature(name, FeatureKind.HOLE) for name in where)
    readings = tuple(Reading(i, ReadingKind.CENTRES, (a, b), d, sigma) for i, (a, b, d) in enumerate(spans, start=1))
    return Network(features, readings, Datum("A", "B", left=("C",)))


def start_of(equations, where=WHERE):
    places = [value for name in equations.layout.rounds for value in where[name]]
    return np.array([*places, *[8.0] * len(equations.layout.sized)], dtype=float)[: equations.layout.size]


def test_the_downdate_is_what_adjusting_again_gives():
    rng = np.random.default_rng(1)
    spans = [(a, b, math.dist(WHERE[a], WHERE[b]) + rng.normal(0, 1e-3)) for a, b in itertools.combinations(WHERE, 2)]
    net = network(spans, sigma=1e-3)
    equations = Equations(net)
    whole = excluding(equations, net.datum, start_of(equations))
    single, double = left_out(equations, whole)
    again = [excluding(equations, net.datum, whole.fit.unknowns, (row,)).fit.cost for row in range(10)]
    # Readings off by 1e-5 of their length: the second-order terms are as small.
    assert single == pytest.approx(again, rel=1e-3, abs=1e-3)
    for i, j in itertools.combinations(range(10), 2):
        two = excluding(equations, net.datum, whole.fit.unknowns, (i, j))
        assert math.isinf(double[j, i])
        assert double[i, j] == pytest.approx(two.fit.cost, rel=1e-3, abs=1e-3)


def test_a_figure_without_a_reading_says_what_every_other_would_cost_instead():
    # A square with both diagonals has one spare length, so any five of the six close; one is too long by 0.01.
    where = {"A": (0, 0), "B": (80, 0), "C": (80, 80), "D": (0, 80)}
    spans = [
        (a, b, math.dist(where[a], where[b]) + 0.01 * (a + b == "AC")) for a, b in itertools.combinations("ABCD", 2)
    ]
    net = network(spans, where=where)
    equations = Equations(net)
    single, double = left_out(equations, excluding(equations, net.datum, start_of(equations, where), (1,)))
    assert single == pytest.approx(np.zeros(6), abs=1e-3)
    # Without two of them nothing holds the square.
    assert np.isinf(double).all()


def test_of_a_reading_that_nothing_checks_nothing_is_said():
    spans = [(a, b, math.dist(WHERE[a], WHERE[b])) for a, b in ("AB", "BC", "AC", "AD", "BD", "CD", "CE", "DE")]
    net = network(spans)
    equations = Equations(net)
    single, _ = left_out(equations, excluding(equations, net.datum, start_of(equations)))
    assert [math.isinf(one) for one in single] == [False] * 6 + [True] * 2


@pytest.mark.parametrize("kind", ["10 to 50 mm misread", "inches written as mm", "a neighbouring hole read"])
def test_the_wrong_one_of_280_readings_is_the_likeliest(kind):
    one = casting(901, 40, 5)
    net, title = BLUNDERS[kind](one, np.random.default_rng(4))
    equations = Equations(net)
    truth = np.array([value for name in equations.layout.rounds for value in one.places[name]])
    sizes = [one.diameters[name] for name in equations.layout.sized]
    assert equations.layout.edges == ()
    whole = excluding(equations, net.datum, np.array([*truth, *sizes]))
    single, _ = left_out(equations, whole)
    assert equations.observations[int(np.argmin(single))].title == title


def test_a_hole_is_also_looked_for_where_all_readings_but_one_allow_it():
    # E is read from A, B, C, D; a figure has it mirrored in the line A-B, where only two of four readings fit.
    pairs = ["AB", "BC", "AC", "AD", "BD", "CD", "AE", "BE", "CE", "DE"]
    net = network([(a, b, math.dist(WHERE[a], WHERE[b]) + 4.0 * (a + b == "DE")) for a, b in pairs])
    equations = Equations(net)
    clues = clues_of(net, equations)
    wrong = start_of(equations, {**WHERE, "E": (50, -120)})
    found = placed_again(clues, equations.layout, wrong)
    column = equations.layout.x("E")
    assert any(math.dist(one[column : column + 2], WHERE["E"]) < 0.5 for one in found)
    # From the right place there is no other.
    assert placed_again(clues, equations.layout, start_of(equations)) == []
    assert [one.judged.title for one in solve(net).suspects] == ["reading 10, D-E centres"]
