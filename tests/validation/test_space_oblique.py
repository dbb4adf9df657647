"""Bores with slanting ends, openings that widen, and what lies of bores inside a blank, against closed forms.

No source but elementary geometry: every expected number is written out as arithmetic on lines, circles and cones. Numbers
are chosen by hand so that a wrong sign, the wrong end or the wrong one of two bores changes the answer by millimetres.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.plane import Loop, Region
from platemaker.space import (
    Cone,
    Cylinder,
    Flare,
    Frame,
    HalfSpace,
    Prism,
    apart,
    bounding_box,
    box,
    pieces_in,
    separation,
    separation_within,
)

EXACT = 1e-9
SEARCHED = 1e-8
"""Where a run of lines or slices is searched: values there are right to about 1e-9 mm."""

UP, HALF = (0.0, 0.0, 1.0), math.sqrt(0.5)
SLANTED = Cylinder((0, 0, 0), (0, 0, 20), 3.0, (-HALF, 0, HALF), (HALF, 0, HALF))
"""Upright, radius 3; its ends slant at 45 degrees: below z = x at the start, up to z = 20 - x at the end."""


@pytest.mark.parametrize(
    ("point", "distance"),
    [
        # Over the second end's high side (x = -3, z = 23): straight above it, and along its slanting face's normal.
        ((-3.0, 0.0, 30.0), 7.0),
        ((0.0 + 5 * HALF, 0.0, 20.0 + 5 * HALF), 5.0),
        # Over its low side (x = 3, z = 17): the flat end's plane is 4 / sqrt(2) away at the foot (1, 19), within it.
        ((3.0, 0.0, 21.0), 4 * HALF),
        # Below the first end: its high side is at x = 3, z = 3, its low side at x = -3, z = -3.
        ((-3.0, 0.0, -8.0), 5.0),
        ((0.0 + 5 * HALF, 0.0, 0.0 - 5 * HALF), 5.0),
        ((3.0, 0.0, 3.0 - 4.0), 4 * HALF),
        # Beside it, at heights where only one side is left.
        ((-8.0, 0.0, 22.0), 5.0),
        ((8.0, 0.0, 16.0), 5.0),
    ],
)
def test_a_point_beside_a_bore_with_slanting_ends(point: tuple[float, float, float], distance: float) -> None:
    spot = box(point, tuple(c + 1e-7 for c in point))  # type: ignore[arg-type]
    assert separation(SLANTED, spot).distance == pytest.approx(distance, abs=1e-6)
    assert separation(spot, SLANTED).distance == pytest.approx(distance, abs=1e-6)


def test_slanting_ends_reach_as_far_as_their_high_sides() -> None:
    assert bounding_box(SLANTED) == pytest.approx((-3, -3, -3, 3, 3, 23), abs=1e-12)
    assert separation(SLANTED, HalfSpace((0, 0, 25), (0, 0, -1))).distance == pytest.approx(2.0, abs=EXACT)
    assert separation(SLANTED, HalfSpace((0, 0, -10), UP)).distance == pytest.approx(7.0, abs=EXACT)


ONE_END = Cylinder((0, 0, 0), (0, 0, 20), 3.0, None, (HALF, 0, HALF))
ONE_START = Cylinder((0, 0, 20), (0, 0, 0), 3.0, (HALF, 0, HALF))


@pytest.mark.parametrize("slanted", [SLANTED, ONE_END, ONE_START])
@pytest.mark.parametrize("swapped", [False, True])
def test_a_square_bore_beside_the_cut_off_side_of_a_slanting_one(swapped: bool, slanted: Cylinder) -> None:
    """Level bore of radius 1 along Y at x = 8, z = 19.5: the slanting one ends there at x = 0.5 on its axis' side.

    Were its end square, the sides would lie 8 - 3 - 1 = 4 apart. Its nearest point lies on the end's face: from (8, 19.5)
    to the plane x + z = 20 it is 7.5 / sqrt(2), at the foot (4.25, 15.75), outside the bore; so the rim at (3, 17) is.
    """
    level = Cylinder((8, -30, 19.5), (8, 30, 19.5), 1.0)
    pair = (level, slanted) if swapped else (slanted, level)
    assert separation(*pair).distance == pytest.approx(math.hypot(8 - 3, 19.5 - 17) - 1.0, abs=EXACT)


@pytest.mark.parametrize("turned", [False, True])
def test_flat_ends_look_outwards_however_their_normals_were_given(turned: bool) -> None:
    """The end over z = 20 - x looks along (1, 0, 1), the one below z = x along (1, 0, -1): its material lies above."""
    first, last = ((HALF, 0, -HALF), (-HALF, 0, -HALF)) if turned else ((-HALF, 0, HALF), (HALF, 0, HALF))
    ends = [normal for normal, _, _ in Cylinder((0, 0, 0), (0, 0, 20), 3.0, first, last).body.faces]
    assert ends == [pytest.approx((HALF, 0, -HALF)), pytest.approx((HALF, 0, HALF))]


def test_lines_are_cut_to_a_prism_with_a_round_hole() -> None:
    """A plate 40 x 40 x 10 with a hole of radius 5: a level line through the middle leaves 20 - 5 on either side."""
    plate = Prism(Region.of(Loop.rectangle(40, 40), [Loop.circle((0, 0), 5.0)]), Frame(), 10.0)
    starts, ends, rows = pieces_in(plate, np.array([[-30.0, 0, 5], [-30, 4, 0]]), np.array([[30.0, 0, 5], [30, 4, 20]]))
    assert rows.tolist() == [0, 0, 1]
    assert starts[:2] == pytest.approx(np.array([[-20, 0, 5], [5, 0, 5]]), abs=EXACT)
    assert ends[:2] == pytest.approx(np.array([[-5, 0, 5], [20, 0, 5]]), abs=EXACT)
    # The second rises 1 for 3: it enters the edge at z = 10 / 3 and leaves the hole's place at z = 10, x = 0 already out.
    assert starts[2] == pytest.approx(np.array([-20, 4, 10 / 3]), abs=EXACT)
    assert ends[2] == pytest.approx(np.array([-3, 4, 9]), abs=EXACT)


def test_bores_are_apart_inside_the_blank_only() -> None:
    """Axes that meet 10 above the plate: at its upper face they are 20 apart, less two half ellipses of 2 sqrt(2)."""
    plate = Prism(Region.of(Loop.rectangle(100, 60)), Frame(), 15.0)
    left, right = (Cylinder((s * 40, 0, -15), (-s * 10, 0, 35), 2.0) for s in (-1.0, 1.0))
    assert separation(left, right).distance < 0
    inside = separation_within(left, right, plate)
    assert inside.distance == pytest.approx(2 * (25 - 15) - 2 * 2 * math.sqrt(2), abs=SEARCHED)
    assert inside.point_a == pytest.approx((-10 + 2 * math.sqrt(2), 0, 15), abs=1e-5)


def test_one_bore_inside_another_in_the_blank_overlaps() -> None:
    plate = Prism(Region.of(Loop.rectangle(100, 60)), Frame(), 15.0)
    wide = Cylinder((-60, 0, 7), (60, 0, 7), 5.0)
    narrow = Cylinder((-80, 0, 7), (80, 0, 7), 1.0)
    assert separation_within(wide, narrow, plate).distance < 0


POCKET = box((5, -5, 5), (15, 5, 15))
SINK = Cone((0, 0, 10), (0, 0, 20), 2.0, 12.0)
"""Radius 7 where it leaves the plate's upper face, z = 15; 12 over it."""


@pytest.mark.parametrize(
    ("first", "second", "whole", "within"),
    [
        # The axis z = x + 25 leaves the upper face at x = -10, an ellipse of 2 sqrt(2) round it; the pocket's corner at
        # (5, 15) is 15 / sqrt(2) off the axis, at a foot over the plate.
        (Cylinder((-40, 0, -15), (10, 0, 35), 2.0), POCKET, 15 * HALF - 2, 15 - 2 * math.sqrt(2)),
        # Its flat start is in the plate, and nearest: 5 beside the pocket and level with its floor.
        (Cylinder((0, 0, 5), (0, 0, 40), 1.0), POCKET, 4.0, 4.0),
        (box((20, -5, 5), (30, 5, 15)), SINK, math.hypot(20 - 12, 20 - 15), 20 - 7),
        (SINK, Cylinder((20, 0, -5), (20, 0, 30), 1.0), 20 - 12 - 1, 20 - 7 - 1),
        # A cone that is wide where it enters the plate from below, and a point above.
        (Cone((0, 0, -10), (0, 0, 10), 20.0, 0.0), box((22, -5, 2), (30, 5, 15)), 14 * HALF, math.hypot(12, 2)),
    ],
)
def test_of_what_reaches_out_of_the_blank_the_rest_counts(first, second, whole, within) -> None:
    plate = Prism(Region.of(Loop.rectangle(100, 60)), Frame(), 15.0)
    assert separation(first, second).distance == pytest.approx(whole, abs=SEARCHED)
    found = separation_within(first, second, plate)
    assert found.distance == pytest.approx(within, abs=1e-6)
    assert math.dist(found.point_a, found.point_b) == pytest.approx(within, abs=1e-6)
    assert depth_in(plate, found.point_a) > -1e-6 < depth_in(plate, found.point_b) + 2e-6


def depth_in(plate: Prism, point: tuple[float, float, float]) -> float:
    """How deep a point lies in the plate of 100 x 60 x 15."""
    x, y, z = point
    return min(50 - abs(x), 30 - abs(y), z, plate.height - z)


def test_what_overlaps_over_the_blank_alone_is_apart_inside_it() -> None:
    """The sink is 12 wide at z = 20, over the plate, 7 at its face: a pin of radius 1 at 10 is 2 off it there."""
    plate = Prism(Region.of(Loop.rectangle(100, 60)), Frame(), 15.0)
    pin = Cylinder((10, 0, 1), (10, 0, 30), 1.0)
    assert separation(SINK, pin).distance < 0
    assert separation_within(SINK, pin, plate).distance == pytest.approx(10 - 7 - 1, abs=1e-6)
    # One more to the side it is in the sink inside the plate as well: the depth is that of the whole figures.
    near = Cylinder((7, 0, 1), (7, 0, 30), 1.0)
    assert separation_within(SINK, near, plate).distance == separation(SINK, near).distance < 0


def test_what_lies_off_the_blank_is_infinitely_far() -> None:
    plate = Prism(Region.of(Loop.rectangle(100, 60)), Frame(), 15.0)
    off = Cylinder((0, 0, 20), (0, 0, 40), 3.0)
    assert separation_within(off, Cylinder((10, 0, 22), (10, 0, 30), 1.0), plate).distance == math.inf


CHAMFER = Flare(Region.of(Loop.circle((0, 0), 10.0)), Frame(), 4.0, 3.0)
ROUND = Flare(Region.of(Loop.circle((0, 0), 10.0)), Frame(), 4.0, 4.0, rounded=True)


def test_openings_that_widen_grow_along_a_line_or_a_quarter_circle() -> None:
    assert [CHAMFER.growth(z) for z in (0.0, 2.0, 4.0)] == pytest.approx([0.0, 1.5, 3.0])
    # Quarter circle of radius 4 about (4, 0): at z = 2.4 it is 4 - sqrt(4² - 2.4²) = 0.8 wider.
    assert [ROUND.growth(z) for z in (0.0, 2.4, 4.0)] == pytest.approx([0.0, 0.8, 4.0])
    assert bounding_box(CHAMFER) == pytest.approx((-13, -13, 0, 13, 13, 4), abs=1e-8)


def test_a_mouth_over_a_face() -> None:
    """13 wide at z = 4: 7 off a wall at x = -20; and its foot 2 over a floor at z = -2, or placed 3 up, 5 over it."""
    assert separation(CHAMFER, HalfSpace((-20, 0, 0), (1, 0, 0))).distance == pytest.approx(20 - 13)
    floor = HalfSpace((0, 0, -2), UP)
    assert separation(CHAMFER, floor).distance == pytest.approx(2)
    assert separation(floor, CHAMFER.placed(Frame((0, 0, 3)))).distance == pytest.approx(5)
    assert apart(CHAMFER, HalfSpace((-12, 0, 0), (1, 0, 0))) is None


@pytest.mark.parametrize("turned", [False, True])
def test_a_level_bore_beside_a_chamfered_mouth(turned: bool) -> None:
    """A bore along Y of radius 1 at x = 15, z = 1: its distance from the flank through (10, 0) and (13, 4) is 5 wide."""
    bore = Cylinder((15, -40, 1), (15, 40, 1), 1.0)
    flare = CHAMFER.rotated((0, 0, 0), (0, 0, 1), 90.0) if turned else CHAMFER
    # Foot of (5, 1) on the direction (3, 4) / 5: across = (5 · 4 - 1 · 3) / 5, along = 19 / 5, within the flank's 5.
    assert separation(flare, bore).distance == pytest.approx((5 * 4 - 1 * 3) / 5 - 1.0, abs=SEARCHED)


def test_a_bore_beside_a_rounded_mouth_is_nearest_to_its_rim() -> None:
    """The metal beside a rounded mouth bulges towards it: from a bore over the foot the sharp rim at the face is near."""
    bore = Cylinder((17, -40, 1), (17, 40, 1), 1.0)
    assert separation(ROUND, bore).distance == pytest.approx(math.hypot(17 - 14, 4 - 1) - 1.0, abs=SEARCHED)
    point = Cone((12, 0, -1), (12, 0, -3), 0.5, 0.5)  # below the foot: the straight opening's rim
    assert separation(ROUND, point).distance == pytest.approx(math.hypot(12 - 0.5 - 10, 1), abs=SEARCHED)
