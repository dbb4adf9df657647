"""Rails of bar and tube: what cannot be made is refused by name, with file, line and key."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.errors import SpecError
from platemaker.parts import RoundStock
from tests.plates import stack_of

RAIL = """project: trial
joints:
  inj: {{spots: {{row: [-20, 35]}}}}
parts:
  tube:
    kind: rail
    material: 6061-T6
    length: 100
    joint: inj
    stock: {stock}
    passage: {passage}
    cross_bore: {{diameter: {bore}}}
    marks: {{front: {{text: FRONT}}}}
    holes: {{lug: {{at: {at}, diameter: 5, depth: {deep}}}}}
"""
GOOD = {"stock": "{round: 20}", "passage": 10, "bore": 8, "at": "[0, 0]", "deep": 4}


def test_a_tube_has_its_passage_and_a_bore_at_every_spot(tmp_path: Path) -> None:
    tube = stack_of(tmp_path, RAIL.format(**GOOD)).part("tube")
    assert tube.stock == RoundStock(20.0, 100.0)
    assert [(hole.name, hole.at, hole.depth) for hole in tube.holes] == [
        ("passage", (-50.0, 0.0, 10.0), 100.0),
        ("inj_1", (-20.0, 0.0, 0.0), 10.0),
        ("inj_2", (35.0, 0.0, 0.0), 10.0),
        ("lug", (0.0, 0.0, 20.0), 4.0),
    ]


def test_cross_bores_of_a_row_beside_the_middle_stand_beside_it(tmp_path: Path) -> None:
    text = RAIL.format(**GOOD).replace("{row: [-20, 35]}", "{points: {a: [-20, 3], b: [35, -2.5]}}")
    tube = stack_of(tmp_path, text).part("tube")
    assert [hole.at for hole in tube.holes if hole.joint] == [(-20.0, 3.0, 0.0), (35.0, -2.5, 0.0)]


CASES = {
    "a passage as wide as the tube": (
        {"passage": 20},
        "project.yaml:11: parts.tube.passage: the passage is as wide as the stock, 20 mm, met '20 mm'; "
        "allowed: less than 20 mm",
    ),
    "a passage wider than the bar is high": (
        {"stock": "{bar: [25, 16]}", "passage": 17},
        "project.yaml:11: parts.tube.passage: the passage is as wide as the stock, 16 mm, met '17 mm'; "
        "allowed: less than 16 mm",
    ),
    "a hole off the tube's end": (
        {"at": "[60, 0]"},
        "project.yaml:14: parts.tube.holes.lug: lug lies off tube; "
        "allowed: cuts that lie inside the outline; a notch belongs to the outline itself",
    ),
    "a cross bore as wide as the tube": (
        {"bore": 20},
        "project.yaml:12: parts.tube.cross_bore: inj_1 and the outside of tube touch and leave a wall of no thickness; "
        "allowed: cuts that stand apart, or that overlap",
    ),
    "a hole that touches the tube's side": (
        {"at": "[0, 7.5]", "deep": 12, "passage": 8},
        "project.yaml:14: parts.tube.holes.lug: lug and the outside of tube touch and leave a wall of no thickness; "
        "allowed: cuts that stand apart, or that overlap",
    ),
    "a hole off the bar's end": (
        {"stock": "{bar: [25, 16]}", "at": "[60, 0]"},
        "project.yaml:14: parts.tube.holes.lug: lug lies off tube; "
        "allowed: cuts that lie inside the outline; a notch belongs to the outline itself",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_what_cannot_be_made_is_refused_by_name(tmp_path: Path, case: str) -> None:
    words, message = CASES[case]
    with pytest.raises(SpecError) as caught:
        stack_of(tmp_path, RAIL.format(**{**GOOD, **words}))
    assert str(caught.value) == message


@pytest.mark.parametrize("words", [{"at": "[0, 9]"}, {"at": "[38, 0]"}], ids=["side", "other hole"])
def test_holes_that_break_out_of_a_tube_or_into_each_other_fail_the_check_of_metal(
    tmp_path: Path, words: dict[str, str]
) -> None:
    """One runs out of the side, 10 mm from the axis. The other comes 12 mm down to a bore that goes up to 10 mm."""
    text = RAIL.format(**{**GOOD, **words}).replace("depth: 4", "depth: 12")
    broken = [one for one in check_stack(stack_of(tmp_path, text)) if one.check == "PM110"]
    assert any("lug" in one.features and one.verdict is Verdict.FAIL for one in broken)


def test_an_end_thread_is_drilled_three_pitches_deeper_than_it_is_cut(tmp_path: Path) -> None:
    """M14x1.5, 12 of full thread: the drill goes 12 + 3 x 1.5 = 16.5 into the narrower passage, so that the tap gets there."""
    text = RAIL.format(**GOOD) + "    ends: {thread: M14x1.5, depth: 12}\n"
    ends = [hole for hole in stack_of(tmp_path, text).part("tube").holes if hole.name.endswith("_end")]
    assert [(end.steps[-1].end, end.tapping.depth) for end in ends if end.tapping] == [(16.5, 12.0)] * 2
