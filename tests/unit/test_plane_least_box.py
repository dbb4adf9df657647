"""The least rectangle round figures: by arithmetic, and the same whichever way they lie."""

from __future__ import annotations

import math

import pytest

from platemaker.plane import Loop, Region, least_box, rotated

TURNS = (0.0, 20.0, 37.0, 90.0, 133.0, -45.0)


def sides(*figures: Region) -> tuple[float, float]:
    """The box's sides, the longer first, and that its figure has their area."""
    box = least_box(figures)
    assert box.region.area == pytest.approx(box.width * box.height)
    return max(box.width, box.height), min(box.width, box.height)


@pytest.mark.parametrize("turn", TURNS)
def test_a_turned_slot_has_the_box_of_its_sides(turn: float) -> None:
    assert sides(rotated(Region.of(Loop.slot(349.0, 61.0, (10.0, -4.0))), turn)) == pytest.approx((349.0, 61.0))


@pytest.mark.parametrize("turn", TURNS)
def test_a_row_of_discs_has_a_box_along_the_row(turn: float) -> None:
    row = [rotated(Region.of(Loop.circle((x, 7.0), 25.0)), turn) for x in (-138.0, -46.0, 46.0, 138.0)]
    assert sides(*row) == pytest.approx((276 + 50, 50.0))


@pytest.mark.parametrize("turn", TURNS)
def test_a_box_lies_along_one_edge_of_a_triangle(turn: float) -> None:
    """3, 4, 5: on its short sides 3 x 4 = 12, on the long one 5 x 12/5 = 12 as well; cut at a corner less."""
    corners = [(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)]
    assert math.prod(sides(rotated(Region.of(Loop.rounded(corners, 0.0)), turn))) == pytest.approx(1200.0)


def test_a_disc_has_the_box_of_its_diameter() -> None:
    assert sides(Region.of(Loop.circle((3.0, 4.0), 5.0))) == pytest.approx((10.0, 10.0))


def test_the_box_lies_as_its_figures_do() -> None:
    """A rectangle of 30 x 4 at 30 degrees about (0, 0): its own four corners."""
    figure = rotated(Region.of(Loop.rectangle(30.0, 4.0)), 30.0)
    assert least_box([figure]).region.bounds == pytest.approx(figure.bounds)
