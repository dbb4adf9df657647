"""Areas of many groups of edges at once, against squares whose area is known."""

from __future__ import annotations

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Loop, moved
from platemaker.plane._arrange import areas_where


@pytest.mark.parametrize("fails", [False, True])
def test_where_two_squares_share_a_corner(monkeypatch: pytest.MonkeyPatch, fails: bool) -> None:
    """Squares of 10 that share 4 x 4 of a corner: 184 together, 16 twice; beside them two apart, 200 and 0."""

    def failing(*_: object) -> list[float]:
        message = "set side by side they cannot be told apart"
        raise GeometryError(message)

    if fails:  # then each group is made regions of, by itself
        monkeypatch.setattr("platemaker.plane._arrange._areas", failing)
    square = Loop.rectangle(10, 10)
    groups = [(*square.edges, *moved(square, *by).edges) for by in ((6.0, 6.0), (30.0, 0.0))]
    assert areas_where(groups) == pytest.approx([184.0, 200.0])
    assert areas_where(groups, level=2) == pytest.approx([16.0, 0.0])
