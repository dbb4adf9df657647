"""Fit-up and best fit against closed forms and independent libraries.

- Single bolt of held parts, circular normal offset s in a gap c: P = 1 - exp(-c^2 / 2 s^2) (Rayleigh distribution).
- Two bolts of free parts: only the difference of the two distances matters: P = erf(C / (s_d sqrt 2)).
- Fixed and floating fastener formulas: ASME Y14.5-2009 Appendix B, worked cases by arithmetic with ISO 273 medium
  holes and ASME B18.2.8 normal holes.
- The hole for 99.9 %: the same two closed forms solved for the clearance, one more for a bolt between two dowels.
- Failures allowed at the ends of the hole's interval: scipy.stats.binom, and the interval's coverage by trial.
- Wilson interval against scipy.stats.binomtest; rigid best fit against scipy.spatial.transform and SLSQP.
"""

import math

import numpy as np
import pytest
import scipy.optimize
import scipy.stats
from scipy.spatial.transform import Rotation

from platemaker.fit_up import (
    DrawnSlot,
    Fastener,
    FastenerKind,
    FitUp,
    Freedom,
    PatternSide,
    Scatter,
    chance,
    failure_ranks,
    fit_up,
    fixed_fastener_zones,
    floating_fastener_zone,
    wilson_interval,
    worst_cases,
)
from platemaker.survey import FitKind, Pattern, best_fit

SAMPLES = 50_000
FOUR_SIGMA = 4.0
"""A share of N samples scatters by sqrt(p (1 - p) / N); four of these pass by chance once in 16 000."""


def pattern(places, covariance=None):
    return Pattern(tuple(f"b{i}" for i in range(len(places))), tuple(map(tuple, places)), covariance)


def agrees(found, expected):
    return abs(found - expected) <= FOUR_SIGMA * math.sqrt(expected * (1 - expected) / SAMPLES)


@pytest.mark.parametrize("s", [0.15, 0.2, 0.4])
def test_single_bolt_of_held_parts(s):
    surveyed = PatternSide(pattern([(0.0, 0.0)], s**2 * np.eye(2)))
    question = FitUp(surveyed, PatternSide(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.5**2) / (2 * s**2)))


def test_single_bolt_of_two_surveyed_parts():
    # Two independent circular normal offsets of 0.12 and 0.16: together sqrt(0.12^2 + 0.16^2) = 0.2.
    lower, upper = (PatternSide(pattern([(0.0, 0.0)], s**2 * np.eye(2))) for s in (0.12, 0.16))
    question = FitUp(lower, upper, (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.5**2) / (2 * 0.2**2)))


def test_a_surveyed_distance_in_common_costs_nothing():
    # Both holes off alike: the parts are shifted, and start whatever the deviation.
    places = [(0.0, 0.0), (100.0, 0.0)]
    common = np.kron(np.ones((2, 2)), 4.0 * np.eye(2))
    question = FitUp(
        PatternSide(pattern(places, common)),
        PatternSide(pattern(places)),
        (Fastener("a", 8, 8.01), Fastener("b", 8, 8.01)),
    )
    assert chance(question, 1000).probability == 1.0


def test_single_bolt_with_a_normal_zone():
    # T = 1.2: s = T / 6 = 0.2 along each axis; clearance radius 0.5.
    side = PatternSide(pattern([(0.0, 0.0)]), 1.2, Scatter.NORMAL)
    question = FitUp(side, PatternSide(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.5**2) / (2 * 0.2**2)))


def test_single_bolt_with_a_uniform_zone():
    # Uniform in a disc of radius 0.8: share within 0.5 is (0.5 / 0.8)^2.
    side = PatternSide(pattern([(0.0, 0.0)]), 1.6, Scatter.UNIFORM)
    question = FitUp(side, PatternSide(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, (0.5 / 0.8) ** 2)


def test_two_bolts_of_free_parts():
    # Distance error is normal with s_d = s sqrt 2; the gaps allow 0.5 + 0.3. Sideways errors are turned away; their
    # second-order effect at 100 mm is s^2 / 200 < 0.001 mm.
    s, gaps = 0.4, 0.5 + 0.3
    places = [(0.0, 0.0), (100.0, 0.0)]
    question = FitUp(
        PatternSide(pattern(places, s**2 * np.eye(4))),
        PatternSide(pattern(places)),
        (Fastener("a", 8, 9), Fastener("b", 8, 8.6)),
    )
    assert agrees(chance(question, SAMPLES).probability, math.erf(gaps / (s * math.sqrt(2)) / math.sqrt(2)))


def test_floating_bolt_gains_both_clearances():
    s = 0.4
    surveyed = PatternSide(pattern([(0.0, 0.0)], s**2 * np.eye(2)))
    question = FitUp(surveyed, PatternSide(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0, 8.4),), Freedom.HELD)
    assert agrees(chance(question, SAMPLES).probability, 1 - math.exp(-(0.7**2) / (2 * s**2)))


def eight_bolts():
    rng = np.random.default_rng(5)
    places = rng.uniform(-120, 120, (8, 2))
    dowels = [Fastener(f"b{i}", 6, 6.3, kind=FastenerKind.DOWEL) for i in range(2)]
    bolts = [Fastener(f"b{i}", 8, 8.8) for i in range(8)]
    floating = [Fastener(f"b{i}", 8, 8.8, 8.8 if i % 2 else None) for i in range(8)]
    slots = [Fastener(f"b{i}", 8, 8.8, slot=DrawnSlot(0.2 * i, 40.0 * i) if 0 < i < 4 else None) for i in range(8)]
    zones = {"bolts": 0.6, "floating": 0.7, "slots": 0.6, "dowels": (0.05, 0.05, *(0.55,) * 6)}
    cases = {"bolts": bolts, "floating": floating, "slots": slots, "dowels": [*dowels, *bolts[2:]]}
    return {
        kind: FitUp(
            PatternSide(pattern(places), zones[kind]), PatternSide(pattern(places), zones[kind]), tuple(cases[kind])
        )
        for kind in cases
    }


def needed_clearance(question, sample):
    """Least clearance t of every bolt's hole by SLSQP: |e_i| <= k_i t of bolts, |e_i| <= g_i of dowels.

    A bolt in a slot is as far off as it is from the line that its axis may stand on.
    """
    arms = question.upper.pattern.array - question.upper.pattern.array.mean(axis=0)
    dowels = np.array([fastener.kind is FastenerKind.DOWEL for fastener in question.fasteners])
    shares = np.array([0.5 if fastener.is_fixed else 1.0 for fastener in question.fasteners])
    gaps = np.array([fastener.clearance / 2 for fastener in question.fasteners])
    slots = [fastener.slot or DrawnSlot(0.0, 0.0) for fastener in question.fasteners]
    ways = np.array([(math.cos(math.radians(one.angle)), math.sin(math.radians(one.angle))) for one in slots])
    reaches = np.array([[one.travel / 2] for one in slots])

    def room(v):
        places = sample.T + v[:2] + np.column_stack([-arms[:, 1], arms[:, 0]]) * v[2] / 100
        nearest = np.clip((places * ways).sum(axis=1, keepdims=True), -reaches, reaches) * ways
        misfits = np.hypot(*(places - nearest).T)
        return np.where(dowels, gaps, shares * v[3]) - misfits

    solved = scipy.optimize.minimize(
        lambda v: v[3], (0, 0, 0, 3.0), method="SLSQP", constraints={"type": "ineq", "fun": room},
        options={"ftol": 1e-12, "maxiter": 300},
    )  # fmt: skip
    assert room(solved.x).min() > -1e-6
    return solved.x[3]


@pytest.mark.parametrize("kind", ["bolts", "floating", "slots", "dowels"])
def test_needed_clearances_agree_with_a_general_solver(kind):
    from platemaker.fit_up._placing import ROUNDS, Widths, bracket, draw_closer, frame_of, half_clearances
    from platemaker.fit_up._samples import draw

    question = eight_bolts()[kind]
    offsets, frame = draw(question, 60, 3), frame_of(question)
    dowels = np.array([fastener.kind is FastenerKind.DOWEL for fastener in question.fasteners])
    shares = np.array([0.5 if fastener.is_fixed else 1.0 for fastener in question.fasteners])
    widths = Widths(np.where(dowels, half_clearances(question.fasteners), 0.0), np.where(dowels, 0.0, shares))
    bounds = bracket(frame, widths, frame.rows(offsets), 0.8)
    for _ in range(ROUNDS):
        draw_closer(frame, widths, bounds, np.arange(60))
    expected = [needed_clearance(question, offsets[:, :, i]) for i in range(60)]
    # SLSQP's own accuracy; the bounds themselves stand on either side of it, and come within 0.002 mm.
    assert (bounds.lower <= np.array(expected) + 1e-5).all()
    assert (bounds.upper >= np.array(expected) - 1e-5).all()
    assert (bounds.upper - bounds.lower).max() < 0.002
    # The chance's own verdict of the same samples: a mixed case, or the comparison would prove nothing.
    if kind == "bolts":
        assert chance(question, 60, 3).probability == pytest.approx(np.mean(np.array(expected) <= 0.8))
        assert 0.1 < chance(question, 60, 3).probability < 0.9


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
        PatternSide(pattern(places), 0.5),
        PatternSide(pattern(places), 0.5),
        tuple(Fastener(f"b{i}", 8, 9) for i in range(3)),
    )
    assert [case.margin for case in worst_cases(fixed)] == pytest.approx([0.0] * 3, abs=1e-12)
    assert chance(fixed, 5000).probability == 1.0
    floating = FitUp(
        PatternSide(pattern(places), 1.0),
        PatternSide(pattern(places), 1.0),
        tuple(Fastener(f"b{i}", 8, 9, 9) for i in range(3)),
    )
    assert [case.margin for case in worst_cases(floating)] == pytest.approx([0.0] * 3, abs=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_what_just_holds_at_worst_always_starts(seed):
    # By the fixed-fastener formula, dowels as well: play 0.02 against zones of 0.01 on either side.
    rng = np.random.default_rng(seed)
    places = rng.uniform(-100, 100, (2 + seed, 2))
    zones = (0.01, 0.01, *(0.5,) * seed)
    fasteners = [Fastener(f"b{i}", 6, 6.02, kind=FastenerKind.DOWEL) for i in range(2)]
    fasteners += [Fastener(f"b{i}", 8, 9) for i in range(2, 2 + seed)]
    question = FitUp(PatternSide(pattern(places), zones), PatternSide(pattern(places), zones), tuple(fasteners))
    assert chance(question, 4000, seed).probability == 1.0


@pytest.mark.parametrize(("k", "n"), [(0, 10), (3, 10), (997, 1000), (20_000, 20_000)])
def test_wilson_interval_against_scipy(k, n):
    expected = scipy.stats.binomtest(k, n).proportion_ci(0.95, method="wilson")
    assert wilson_interval(k, n) == pytest.approx((expected.low, expected.high), abs=1e-7)


@pytest.mark.parametrize("samples", [1000, 3688, 3689, 4000, 10_000, 100_000, 1_000_000])
def test_failures_at_the_ends_of_the_interval_against_scipy(samples):
    middle, many, few = failure_ranks(samples)
    failures = scipy.stats.binom(samples, 0.001)
    assert middle == samples // 1000
    assert failures.sf(many) <= 0.025 < failures.sf(many - 1)
    if few is None:
        assert failures.cdf(0) > 0.025
    else:
        assert failures.cdf(few) <= 0.025 < failures.cdf(few + 1)


def held_bolt(s, dowels=()):
    """A bolt of parts that something holds, surveyed with a circular deviation s."""
    surveyed = PatternSide(pattern([(0.0, 0.0)], s**2 * np.eye(2)))
    return FitUp(surveyed, PatternSide(pattern([(0.0, 0.0)])), (Fastener("b0", 8.0, 9.0),), Freedom.HELD)


def within(hole, expected):
    # The interval's ends are rounded up to 0.01 mm and hold the true hole in 95 of 100; the seed is fixed.
    return hole.low - 0.01 <= expected <= hole.high


def test_hole_for_a_share_of_a_single_bolt():
    # 0.001 = exp(-(c / 2)^2 / 2 s^2)
    expected = 8 + 2 * 0.2 * math.sqrt(2 * math.log(1000))
    found = fit_up(held_bolt(0.2), SAMPLES).hole_999
    assert within(found, expected)
    # Spread of the sample quantile: sqrt(p (1 - p) / N) / density, density of c at it = p (c / 2) / s^2 / 2.
    spread = math.sqrt(0.001 / SAMPLES) / (0.001 * (expected - 8) / 2 / 0.2**2 / 2)
    assert found.diameter == pytest.approx(expected, abs=4 * spread + 0.01)


def test_hole_for_a_share_of_two_bolts():
    # The distance's error stays within c (half a clearance at either bolt) with 99.9 %: c = 3.2905 s sqrt 2 (two-sided).
    s, places = 0.1, [(0.0, 0.0), (100.0, 0.0)]
    question = FitUp(
        PatternSide(pattern(places, s**2 * np.eye(4))),
        PatternSide(pattern(places)),
        (Fastener("a", 8, 9), Fastener("b", 8, 9)),
    )
    assert within(fit_up(question, SAMPLES).hole_999, 8 + 3.2905 * s * math.sqrt(2))


def test_hole_for_a_share_of_a_bolt_between_two_dowels():
    # Dowels exact with a play of 0.1 let the parts shift by 0.05 in any direction: the bolt needs |e| - 0.05 <= c / 2.
    s, places = 0.2, [(-50.0, 0.0), (50.0, 0.0), (0.0, 0.0)]
    covariance = np.diag([0, 0, 0, 0, s**2, s**2])
    dowels = [Fastener(name, 6.0, 6.1, kind=FastenerKind.DOWEL) for name in ("l", "r")]
    question = FitUp(
        PatternSide(pattern(places, covariance)), PatternSide(pattern(places)), (*dowels, Fastener("b", 8.0, 9.0))
    )
    found = fit_up(question, SAMPLES)
    assert agrees(found.chance.probability, 1 - math.exp(-((0.5 + 0.05) ** 2) / (2 * s**2)))
    assert within(found.hole_999, 8 + 2 * (s * math.sqrt(2 * math.log(1000)) - 0.05))


def test_dowels_that_do_not_go_in_leave_no_hole():
    # Two dowels 0.2 mm too far apart with a play of 0.1.
    apart, drawn = [(-50.1, 0.0), (50.1, 0.0), (0.0, 0.0)], [(-50.0, 0.0), (50.0, 0.0), (0.0, 0.0)]
    dowels = [Fastener(name, 6.0, 6.1, kind=FastenerKind.DOWEL) for name in ("l", "r")]
    found = fit_up(
        FitUp(PatternSide(pattern(apart)), PatternSide(pattern(drawn), 0.1), (*dowels, Fastener("b", 8.0, 9.0))), 2000
    )
    assert (found.hole_999, found.hole_worst_case) == (None, None)


def test_a_slot_along_two_bolts_takes_any_distance():
    # What is left across is turned away: the hole may be as small as the bolt.
    places = [(0.0, 0.0), (100.0, 0.0)]
    fasteners = (Fastener("a", 8, 8.5), Fastener("b", 8, 8.5, slot=DrawnSlot(4.0, 0.0)))
    found = fit_up(FitUp(PatternSide(pattern(places), 0.8), PatternSide(pattern(places), 0.8), fasteners), 5000)
    assert found.chance.probability == 1.0
    # Stated to 0.002 mm, rounded up to 0.01.
    assert found.hole_999.diameter == pytest.approx(8.0, abs=0.0101)


def test_the_interval_of_the_hole_holds_the_truth_as_often_as_it_says():
    expected = 8 + 2 * 0.2 * math.sqrt(2 * math.log(1000))
    held = [within(fit_up(held_bolt(0.2), 4000, seed).hole_999, expected) for seed in range(300)]
    # 95 % or more; three deviations of a share of 300 are 3.8 %.
    assert np.mean(held) > 0.95 - 0.038


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
