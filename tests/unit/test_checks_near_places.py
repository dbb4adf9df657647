"""Where two things come near each other beside their joint: which nearest points are one place, and which face is met."""

from __future__ import annotations

import math

import pytest

from platemaker.checks._stack._near import Near
from platemaker.checks._stack._near_places import Position, _faces, _Place, near_places
from platemaker.checks._stack._stack_items import ItemKind, StackItem
from platemaker.parts import Vec3
from platemaker.records import replace
from platemaker.space import Prism, box


def item(name: str, *figures: Prism) -> StackItem:
    return StackItem(name, name, name, ItemKind.PART, figures)


LEFT, RIGHT = box((0, 0, 0), (10, 10, 10)), box((12, 0, 0), (22, 10, 10))


def place(at: Vec3, way: Vec3, numbers: tuple[tuple[int, int], tuple[int, int]], piece: Prism = RIGHT) -> _Place:
    points = at, (at[0] + way[0], at[1] + way[1], at[2] + way[2])
    near = Near(item("a", LEFT), item("b", piece), math.hypot(*way), points)
    return _Place(near, (LEFT, piece), numbers)


FIRST = place((10, 5, 5), (2, 0, 0), ((0, 0), (0, 0)))
BESIDE, APART = box((12, 10, 0), (22, 20, 10)), box((12, 10.5, 0), (22, 20, 10))
"""What goes on where the right box ends, and what stands half a millimetre beside it."""


@pytest.mark.parametrize(
    ("other", "one"),
    [
        (place((10, 90, 5), (0, 2, 0), ((0, 0), (0, 0))), True),  # the same two pieces
        (place((10, 5.9, 5), (0, 2, 0), ((1, 0), (1, 0))), True),  # 0.9 away, of a reach of 1
        (place((10, 6.1, 5), (0, 2, 0), ((1, 0), (1, 0))), False),
        (place((10, 15, 5), (2, 0, 0), ((0, 0), (1, 0)), BESIDE), True),  # the face goes on
        (place((10, 15, 5), (2, 0, 0), ((0, 0), (1, 0)), APART), False),
        (place((10, 15, 5), (2, 0, 0), ((1, 0), (1, 0)), BESIDE), False),  # neither piece is shared
        (place((10, 15, 5), (2.1, 0, 0), ((0, 0), (1, 0)), BESIDE), False),  # in another plane
    ],
)
def test_two_nearest_points_are_one_place_or_two(other: _Place, one: bool) -> None:
    assert FIRST.is_one_with(other, 1.0) is one
    assert other.is_one_with(FIRST, 1.0) is one


def test_faces_at_two_settings_of_the_plates_are_two_places() -> None:
    other = place((10, 15, 5), (2, 0, 0), ((0, 0), (1, 0)), BESIDE)
    assert not FIRST.is_one_with(replace(other, near=replace(other.near, where="at one end")), 1.0)


def test_a_place_goes_from_the_first_point_to_the_second() -> None:
    assert place((1, 2, 3), (4, -5, 6), ((0, 0), (0, 0))).way == (4, -5, 6)


@pytest.mark.parametrize(
    ("at", "far", "faces"),
    [
        ((10, 5, 5), (12, 5, 5), True),
        ((10, 5, 5), (5, 5, 5), False),  # into its own matter
        ((0, 5, 5), (-2, 5, 5), True),
        ((5, 5, 10), (5, 5, 12), False),  # another layer of it lies on top
        ((5, 5, 20), (5, 5, 22), True),
        ((30, 5, 5), (32, 5, 5), False),  # no matter behind
        ((30, 5, 5), (30, 5, 5), True),  # they touch
    ],
)
def test_a_surface_faces_what_lies_before_it(at: Vec3, far: Vec3, faces: bool) -> None:
    layers = item("a", LEFT, box((0, 0, 10), (10, 10, 20)))
    assert _faces(layers, at, far) is faces


def test_each_gap_below_the_reach_is_named_once_and_the_narrowest_first() -> None:
    """A post of two boxes, 3 and 2 off a block, apart from each other by more than the reach of 4; one 5 off it."""
    block = item("a", box((0, 0, 0), (10, 100, 10)))
    posts = item("b", box((13, 0, 0), (20, 10, 10)), box((12, 50, 0), (20, 60, 10)), box((15, 90, 0), (20, 99, 10)))
    found = list(near_places([Position(block, posts)], [], 4.0))
    assert [one.distance for one in found] == pytest.approx([2.0, 3.0])
    assert [one.points[1][0] for one in found] == pytest.approx([12.0, 13.0])


def test_two_posts_in_line_are_two_places() -> None:
    """Both 2 off a block and 5 apart, farther than the reach of 4: neither is where the other's face goes on."""
    block = item("a", box((0, 0, 0), (10, 100, 10)))
    posts = item("b", box((12, 0, 0), (20, 10, 10)), box((12, 15, 0), (20, 25, 10)))
    assert [one.distance for one in near_places([Position(block, posts)], [], 4.0)] == pytest.approx([2.0, 2.0])
