"""A plate on its slots: where it may go, what of the other side passes under it, and where its port is least open.

Sources: distances in the plan by hand.
"""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import material
from platemaker.checks import Verdict
from platemaker.checks._fit._adjust import _open, _shapes, _Sliding
from platemaker.parts import (
    Hole,
    Joint,
    Kind,
    Mounting,
    Operation,
    Part,
    PlateStock,
    Profile,
    ProfileKind,
    Role,
    Side,
    Step,
)
from platemaker.plane import Circle, Loop, Point, Region
from tests.plates import note_of


def box(x0: float, x1: float, high: float = 10.0) -> Region:
    return Region.of(Loop.rectangle(x1 - x0, high, centre=((x0 + x1) / 2, 0.0)))


def sliding(middle: Point, half: Point, mounting: Mounting | None = None) -> _Sliding:
    part = Part("p", "p", Kind.PLATE, material("6061-T6"), PlateStock(box(-50, 50, 80), 12.0), ())
    joint = Joint("j", {"a": (30.0, 20.0)}, None, (), None, None, None, "spec")
    return _Sliding(part, joint, mounting or Mounting("j", Side.BELOW, Role.NONE), (), middle, half)


def test_the_travel_and_how_far_it_goes_from_the_drawing() -> None:
    """Its middle 5 mm off (3, 4), 10 mm to either end (6, 8): a stud in its relief sees 15."""
    one = sliding((3.0, 4.0), (6.0, 8.0))
    assert (one.travel, one.furthest) == (pytest.approx(20.0), pytest.approx(15.0))


@pytest.mark.parametrize(
    ("place", "centre"), [(0.0, (-3.0, -4.0)), (1.0, (-9.0, -12.0)), (-1.0, (3.0, 4.0)), (0.5, (-6.0, -8.0))]
)
def test_the_other_side_moves_against_the_travel(place: float, centre: Point) -> None:
    """A disc at the joint's middle, which lies at (100, 0) of the plate's plan in a second case."""
    disc = Region.of(Loop.circle((0.0, 0.0), 2.0))
    for at in ((0.0, 0.0), (100.0, 0.0)):
        mounting = Mounting("j", Side.BELOW, Role.NONE, at=at)
        found = sliding((3.0, 4.0), (6.0, 8.0), mounting).other(disc, place).bounds
        x, y = at[0] + centre[0], centre[1]
        assert found == pytest.approx((x - 2, y - 2, x + 2, y + 2))


def test_bolts_stand_in_the_plan_at_the_middle_of_the_travel() -> None:
    """A spot at (30, 20) of a joint turned by a quarter lies at (-20, 30), less (3, 4)."""
    turned = Mounting("j", Side.BELOW, Role.NONE, turn=90.0)
    assert sliding((3.0, 4.0), (6.0, 8.0)).spots() == {"a": pytest.approx((27.0, 16.0))}
    assert sliding((3.0, 4.0), (6.0, 8.0), turned).spots() == {"a": pytest.approx((-23.0, 26.0))}


def test_what_passes_under_a_plate_is_drawn_out_along_its_travel() -> None:
    """20 by 10, 6 mm to either side along X about the middle at -3: from -19 to 13; without travel as it is."""
    assert sliding((3.0, 0.0), (6.0, 0.0)).passing(box(-10, 10)).bounds == pytest.approx((-19.0, -5.0, 13.0, 5.0))
    assert sliding((0.0, 3.0), (0.0, 4.0)).drawn_out(box(-10, 10)).bounds == pytest.approx((-10.0, -9.0, 10.0, 9.0))
    assert sliding((3.0, 0.0), (0.0, 0.0)).passing(box(-10, 10)).bounds == pytest.approx((-13.0, -5.0, 7.0, 5.0))


@pytest.mark.parametrize(
    ("openings", "share", "where"),
    [
        ([box(-30, 30)], 1.0, "one end"),
        # A web as wide as the port, right under it at the middle of the travel alone.
        ([box(-30, -5), box(5, 30)], 0.0, "the middle"),
        # The web 1.25 mm to the left: the plate a quarter of 5 mm on towards the other end brings the port over it.
        ([box(-30, -6.25), box(3.75, 30)], 0.0, "25 % of the way to the other end"),
        ([box(-30, -3.75), box(6.25, 30)], 0.0, "25 % of the way to one end"),
        ([box(-30, -7.5), box(2.5, 30)], 0.0, "50 % of the way to the other end"),
        ([box(-30, 2)], 0.2, "one end"),  # the port from 0 to 10 there
        ([box(-2, 30)], 0.2, "the other end"),
        # The opening of 2 is the narrower: 0.5 of it lies under the port from 0 to 10.
        ([box(-1.5, 0.5)], 0.25, "one end"),
    ],
)
def test_where_a_port_of_10_is_least_open_over_10_mm_of_travel(
    openings: list[Region], share: float, where: str
) -> None:
    """The plate 5 mm to either side along X. A web that chokes the port half way would pass by its ends alone."""
    found = _open(sliding((0.0, 0.0), (5.0, 0.0)), box(-5, 5), openings, ("j",))
    assert found.measured == pytest.approx(share)
    assert found.verdict is (Verdict.PASS if share == 1 else Verdict.CAUTION)
    if share < 1:
        assert note_of(found) == f"least at {where} of 10.00 mm of travel"


def test_the_narrower_of_port_and_openings_is_the_whole() -> None:
    """Two openings of 3 by 10 under a port of 40 by 10: all of both lies in it, over the whole travel."""
    found = _open(sliding((0.0, 0.0), (5.0, 0.0)), box(-20, 20), [box(-5, -2), box(2, 5)], ("j",))
    assert (found.measured, found.verdict) == (pytest.approx(1.0), Verdict.PASS)


def test_cuts_that_a_washer_must_keep_off() -> None:
    """Figures as they are, a stepped hole by its widest; a slanted one has no circle in the plan."""
    steps = (Step(Operation.COUNTERBORE, 18.0, 0.0, 5.0), Step(Operation.DRILL, 9.0, 5.0, 12.0))
    hole = Hole("h", (7.0, 8.0, 12.0), (0.0, 0.0, -1.0), steps, True)
    slanted = Hole("s", (7.0, 8.0, 12.0), (math.sin(0.3), 0.0, -math.cos(0.3)), steps[1:], True)
    pocket = Profile("p", ProfileKind.POCKET, (box(0, 5), box(10, 15)), Side.ABOVE, 5.0, False)
    assert list(_shapes(hole)) == [Circle((7.0, 8.0), 9.0)]
    assert list(_shapes(slanted)) == []
    assert list(_shapes(pocket)) == list(pocket.regions)
