"""Gaskets and shims between two plates: cut for the screws of no joint that hold the plates as well."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.resolved import resolved_stack
from tests.design_stacks import stack_of

PAIR = """
project: pair
joints:
  j:
    bolts: {pattern: {rectangle: [100, 60]}, thread: M8}
    opening: {rectangle: [40, 24]}
    gasket: {thickness: 1, land: 4}
parts:
  base: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [150, 90]}, place: {at: [0, 0, 0]},
    above: {j: {holes: tapped, thread_depth: 16}}, holes: {under: {at: [60, 5], UNDER}}}
  lid: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [150, 90]},
    below: {j: {holes: clear, at: [AT, 0]}}, holes: {over: {at: [OVER, 5], HOLE}}}
"""


def holes(folder: Path, at: float = 0.0, over: float = 60.0, hole: str = "clear: M6", under: str = "") -> list[object]:
    """Place and diameter of the gasket's holes that are not the joint's."""
    words = {"OVER": f"{over}", "HOLE": hole, "UNDER": under or "tapped: M6, depth: 12", "AT": f"{at}"}
    text = PAIR
    for word in ("UNDER", "OVER", "HOLE", "AT"):
        text = text.replace(word, words[word])
    stack = stack_of(folder, text)
    single = [one for one in resolved_stack(stack).bolts if one.joint is None]
    found = [(one.centre, one.diameter) for one in stack.part("j_gasket").holes if one.joint is None]
    assert len(single) == len(found)
    return found


def test_a_screw_of_no_joint_goes_through_the_gasket(tmp_path: Path) -> None:
    """M6 clears in 6.6 (ISO 273, medium), and a gasket's hole is 1 mm larger."""
    assert holes(tmp_path) == [((60.0, 5.0), pytest.approx(7.6))]


def test_where_the_joint_lies_elsewhere_in_the_lid(tmp_path: Path) -> None:
    """The joint's frame lies 7 mm along X in the lid, whose hole at 67 then stands over 60 in the frame."""
    assert holes(tmp_path, at=7.0, over=67.0) == [((60.0, 5.0), pytest.approx(7.6))]


def test_a_plain_hole_over_a_thread_is_one_too(tmp_path: Path) -> None:
    assert holes(tmp_path, hole="diameter: 6.6") == [((60.0, 5.0), pytest.approx(7.6))]


@pytest.mark.parametrize(
    "words",
    [
        {"over": 64.0},
        {"hole": "diameter: 20"},
        {"hole": "clear: M6, depth: 6"},
        {"hole": "diameter: 5", "under": "diameter: 5"},
    ],
)
def test_what_is_no_screw_cuts_nothing(tmp_path: Path, words: dict[str, object]) -> None:
    """A hole 4 mm aside, one that the head of M6 falls through, one that does not reach the gasket, and two plain holes that nothing is said to go through."""
    assert holes(tmp_path, **words) == []  # type: ignore[arg-type]
