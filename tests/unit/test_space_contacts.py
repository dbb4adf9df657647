"""The small solves under a distance: directions, nearest points of edges, bores on skew axes; vectors by hand."""

from __future__ import annotations

import pytest

from platemaker.space import Vec3
from platemaker.space._bodies import End
from platemaker.space._distance import axis_contact
from platemaker.space._polish import _Gap, _nearest_of_segments, _no_bond, _one_bond, _share, _two_bonds

UP: Vec3 = (0.0, 0.0, 1.0)


@pytest.mark.parametrize("start", [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0)])
def test_a_direction_square_or_leaning_to_two_others(start: Vec3) -> None:
    """d · x = 0.48 and d · y = 0.6: the rest is sqrt(1 - 0.2304 - 0.36) = 0.64, on the side of the start."""
    n, m = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    (found,) = _two_bonds(n, 0.48, m, 0.6, (0.0, 0.0, 1.0), start)
    assert found == pytest.approx((0.48, 0.6, 0.64 * start[2]))
    # The second direction (0.6, 0.8, 0) instead: 0.6 · 0.48 + 0.8 · 0.6 = 0.768; n × m = (0, 0, 0.8).
    (found,) = _two_bonds(n, 0.48, (0.6, 0.8, 0.0), 0.768, (0.0, 0.0, 0.8), start)
    assert found == pytest.approx((0.48, 0.6, 0.64 * start[2]))
    assert list(_two_bonds(n, 0.8, m, 0.7, (0.0, 0.0, 1.0), start)) == []


def test_how_a_gap_changes_with_its_direction() -> None:
    """A point at (3, 4, 12) and a disc of radius 5 about the origin; along (0.6, 0, 0.8) its rim is at (5, 0, 0)."""
    disc = End((0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 5.0, 0.0))
    gradient, (bend,) = _Gap(disc, End((3.0, 4.0, 12.0))).at((0.6, 0.0, 0.8))
    assert gradient == pytest.approx((-2.0, 4.0, 12.0))
    # The rim's reach is 5 |(dx, dy)|: its second derivative along y is 5 / 0.6, along x and z nothing.
    assert (bend[0], bend[1] ** 2, bend[2]) == pytest.approx((0.0, 5 / 0.6, 0.0))


def test_directions_found_by_newtons_method() -> None:
    """From a point to a point at (2, 3, 6), 7 off. Bound to a cone about z, d · z = 0.6, it turns to (0.6, 0.8) level."""
    origin = End((0.0, 0.0, 0.0))
    assert _no_bond(origin, End((2.0, 3.0, 6.0)), (0.0, 0.6, 0.8)) == pytest.approx((2 / 7, 3 / 7, 6 / 7))
    assert _one_bond(origin, End((6.0, 8.0, 1.0)), (UP, 0.6), (0.8, 0.0, 0.6)) == pytest.approx((0.48, 0.64, 0.6))
    # From the rim of a disc of radius 5 to (9, 12, 10): the rim's nearest point is (3, 4, 0); 6, 8 and 10 from it.
    disc = End((0.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 5.0, 0.0))
    found = _no_bond(disc, End((9.0, 12.0, 10.0)), (0.3, 0.6, 0.742))
    assert found == pytest.approx((6 / 200**0.5, 8 / 200**0.5, 10 / 200**0.5), abs=1e-9)
    assert _one_bond(origin, End((1.0, 0.0, 0.0)), (UP, 0.0), UP) is None


@pytest.mark.parametrize(
    ("first", "last", "near", "far"),
    [
        ([(1, 2, 0)], [(1, 2, 5)], (1, 2, 0), (1, 2, 5)),
        ([(1, 2, 0)], [(0, 0, 5), (4, 0, 5)], (1, 2, 0), (1, 0, 5)),
        ([(0, 0, 0), (4, 0, 0)], [(9, 2, 5)], (4, 0, 0), (9, 2, 5)),
        ([(0, 0, 0), (4, 0, 0)], [(1, -3, 5), (1, 5, 5)], (1, 0, 0), (1, 0, 5)),  # crossed
        ([(0, 0, 0), (4, 0, 0)], [(6, -3, 5), (6, 5, 5)], (4, 0, 0), (6, 0, 5)),  # past the end
        ([(0, 0, 0), (8, 0, 0)], [(2, 1, 5), (12, 1, 5)], (5, 0, 0), (5, 1, 5)),  # parallel: the middle of 2 to 8
    ],
)
def test_nearest_points_of_two_edges_seen_along_a_direction(
    first: list[Vec3], last: list[Vec3], near: Vec3, far: Vec3
) -> None:
    found = _nearest_of_segments(first, last, UP)
    assert (*found[0], *found[1]) == pytest.approx((*near, *far))


def test_the_share_of_a_foot_stays_on_its_edge() -> None:
    assert _share((1.0, 0.0, 0.0), (5.0, 0.0, 0.0), (2.0, 7.0, 7.0)) == 0.25
    assert _share((1.0, 0.0, 0.0), (5.0, 0.0, 0.0), (0.0, 1.0, 0.0)) == 0.0
    assert _share((1.0, 0.0, 0.0), (5.0, 0.0, 0.0), (9.0, 1.0, 0.0)) == 1.0
    assert _share((1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (9.0, 1.0, 0.0)) == 0.0


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_two_bores_on_crossed_axes(side: float) -> None:
    """Radii 2 and 3, axes 20 apart in z, over each other at (5, 0): 15 between z = 2 and z = 17."""
    found = axis_contact(((0, 0, 0), (10, 0, 0), 2.0), ((5, -4, 20 * side), (5, 6, 20 * side), 3.0))
    assert found is not None
    assert found.distance == pytest.approx(15.0)
    assert found.point_a == pytest.approx((5, 0, 2 * side))
    assert found.point_b == pytest.approx((5, 0, 17 * side))
    assert found.direction == pytest.approx((0, 0, side))


@pytest.mark.parametrize(
    "last",
    [
        ((5, -4, 4), (5, 6, 4), 3.0),  # 4 apart, radii 5: they overlap
        ((11, -4, 20), (11, 6, 20), 3.0),  # beside the end of the first
        ((-1, -4, 20), (-1, 6, 20), 3.0),  # before its start
        ((5, 1, 20), (5, 6, 20), 3.0),  # the second begins beyond
        ((5, -6, 20), (5, -1, 20), 3.0),  # and ends before
        ((0, 9, 0), (10, 9, 0), 3.0),  # parallel
    ],
)
def test_axes_whose_common_perpendicular_misses_a_bore_are_left_to_the_search(last: tuple[Vec3, Vec3, float]) -> None:
    assert axis_contact(((0, 0, 0), (10, 0, 0), 2.0), last) is None
