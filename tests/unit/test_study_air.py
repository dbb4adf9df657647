"""A study over the depth of a pocket that the air crosses: throat, Mach there and the bounds of the loss."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest

from platemaker.parts import Stack
from platemaker.study import render_study, study, study_json
from tests.cli_runner import run
from tests.passages import passage
from tests.study_projects import project

PASSAGE = passage(pocket="pocket: {shape: {rectangle: [200, 140], at: [25, 0]}, depth: DEPTH, side: below}")


def test_a_deeper_pocket_has_a_wider_throat_and_a_smaller_loss(tmp_path: Path) -> None:
    """The chamber is 140 wide across: 140 h, or the upper port's 2320."""
    made = study(project(tmp_path / "passage", PASSAGE), ["plate.pocket.depth=6,8,12,18"], trade="loss,mass", cores=1)
    assert [row.value("throat") for row in made.rows] == pytest.approx([840, 1120, 1680, 2320])
    for name in ("loss", "loss_low", "loss_high", "throat_mach"):
        values = [row.value(name) for row in made.rows]
        assert all(after < before for before, after in pairwise(values) if after is not None and before is not None)
        assert None not in values
    for row in made.rows:
        low, loss, high = (row.value(name) for name in ("loss_low", "loss", "loss_high"))
        assert low is not None
        assert loss is not None
        assert high is not None
        assert low < loss < high
    table = render_study(made, width=200)
    assert all(head in table for head in ("throat", "Mach", "least", "most"))


def test_the_field_of_variants_on_the_front_or_of_all(tmp_path: Path) -> None:
    folder = project(tmp_path / "passage", PASSAGE)
    seen: list[float] = []

    def field(stack: Stack) -> tuple[float, float, float] | None:
        depth = next(profile.depth for profile in stack.part("plate").profiles if profile.name == "pocket")
        seen.append(depth)
        return None if depth == 8 else (100 / depth, 80 / depth, 120 / depth)

    vary = ["plate.pocket.depth=6,8,12"]
    made = study(folder, vary, trade="wall,mass", cores=1, field=field)
    assert seen == [{1: 6, 2: 8, 3: 12}[number] for number in made.front]
    seen.clear()
    made = study(folder, vary, trade="loss,mass", cores=1, field=field, every=True)
    assert seen == [6, 8, 12]
    assert [row.value("field_loss") for row in made.rows] == [pytest.approx(100 / 6), None, pytest.approx(100 / 12)]
    assert made.unsettled == (2,)
    table = render_study(made, width=200)
    assert "the field of the air did not converge for variant 2: no loss by it" in table
    assert "8.33" in table and "16.6" in table
    assert json.loads(study_json(made))["unsettled"] == [2]


def test_an_interrupt_keeps_the_fields_that_are_done(tmp_path: Path) -> None:
    folder, calls = project(tmp_path / "passage", PASSAGE), iter([(1.0, 0.8, 1.2)])

    def field(_stack: Stack) -> tuple[float, float, float] | None:
        try:
            return next(calls)
        except StopIteration:
            raise KeyboardInterrupt from None

    made = study(folder, ["plate.pocket.depth=6,12"], trade="loss,mass", cores=1, field=field, every=True)
    assert made.interrupted and len(made.rows) == 2
    assert [row.value("field_loss") for row in made.rows] == [1.0, None]
    assert "2 of 2 variants done, without every field of the air" in render_study(made, width=200)


def test_without_the_solver_the_study_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    answer = run(
        "study", project(tmp_path / "passage", PASSAGE), "--vary", "plate.pocket.depth=6,12", "--flow", "front"
    )
    assert answer.code == 3 and "Debian package openfoam" in answer.out
