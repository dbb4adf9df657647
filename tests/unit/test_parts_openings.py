"""Joints with several openings: what is cut for them, and what is refused with file, line and key."""

from __future__ import annotations

import math

import pytest

from platemaker.errors import SpecError, SpecErrors
from platemaker.resolved import expected_volume
from tests.openings import ALL, TWO, two_openings
from tests.port_surveys import READINGS


def test_plate_and_gasket_have_one_hole_for_each_opening(tmp_path):
    stack = two_openings(tmp_path, more="gasket: {thickness: 2, land: 5, overhang: 1}")
    plate, gasket = stack.part("plate"), stack.part("ports_gasket")
    assert [cut.name for cut in plate.profiles] == ["one", "two"]
    assert [cut.regions[0].bounds for cut in plate.profiles] == [(-60, -20, -20, 20), (20, -20, 60, 20)]
    # 260 x 110, less two holes of 42 and six of 10 for M8.
    assert expected_volume(gasket) == pytest.approx(2 * (260 * 110 - math.pi * (2 * 21**2 + 6 * 5**2)), rel=1e-9)


def test_an_opening_is_matched_to_one_of_several(tmp_path):
    cut = "openings: {right: {match: ports.two, mouth_radius: 3}, left: {match: ports.one}}"
    plate = two_openings(tmp_path, cut=cut).part("plate")
    assert {one.name: (one.regions[0].bounds[0], one.mouth_radius) for one in plate.profiles} == {
        "right": (20, 3),
        "left": (-60, 0),
    }


def test_each_opening_has_its_own_groove(tmp_path):
    plate = two_openings(tmp_path, more="seal: {o_ring: AS568-226}").part("plate")
    grooves = [cut for cut in plate.profiles if cut.joint == "ports" and not cut.through]
    assert [cut.name for cut in grooves] == ["ports_one_groove", "ports_two_groove"]
    # AS568-226: 50.39 inside, 3.53 thick, so that its outer wall is a circle of 50.39 + 2 x 3.53 about either opening.
    assert [cut.regions[0].outer.as_circle().radius for cut in grooves] == pytest.approx([28.725] * 2, abs=1e-5)


def test_openings_come_from_one_survey(tmp_path):
    (tmp_path / "top.readings.yaml").write_text(READINGS, encoding="utf-8")
    openings = (
        "long: {survey: top.readings.yaml, edges: [left, far, right, near], at: [-100, -45]}, "
        "round: {survey: top.readings.yaml, round: Q, at: [0, -45]}"
    )
    joint = two_openings(tmp_path, openings).joint("ports")
    # The readings have edges at 35..85 and 30..60, and Q of 30 at (60, 45).
    assert [port.region.bounds for port in joint.ports] == [
        pytest.approx((-65, -15, -15, 15), abs=1e-5),
        pytest.approx((45, -15, 75, 15), abs=1e-5),
    ]
    assert all(port.surveyed is not None for port in joint.ports)


OVERLAP = "one: {circle: 40, at: [-15, 0]}, two: {circle: 40, at: [15, 0]}"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"openings": "one: {circle: 40}, one: {circle: 30}"}, "project.yaml:10: key 'one' is repeated"),
        (
            {"openings": f"{TWO}}}\n    opening: {{circle: 30"},
            "joints.ports: either a single `opening`, or `openings` by",
        ),
        ({"openings": OVERLAP}, "project.yaml:10: joints.ports.openings.two: openings 'one' and 'two' overlap"),
        (
            {"own": "openings: {two: {circle: 90, at: [10, 0]}}"},
            "bodies.head.joints.ports.openings.two: openings 'one' and 'two' overlap",
        ),
        (
            {"own": "openings: {tow: {circle: 38}}"},
            "bodies.head.joints.ports.openings.tow: joint 'ports' has no opening called 'tow', met 'tow'; "
            "allowed: one, two; did you mean 'two'?",
        ),
        (
            {"own": "opening: {circle: 38}"},
            "bodies.head.joints.ports.opening: joint 'ports' has several openings; allowed: `openings`: one, two",
        ),
        (
            {"cut": "openings: {a: {match: ports.tow}}"},
            "parts.plate.openings.a.match: no opening is called 'ports.tow', met 'ports.tow'; allowed: ports.one, "
            "ports.two; did you mean 'ports.two'?",
        ),
        (
            {"openings": TWO.replace("[40, 0]", "[240, 0]"), "cut": ALL},
            "parts.plate.opening: two lies off plate; allowed: cuts that lie inside the outline",
        ),
        (
            {"more": "gasket: {thickness: 1, land: 5, overhang: 21}"},
            "joints.ports.gasket.overhang: nothing of the gasket is left between openings 'one' and 'two', met '21 mm'",
        ),
        ({"more": "seal: {o_ring: AS568-210}"}, "O-ring 210 is too short for opening 'one' of joint 'ports'"),
    ],
)
def test_what_is_wrong_with_openings_is_named(tmp_path, given, said):
    with pytest.raises((SpecError, SpecErrors)) as caught:
        two_openings(tmp_path, **given)
    assert said in str(caught.value)
