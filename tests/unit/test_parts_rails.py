"""Rails of bar and tube: what cannot be made is refused by name, with file, line and key."""

from __future__ import annotations

from pathlib import Path

import pytest

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
    holes: {{lug: {{at: {at}, diameter: 5, depth: 4}}}}
"""
GOOD = {"stock": "{round: 20}", "passage": 10, "bore": 8, "at": "[0, 0]"}


def test_a_tube_has_its_passage_and_a_bore_at_every_spot(tmp_path: Path) -> None:
    tube = stack_of(tmp_path, RAIL.format(**GOOD)).part("tube")
    assert tube.stock == RoundStock(20.0, 100.0)
    assert [(hole.name, hole.at, hole.depth) for hole in tube.holes] == [
        ("passage", (-50.0, 0.0, 10.0), 100.0),
        ("inj_1", (-20.0, 0.0, 0.0), 10.0),
        ("inj_2", (35.0, 0.0, 0.0), 10.0),
        ("lug", (0.0, 0.0, 20.0), 4.0),
    ]


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
    "a cross bore wider than the tube": (
        {"bore": 22},
        "project.yaml:12: parts.tube.cross_bore: inj_1, 22 mm wide, runs out of the side of tube, or lies off it; "
        "allowed: a hole narrower than the bar, 20 mm",
    ),
    "a hole off the tube's end": (
        {"at": "[60, 0]"},
        "project.yaml:14: parts.tube.holes.lug: lug, 5 mm wide, runs out of the side of tube, or lies off it; "
        "allowed: X within 47.5 mm, Y within less than 7.5 mm of the middle",
    ),
    "a hole across the tube's side": (
        {"at": "[0, 9]"},
        "project.yaml:14: parts.tube.holes.lug: lug, 5 mm wide, runs out of the side of tube, or lies off it; "
        "allowed: X within 47.5 mm, Y within less than 7.5 mm of the middle",
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


def test_holes_of_a_tube_that_run_into_each_other_are_refused(tmp_path: Path) -> None:
    # The cross bore comes from below to the middle, 10 mm; the hole from above passes it by when it ends above that.
    text = RAIL.format(**{**GOOD, "at": "[38, 0]"})
    stack_of(tmp_path, text)
    with pytest.raises(SpecError) as caught:
        stack_of(tmp_path, text.replace("depth: 4", "depth: 12"))
    assert str(caught.value) == (
        "project.yaml:14: parts.tube.holes.lug: inj_2 and lug of tube run into each other; "
        "allowed: holes with a wall between them"
    )
