"""Two joints of one plate at once. Medium for M8 is 9, so H - F is 1.0; zones of 0.2 and 0.3 leave 0.5 (Y14.5, App. B)."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._fit._together import check_together
from tests.plates import note_of, stack_of

TWO = """
project: loop
bodies:
  log:
    material: A356-T6
    envelope: {box: [300, 120, 40]}
    joints:
      a: {face: above, holes: tapped, thread_depth: 25, position: 0.2, at: [-80, 0]}
      b: {face: above, holes: tapped, thread_depth: 25, position: 0.2, at: [80, 0]}
joints:
  a: {bolts: {pattern: {rectangle: [60, 60]}, thread: M8, length: 30}}
  b: {bolts: {pattern: {rectangle: [40, 30]}, thread: M8, length: 30}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [260, 100]}
    below: {a: {holes: clear, position: 0.2, at: [-80, 0]}, b: {holes: clear, position: 0.3, at: [80, 0]}}
"""


def together(folder: Path, *edits: tuple[str, str]) -> Finding:
    text = TWO
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    (finding,) = check_together(stack_of(folder, text))
    return finding


def test_the_joint_with_less_left_counts(tmp_path: Path) -> None:
    finding = together(tmp_path)
    assert (finding.verdict, finding.measured) == (Verdict.PASS, pytest.approx(0.5))
    assert finding.features == ("a", "b")


def test_a_worst_case_that_misses_says_nothing_of_both(tmp_path: Path) -> None:
    finding = together(tmp_path, ("holes: clear, position: 0.3", "holes: clear, position: 0.9"))
    assert finding.verdict is Verdict.NOT_CHECKED
    assert note_of(finding).startswith("with all tolerances used up b misses by 0.100 mm")


def test_without_tolerances(tmp_path: Path) -> None:
    finding = together(
        tmp_path,
        ("holes: clear, position: 0.3", "holes: clear"),
        ("thread_depth: 25, position: 0.2", "thread_depth: 25"),
    )
    assert finding.verdict is Verdict.NOT_CHECKED
    assert note_of(finding).startswith("a: how far the holes of log lie off is not specified")


def test_two_bodies_under_one_plate(tmp_path: Path) -> None:
    finding = together(
        tmp_path,
        ("      b: {face: above, holes: tapped, thread_depth: 25, position: 0.2, at: [80, 0]}\n", ""),
        ("joints:\n  a:", "  cover:\n    material: A356-T6\n    envelope: {box: [60, 60, 40]}\n    joints: "
         "{b: {face: above, holes: tapped, thread_depth: 25, position: 0.2}}\njoints:\n  a:"),
    )  # fmt: skip
    assert finding.verdict is Verdict.NOT_CHECKED
    assert note_of(finding) == "how far cover and log may lie off each other is not specified"
