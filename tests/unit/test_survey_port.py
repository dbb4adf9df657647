"""Ports from surveys: corners of straight edges, round ports, their order, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from platemaker.errors import SurveyError
from platemaker.survey import PortFigure, Survey, port_of_edges, port_of_round, solve_file
from tests.port_surveys import READINGS

CORNERS = {(35, 30), (85, 30), (85, 60), (35, 60)}


@pytest.fixture(scope="module")
def survey(tmp_path_factory) -> Survey:
    file = tmp_path_factory.mktemp("survey") / "top.readings.yaml"
    file.write_text(READINGS, encoding="utf-8")
    return solve_file(file)


def corners(figure: PortFigure) -> set[tuple[float, float]]:
    return {(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in figure.corners}


def test_four_port_edges_need_no_order(survey):
    # 90, 120, 150: a 3-4-5 rectangle. 120 - 2 x 35 = 50 wide from 35, 90 - 2 x 30 = 30 high from 30.
    found = port_of_edges(survey, ())
    assert corners(found) == CORNERS
    assert found.diameter is None
    # Each corner is where one edge meets the next: opposite edges never follow each other.
    order = list(found.features)
    assert abs(order.index("left") - order.index("right")) == 2


def test_edges_in_any_order_round_the_port(survey):
    assert corners(port_of_edges(survey, (), ["far", "left", "near", "right"])) == CORNERS
    assert corners(port_of_edges(survey, (), ["left", "far", "right", "near"])) == CORNERS


def test_any_straight_edge_can_bound_a_port(survey):
    # The casting's rim lies 15 mm below A and B.
    found = corners(port_of_edges(survey, (), ["rim", "left", "far", "right"]))
    assert found == {(35, -15), (85, -15), (85, 60), (35, 60)}


def test_covariance_of_holes_is_the_surveys_own(survey):
    found = port_of_edges(survey, ("C", "A"))
    assert found.covariance.shape == (4 + 8, 4 + 8)
    np.testing.assert_allclose(found.covariance[:4, :4], survey.pattern(("C", "A")).covariance, atol=1e-15)
    np.testing.assert_allclose(found.covariance, found.covariance.T, atol=1e-12)


def test_round_port_of_a_boss_whose_diameter_nothing_leans_on(survey):
    found = port_of_round(survey, ("B",), "P")
    # 60, 45, 75: the middle of the rectangle.
    assert found.corners == (pytest.approx((60, 45), abs=1e-6),)
    assert (found.diameter, found.covariance.shape) == (12.0, (5, 5))
    assert found.covariance[4].tolist() == pytest.approx([0, 0, 0, 0, 0.04**2])


def test_round_port_whose_diameter_readings_lean_on(survey):
    found = port_of_round(survey, (), "Q")
    # 75 - 15 - 4 = 56 between the near sides.
    assert found.diameter == pytest.approx(30.0, abs=1e-6)
    assert found.covariance.shape == (3, 3)
    # Read between near sides, a larger port counts as nearer: place and diameter are not apart.
    assert abs(found.covariance[1, 2]) > 1e-4
    assert found.covariance[2, 2] < 0.04**2


@pytest.mark.parametrize(
    ("edges", "message"),
    [
        (["left", "right", "near"], "edges left and right do not meet: name the edges in their order round the port"),
        (["left", "nera", "right", "far"], "no edge 'nera' in the survey; there are: far, left, near, right, rim; "
         "did you mean 'near'?"),
    ],
)  # fmt: skip
def test_refused_edges(survey, edges, message):
    with pytest.raises(SurveyError) as caught:
        port_of_edges(survey, (), edges)
    assert str(caught.value) == message


def test_other_than_four_port_edges_are_to_be_named(tmp_path):
    file = tmp_path / "top.readings.yaml"
    text = READINGS.replace("  far: port edge\n", "")
    file.write_text("\n".join(line for line in text.splitlines() if "far]" not in line), encoding="utf-8")
    with pytest.raises(SurveyError) as caught:
        port_of_edges(solve_file(file), ())
    assert str(caught.value) == (
        "name the `edges` of the port, or its `round`: only four port edges need none, the survey has 3: left, near, right"
    )


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("S", "S is a stud: a port is a hole, or a boss with its outside diameter"),
        ("R", "the diameter of R was not read: write R: {hole: DIAMETER} in the survey"),
    ],
)
def test_refused_round_ports(survey, name, message):
    with pytest.raises(SurveyError) as caught:
        port_of_round(survey, (), name)
    assert str(caught.value) == message
