"""Straight lines through figures: how much lies inside, by Pythagoras, whichever way they lie."""

from __future__ import annotations

import math

import pytest

from platemaker.plane import Loop, Region, lengths_inside, moved, rotated

PLATE = Region.of(Loop.rectangle(60.0, 40.0), [Loop.circle((10.0, 0.0), 5.0), Loop.slot(20.0, 8.0, (-15.0, 0.0))])
TURNS = (0.0, 30.0, 90.0, -127.0)


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize(
    ("height", "inside"),
    [
        (0.0, 60 - 10 - 20),  # through the middle of both, where their arcs begin and end
        (3.0, 60 - 2 * 4 - (12 + 2 * math.sqrt(16 - 9))),
        (4.0, 60 - 2 * 3),  # along the slot's side: 1e-7 mm aside of it
        (-4.5, 60 - 2 * math.sqrt(25 - 4.5**2)),
        (5.0, 60.0),  # touches the circle
        (20.0, 0.0),  # along the plate's own side: aside, which is outside
        (25.0, 0.0),
    ],
)
def test_level_lines_through_a_plate_with_a_hole_and_a_slot(turn: float, height: float, inside: float) -> None:
    way = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    through = (7 - height * way[1], -3 + height * way[0])
    [found] = lengths_inside(moved(rotated(PLATE, turn), 7.0, -3.0), [through], way)
    assert found == pytest.approx(inside, abs=3e-3)  # 1e-7 mm aside of a tangent the chord is 2 sqrt(2 r 1e-7)


def test_many_lines_add_up_to_the_area() -> None:
    """Cavalieri: lines 0.01 mm apart, each at the middle of its strip."""
    lines = [(0.0, -20 + 0.01 * (k + 0.5)) for k in range(4000)]
    slot = 12 * 8 + math.pi * 16
    total = 0.01 * math.fsum(lengths_inside(PLATE, lines, (1.0, 0.0)))
    assert total == pytest.approx(60 * 40 - math.pi * 25 - slot, rel=1e-5)
