"""How large a misreading must be to be noticed, how far one that is not moves a hole, and what to read to check it."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from platemaker.records import replace
from platemaker.report import worded
from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, ReadingKind, best_fit, solve
from tests.cli_runner import run

WHERE = {"A": (0.0, 0.0), "B": (142.0, 0.0), "C": (142.0, 98.0), "D": (0.0, 98.0), "E": (70.0, 40.0)}
SIX = {**WHERE, "F": (60.0, 150.0)}
HANGING = {"CD", "DE", "DF"}
"""Without these spans D hangs on A and B alone."""
SIGMA = 0.05
SIGNS = (1, -1, -1, 1, 1, *(-1,) * 10)
"""Which way each of the six holes' spans is misread, in the order of the alphabet."""


def network(where=WHERE, without=(), changes=None, noise=None):
    """All spans between holes, centre to centre, but some; each changed by what `changes` says."""
    pairs = [pair for pair in itertools.combinations(sorted(where), 2) if "".join(pair) not in without]
    readings = []
    for number, (a, b) in enumerate(pairs, start=1):
        value = math.dist(where[a], where[b]) + (changes or {}).get(a + b, 0.0)
        value += noise.normal(0, SIGMA) if noise is not None else 0.0
        readings.append(Reading(number, ReadingKind.CENTRES, (a, b), value, SIGMA))
    features = tuple(Feature(name, FeatureKind.HOLE) for name in where)
    return Network(features, tuple(readings), Datum("A", "B", left=("C", "D")))


def judged(found, pair):
    return next(one for one in found.readings if "".join(one.features) == pair)


def test_one_spare_reading_of_six_checks_them_by_their_share():
    """A square's six spans have one redundant reading in all: by symmetry 4 r + 2 q = 1, by linear algebra written out.

    With the unit side the vector of residuals that no figure explains has +1 on the sides and -sqrt(2) on the diagonals:
    moving a corner outwards changes two sides by 1 / sqrt(2) each and a diagonal by 1. So r : q = 1 : 2, and r = 1 / 8.
    """
    square = {"A": (0.0, 0.0), "B": (80.0, 0.0), "C": (80.0, 80.0), "D": (0.0, 80.0)}
    found = solve(network(square))
    assert judged(found, "AB").redundancy == pytest.approx(1 / 8)
    assert judged(found, "AC").redundancy == pytest.approx(1 / 4)
    # 3.29 is the 0.05 % point of the normal distribution and 2.326 its 1 % point: any table.
    assert judged(found, "AB").least == pytest.approx((3.29 + 2.326) * SIGMA * math.sqrt(8), rel=1e-3)


@pytest.mark.parametrize("pair", ["AB", "CE", "BD"])
def test_a_misreading_half_as_large_moves_the_hole_half_as_far(pair):
    # All others are exact: half of what is noticed stays under the critical value, and the figure bends to first order.
    sound = solve(network())
    one = judged(sound, pair)
    bent = solve(network(changes={pair: 0.5 * one.least}))
    assert bent.suspects == ()
    hole, shift = one.moves
    moved = math.dist(bent.point(hole).place, sound.point(hole).place)
    # The second order of 0.3 mm over 100 mm is a thousandth.
    assert moved == pytest.approx(0.5 * shift, rel=0.01)
    assert all(math.dist(p.place, sound.point(p.name).place) <= moved + 1e-6 for p in bent.points)


def test_the_pattern_alone_moves_less_than_in_the_datums_frame():
    found = solve(network())
    names = tuple(WHERE)
    framed, placed = found.weak(), found.weak(placed=True)
    assert placed[0].shift < framed[0].shift
    # What the placed one says is what is left of the bent pattern on the sound one by their best fit.
    worst = next(one for one in found.readings if one.title == placed[0].title)
    bent = solve(network(changes={"".join(worst.features): 0.5 * worst.least}))
    left = best_fit(bent.pattern(names), found.pattern(names))
    (at,) = (misfit.distance for misfit in left.misfits if misfit.name == placed[0].hole)
    assert at == pytest.approx(0.5 * placed[0].shift, rel=0.01)


def test_such_a_misreading_is_noticed_in_99_of_100():
    least = judged(solve(network()), "CE").least
    rng, noticed = np.random.default_rng(5), 0
    for _ in range(30):
        found = solve(network(changes={"CE": least}, noise=rng))
        noticed += any("C-E" in title for one in found.suspects for title in (one.judged.title, *one.alternatives))
    # Of 30 at 99 % fewer than 27 are noticed once in 4500 (binomial); some are noticed as another's error.
    assert noticed >= 27


def test_a_reading_that_nothing_checks_has_no_limit():
    found = solve(network(SIX, HANGING))
    assert set(found.unchecked) == {"reading 3, A-D centres", "reading 7, B-D centres"}
    weak = found.weak(placed=True)[0]
    assert (weak.hole, math.isinf(weak.shift)) == ("D", True)
    assert worded(weak.words).metric.startswith("nothing checks reading ")
    # Any of D's other spans checks both.
    assert weak.cure in ("read C-D", "read D-E", "read D-F")


def test_the_cure_cures():
    found = solve(network(SIX, HANGING))
    wanted = found.weak(placed=True)[0].cure.removeprefix("read ").replace("-", "")
    cured = solve(network(SIX, HANGING - {wanted}))
    assert cured.unchecked == ()
    assert cured.weak(placed=True)[0].shift < 1.0


def test_a_reading_taken_twice_checks_itself():
    base = network(SIX, HANGING)
    twice = tuple(replace(one, repeats=2) if "D" in one.features else one for one in base.readings)
    found = solve(replace(base, readings=twice))
    assert found.unchecked == ()
    # One of two values that is off by 6 deviations of their difference is refused: half of (6 + 2.326) sqrt(2) sqrt(2) s
    # is its effect on the mean, with s the mean's deviation.
    assert judged(found, "BD").least == pytest.approx((6 + 2.326) * SIGMA, rel=1e-3)


def test_with_every_pair_read_a_repeat_is_the_next_reading():
    square = {"A": (0.0, 0.0), "B": (80.0, 0.0), "C": (80.0, 80.0), "D": (0.0, 80.0)}
    found = solve(network(square))
    assert all(" taken again would shorten " in suggestion.message for suggestion in found.suggestions)
    assert len(found.suggestions) == 3
    assert found.weak()[0].cure.startswith("take reading ")


def test_no_drawing_is_proposed_from_readings_of_which_one_is_wrong(tmp_path):
    spans = {"AB": 40, "BC": 30, "CD": 40, "AD": 30, "AC": 50, "BD": 50}

    def file(**changed):
        rows = "".join(f"  - {{centres: [{a}, {b}], reads: {v}}}\n" for (a, b), v in {**spans, **changed}.items())
        path = tmp_path / "pad.readings.yaml"
        head = "features: {A: {hole: 8}, B: {hole: 8}, C: {hole: 8}, D: {hole: 8}}\n"
        path.write_text(f"{head}datum: {{origin: A, x_towards: B, left: [D]}}\nreadings:\n{rows}", encoding="utf-8")
        return path

    assert "proposed, not used" in run("survey", file()).out
    # One of six is wrong, and none can be distinguished from the others.
    tied = run("survey", file(BD=51)).out
    assert "the readings do not show which" in tied
    assert "proposed" not in tied


def test_readings_that_scatter_more_widen_the_answer():
    """Covariance of least squares: (J' J)^-1 times the residuals' sum of squares over n - u.

    J is taken by central differences of the spans, A held and B held on the X axis: nine unknowns of 15 spans, each
    misread by the same 0.11 mm one way or the other where 0.05 are stated. The factor is m0^2 of any textbook of
    adjustment, here from memory.
    """
    pairs, step = list(itertools.combinations(sorted(SIX), 2)), 1e-4
    signs = dict(zip(pairs, SIGNS, strict=True))
    found = solve(network(SIX, changes={a + b: 0.11 * sign for (a, b), sign in signs.items()}))
    assert found.variance.scatters_more
    assert found.suspects == ()
    free = [("B", 0), *((name, axis) for name in "CDEF" for axis in (0, 1))]

    def spans(moved="", axis=0, by=0.0):
        at = {point.name: list(point.place) for point in found.points}
        if moved:
            at[moved][axis] += by
        return np.array([math.dist(at[a], at[b]) for a, b in pairs])

    J = np.column_stack([(spans(*one, step) - spans(*one, -step)) / (2 * step) for one in free])
    left = np.array([math.dist(SIX[a], SIX[b]) + 0.11 * sign for (a, b), sign in signs.items()]) - spans()
    expected = np.linalg.inv(J.T @ J) * (left @ left) / (len(pairs) - len(free))
    row = [point.name for point in found.points]
    columns = [2 * row.index(name) + axis for name, axis in free]
    # The spread shows to a thousandth: the spans' differences are good to (1e-4 / 40)^2.
    assert found.covariance[np.ix_(columns, columns)] == pytest.approx(expected, rel=1e-3, abs=1e-9)
