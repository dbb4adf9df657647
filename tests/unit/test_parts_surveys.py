"""Joints whose spots come from caliper readings: places, covariance in the joint's frame, and what is refused."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.errors import SpecError
from platemaker.parts import Surveyed
from platemaker.report import worded
from tests.design_stacks import stack_of

READINGS = """
features: {A: {hole: 8}, B: {hole: 8}, C: {hole: 8}, D: {hole: 8}}
datum: {origin: A, x_towards: B, left: [D]}
readings:
  - {centres: [A, B], reads: 40, sd: 0.02}
  - {centres: [B, C], reads: 30, sd: 0.02}
  - {centres: [C, D], reads: 40, sd: 0.02}
  - {centres: [A, D], reads: 30, sd: 0.02}
  - {centres: [A, C], reads: 50, sd: 0.02}
  - {centres: [B, D], reads: 50, sd: 0.02}
"""
PROJECT = """
project: trial
bodies: {log: {joints: {top: {holes: tapped, position: 0.3}}}}
joints:
  top: {bolts: {pattern: PATTERN, thread: M6}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [140, 140], at: [20, 15]}
    below: {top: {holes: clear, position: 0.2}}
"""


def surveyed(folder: Path, pattern: str, readings: str = READINGS) -> Surveyed:
    (folder / "top.readings.yaml").write_text(readings, encoding="utf-8")
    joint = stack_of(folder, PROJECT.replace("PATTERN", pattern)).joint("top")
    assert joint.surveyed is not None
    return joint.surveyed


def refusal(folder: Path, pattern: str, readings: str = READINGS) -> str:
    with pytest.raises(SpecError) as caught:
        surveyed(folder, pattern, readings)
    return str(caught.value)


def test_a_3_4_5_survey_gives_its_corners(tmp_path):
    (tmp_path / "top.readings.yaml").write_text(READINGS, encoding="utf-8")
    stack = stack_of(tmp_path, PROJECT.replace("PATTERN", "{survey: top.readings.yaml}"))
    # 30, 40, 50: a right triangle on either side of each diagonal. Coordinates are rounded to 1e-6 mm.
    expected = {"A": (0, 0), "B": (40, 0), "C": (40, 30), "D": (0, 30)}
    assert {name: pytest.approx(place, abs=1e-6) for name, place in expected.items()} == stack.joint("top").spots
    assert {hole.name for hole in stack.part("lid").holes} == {"top_A", "top_B", "top_C", "top_D"}


def test_position_zones_come_to_the_faces(tmp_path):
    (tmp_path / "top.readings.yaml").write_text(READINGS, encoding="utf-8")
    joint = stack_of(tmp_path, PROJECT.replace("PATTERN", "{survey: top.readings.yaml}")).joint("top")
    assert joint.lower is not None
    assert joint.upper is not None
    assert (joint.lower.position, joint.upper.position) == (0.3, 0.2)


def test_features_pick_holes_in_their_order(tmp_path):
    found = surveyed(tmp_path, "{survey: top.readings.yaml, features: [C, A]}")
    assert found.spots == ("C", "A")
    assert len(found.covariance) == 4
    # A is the origin of the datum: it has no uncertainty of its own.
    assert [found.covariance[2][2], found.covariance[3][3]] == pytest.approx([0.0, 0.0], abs=1e-18)


def test_a_turned_pattern_turns_its_covariance(tmp_path):
    straight = surveyed(tmp_path, "{survey: top.readings.yaml}").covariance
    turned = surveyed(tmp_path, "{survey: top.readings.yaml, turn: 30 deg, at: [9, 1]}").covariance
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    for i in range(4):
        (xx, xy), (_, yy) = (straight[2 * i + k][2 * i : 2 * i + 2] for k in (0, 1))
        # R C R' written out for one spot.
        expected = [c * c * xx - 2 * c * s * xy + s * s * yy, c * s * (xx - yy) + (c * c - s * s) * xy]
        assert turned[2 * i][2 * i : 2 * i + 2] == pytest.approx(expected, abs=1e-15)


def test_nominal_is_proposed_and_not_used(tmp_path):
    found = surveyed(tmp_path, "{survey: top.readings.yaml}", READINGS.replace("reads: 40,", "reads: 40.03,"))
    assert "within its uncertainty this is a 40 × 30 mm rectangle" in worded(found.proposals[0]).metric
    stack = stack_of(tmp_path, PROJECT.replace("PATTERN", "{survey: top.readings.yaml}"))
    assert stack.joint("top").spots["B"][0] > 40.01


def test_row_of_bosses_from_a_survey(tmp_path):
    text = READINGS.replace("{centres: [B, C], reads: 30, sd: 0.02}", "{straight: [A, B, C, D]}")
    text = text.replace("[C, D], reads: 40", "[C, D], reads: 41.5").replace("[A, D], reads: 30", "[A, D], reads: 124")
    text = text.replace("[A, C], reads: 50", "[A, C], reads: 82.5").replace("[B, D], reads: 50", "[B, D], reads: 84")
    (tmp_path / "row.readings.yaml").write_text(text.replace(", left: [D]", ""), encoding="utf-8")
    project = """
project: trial
joints: {injectors: {spots: {survey: row.readings.yaml, at: [-62, 0]}}}
parts:
  rail:
    kind: rail
    material: 6061-T6
    stock: {round: 25}
    length: 160
    joint: injectors
    passage: 10
    cross_bore: {diameter: 8}
    marks: {front: {text: FRONT}}
"""
    stack = stack_of(tmp_path, project)
    places = [hole.at[0] for hole in stack.part("rail").holes if hole.joint == "injectors"]
    # 40 + 42.5 + 41.5 = 124: the readings agree exactly.
    assert places == pytest.approx([-62, -22, 20.5, 62], abs=1e-6)


@pytest.mark.parametrize(
    ("pattern", "message"),
    [
        (
            "{survey: tpo.readings.yaml}",
            "project.yaml:5: joints.top.bolts.pattern.survey: no file tpo.readings.yaml beside the spec; "
            "allowed: top.readings.yaml; did you mean 'top.readings.yaml'?",
        ),
        (
            "{survey: top.readings.yaml, features: [A, A]}",
            "project.yaml:5: joints.top.bolts.pattern.features: feature 'A' is listed twice; allowed: each hole once",
        ),
        (
            "{survey: top.readings.yaml, features: [A, Bb]}",
            "project.yaml:5: joints.top.bolts.pattern.survey: no round feature 'Bb' in the survey; "
            "there are: A, B, C, D; did you mean 'B'?",
        ),
    ],
)
def test_refused_in_exact_words(tmp_path, pattern, message):
    assert refusal(tmp_path, pattern) == message


def test_file_with_another_ending_is_refused(tmp_path):
    assert "joints.top.bolts.pattern.survey" in refusal(tmp_path, "{survey: top.yaml}")


def test_faults_of_the_readings_file_are_told_with_its_lines(tmp_path):
    stated = refusal(
        tmp_path, "{survey: top.readings.yaml}", READINGS.replace("[B, D], reads: 50", "[B, B], reads: 50")
    )
    assert stated.startswith("top.readings.yaml:10: readings")
    stated = refusal(
        tmp_path, "{survey: top.readings.yaml}", READINGS.replace("[B, D], reads: 50", "[B, D], reads: -50")
    )
    assert stated.startswith("top.readings.yaml:10: readings")


def test_a_network_that_can_flex_is_told_at_the_pattern(tmp_path):
    lines = [line for line in READINGS.splitlines() if "[A, C]" not in line and "[B, D]" not in line]
    stated = refusal(tmp_path, "{survey: top.readings.yaml}", "\n".join(lines))
    assert stated.startswith("project.yaml:5: joints.top.bolts.pattern.survey: top.readings.yaml: ")
