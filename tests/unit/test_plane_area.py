"""Areas of many groups of edges at once, against squares whose area is known; loops as they are asked for."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Line, Loop, moved
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


BACK = [(0.0, 0.0), (10.0, 0.0), (4.0, 0.0), (4.0, 8.0)]


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (
            lambda: Loop((Line((0, 0), (9, 0)), Line((9, 0), (9, 9)))),
            r"loop is open by 12.7 mm at \(9.000000, 9.000000\)",
        ),
        (lambda: Loop.rectangle(1e-9, 1e-9), "a loop has pieces: its corners lie on one another"),
        (lambda: Loop.circle((0, 0), 0.0), "a circle's radius must be above 0 mm, met 0"),
        (lambda: Loop.rounded([(0, 0), (9, 0)]), "3 or more corners with a radius each, met 2 and 2"),
        (lambda: Loop.rounded([(0, 0), (9, 0), (9, 9)], [1, 1]), "3 or more corners with a radius each, met 3 and 2"),
        (lambda: Loop.rounded(BACK, 1.0), r"the outline turns back on itself at \(10, 0\)"),
        (lambda: Loop.rounded([(0, 0), (9, 0), (9, 0), (9, 9)], 1.0), r"two corners coincide at \(9, 0\)"),
        (lambda: Loop.slot(8.0, 9.0), "a slot's length 8 mm must not be less than its width 9 mm"),
    ],
)
def test_what_is_no_loop_is_refused(make: Callable[[], Loop], message: str) -> None:
    with pytest.raises(GeometryError, match=message):
        make()


def test_loops_that_are_made_as_asked() -> None:
    """A slot as long as wide is a round hole; corners on a straight side stay on it; clockwise corners are turned."""
    assert Loop.slot(9.0, 9.0, (3.0, 4.0)).area == pytest.approx(math.pi * 4.5**2)
    # 24 x 9: the middle is 15 x 9.
    turned = Loop.slot(24.0, 9.0, (3.0, 4.0), 90.0)
    assert turned.area == pytest.approx(15 * 9 + math.pi * 4.5**2)
    assert turned.bounds == pytest.approx((3 - 4.5, 4 - 12, 3 + 4.5, 4 + 12))
    # A right corner rounded by r is (1 - pi/4) r² less; that at (5, 0) lies on the side.
    radii = [1.0, 2.0, 0.0, 3.0, 1.5]
    clockwise = Loop.rounded([(0, 0), (0, 10), (10, 10), (10, 0), (5, 0)], radii)
    assert clockwise.area == pytest.approx(100 - (1 - math.pi / 4) * (1 + 4 + 9))
    assert {edge.radius for edge in clockwise.edges if isinstance(edge, Arc)} == {1.0, 2.0, 3.0}
