"""What each kind of reading would read of places that are given, by hand, and its slopes against differences.

A triangle of 80 x 60 with holes of 8, 10 and 12 mm; edges at x = -20 and x = 110, which faces the other way, and at
y = -15. A turned frame moves every place and no reading.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.survey import Datum, DatumKind, Feature, FeatureKind, Network, Reading, SharedErrors
from platemaker.survey import ReadingKind as K
from platemaker.survey._adjustment._adjust import (
    adjusted,
    cofactors,
    datum_constraints,
    fit,
    free_constraints,
    in_datum,
    lever_of,
    rigid_basis,
    transformed,
)
from platemaker.survey._adjustment._equations import Equations

AT = {"A": (0.0, 0.0), "B": (80.0, 0.0), "C": (80.0, 60.0)}
WIDE = {"A": 8.0, "B": 10.0, "C": 12.0}
EDGES = {"left": (0.0, -20.0), "right": (math.pi, -110.0), "front": (math.pi / 2, -15.0)}
"""Angle of the normal and offset n.p."""
READ = [
    (K.CENTRES, "A B", 80.0),
    (K.INSIDE, "A B", 80 - 4 - 5),
    (K.OUTSIDE, "A C", 100 + 4 + 6),
    (K.SAME_SIDE, "A B", 80 + 4 - 5),
    (K.HOLE_TO_EDGE, "left A", 20 - 4),
    (K.FAR_TO_EDGE, "right C", 110 - 80 + 6),
    (K.CENTRE_TO_EDGE, "front C", 60 + 15),
    (K.DEPTH, "front B", 15 - 5),
    (K.EDGE_TO_EDGE, "left right", 130.0),
    (K.ANGLE, "A B C", 90.0),
    (K.ANGLE, "B A C", math.degrees(math.atan2(60, 80))),
    (K.ANGLE, "left front", 90.0),
    (K.SQUARE, "front right", 90.0),
    (K.DIAMETER, "B", 10.0),
]


def equations(*readings: tuple[K, str, float], instrument: str = "") -> Equations:
    features = [Feature(name, FeatureKind.HOLE) for name in AT] + [Feature(name, FeatureKind.EDGE) for name in EDGES]
    taken = tuple(
        Reading(number, kind, tuple(names.split()), value, 0.05, instrument=instrument)
        for number, (kind, names, value) in enumerate(readings, start=1)
    )
    mine = SharedErrors("mine", zero=(0.2, 0.01), scale=(0.5, 0.1))
    return Equations(Network(tuple(features), taken, Datum("A", "B", left=("C",)), instruments=(mine,)))


def unknowns(found: Equations, turn: float = 0.0, shift: tuple[float, float] = (0.0, 0.0)) -> np.ndarray:
    layout, (c, s) = found.layout, (math.cos(turn), math.sin(turn))
    u = np.zeros(layout.size)
    for name, (x, y) in AT.items():
        u[layout.x(name) : layout.x(name) + 2] = c * x - s * y + shift[0], s * x + c * y + shift[1]
    for name in layout.sized:
        u[layout.diameter(name)] = WIDE[name]
    for name, (angle, offset) in EDGES.items():
        turned = angle + turn
        u[layout.angle(name)] = turned
        u[layout.angle(name) + 1] = offset + shift[0] * math.cos(turned) + shift[1] * math.sin(turned)
    for one in layout.shared:
        column = layout.error(one.instrument, one.kind)
        assert column is not None
        u[column] = one.mean
    return u


@pytest.mark.parametrize(("turn", "shift"), [(0.0, (0.0, 0.0)), (0.7, (30.0, -12.0)), (-2.5, (-5.0, 40.0))])
def test_what_every_kind_reads(turn, shift):
    found = equations(*READ)
    computed, _ = found.evaluate(unknowns(found, turn, shift))
    for row, observation in enumerate(found.observations):
        if observation.reading is not None:
            factor, _ = observation.shown
            value = 0.0 if found.values[row] == 0.0 else observation.reading.value  # edges across are parallel as well
            assert computed[row] * factor == pytest.approx(value, abs=1e-9), observation.reading.title


def test_a_row_sags_by_its_middles_distance():
    """B off the line from A to C: 80 x 60 / 100, to its right."""
    found = equations((K.STRAIGHT, "A B C", 0.0))
    assert found.evaluate(unknowns(found))[0] == pytest.approx([-48.0])


def test_zero_and_scale_of_an_instrument():
    """60 mm with 0.5 mm a metre too much and 0.2 mm on top."""
    found = equations((K.CENTRES, "B C", 60.23), instrument="mine")
    assert found.evaluate(unknowns(found))[0][0] == pytest.approx(60 * 1.0005 + 0.2)


@pytest.mark.parametrize("instrument", ["", "mine"])
def test_slopes_are_those_of_what_is_read(instrument):
    """Central differences of 1e-5; but for edges that are square or parallel, whose branches are equally near."""
    some = [one for one in READ if one[1] not in ("left front", "front right")]
    found = equations(*some, (K.ANGLE, "left front", 80.0), (K.STRAIGHT, "A B C", 0.0), instrument=instrument)
    at = unknowns(found, 0.7, (30.0, -12.0)) + np.random.default_rng(2).uniform(-0.02, 0.02, found.layout.size)
    _, slopes = found.evaluate(at)
    step = 1e-5 * np.eye(len(at))
    parallel = [
        bool(one.reading and one.reading.kind is K.EDGE_TO_EDGE and not one.value) for one in found.observations
    ]
    own = ~np.array(parallel)
    for column in range(len(at)):
        ahead, behind = (found.evaluate(at + way)[0] for way in (step[column], -step[column]))
        assert slopes[own, column] == pytest.approx((ahead - behind)[own] / 2e-5, abs=2e-6)


FIXED, FREE = Datum("A", "B", left=("C",)), Datum("A", "B", kind=DatumKind.FREE)
TURNED = [(0.0, (0.0, 0.0)), (0.7, (30.0, -12.0)), (-2.5, (-5.0, 40.0)), (3.0, (500.0, 7.0))]


def mirrored(u, layout):
    """Y reversed: of places, and of the edges' normals."""
    image = u.copy()
    for name in layout.rounds:
        image[layout.x(name) + 1] *= -1
    for name in layout.edges:
        image[layout.angle(name)] *= -1
    return image


def same_figure(found, expected, layout):
    """Places, diameters and offsets alike; angles up to full turns."""
    left = found - expected
    for name in layout.edges:
        left[layout.angle(name)] = math.remainder(left[layout.angle(name)], math.tau)
    return np.abs(left).max() < 1e-9


@pytest.mark.parametrize(("turn", "shift"), TURNED)
def test_a_figure_is_laid_into_its_datum(turn, shift):
    """A at the origin, B on X, the edges with it, wherever the figure lay; the other hand where C is on the right."""
    found = equations(*READ)
    layout, home = found.layout, unknowns(found)
    there = unknowns(found, turn, shift)
    assert same_figure(in_datum(layout, FIXED, there), home, layout)
    assert same_figure(in_datum(layout, FIXED, mirrored(there, layout)), home, layout)
    assert same_figure(in_datum(layout, Datum("A", "B", right=("C",)), there), mirrored(home, layout), layout)
    assert same_figure(in_datum(layout, Datum("A", "B"), there), home, layout)


def test_normals_of_edges_point_to_where_the_holes_are():
    """Both unknowns of an edge reversed are the same line: in its frame all holes lie on the side of its normal."""
    found = equations(*READ)
    there = unknowns(found)
    for name in EDGES:
        at = found.layout.angle(name)
        there[at], there[at + 1] = there[at] + math.pi, -there[at + 1]
    assert same_figure(in_datum(found.layout, FIXED, there), unknowns(found), found.layout)


def test_the_lever_is_half_the_extent_of_the_holes_and_at_least_a_millimetre():
    found = equations(*READ)
    u = unknowns(found)
    assert lever_of(found.layout, u) == 40.0  # 80 x 60
    assert lever_of(found.layout, u / 100) == 1.0
    u[found.layout.x("C") + 1] = 200.0
    assert lever_of(found.layout, u) == 100.0
    alone = Equations(Network((Feature("A", FeatureKind.HOLE),), (), Datum("A", "A")))
    assert lever_of(alone.layout, np.full(alone.layout.size, 70.0)) == 1.0


@pytest.mark.parametrize(("turn", "shift"), TURNED)
def test_what_a_shift_and_a_turn_do_to_the_unknowns(turn, shift):
    """Against small motions of the figure itself; and a basis of them at right angles that no reading notices."""
    found = equations(*READ)
    layout, u, small = found.layout, unknowns(found, turn, shift), 1e-6
    modes = layout.rigid_modes(u)
    for column, moved in enumerate((unknowns(found, turn, (shift[0] + small, shift[1])),
                                    unknowns(found, turn, (shift[0], shift[1] + small)))):  # fmt: skip
        assert modes[:, column] == pytest.approx((moved - u) / small, abs=1e-5)
    c, s = math.cos(small), math.sin(small)
    round_origin = unknowns(found, turn + small, (c * shift[0] - s * shift[1], s * shift[0] + c * shift[1]))
    assert modes[:, 2] == pytest.approx((round_origin - u) / small, abs=1e-3)
    scale = layout.scale(40.0)
    basis = rigid_basis(layout, u, scale)
    assert basis.T @ basis == pytest.approx(np.eye(3), abs=1e-9)
    slopes = found.evaluate(u)[1] * scale
    assert np.abs(slopes @ basis).max() < 1e-9


def test_angles_are_scaled_by_the_lever_and_lengths_are_not():
    found = equations(*READ)
    scale = found.layout.scale(40.0)
    angles = [found.layout.angle(name) for name in EDGES]
    assert scale[angles].tolist() == [1 / 40] * 3
    assert np.delete(scale, angles).tolist() == [1.0] * (len(scale) - 3)


THREE = [(K.CENTRES, "A B", 80.0), (K.CENTRES, "B C", 60.0), (K.CENTRES, "A C", 100.0)]


@pytest.mark.parametrize(("turn", "shift"), TURNED)
def test_three_spans_make_the_triangle_that_they_are_of(turn, shift):
    """80, 60, 100: a right angle at B; from a start that is off by up to 3 mm."""
    found = equations(*THREE)
    off = np.zeros(found.layout.size)
    off[:6] = (2.0, -3.0, 1.0, 2.5, -2.0, 3.0)
    solved = adjusted(found, FIXED, unknowns(found, turn, shift) + off)
    assert solved.unknowns[:6] == pytest.approx([0, 0, 80, 0, 80, 60], abs=1e-7)
    assert solved.cost == pytest.approx(0, abs=1e-12)
    assert solved.weights == pytest.approx([1 / 0.05**2] * 3)


def test_two_readings_of_one_span_meet_in_the_middle_and_one_left_out_does_not_count():
    """A-B as 80.0 and 80.1, each to 0.05: 80.05 with 0.05 left over on either side, chi-square 1 + 1."""
    found = equations(*THREE, (K.CENTRES, "A B", 80.1))
    solved = fit(found, unknowns(found))
    rows = [row for row, one in enumerate(found.observations) if one.features == ("A", "B")]
    assert solved.residuals[rows] == pytest.approx([0.05, -0.05], abs=1e-8)
    assert solved.cost == pytest.approx(2.0)
    active = np.ones(len(found.values))
    active[rows[1]] = 0.0
    assert fit(found, unknowns(found), active).residuals[rows] == pytest.approx([0.0, -0.1], abs=1e-8)
    active[rows[1]] = 0.25
    # Weighted mean of 80.0 with 1 and 80.1 with a quarter: 80.02.
    assert fit(found, unknowns(found), active).residuals[rows] == pytest.approx([0.02, -0.08], abs=1e-8)


def test_covariance_seen_from_the_datum():
    """Each coordinate of A, B, C alone to 1 mm. Seen from A with X through B, for small errors, by hand:

    xB' = xB - xA: 2; yC' = yC - yA - 80 (yB - yA) / 80 = yC - yB: 2; xC' = xC - xA + 60 (yB - yA) / 80: 2 + 2 (3/4)^2.
    """
    found = equations(*THREE)
    layout, u = found.layout, unknowns(found)
    seen = transformed(np.eye(layout.size), layout, u, datum_constraints(layout, FIXED, u))
    assert np.diag(seen)[:6] == pytest.approx([0, 0, 2, 0, 3.125, 2], abs=1e-12)
    turned = unknowns(found, math.pi / 2, (30.0, -12.0))
    seen = transformed(np.eye(layout.size), layout, turned, datum_constraints(layout, FIXED, turned))
    assert np.diag(seen)[:6] == pytest.approx([0, 0, 0, 2, 2, 3.125], abs=1e-12)


def test_covariance_of_a_free_figure_is_about_the_middle_of_its_holes():
    """All that is taken off is a shift of 1/3 and a turn about the middle (160/3, 20): r^2 = 2844.4 + 400, 711.1 + 400,
    711.1 + 1600, in all 6666.7, so that a hole loses 1/3 + (y - 20)^2 / 6666.7 in x."""
    found = equations(*THREE)
    layout = found.layout
    for turn, shift in ((0.0, (0.0, 0.0)), (0.0, (30.0, -12.0))):
        u = unknowns(found, turn, shift)
        constraints = datum_constraints(layout, FREE, u)
        assert constraints == pytest.approx(free_constraints(layout, u))
        seen = np.diag(transformed(np.eye(layout.size), layout, u, constraints))[:6]
        total = 20000 / 3
        lost = [400, (160 / 3) ** 2, 400, (80 / 3) ** 2, 1600, (80 / 3) ** 2]
        assert seen == pytest.approx([2 / 3 - one / total for one in lost])


def test_two_holes_and_a_span_are_known_along_it_alone():
    """A span read to 0.05: seen from its middle each end to half of it, so 0.025; seen from A, B to 0.05."""
    holes = (Feature("A", FeatureKind.HOLE), Feature("B", FeatureKind.HOLE))
    found = Equations(Network(holes, (Reading(1, K.CENTRES, ("A", "B"), 80.0, 0.05),), FIXED))
    solved = fit(found, np.array([0.0, 0.0, 79.0, 0.0]))
    covariance = cofactors(found, solved)
    assert np.diag(covariance) == pytest.approx([0.025**2, 0, 0.025**2, 0], abs=1e-10)
    assert covariance[0, 2] == pytest.approx(-(0.025**2))
    fixed = transformed(
        covariance, found.layout, solved.unknowns, datum_constraints(found.layout, FIXED, solved.unknowns)
    )
    assert np.diag(fixed) == pytest.approx([0, 0, 0.05**2, 0], abs=1e-10)
