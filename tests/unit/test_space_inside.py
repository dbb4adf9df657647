"""How deep points lie inside figures, and the planes of their ends: distances by 3-4-5 triangles."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.plane import Arc, Line, Loop, Region
from platemaker.space import Cone, Cylinder, Disc, Figure, Frame, HalfSpace, Prism, box, depth, edge_distance
from platemaker.space._inside import end_planes, pieces, region_pieces


def at(*points: tuple[float, float, float]) -> np.ndarray:
    return np.array(points, dtype=float)


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ((2.0, 5.0), 4.0),  # beside it
        ((7.0, 5.0), 5.0),  # past its end at (4, 1): 3 and 4
        ((-3.0, -3.0), 5.0),  # before its start at (0, 1)
        ((4.0, 1.0), 0.0),
    ],
)
def test_distance_from_a_straight_edge(point: tuple[float, float], expected: float) -> None:
    line = Line((0.0, 1.0), (4.0, 1.0))
    assert edge_distance(line, *np.array([[point[0]], [point[1]]])) == pytest.approx([expected])


@pytest.mark.parametrize(
    ("point", "expected"),
    [
        ((1 + 6.0, 2 + 8.0), 5.0),  # 10 from the centre, in the quarter's directions
        ((1 + 1.2, 2 + 1.6), 3.0),  # 2 from the centre
        ((6 + 3.0, 2 - 4.0), 5.0),  # below its start at (6, 2)
        ((1 - 12.0, 7 + 5.0), 13.0),  # beside its end at (1, 7)
        ((1.0, 2.0 - 3.0), math.sqrt(34.0)),  # below the centre: the start is 5 and 3 off
    ],
)
@pytest.mark.parametrize("ccw", [True, False])
def test_distance_from_a_quarter_circle(point: tuple[float, float], expected: float, ccw: bool) -> None:
    quarter = Arc((6.0, 2.0), (1.0, 7.0), (1.0, 2.0), 5.0, True)
    edge = quarter if ccw else quarter.reversed()
    assert edge_distance(edge, *np.array([[point[0]], [point[1]]])) == pytest.approx([expected])


def test_distances_from_each_side_of_a_plate_with_a_hole() -> None:
    """10 x 6 with a hole of radius 1 about (-2, 0): from (1, 1) the sides are 4, 4, 2 and 6 off, the hole sqrt(10) - 1."""
    region = Region.of(Loop.rectangle(10, 6), [Loop.circle((-2, 0), 1)])
    sides = region_pieces(region, np.array([1.0, -2.0, 8.0]), np.array([1.0, 0.5, 3.0]))
    assert sorted(sides[0][:4]) == pytest.approx([2.0, 4.0, 4.0, 6.0])
    assert min(sides[0][4:]) == pytest.approx(math.sqrt(10) - 1)
    assert sides[1] == pytest.approx([-0.5] * 6), "within the hole, 0.5 from its edge"
    assert sides[2] == pytest.approx([-3.0] * 6), "3 past the right side"


def test_a_point_under_the_bow_of_an_outline_is_in_it() -> None:
    """A disc, and a rectangle with a side hollowed by an arc: the chord's two sides differ."""
    disc = Region.of(Loop.circle((0, 0), 5))
    assert region_pieces(disc, np.array([0.0]), np.array([4.0])).min() == pytest.approx(1.0)
    assert region_pieces(disc, np.array([3.6]), np.array([4.8])).min() == pytest.approx(-1.0)
    # The arc from (5, 6) to (-5, 6) about (0, 6) bows down to (0, 1).
    hollow = Region(
        Loop(
            (
                Line((-9.0, 0.0), (9.0, 0.0)), Line((9.0, 0.0), (9.0, 6.0)), Line((9.0, 6.0), (5.0, 6.0)),
                Arc((5.0, 6.0), (-5.0, 6.0), (0.0, 6.0), 5.0, False), Line((-5.0, 6.0), (-9.0, 6.0)),
                Line((-9.0, 6.0), (-9.0, 0.0)),
            )
        )
    )  # fmt: skip
    found = region_pieces(hollow, np.array([0.0, 0.0]), np.array([0.5, 3.0])).min(axis=1)
    assert found == pytest.approx([0.5, -2.0])


@pytest.mark.parametrize(
    ("figure", "points", "expected"),
    [
        (HalfSpace((0, 0, 2), (0, 0, 1)), at((5, 5, 0), (1, 1, 5)), [2.0, -3.0]),
        (box((0, 0, 0), (10, 6, 4)), at((5, 3, 1), (5, 3, 3.5), (1, 3, 2), (5, 3, 5), (5, 3, -2)), [1, 0.5, 1, -1, -2]),
        (Cylinder((1, 2, 0), (1, 2, 10), 4.0), at((1, 2, 5), (2, 2, 5), (1, 2, 9), (1, 2, 0.5), (7, 10, 5)), [4, 3, 1, 0.5, -6]),
        # Radius 0 at z = 0, 3 at z = 4: the side leans by 3 in 5. On the axis at z = 2 it is 1.5 away, 4/5 of that square to it.
        (Cone((0, 0, 0), (0, 0, 4), 0.0, 3.0), at((0, 0, 2), (1, 0, 2), (0, 0, 3.9), (3, 0, 2)), [1.2, 0.4, 0.1, -1.2]),
        (Cone((0, 0, 0), (0, 0, 4), 4.0, 1.0), at((0, 0, 2), (2, 0, 2), (0, 0, 0.3)), [2.0, 0.4, 0.3]),
        (Disc((0, 0, 0), (0, 0, 1), 3.0), at((0, 0, 0)), [-math.inf]),
    ],
)  # fmt: skip
def test_depth_is_the_distance_to_the_nearest_face(figure: Figure, points: np.ndarray, expected: list[float]) -> None:
    assert depth(figure, points) == pytest.approx(expected)


def test_depth_is_measured_in_the_figures_own_frame() -> None:
    """A prism of 10 x 6, 4 high, whose z is the world's x and whose x is the world's y."""
    prism = Prism(Region.of(Loop.rectangle(10, 6)), Frame((1, 2, 3), (0, 1, 0), (0, 0, 1)), 4.0)
    assert depth(prism, at((2.5, 2, 3), (3, 6, 3), (3, 2, 5.5), (0, 2, 3))) == pytest.approx([1.5, 1.0, 0.5, -1.0])


def test_ends_of_bores_point_out() -> None:
    assert end_planes(Cylinder((1, 2, 3), (1, 2, 9), 2.0)) == [((1, 2, 3), (0, 0, -1)), ((1, 2, 9), (0, 0, 1))]
    assert end_planes(Cone((1, 2, 9), (1, 2, 3), 2.0, 0.0)) == [((1, 2, 9), (0, 0, 1)), ((1, 2, 3), (0, 0, -1))]
    for sign in (1, -1):  # given either way round
        slanted = Cylinder((0, 0, 0), (0, 0, 9), 2.0, (0, 0.6 * sign, 0.8 * sign), (0.6 * sign, 0, 0.8 * sign))
        (_, low), (_, high) = end_planes(slanted)
        assert low == pytest.approx((0, -0.6, -0.8))
        assert high == pytest.approx((0.6, 0, 0.8))


def test_columns_are_the_side_and_the_two_ends() -> None:
    """At (3, 0, 2) in a bore of radius 4, 10 long: 1 from the side, 2 and 8 from its ends."""
    assert pieces(Cylinder((0, 0, 0), (0, 0, 10), 4.0), at((3, 0, 2))).tolist() == [[1.0, 2.0, 8.0]]
