"""Patterns, shapes, hulls and hole making: small and exact."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from platemaker.catalog import thread
from platemaker.errors import GeometryError, SpecError
from platemaker.parts import Bend, Operation, StripStock
from platemaker.parts._hole_making import counterbored_steps, tapped_hole
from platemaker.parts._records._figures import loop_of, spots_of
from platemaker.parts._records._hull import hull_of_discs
from platemaker.plane import Circle
from platemaker.spec import CirclePattern, PointsPattern, RectanglePattern, RectangleShape, RowPattern
from tests.plates import stack_of

GRID = 1e-6
"""Coordinates are rounded to this once, on entry."""


def test_bolt_circle_starts_at_its_angle_and_goes_counter_clockwise() -> None:
    spots = spots_of(CirclePattern(circle=100.0, count=4, start=90.0))
    assert spots["1"] == pytest.approx((0.0, 50.0), abs=GRID)
    assert spots["2"] == pytest.approx((-50.0, 0.0), abs=GRID)


def test_rectangle_pattern_goes_round_its_sides_once() -> None:
    spots = spots_of(RectanglePattern(rectangle=(40.0, 20.0), rows=(3, 2)))
    assert list(spots.values()) == [(-20, -10), (0, -10), (20, -10), (20, 10), (0, 10), (-20, 10)]


def test_a_turned_row_is_moved_after_it_is_turned() -> None:
    spots = spots_of(RowPattern(row=(0.0, 10.0), turn=90.0, at=(5.0, 0.0)))
    assert spots == {"1": (5.0, 0.0), "2": (5.0, 10.0)}


def test_named_points_keep_their_names() -> None:
    assert list(spots_of(PointsPattern(points={"front": (0.0, 0.0), "rear": (1.0, 2.0)}))) == ["front", "rear"]


def test_a_shape_is_placed_in_a_frame_that_is_placed_itself() -> None:
    loop = loop_of(RectangleShape(rectangle=(10.0, 4.0), at=(20.0, 0.0)), "port", at=(100.0, 0.0), turn=90.0)
    assert loop.bounds == pytest.approx((98.0, 15.0, 102.0, 25.0), abs=GRID)


def test_the_hull_of_four_equal_discs_is_a_rounded_rectangle() -> None:
    loop = hull_of_discs([Circle((x, y), 5.0) for x in (0.0, 100.0) for y in (0.0, 60.0)] + [Circle((50.0, 30.0), 9.0)])
    # Steiner: A + P d + pi d2 over the rectangle of the centres.
    assert loop.area == pytest.approx(100 * 60 + 2 * (100 + 60) * 5 + math.pi * 25, rel=1e-12)
    assert len(loop.edges) == 8


def test_the_hull_of_two_unequal_discs_is_a_belt() -> None:
    loop = hull_of_discs([Circle((0.0, 0.0), 5.0), Circle((100.0, 0.0), 20.0)])
    lean = math.asin(15 / 100)
    straight = math.sqrt(100**2 - 15**2)
    # Open belt: two straight runs and two arcs of pi -/+ 2 lean.
    assert loop.perimeter == pytest.approx(
        2 * straight + 20 * (math.pi + 2 * lean) + 5 * (math.pi - 2 * lean), rel=1e-12
    )


@pytest.mark.parametrize("turn", [0.0, 90.0, -90.0, 180.0, 37.0, 63.3])
def test_the_hull_of_a_turned_row_ends(turn: float) -> None:
    """Discs in line on a side of a pattern, as low as each other but for the last bit; each spot is one of two joints."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    spots = [(x, y) for x in (-206.0, -137.33333, 0.0, 68.66667, 206.0) for y in (-74.0, 0.0, 74.0)]
    discs = [Circle((c * x - s * y + off, s * x + c * y - off), 19.0) for x, y in spots for off in (0.0, 3e-15)]
    loop = hull_of_discs(discs)
    # Steiner; the grid of 1e-6 mm may move each disc by half of it.
    assert loop.area == pytest.approx(412 * 148 + 2 * (412 + 148) * 19 + math.pi * 19**2, abs=2e-3)
    assert loop.perimeter == pytest.approx(2 * (412 + 148) + math.tau * 19, abs=1e-5)


def test_the_hull_of_a_row_is_a_rounded_rectangle_at_every_angle() -> None:
    """The grid sets the discs between the corners off their line by less than 1e-6 mm: no arc is drawn for that."""
    for turn in np.radians(np.arange(0.0, 180.0, 0.7)):
        c, s = math.cos(turn), math.sin(turn)
        discs = [Circle((c * x - s * y, s * x + c * y), 18.0) for x in (-60, -20, 20, 60) for y in (-40, 0, 40)]
        loop = hull_of_discs(discs)
        assert loop.area == pytest.approx(120 * 80 + 2 * (120 + 80) * 18 + math.pi * 18**2, abs=1e-3)
        assert all(edge.length > 1e-6 for edge in loop.edges)


def test_a_disc_that_stands_out_of_another_by_the_last_bit_adds_nothing() -> None:
    loop = hull_of_discs([Circle((0.0, 0.0), 20.0), Circle((12.0, 0.0), 8.0 + 4e-15)])
    assert loop.area == pytest.approx(math.pi * 20**2, abs=1e-5)


@pytest.mark.parametrize(("pattern", "mount"), [(-90, 90), (-45, 45), (37, -37), (0, 45)])
def test_an_outline_round_a_pattern_that_is_turned_back_ends(tmp_path: Path, pattern: int, mount: int) -> None:
    """M8 cylinder heads take 13 mm: discs of 13/2 + 9 round 412 x 148, however it lies."""
    stack = stack_of(
        tmp_path,
        f"""
project: trial
joints: {{foot: {{bolts: {{pattern: {{rectangle: [412, 148], rows: [7, 3], turn: {pattern}}}, thread: M8}}}}}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {{around: [foot], margin: 9}}
    below: {{foot: {{holes: clear, turn: {mount}}}}}
""",
    )
    r = 13 / 2 + 9
    assert stack.parts[0].plate is not None
    assert stack.parts[0].plate.region.area == pytest.approx(412 * 148 + 2 * 560 * r + math.pi * r * r, abs=2e-3)


def test_a_hull_of_nothing_is_refused() -> None:
    with pytest.raises(GeometryError, match="a hull needs at least one disc"):
        hull_of_discs([])


def test_a_blind_tapped_hole_is_drilled_three_pitches_deeper_than_its_thread() -> None:
    steps, tapping, through = tapped_hole(thread("M8"), 25.4, 18.0)
    assert (steps[0].diameter, steps[0].end, tapping.depth, through) == (6.8, 18.0 + 3 * 1.25, 18.0, False)


def test_a_thread_that_leaves_no_floor_is_refused() -> None:
    with pytest.raises(SpecError, match=r"needs a drilled hole of 24\.75 mm"):
        tapped_hole(thread("M8"), 24.0, 21.0)


def test_a_counterbore_leaves_the_head_flush() -> None:
    counterbore, hole = counterbored_steps(thread("M8"), "medium", 25.4, 0.0)
    # ISO 4762: k = 8 for M8; ISO 273 medium: 9 mm.
    assert counterbore.operation is Operation.COUNTERBORE
    assert counterbore.end >= 8.0
    assert hole.diameter == 9.0


def test_a_counterbore_deeper_than_the_plate_is_refused() -> None:
    with pytest.raises(SpecError, match=r"counterbore for M8 is \S+ mm deep, the plate only 6 mm"):
        counterbored_steps(thread("M8"), "medium", 6.0, 0.0)


def test_a_bent_bar_has_the_volume_of_its_legs_and_bends() -> None:
    stock = StripStock(30.0, 4.0, (42.0, 58.0), (Bend(90.0, 5.0),))
    setback = 5.0 + 4.0
    section = 4 * (42 - setback) + 4 * (58 - setback) + math.pi / 4 * (9**2 - 5**2)
    assert stock.volume == pytest.approx(30 * section, rel=1e-12)


def test_a_leg_shorter_than_its_bends_is_refused() -> None:
    with pytest.raises(GeometryError, match="leg 1 of 8 mm is shorter than its bends need, 9 mm"):
        StripStock(30.0, 4.0, (8.0, 58.0), (Bend(90.0, 5.0),))
