"""Fit-up and best fit against closed forms and independent libraries.

- Single bolt of held parts, circular normal offset s in a gap c: P = 1 - exp(-c^2 / 2 s^2) (Rayleigh distribution).
- Two bolts of free parts: only the difference of the two distances matters: P = erf(C / (s_d sqrt 2)).
- Fixed and floating fastener formulas: ASME Y14.5-2009 Appendix B, worked cases by arithmetic with ISO 273 medium
  holes and ASME B18.2.8 normal holes.
- Wilson interval against scipy.stats.binomtest; rigid best fit against scipy.spatial.transform and SLSQP.
"""

import math

import numpy as np
import pytest
import scipy.optimize
import scipy.stats
from scipy.spatial.transform import Rotation

from platemaker.survey import (
    Fastener,
    FitKind,
    FitUp,
    Freedom,
    Pattern,
    Scatter,
    Side,
    best_fit,
    chance,
    fixed_fastener_zones,
    floating_fastener_zone,
    wilson_interval,
    worst_cases,
)

SAMPLES = 50_000
FOUR_SIGMA = 4.0
"""A share of N samples scatters by sqrt(p (1 - p) / N); four of these pass by chance once in 16 000."""


def pattern(places, covariance=None):
    return Pattern(tuple(f"b{i}" for i in range(len(places))), tuple(map(tuple, places)), covariance)


def agrees(found, expected):
    return abs(found - expected) <= FOUR_SIGMA * math.sqrt(expected * (1 - expected) / SAMPLES)


@pytest.mark.parametrize("s", [0.15, 0.2, 0.4])
def test_single_bolt_of_held_parts(s):
    surveyed = Side(pattern([(0.0, 0.0)], s**2 * np.eye(2)))
    question = FitUp(surveyed, Side(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.5**2) / (2 * s**2)))


def test_single_bolt_with_a_normal_zone():
    # T = 1.2: s = T / 6 = 0.2 along each axis; clearance radius 0.5.
    side = Side(pattern([(0.0, 0.0)]), 1.2, Scatter.NORMAL)
    question = FitUp(side, Side(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.5**2) / (2 * 0.2**2)))


def test_single_bolt_with_a_uniform_zone():
    # Uniform in a disc of radius 0.8: share within 0.5 is (0.5 / 0.8)^2.
    side = Side(pattern([(0.0, 0.0)]), 1.6, Scatter.UNIFORM)
    question = FitUp(side, Side(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, (0.5 / 0.8) ** 2)


def test_two_bolts_of_free_parts():
    # Distance error is normal with s_d = s sqrt 2; the gaps allow 0.5 + 0.3. Sideways errors are turned away; their
    # second-order effect at 100 mm is s^2 / 200 < 0.001 mm.
    s, gaps = 0.4, 0.5 + 0.3
    places = [(0.0, 0.0), (100.0, 0.0)]
    question = FitUp(
        Side(pattern(places, s**2 * np.eye(4))), Side(pattern(places)), (Fastener("a", 8, 9), Fastener("b", 8, 8.6))
    )
    assert agrees(chance(question, SAMPLES).probability, math.erf(gaps / (s * math.sqrt(2)) / math.sqrt(2)))


def test_floating_bolt_gains_both_clearances():
    s = 0.4
    surveyed = Side(pattern([(0.0, 0.0)], s**2 * np.eye(2)))
    question = FitUp(surveyed, Side(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0, 8.4),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.7**2) / (2 * s**2)))


def test_lawson_verdicts_agree_with_a_general_solver():
    # 60 samples of an eight-bolt joint near the threshold, each solved by SLSQP as min t, |e_i| <= t g_i.
    from platemaker.survey._samples import decide, draw

    rng = np.random.default_rng(5)
    places = rng.uniform(-120, 120, (8, 2))
    question = FitUp(
        Side(pattern(places), 0.55), Side(pattern(places), 0.55), tuple(Fastener(f"b{i}", 8, 8.8) for i in range(8))
    )
    offsets = draw(question, 60, 3)
    verdicts = decide(question, question.fasteners, offsets)
    arms = places - places.mean(axis=0)
    decided = 0
    for sample, starts in zip(offsets, verdicts.starts, strict=True):

        def misfits(v, sample=sample):
            turn = np.column_stack([-arms[:, 1], arms[:, 0]]) * v[2] / 100
            return np.hypot(*(sample + v[:2] + turn).T) / 0.4

        solved = scipy.optimize.minimize(
            lambda v: v[3],
            (0, 0, 0, misfits(np.zeros(3)).max()),
            method="SLSQP",
            constraints={"type": "ineq", "fun": lambda v, m=misfits: v[3] - m(v)},
            options={"ftol": 1e-12, "maxiter": 300},
        )
        if abs(solved.x[3] - 1.0) > 1e-5:  # SLSQP's own accuracy
            assert starts == (solved.x[3] < 1.0)
            decided += 1
    assert decided >= 58
    assert 5 < verdicts.starts.sum() < 55  # the case is a mixed one, or the comparison would prove nothing


def test_fixed_and_floating_formulas():
    # M8 in ISO 273 medium 9.0: fixed T = 0.5 each, floating T = 1.0; 3/8 in in 13/32: 0.0156 and 0.0313 in.
    assert fixed_fastener_zones(9.0, 8.0) / 2 == pytest.approx(0.5)
    assert floating_fastener_zone(9.0, 8.0) == pytest.approx(1.0)
    # 1/32 in = 0.03125 exactly; half a unit of the fourth place is rounding.
    assert fixed_fastener_zones(13 / 32, 3 / 8) / 2 == pytest.approx(0.0156, abs=5.1e-5)
    assert floating_fastener_zone(13 / 32, 3 / 8) == pytest.approx(0.0313, abs=5.1e-5)


def test_worst_case_at_the_limit():
    places = [(0.0, 0.0), (80.0, 0.0), (80.0, 60.0)]
    fixed = FitUp(
        Side(pattern(places), 0.5), Side(pattern(places), 0.5), tuple(Fastener(f"b{i}", 8, 9) for i in range(3))
    )
    assert [case.margin for case in worst_cases(fixed)] == pytest.approx([0.0] * 3, abs=1e-12)
    assert chance(fixed, 5000).probability == 1.0
    floating = FitUp(
        Side(pattern(places), 1.0), Side(pattern(places), 1.0), tuple(Fastener(f"b{i}", 8, 9, 9) for i in range(3))
    )
    assert [case.margin for case in worst_cases(floating)] == pytest.approx([0.0] * 3, abs=1e-12)


@pytest.mark.parametrize(("k", "n"), [(0, 10), (3, 10), (997, 1000), (20_000, 20_000)])
def test_wilson_interval_against_scipy(k, n):
    expected = scipy.stats.binomtest(k, n).proportion_ci(0.95, method="wilson")
    assert wilson_interval(k, n) == pytest.approx((expected.low, expected.high), abs=1e-7)


@pytest.mark.parametrize("seed", range(5))
def test_least_squares_fit_against_align_vectors(seed):
    rng = np.random.default_rng(seed)
    places = rng.uniform(-100, 100, (6, 2))
    turn = rng.uniform(-3, 3)
    matrix = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    goal = places @ matrix.T + rng.uniform(-50, 50, 2) + rng.normal(0, 0.3, (6, 2))
    found = best_fit(pattern(places), pattern(goal))

    def flat(points):
        return np.column_stack([points - points.mean(axis=0), np.zeros(len(points))])

    rotation, distance = Rotation.align_vectors(flat(goal), flat(places))
    assert found.turn == pytest.approx(math.degrees(rotation.as_rotvec()[2]), abs=1e-6)
    assert found.root_mean_square * math.sqrt(6) == pytest.approx(distance, rel=1e-6)


@pytest.mark.parametrize("n", [2, 3, 4, 8, 20])
def test_least_largest_misfit_against_slsqp(n):
    rng = np.random.default_rng(n)
    places = rng.uniform(-100, 100, (n, 2))
    goal = places + rng.normal(0, 0.2, (n, 2))
    found = best_fit(pattern(places), pattern(goal), FitKind.LEAST_LARGEST)
    arms = places - places.mean(axis=0)

    def misfits(v):
        c, s = math.cos(v[2] / 100), math.sin(v[2] / 100)
        return np.hypot(*(arms @ np.array([[c, s], [-s, c]]) + v[:2] - goal + places.mean(axis=0)).T)

    solved = scipy.optimize.minimize(
        lambda v: v[3],
        (0, 0, 0, misfits(np.zeros(3)).max()),
        method="SLSQP",
        constraints={"type": "ineq", "fun": lambda v: v[3] - misfits(v)},
        options={"ftol": 1e-14, "maxiter": 500},
    )
    assert found.largest.distance == pytest.approx(solved.x[3], abs=1e-6)
    assert found.largest.distance <= best_fit(pattern(places), pattern(goal)).largest.distance + 1e-12
