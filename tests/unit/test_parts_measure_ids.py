"""Ids of measures on first-article sheets: made in one place, and a size may not read 0 or less where a place may."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import platemaker
from platemaker.parts._as_made import _measure_ids as ids

PACKAGE = Path(platemaker.__file__).parent
SPELLED = re.compile(r'"(hole|cut|leg|bend|face)\.[{a-z]|"(size|outline)\.[a-z]|f"\{id_\}\.[a-z{]')


def test_no_other_module_spells_an_id() -> None:
    rooms = (PACKAGE / "parts" / "_as_made", PACKAGE / "export" / "_sheet")
    files = [path for room in rooms for path in room.glob("*.py") if path.name != "_measure_ids.py"]
    assert len(files) > 20
    assert [path.name for path in files if SPELLED.search(path.read_text(encoding="utf-8"))] == []


@pytest.mark.parametrize(
    ("id_", "signed"),
    [
        (ids.hole_id("pad_1", "x"), True),
        (ids.measure_id(ids.LEFT, "x"), True),
        (ids.measure_id(ids.figure_id("pocket", 2), "middle", "y"), True),
        (ids.LENGTH_X, False),
        (ids.LENGTH_Y, False),
        (ids.measure_id(ids.figure_id("pocket"), "x"), False),
        (ids.hole_id("pad_1", "along"), False),
        (ids.hole_id("pad_1", "z"), False),
        (ids.hole_id("pad_1", "towards", "angle"), True),
        (ids.hole_id("towards", "axis", "angle"), False),
        (ids.THICKNESS, False),
    ],
)
def test_a_place_may_lie_on_either_side_and_a_size_may_not(id_: str, signed: bool) -> None:
    assert ids.is_signed(id_) is signed


def test_what_an_id_is_of() -> None:
    assert ids.is_angle(ids.bend_id(1, "angle"))
    assert not ids.is_angle(ids.bend_id(1, "radius"))
    assert ids.is_of_bending(ids.leg_id(2))
    assert not ids.is_of_bending(ids.hole_id("leg"))
    assert ids.size_word(ids.hole_id("pad_1", "counterbore", "depth")) == "depth"
    assert ids.is_of(ids.hole_id("pad_1", "depth"), ids.hole_id("pad_1"))
    assert not ids.is_of(ids.hole_id("pad_12", "depth"), ids.hole_id("pad_1"))
