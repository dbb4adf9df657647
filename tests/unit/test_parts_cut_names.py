"""Cuts of one name, cuts bored into each other and brackets that hang on each other are refused by name."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.errors import SpecError
from tests.plates import lid_of, stack_of

PLATE = """
    thickness: 20
    outline: {rectangle: [100, 60], corner_radius: 5}
    opening: {shape: {circle: 20}}
"""

CASES = {
    "a hole called as the opening": (
        "    holes: {opening: {at: [-30, 0], diameter: 6}}\n",
        "project.yaml:10: parts.lid.opening: 'lid' has two cuts called 'opening', the other from "
        "parts.lid.holes.opening; allowed: names that differ",
    ),
    "a relief called as a slot": (
        "    reliefs: {a: {at: [-30, 0], diameter: 6, depth: 3}}\n    slots: {a: {slot: [12, 6], at: [30, 0]}}\n",
        "project.yaml:12: parts.lid.slots.a: 'lid' has two cuts called 'a', the other from parts.lid.reliefs.a; "
        "allowed: names that differ",
    ),
    "a hole bored into none": (
        "    holes: {a: {at: [-30, 0], diameter: 6, into: [openin]}}\n",
        "project.yaml:11: parts.lid.holes.a: 'lid' has no other cut called 'openin', met 'openin'; allowed: opening; "
        "did you mean 'opening'?",
    ),
    "a hole bored into itself": (
        "    holes: {a: {at: [-30, 0], diameter: 6, into: [a]}}\n",
        "project.yaml:11: parts.lid.holes.a: 'lid' has no other cut called 'a', met 'a'; allowed: opening",
    ),
    "two holes bored into each other": (
        "    holes:\n      a: {at: [-30, 0], diameter: 6, into: [b]}\n      b: {at: [-26, 0], diameter: 6, into: [a]}\n",
        "project.yaml:12: parts.lid.holes.a: 'a' of lid is bored into 'b', which is bored into it; "
        "allowed: `into` on the one that is bored later",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_unclear_names_of_cuts_are_refused(tmp_path: Path, case: str) -> None:
    body, message = CASES[case]
    with pytest.raises(SpecError) as caught:
        lid_of(tmp_path, PLATE + body)
    assert str(caught.value).startswith(message)


BRACKETS = """
project: trial
parts:
  left: {kind: bracket, material: S235, width: 20, thickness: 3, legs: [40], holes: {a: {leg: 1, at: [9, 0], clear: M6,
    over: right.a}}}
  right: {kind: bracket, material: S235, width: 20, thickness: 3, legs: [40], holes: {a: {leg: 1, at: [9, 0], clear: M6,
    over: left.a}}}
"""


def test_brackets_that_hang_on_each_other_are_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecError) as caught:
        stack_of(tmp_path, BRACKETS)
    assert str(caught.value) == (
        "project.yaml:5: parts.left.holes.a.over: the place of left follows from its own: left over right over left; "
        "allowed: a first leg over a part that has a place of its own"
    )
