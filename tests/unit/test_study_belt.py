"""A study over the idler's place: the path and the wrap of each variant, as the belt drive itself gives them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.study import study
from tests.belt_drives import BLOWER, SLACK, belt_of, with_idler


def test_wrap_against_length_over_the_idlers_place(tmp_path: Path) -> None:
    with_idler(tmp_path, SLACK, BLOWER)
    done = study(tmp_path, ["belt.pulleys.idler.at[1]=20..30/5"], cores=1)
    assert [one.name for one in done.outcomes if one.name in ("belt_path", "wrap", "belt_tension")] == [
        "belt_path", "wrap", "belt_tension",
    ]  # fmt: skip
    for row, y in zip(done.rows, (20, 25, 30), strict=True):
        belt = belt_of(with_idler(tmp_path, SLACK.replace("[0, 22,", f"[0, {y},"), BLOWER))
        assert row.value("belt_path") == pytest.approx(belt.belt.path(0.0).length)
        assert row.value("wrap") == pytest.approx(math.degrees(belt.path.wraps[2]))
    assert (done.trade.x.name, done.trade.y.name) == ("belt_path", "wrap")


def test_other_studies_have_no_columns_of_the_belt(tmp_path: Path) -> None:
    with_idler(tmp_path, SLACK, BLOWER)
    done = study(tmp_path, ["parts.lid.thickness=9..10/1"], cores=1)
    assert not [one for one in done.outcomes if one.name.startswith("belt")]


def test_a_place_that_the_belt_does_not_reach_is_a_row_with_its_fault(tmp_path: Path) -> None:
    with_idler(tmp_path, SLACK, BLOWER)
    [row] = study(tmp_path, ["belt.pulleys.idler.at[1]=130"], cores=1).rows
    assert "does not reach idler" in row.fault
