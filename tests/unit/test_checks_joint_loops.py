"""Joints that close a loop, by hand: two joints of one plate on one casting, or a plate that has a `place` too.

ISO 273 medium for M8 is 9: half the play is 0.5. The casting's top lies at Z = 0.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._stack._joint_loops import check_joint_loops
from tests.plates import stack_of
from tests.study_projects import edited

TWO = """
project: loop
bodies:
  log:
    material: A356-T6
    envelope: {box: [300, 120, 40]}
    joints:
      a: {face: above, holes: tapped, thread_depth: 25, at: [-80, 0]}
      b: {face: above, holes: tapped, thread_depth: 25, at: [80, 0]}
joints:
  a: {bolts: {pattern: {rectangle: [60, 60]}, thread: M8, length: 30}}
  b: {bolts: {pattern: {rectangle: [40, 30]}, thread: M8, length: 30}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [260, 100]}
    below: {a: {holes: clear, at: [-80, 0]}, b: {holes: clear, at: [80, 0]}}
"""


def loops(folder: Path, *edits: tuple[str, str]) -> list[Finding]:
    return list(check_joint_loops(stack_of(folder, edited(TWO, dict(edits)))))


def test_joints_that_meet_are_not_listed(tmp_path: Path) -> None:
    assert not loops(tmp_path)


@pytest.mark.parametrize(
    ("at", "off", "verdict"),
    [("[80, 3]", 3.0, Verdict.FAIL), ("[80.3, -0.4]", 0.5, Verdict.CAUTION), ("[80.03, 0]", 0.03, Verdict.PASS)],
)
def test_a_second_joint_that_lies_elsewhere(tmp_path: Path, at: str, off: float, verdict: Verdict) -> None:
    (finding,) = loops(tmp_path, ("b: {holes: clear, at: [80, 0]}", f"b: {{holes: clear, at: {at}}}"))
    assert (finding.verdict, finding.measured) == (verdict, pytest.approx(off))
    assert finding.features[0] == "b"


def test_a_second_joint_that_is_turned(tmp_path: Path) -> None:
    """A corner 25 mm from the middle, turned by 90 degrees: 25 times the root of 2."""
    (finding,) = loops(tmp_path, ("b: {holes: clear, at: [80, 0]}", "b: {holes: clear, at: [80, 0], turn: 90 deg}"))
    assert finding.measured == pytest.approx(35.355, abs=1e-3)


def test_a_gasket_under_one_of_two_joints(tmp_path: Path) -> None:
    """The other one leaves no room for it."""
    (finding,) = loops(tmp_path, ("  b: {bolts", "  b: {gasket: {thickness: 0.8, land: 3}, bolts"))
    assert (finding.verdict, finding.measured) == (Verdict.FAIL, pytest.approx(0.8))


def test_a_place_that_lifts_a_plate_off_its_joints(tmp_path: Path) -> None:
    found = loops(tmp_path, ("    thickness: 12\n", "    thickness: 12\n    place: {at: [0, 0, 20]}\n"))
    assert [(one.features[0], one.measured) for one in found] == [("a", pytest.approx(20)), ("b", pytest.approx(20))]


def test_a_plate_placed_upside_down_on_one_row_of_bolts(tmp_path: Path) -> None:
    """Turned about its own row of bolts every spot stays; 10 mm over it the two frames are 20 apart."""
    text = TWO.replace("{rectangle: [60, 60]}", "{row: [-30, 30]}").replace(", at: [-80, 0]", "")
    text = text.replace("      b: {face: above, holes: tapped, thread_depth: 25, at: [80, 0]}\n", "")
    text = text.replace("  b: {bolts: {pattern: {rectangle: [40, 30]}, thread: M8, length: 30}}\n", "")
    text = text.replace(", b: {holes: clear, at: [80, 0]}", "")
    text = text.replace("    thickness: 12\n", "    thickness: 12\n    place: {at: [0, 0, 0], turn: [180, 0, 0]}\n")
    (finding,) = check_joint_loops(stack_of(tmp_path, text))
    assert finding.measured == pytest.approx(20)


def test_slots_may_take_it_up(tmp_path: Path) -> None:
    text = TWO.replace("b: {holes: clear, at: [80, 0]}", "b: {holes: none, at: [82, 0]}")
    text = text.replace("{rectangle: [40, 30]}", "{row: [-20, 20]}")
    slots = "{first: {at: [62, 0], slot: [20, 9], adjusts: b}, second: {at: [102, 0], slot: [20, 9], adjusts: b}}"
    (finding,) = check_joint_loops(stack_of(tmp_path, f"{text}    slots: {slots}\n"))
    assert finding.verdict is Verdict.NOT_CHECKED
