"""Openings from surveys in a spec: figure, place, what uses them, and what is refused with file, line and key."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker import parts
from platemaker.errors import SpecError, SpecErrors
from platemaker.parts import Joint, Stack
from platemaker.spec import load_project
from tests.design_stacks import findings_of, stack_of
from tests.plates import note_of
from tests.port_surveys import READINGS

PROJECT = """
project: trial
bodies:
  log: {joints: {top: {holes: tapped OWN}}}
joints:
  top:
    bolts: {pattern: PATTERN, thread: M6}
    opening: OPENING
    gasket: {thickness: 1, land: 3}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [460, 460]}
    below: {top: {holes: clear}}
    opening: {match: top}
"""
SAME = "{survey: top.readings.yaml, features: [A, B, C, D], at: [-60, -45]}"
DRAWN = "{rectangle: [120, 90]}"


def made(folder: Path, opening: str, own: str = "", pattern: str = SAME, readings: str = READINGS) -> Stack:
    (folder / "top.readings.yaml").write_text(readings, encoding="utf-8")
    own = f", opening: {own}" if own else ""
    return stack_of(folder, PROJECT.replace("PATTERN", pattern).replace("OPENING", opening).replace("OWN", own))


def joint_of(folder: Path, opening: str, own: str = "", pattern: str = SAME) -> Joint:
    return made(folder, opening, own, pattern).joint("top")


def drawn_up(folder: Path, opening: str) -> Joint:
    """The joint alone, whatever becomes of the plate."""
    (folder / "top.readings.yaml").write_text(READINGS, encoding="utf-8")
    text = PROJECT.replace("PATTERN", SAME).replace("OPENING", opening).replace("OWN", "")
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return parts.stack_of(load_project(folder)).joint("top")


def refusal(folder: Path, opening: str, readings: str = READINGS) -> str:
    with pytest.raises(SpecError) as caught:
        made(folder, opening, readings=readings)
    return str(caught.value)


def test_rectangle_of_four_edges_lies_where_the_pattern_lies(tmp_path):
    joint = joint_of(tmp_path, "{survey: top.readings.yaml, corner_radius: 4}")
    [port] = joint.ports
    # 50 x 30 about the middle of the pattern; four corners of radius 4 take (4 - pi) r2 away.
    assert port.region.bounds == pytest.approx((-25, -15, 25, 15), abs=1e-5)
    assert port.region.area == pytest.approx(50 * 30 - (4 - math.pi) * 16, abs=1e-3)
    stated = port.surveyed
    assert stated is not None
    assert (stated.file, set(stated.features)) == ("top.readings.yaml", {"left", "right", "near", "far"})
    # Four spots and four corners, x and y each.
    assert len(stated.covariance) == 16


def test_the_plate_and_the_gasket_take_the_surveyed_opening(tmp_path):
    stack = made(tmp_path, "{survey: top.readings.yaml, corner_radius: 4}")
    for part in ("lid", "top_gasket"):
        [opening] = stack.part(part).cut("opening").regions
        assert opening.bounds == pytest.approx((-25, -15, 25, 15), abs=1e-5)


def test_own_place_goes_before_the_patterns(tmp_path):
    joint = drawn_up(tmp_path, "{survey: top.readings.yaml, at: [100, 0], turn: 90 deg}")
    # Corners (35..85, 30..60) turned to (-60..-30, 35..85), then moved by 100.
    [port] = joint.ports
    assert port.region.bounds == pytest.approx((40, 35, 70, 85), abs=1e-5)


def test_round_port_with_its_read_diameter(tmp_path):
    joint = joint_of(tmp_path, "{survey: top.readings.yaml, round: Q}", pattern=SAME.replace("]}", "], turn: 90}"))
    circle = joint.ports[0].region.outer.as_circle()
    assert circle is not None
    # (60, 45) turned to (-45, 60), then moved by (-60, -45).
    assert circle.centre == pytest.approx((-105, 15), abs=1e-5)
    assert 2 * circle.radius == pytest.approx(30, abs=1e-5)


def test_bodys_own_port_from_a_survey_beside_a_drawn_opening(tmp_path):
    joint = joint_of(tmp_path, "{rectangle: [52, 30]}", "{survey: top.readings.yaml, edges: [left, far, right, near]}")
    [own], [port] = joint.ports_of("log"), joint.ports
    assert own.region.bounds == pytest.approx((-25, -15, 25, 15), abs=1e-5)
    assert joint.ports_of("lid") == (port,)
    assert port.surveyed is None
    assert own.surveyed is not None


def test_port_of_another_survey_shares_nothing_with_the_spots(tmp_path):
    (tmp_path / "port.readings.yaml").write_text(READINGS, encoding="utf-8")
    stated = joint_of(tmp_path, "{survey: port.readings.yaml, at: [-60, -45]}").ports[0].surveyed
    spots = joint_of(tmp_path, "{survey: port.readings.yaml, at: [-60, -45]}").surveyed
    assert stated is not None
    assert spots is not None
    assert [row[:8] for row in stated.covariance[:8]] == list(spots.covariance)
    assert {value for row in stated.covariance[:8] for value in row[8:]} == {0.0}


def test_drawn_spots_count_as_exact(tmp_path):
    stated = joint_of(tmp_path, "{survey: top.readings.yaml, at: [-60, -45]}", pattern=DRAWN).ports[0].surveyed
    assert stated is not None
    assert {value for row in stated.covariance[:8] for value in row} == {0.0}
    assert stated.covariance[8][8] > 0


def test_turned_covariance_is_that_of_the_turned_port(tmp_path):
    straight = joint_of(tmp_path, "{survey: top.readings.yaml}").ports[0].surveyed
    turned = (
        joint_of(tmp_path, "{survey: top.readings.yaml}", pattern=SAME.replace("]}", "], turn: 90}")).ports[0].surveyed
    )
    assert straight is not None
    assert turned is not None
    for i in range(0, 16, 2):  # a quarter turn: x becomes y, y becomes -x
        assert turned.covariance[i + 1][i + 1] == pytest.approx(straight.covariance[i][i], abs=1e-15)
        assert turned.covariance[i][i] == pytest.approx(straight.covariance[i + 1][i + 1], abs=1e-15)
        assert turned.covariance[i][i + 1] == pytest.approx(-straight.covariance[i + 1][i], abs=1e-15)


def test_larger_radius_than_a_narrower_port_has_room_for_shrinks(tmp_path):
    stated = joint_of(tmp_path, "{survey: top.readings.yaml, corner_radius: 14.9}").ports[0].surveyed
    assert stated is not None
    xs, ys = (-25, 25, 25, -25), (-14, -14, 14, 14)
    figure = stated.figure(value for pair in zip(xs, ys, strict=True) for value in pair)
    # 28 mm high: ends of radius 14 leave a slot.
    assert figure.area == pytest.approx(22 * 28 + math.pi * 14**2, rel=1e-6)


PLACE = "project.yaml:8: joints.top.opening"


@pytest.mark.parametrize(
    ("opening", "message"),
    [
        ("{survey: tpo.readings.yaml}", f"{PLACE}.survey: no file tpo.readings.yaml beside the spec; "
         "allowed: top.readings.yaml; did you mean 'top.readings.yaml'?"),
        ("{survey: top.readings.yaml, edges: [left, nera, right, far]}", f"{PLACE}.edges[1]: no edge in "
         "top.readings.yaml is called this, met 'nera'; allowed: far, left, near, right, rim; did you mean 'near'?"),
        ("{survey: top.readings.yaml, edges: [left, near, left, far]}", f"{PLACE}.edges[2]: an edge is named twice, "
         "met 'left'; allowed: far, left, near, right, rim"),
        ("{survey: top.readings.yaml, edges: [left, right, near, far]}", f"{PLACE}.edges: edges left and right do not "
         "meet: name the edges in their order round the port"),
        ("{survey: top.readings.yaml, round: PP}", f"{PLACE}.round: no round feature in top.readings.yaml is called "
         "this, met 'PP'; allowed: A, B, C, D, P, Q, R, S; did you mean 'P'?"),
        ("{survey: top.readings.yaml, round: S}", f"{PLACE}.round: S is a stud: a port is a hole, or a boss with its "
         "outside diameter"),
    ],
)  # fmt: skip
def test_refused_in_exact_words(tmp_path, opening, message):
    assert refusal(tmp_path, opening) == message


def test_radius_that_does_not_fit_is_refused_at_the_opening(tmp_path):
    stated = refusal(tmp_path, "{survey: top.readings.yaml, corner_radius: 20}")
    assert stated.startswith(f"{PLACE}: ")
    assert "radius" in stated


def test_three_port_edges_are_refused_at_the_opening(tmp_path):
    text = READINGS.replace("  far: port edge\n", "")
    readings = "\n".join(line for line in text.splitlines() if "far]" not in line)
    stated = refusal(tmp_path, "{survey: top.readings.yaml}", readings)
    assert (
        stated
        == f"{PLACE}: name the `edges` of the port, or its `round`: only four port edges need none, the survey has 3: left, near, right"
    )


@pytest.mark.parametrize(
    ("opening", "words"),
    [
        ("{survey: top.readings.yaml, round: P, edges: [left, near, far]}",
         "a surveyed opening is either `round`, or has `edges` and their `corner_radius`"),
        ("{survey: top.readings.yaml, edges: [left, near]}", "joints.top.opening.edges"),
        ("{survey: top.readings.yaml, edgse: [left, near, far]}", "unknown key"),
        ("{survey: top.yaml}", "joints.top.opening.survey"),
    ],
)  # fmt: skip
def test_refused_by_the_model(tmp_path, opening, words):
    with pytest.raises((SpecError, SpecErrors)) as caught:
        made(tmp_path, opening)
    assert words in str(caught.value)
    assert "project.yaml:8" in str(caught.value)


def test_a_suspect_reading_of_a_ports_own_survey_is_told(tmp_path):
    # 61.5 in place of 60 from C, and a reading from D that states; the pattern's own survey is sound.
    right = "{centre_to_edge: [C, near], reads: 60, sd: 0.1}"
    assert right in READINGS
    wrong = f"{right.replace('60', '61.5')}\n  - {right.replace('C', 'D')}"
    readings = READINGS.replace(right, wrong)
    (tmp_path / "port.readings.yaml").write_text(readings, encoding="utf-8")
    found = findings_of(made(tmp_path, "{survey: port.readings.yaml, at: [-60, -45]}"), "PM804")
    assert [(one.part, one.features[0]) for one in found] == [("log", "top")]
    assert "C-near centre to edge: 1.5" in note_of(found[0])
    # The same survey for both is stated once.
    (tmp_path / "twice").mkdir()
    assert len(findings_of(made(tmp_path / "twice", "{survey: top.readings.yaml}", readings=readings), "PM804")) == 1
