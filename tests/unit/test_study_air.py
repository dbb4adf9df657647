"""A study over the depth of a pocket that the air crosses: throat, Mach there and the bounds of the loss."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from platemaker.study import render_study, study
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
