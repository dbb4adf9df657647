"""Adjusted networks against published inputs and independent solutions.

- C. D. Ghilani and P. R. Wolf, Adjustment Computations, ch. 14, Examples 14.1 and 14.2: station U from three control
  stations (inputs as printed; the adjusted place is solved again in the test by scipy.optimize.least_squares).
- A quadrilateral of 3-4-5 triangles: exact by arithmetic.
- Random networks against scipy.optimize.least_squares on the same distances.
- Quantiles against scipy.stats.
The 3-D data set of Norrdine (2012) is not used: this survey is plane.
"""

import itertools
import math

import numpy as np
import pytest
import scipy.optimize
import scipy.stats

from platemaker.survey import Datum, DatumKind, Feature, FeatureKind, Network, Reading, ReadingKind, solve
from platemaker.survey._adjustment._statistics import chi_square_2, chi_square_above, ellipse, f_2


def network(spans, datum, sigma=0.05):
    names = sorted({name for a, b, *_ in spans for name in (a, b)})
    readings = [
        Reading(i, ReadingKind.CENTRES, (a, b), value, own[0] if own else sigma)
        for i, (a, b, value, *own) in enumerate(spans, start=1)
    ]
    return Network(tuple(Feature(name, FeatureKind.HOLE) for name in names), tuple(readings), datum)


CONTROLS = {"A": (865.40, 4527.15), "B": (2432.55, 2047.25), "C": (2865.22, 27.15)}
MEASURED = {"A": 6049.00, "B": 4736.83, "C": 5446.49}


@pytest.fixture(scope="module")
def ghilani():
    """Example 14.1: controls tied by distances 10 000 times as sharp as those to U stand for fixed coordinates."""
    ties = [(a, b, math.dist(CONTROLS[a], CONTROLS[b]), 1e-4) for a, b in itertools.combinations("ABC", 2)]
    rays = [(name, "U", value, 1.0) for name, value in MEASURED.items()]
    # Seen from A towards C (down the control line) B and U both lie left (east).
    return solve(network([*ties, *rays], Datum("A", "C", left=("B", "U"))))


@pytest.fixture(scope="module")
def oracle():
    controls = np.array(list(CONTROLS.values()))
    measured = np.array(list(MEASURED.values()))
    return scipy.optimize.least_squares(
        lambda p: np.hypot(*(controls - p).T) - measured, (6800.0, 3700.0), xtol=1e-15, ftol=1e-15, gtol=1e-15
    )


def test_ghilani_14_1_station_u(ghilani, oracle):
    turn = math.atan2(CONTROLS["C"][1] - CONTROLS["A"][1], CONTROLS["C"][0] - CONTROLS["A"][0])
    u = ghilani.point("U")
    x = CONTROLS["A"][0] + u.x * math.cos(turn) - u.y * math.sin(turn)
    y = CONTROLS["A"][1] + u.x * math.sin(turn) + u.y * math.cos(turn)
    # Three decimals in ft, as the book's working prints coordinates; the oracle is solved to rounding.
    assert (x, y) == pytest.approx((6861.317, 3727.819), abs=1.5e-3)
    assert (x, y) == pytest.approx(tuple(oracle.x), abs=1e-3)


def test_ghilani_14_1_residuals_and_variance(ghilani, oracle):
    rays = {r.features[0]: r.residual for r in ghilani.readings if "U" in r.features}
    assert [rays[name] for name in "ABC"] == pytest.approx(list(oracle.fun), abs=1e-5)
    # One degree of freedom: S0 = sqrt(sum of squares).
    assert ghilani.variance.degrees_of_freedom == 1
    assert math.sqrt(ghilani.variance.factor) == pytest.approx(math.sqrt(float(oracle.fun @ oracle.fun)), rel=1e-4)


def test_ghilani_14_1_ellipse(ghilani, oracle):
    covariance = np.linalg.inv(oracle.jac.T @ oracle.jac)
    expected = ellipse(covariance, chi_square_2())
    found = ghilani.point("U").ellipse
    # The controls are held by distances of 1e-4 ft instead of exactly: 1e-3 of the ellipse.
    assert found.semi_major == pytest.approx(expected.semi_major, rel=1e-3)
    assert found.semi_minor == pytest.approx(expected.semi_minor, rel=1e-3)


QUAD = [("A", "B", 80), ("B", "C", 60), ("C", "D", 80), ("D", "A", 60), ("A", "C", 100), ("B", "D", 100)]


def test_quadrilateral_of_3_4_5_triangles_is_exact():
    found = solve(network(QUAD, Datum("A", "B", left=("C",))))
    places = {point.name: point.place for point in found.points}
    for name, place in {"A": (0, 0), "B": (80, 0), "C": (80, 60), "D": (0, 60)}.items():
        assert places[name] == pytest.approx(place, abs=1e-9)
    assert max(abs(reading.residual) for reading in found.readings) < 1e-9


def test_quadrilateral_redundancies_are_those_of_theory():
    # One condition; its gradient by the closed form of a plane quadrilateral with side forces w_i in equilibrium
    # (self-stress): sides 80: -0.8, sides 60: -0.6, diagonals: +1. r_i = w_i^2 / sum w^2, sum = 2(0.64 + 0.36 + 1).
    found = solve(network(QUAD, Datum("A", "B", left=("C",))))
    expected = [0.64 / 4, 0.36 / 4, 0.64 / 4, 0.36 / 4, 1 / 4, 1 / 4]
    assert [reading.redundancy for reading in found.readings] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_random_network_agrees_with_a_general_solver(seed):
    rng = np.random.default_rng(seed)
    places = rng.uniform(0, 200, (7, 2))
    names = [f"H{i}" for i in range(7)]
    pairs = list(itertools.combinations(range(7), 2))[:-3]
    spans = [(names[a], names[b], math.dist(places[a], places[b]) + rng.normal(0, 0.1)) for a, b in pairs]
    a, b = places[1] - places[0], places[2] - places[0]
    side = "left" if a[0] * b[1] - a[1] * b[0] > 0 else "right"
    found = solve(network(spans, Datum("H0", "H1", **{side: ("H2",)}), sigma=0.1))
    measured = np.array([value for _, _, value in spans])
    first, second = np.array(pairs).T

    def residuals(flat):
        p = flat.reshape(-1, 2)
        return np.hypot(*(p[first] - p[second]).T) - measured

    oracle = scipy.optimize.least_squares(residuals, places.ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert [r.residual for r in found.readings] == pytest.approx(list(oracle.fun), abs=1e-6)


def test_covariance_is_the_pseudo_inverse_of_the_normal_matrix():
    # Free network, inner constraints: the covariance is the Moore-Penrose inverse of J' P J (theory).
    found = solve(network(QUAD, Datum("A", "B", left=("C",), kind=DatumKind.FREE)))
    places = np.array([point.place for point in found.points])
    order = [point.name for point in found.points]
    rows = np.zeros((6, 8))
    for row, (a, b, _) in enumerate(QUAD):
        i, j = order.index(a), order.index(b)
        unit = (places[j] - places[i]) / np.hypot(*(places[j] - places[i]))
        rows[row, 2 * j : 2 * j + 2], rows[row, 2 * i : 2 * i + 2] = unit, -unit
    expected = np.linalg.pinv(rows.T @ rows / 0.05**2, rcond=1e-10)
    assert found.covariance == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize("r", [1, 2, 5, 10, 30, 200])
def test_f_quantile_against_scipy(r):
    assert f_2(r) == pytest.approx(scipy.stats.f.ppf(0.95, 2, r), rel=1e-9)


def test_chi_square_quantile_against_scipy():
    assert chi_square_2() == pytest.approx(scipy.stats.chi2.ppf(0.95, 2), rel=1e-12)


@pytest.mark.parametrize(("value", "dof"), [(0.5, 1), (5.991, 2), (12.0, 7), (250.0, 200)])
def test_chi_square_probability_against_scipy(value, dof):
    assert chi_square_above(value, dof) == pytest.approx(scipy.stats.chi2.sf(value, dof), rel=1e-9)


def test_ellipse_of_a_known_covariance():
    # Variances 4 and 1 along axes turned by 30 degrees: half axes 2 and 1 at factor 1.
    turn = math.radians(30)
    axes = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
    found = ellipse(axes @ np.diag([4.0, 1.0]) @ axes.T, 1.0)
    assert (found.semi_major, found.semi_minor, found.angle) == pytest.approx((2.0, 1.0, 30.0))
