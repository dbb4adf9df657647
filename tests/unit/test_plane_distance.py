"""Nearest points, walls and necks on figures whose answer is school geometry (3-4-5 triangles, tangent circles)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.plane import (
    Arc,
    Circle,
    Line,
    Loop,
    Place,
    Region,
    closest_pairs,
    contains,
    mirrored,
    moved,
    nearest,
    nearest_each,
    necks,
    place_of,
    rotated,
    wall,
    wall_between,
    walls_inside,
)
from platemaker.plane._inside import nearest_of_all
from platemaker.plane._table import table_of

ROUNDING = 1e-12
"""Doubles at some 10 mm hold 2e-15; a handful of operations stay far below this."""


def test_nearest_points_of_two_circles_lie_on_the_line_of_centres() -> None:
    way = nearest(Circle((0, 0), 2), Circle((3, 4), 1))
    assert way.distance == pytest.approx(2.0, abs=ROUNDING)
    assert way.a == pytest.approx((1.2, 1.6), abs=ROUNDING)
    assert way.b == pytest.approx((2.4, 3.2), abs=ROUNDING)


def test_circles_that_cross_meet_on_both_of_them() -> None:
    """Radii 5 and 13 about centres 12 apart (5-12-13): the circles cross straight above the first one's centre."""
    way = nearest(Circle((0, 0), 5), Circle((12, 0), 13))
    assert way.distance == 0.0
    assert way.a == way.b == pytest.approx((0.0, 5.0), abs=ROUNDING)


def test_a_boundary_that_cuts_a_circle_has_no_distance_to_it() -> None:
    """A square of 10 cuts the circle of radius 6 about its middle: 5 < 6 < 5 sqrt 2. From outside there are 2 left."""
    square = Loop.rectangle(10, 10)
    assert nearest(Circle((0, 0), 6), square).distance == pytest.approx(0.0, abs=ROUNDING)
    assert nearest(square, Circle((0, 0), 6)).distance == pytest.approx(0.0, abs=ROUNDING)
    assert nearest(Circle((11, 0), 4), square).distance == pytest.approx(2.0, abs=ROUNDING)


def test_a_round_region_is_as_far_as_its_circle_and_a_ring_has_two() -> None:
    """A bore of radius 2 whose middle is 5 off a side; a pin of radius 1 in a ring's hole of radius 3."""
    bore, plate = Region(Loop.circle((0, 0), 2, "bore")), Region(Loop.rectangle(20, 10))
    way = nearest(plate, bore)
    assert (way.distance, way.tag_b) == (pytest.approx(3.0, abs=ROUNDING), "bore")
    assert nearest(bore, Region(Loop.circle((3, 4), 1))).distance == pytest.approx(2.0, abs=ROUNDING)
    ring = Region.of(Loop.circle((0, 0), 10), [Loop.circle((0, 0), 3)])
    assert nearest(ring, Circle((0, 0), 1)).distance == pytest.approx(2.0, abs=ROUNDING)


def test_many_points_in_several_portions_are_as_far_as_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Points on a level 3 over the top of a square of 10, half of them beyond its corner, 4 to its side."""
    monkeypatch.setattr("platemaker.plane._inside.FEW", 8)
    points = np.array([complex(x, 8.0) for x in (-2, -1, 0, 1, 2)] + [complex(9.0, 8.0)] * 3)
    places, sizes, rows = nearest_of_all(table_of(Loop.rectangle(10, 10)), points)
    assert sizes == pytest.approx([3.0] * 5 + [5.0] * 3, abs=ROUNDING)
    assert places == pytest.approx([x + 5j for x in (-2, -1, 0, 1, 2)] + [5 + 5j] * 3, abs=ROUNDING)
    assert len(set(rows[:5].tolist())) == 1


@pytest.mark.parametrize(
    ("a", "b", "distance"),
    [
        ((0.0, 0.0), (3.0, 4.0), 5.0),
        ((0.0, 0.0), Line((3.0, -1.0), (3.0, 5.0)), 3.0),
        ((0.0, 8.0), Line((3.0, -1.0), (3.0, 4.0)), 5.0),
        (Line((0, 0), (10, 0)), Line((0, 2), (10, 2)), 2.0),
        (Line((0, 0), (10, 0)), Line((5, -1), (5, 1)), 0.0),
        (Line((0, 0), (1, 0)), Line((4, 4), (9, 9)), 5.0),
        # The upper half circle about (0, 0) turns away from a line below it: its ends are nearest.
        (Line((-9, -3), (9, -3)), Arc((5, 0), (-5, 0), (0, 0), 5, True), 3.0),
        (Line((-9, -7), (9, -7)), Arc((5, 0), (-5, 0), (0, 0), 5, False), 2.0),
        # From inside, along the line of centres: 10 - (3 + 2).
        (Circle((3, 0), 2), Circle((0, 0), 10), 5.0),
        # The quarter arc does not reach the line of centres; its end (5, 0) is 3-4-5 from the point.
        (Arc((5, 0), (0, 5), (0, 0), 5, True), (8.0, -4.0), 5.0),
        (Loop.rectangle(4, 4), Loop.rectangle(2, 2), 1.0),
        (Loop.slot(10, 2), Circle((0, 6), 2), 3.0),
    ],
)
def test_nearest_distance_is_school_geometry(a: object, b: object, distance: float) -> None:
    way = nearest(a, b)  # type: ignore[arg-type]
    assert way.distance == pytest.approx(distance, abs=ROUNDING)
    assert math.dist(way.a, way.b) == pytest.approx(distance, abs=ROUNDING)
    back = nearest(b, a)  # type: ignore[arg-type]
    assert back.distance == pytest.approx(distance, abs=ROUNDING)


def test_nearest_tells_the_pieces_that_it_ends_on() -> None:
    way = nearest(Loop.circle((0, 0), 1, "bolt"), Loop.rectangle(10, 10, tag="edge"))
    assert (way.tag_a, way.tag_b) == ("bolt", "edge")


@pytest.mark.parametrize("offset", [0.0, 1e4])
def test_wall_is_exact_where_a_polygon_is_not(offset: float) -> None:
    """A 10 mm hole 7 mm from the edge leaves 2.000 mm, whatever the angle that the plate is turned by."""
    for angle in range(0, 360, 7):
        hole = rotated(Loop.circle((offset, 7 + offset), 5), angle)
        edge = rotated(Loop.rectangle(100, 50, centre=(offset, 25 + offset)), angle)
        # 1e4 mm is held to 2e-12, and a turn multiplies and adds such numbers.
        assert wall_between(hole, edge).distance == pytest.approx(2.0, abs=ROUNDING if not offset else 2e-11)


@pytest.mark.parametrize(
    ("a", "b", "value"),
    [
        (Circle((0, 0), 2), Circle((6, 8), 3), 5.0),
        (Circle((0, 0), 2), Circle((5, 0), 3), 0.0),
        (Circle((0, 0), 2), Circle((4, 0), 3), -1.0),
        # One inside the other: the small one must move 10 + 1 - 3 to leave.
        (Circle((0, 0), 10), Circle((3, 0), 1), -8.0),
        (Circle((0, 0), 2), Circle((0, 0), 2), -4.0),
        (Circle((0, 7), 2), Loop.rectangle(20, 10), 0.0),
        (Circle((0, 8), 2), Loop.rectangle(20, 10), 1.0),
        (Circle((0, 4), 2), Loop.rectangle(20, 10), -3.0),
        (Circle((0, 5), 2), Loop.rectangle(20, 10), -2.0),
        (Loop.rectangle(4, 4), Loop.rectangle(4, 4, centre=(7, 8)), 5.0),
        (Loop.rectangle(4, 4), Loop.rectangle(4, 4, centre=(4, 0)), 0.0),
        # Overlapping by 1 mm along X: the corner lies 1 mm deep.
        (Loop.rectangle(4, 4), Loop.rectangle(4, 2, centre=(3, 0)), -1.0),
        # Crossing bars, 2 mm wide: no corner is inside, the middle of a side is 1 mm deep.
        (Loop.rectangle(20, 2), Loop.rectangle(2, 20), -1.0),
        # Wholly inside: the middle of each side lies 4 mm deep, the corners too.
        (Loop.rectangle(2, 2), Loop.rectangle(10, 10), -4.0),
        # A ring's hole is not its inside.
        (Circle((0, 0), 1), Region.of(Loop.circle((0, 0), 10), [Loop.circle((0, 0), 4)]), 3.0),
    ],
)
def test_wall_is_signed(a: object, b: object, value: float) -> None:
    assert wall(a, b).distance == pytest.approx(value, abs=1e-9)  # type: ignore[arg-type]
    assert wall(b, a).distance == pytest.approx(value, abs=1e-9)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("hole", "value"),
    [
        (Circle((0, 0), 2), 3.0),
        (Circle((0, 3), 2), 0.0),
        (Circle((0, 4), 2), -1.0),
        (Circle((0, 5), 2), -2.0),
        (Circle((0, 9), 2), -6.0),
        (Loop.rectangle(4, 4), 3.0),
        (Loop.rectangle(4, 4, centre=(9, 0)), -1.0),
        (Loop.rectangle(4, 4, centre=(20, 0)), -12.0),
        (Loop.rectangle(40, 40), -math.hypot(10, 15)),
    ],
)
def test_wall_to_the_outline_says_how_far_a_hole_reaches_out(hole: Circle | Loop, value: float) -> None:
    way = wall_between(hole, Loop.rectangle(20, 10))
    assert way.distance == pytest.approx(value, abs=1e-9)
    assert math.dist(way.a, way.b) == pytest.approx(abs(value), abs=1e-9)


@pytest.mark.parametrize("off", [0.0, 5e-324, 2.2e-311, 1e-200, 1e-13])
def test_circles_about_almost_one_centre_leave_the_difference_of_their_radii(off: float) -> None:
    found = nearest(Circle((0.0, 0.0), 5.0), Loop.circle((off, 0.0), 3.0))
    assert found.distance == pytest.approx(2.0, abs=1e-12)
    assert math.dist(found.a, found.b) == pytest.approx(2.0, abs=1e-12)


def test_the_points_of_an_overlap_are_its_deepest() -> None:
    """Centres on the edge: the deepest point is a radius beyond it, on the side that must not be met."""
    out = wall_between(Circle((0, 5), 2), Loop.rectangle(20, 10))
    assert (out.a, out.b) == (pytest.approx((0, 7)), pytest.approx((0, 5)))
    into = wall(Circle((0, 5), 2), Loop.rectangle(20, 10))
    assert (into.a, into.b) == (pytest.approx((0, 3)), pytest.approx((0, 5)))


def test_places_are_exact_on_arcs() -> None:
    slot = Region.of(Loop.slot(30, 10), [Loop.circle((5, 0), 2)])
    on = 10 + 5 * math.cos(1.1), 5 * math.sin(1.1)
    assert place_of(on, slot) is Place.BOUNDARY
    assert place_of((on[0] - 1e-6, on[1]), slot) is Place.INSIDE
    assert place_of((on[0] + 1e-6, on[1]), slot) is Place.OUTSIDE
    assert place_of((5, 0), slot) is Place.OUTSIDE
    assert contains(slot, (15.0, 0.0))
    assert not contains(slot, (15.1, 0.0))


def test_points_level_with_corners_and_arc_ends_are_placed_right() -> None:
    shape = Loop.rounded([(0, 0), (10, 0), (10, 10), (5, 4), (0, 10)], [1, 0, 1, 1, 0])
    for y in (0.5, 1.0, 4.0, 9.0, 9.5):
        assert not contains(shape, (-1.0, y))
        assert not contains(shape, (11.0, y))
        assert contains(shape, (0.5, y)) == (y < 9.4)


def test_a_neck_is_found_between_two_notches_and_not_at_corners() -> None:
    notched = [(0, 0), (4, 0), (5, 4), (6, 0), (10, 0), (10, 10), (6, 10), (5, 6), (4, 10), (0, 10)]
    (neck,) = necks(Region.of(Loop.rounded(notched)), 3.0)
    assert neck.distance == pytest.approx(2.0, abs=ROUNDING)
    assert {neck.a, neck.b} == {(5, 4), (5, 6)}


def test_a_rib_between_two_holes_and_the_walls_to_the_edge_are_necks() -> None:
    plate = Region.of(Loop.rectangle(60, 30), [Loop.circle((-8, 0), 7), Loop.circle((8, 0), 7)])
    found = necks(plate, 10.0)
    assert [round(n.distance, 9) for n in found] == [2.0, 8.0, 8.0, 8.0, 8.0]


def test_a_hole_near_a_corner_has_a_wall_to_each_side() -> None:
    plate = Region.of(Loop.rectangle(60, 30), [Loop.circle((-24, -8), 5)])
    assert [round(n.distance, 9) for n in necks(plate, 5.0)] == [1.0, 2.0]


def test_a_hole_as_near_to_both_sides_of_a_corner_has_two_walls() -> None:
    plate = Region.of(Loop.rectangle(60, 30), [Loop.circle((-22, -7), 5)])
    found = necks(plate, 5.0)
    assert [round(n.distance, 9) for n in found] == [3.0, 3.0]
    ends = {(round(p[0], 9), round(p[1], 9)) for n in found for p in (n.a, n.b)}
    assert ends == {(-30, -7), (-27, -7), (-22, -15), (-22, -12)}


def test_parallel_pieces_have_one_rib_a_pair() -> None:
    """A ring is two pairs of half circles; a slot along an edge runs over into its round ends without another rib."""
    ring = Region.of(Loop.circle((0, 0), 10), [Loop.circle((0, 0), 7)])
    assert [round(n.distance, 9) for n in necks(ring, 4.0)] == [3.0, 3.0]
    slotted = Region.of(Loop.rectangle(80, 60), [Loop.slot(30, 10, (0, -22))])
    assert [round(n.distance, 9) for n in necks(slotted, 4.0)] == [3.0]


def test_parallel_sides_are_one_rib_and_a_rounded_corner_is_none() -> None:
    bar = Region.of(Loop.rectangle(60, 4, corner_radius=1.5))
    (rib,) = necks(bar, 5.0)
    assert rib.distance == pytest.approx(4.0, abs=ROUNDING)
    assert {rib.a, rib.b} == {(0, -2), (0, 2)}
    assert necks(bar, 3.9) == ()


def test_a_way_through_air_is_no_neck() -> None:
    """The slot of a C is 2 mm wide, but it is air."""
    shape = Loop.rounded([(0, 0), (20, 0), (20, 9), (8, 9), (8, 11), (20, 11), (20, 20), (0, 20)])
    assert [round(n.distance, 9) for n in necks(Region.of(shape), 9.5)] == [8.0, 9.0, 9.0]


def test_closest_pairs_are_all_pairs_under_the_limit() -> None:
    shapes = [Circle((0, 0), 1), Loop.circle((5, 0), 1, "b"), Loop.rectangle(2, 2, centre=(10, 0)), Circle((40, 0), 3)]
    found = closest_pairs(shapes, 3.5)
    assert [(i, j, round(way.distance, 9)) for i, j, way in found] == [(0, 1, 3.0), (1, 2, 3.0)]
    assert found[0][2].tag_b == "b"


def test_limits_below_nothing_tell_overlaps_only() -> None:
    shapes = [Circle((0, 0), 0.2), Circle((0.1, 0), 0.2), Circle((3, 0), 5), Circle((0, 30), 0.1)]
    assert [(i, j) for i, j, _ in closest_pairs(shapes, -1.0)] == [(0, 2), (1, 2)]
    assert closest_pairs([], 5.0) == ()
    assert closest_pairs(shapes[:1], 5.0) == ()


def test_every_shape_has_a_nearest_one_beyond_any_limit() -> None:
    shapes = [Circle((0, 0), 1), Circle((3, 0), 1), Circle((1000, 0), 50)]
    found = nearest_each(shapes)
    assert [(each[0], each[1].distance) for each in found if each] == [(1, 1.0), (0, 1.0), (1, 946.0)]
    assert nearest_each([Circle((0, 0), 1)]) == (None,)
    assert nearest_each([]) == ()


def test_moving_turning_and_mirroring_change_no_distance() -> None:
    plate = Region.of(Loop.rectangle(60, 30, 5), [Loop.slot(20, 6, (8, 2), 30, "slot")])
    for made in (moved(plate, 3, -4), rotated(plate, 33, (1, 2)), mirrored(plate, 20, (5, 5))):
        assert made.area == pytest.approx(plate.area, rel=1e-12)
        assert wall_between(made.holes[0].reversed(), made.outer).distance == pytest.approx(
            wall_between(plate.holes[0].reversed(), plate.outer).distance, abs=ROUNDING
        )
        assert made.holes[0].edges[0].tag == "slot"


def test_five_micrometres_are_no_touch() -> None:
    """Overlaps and offsets far above TOUCH keep their sign, their depth and their direction."""
    plate, wide = Loop.rectangle(20, 10), Loop.rectangle(10, 10)
    # Two rectangles that share a strip 0.005 wide, and one that stands out of the other by as much.
    assert wall(wide, moved(wide, 9.995, 0)).distance == pytest.approx(-0.005, abs=ROUNDING)
    assert wall_between(moved(wide, 5.005, 0), Loop.rectangle(20, 12)).distance == pytest.approx(-0.005, abs=ROUNDING)
    # A circle's overlap is its radius and the distance of its centre from the edge, added with the centre inside.
    for x, depth in ((9.995, 2.005), (10.005, 1.995)):
        assert wall(Circle((x, 0), 2), plate).distance == pytest.approx(-depth, abs=ROUNDING)
        assert wall_between(Circle((x, 0), 2), plate).distance == pytest.approx(-(4 - depth), abs=ROUNDING)
        assert walls_inside([Circle((x, 0), 2)], plate)[0] == wall_between(Circle((x, 0), 2), plate)


def test_a_circle_beside_a_corner_is_pushed_out_along_the_way_from_the_corner() -> None:
    """The centre is 0.003 and 0.004 off the corner at (10, 5): the way to it has the direction of a 3-4-5 triangle."""
    way = wall(Circle((10.003, 5.004), 2), Loop.rectangle(20, 10))
    assert way.distance == pytest.approx(0.005 - 2, abs=ROUNDING)
    assert way.a == pytest.approx((10.003 - 2 * 0.6, 5.004 - 2 * 0.8), abs=1e-9)  # 1e-15 over 0.005 turns the way


def test_the_side_of_a_slit_is_told_though_it_is_thin() -> None:
    """A circle centred on the upper side of a slit 0.05 wide reaches into the slit, downwards, by its radius."""
    way = wall(Circle((0, 0.025), 2), Loop.rectangle(20, 0.05))
    assert way.distance == pytest.approx(-2, abs=ROUNDING)
    assert way.a == pytest.approx((0, 0.025 - 2), abs=ROUNDING)


def test_walls_to_an_outline_are_those_of_each_hole_alone() -> None:
    outline = Region.of(Loop.rectangle(40, 30, 5, tag="edge"), [Loop.slot(12, 4, (3, 2), 30, tag="slit")])
    holes = [Loop.circle((x, y), 1.5, f"{x}") for x in range(-20, 21, 5) for y in range(-15, 16, 3)]
    mixed = [*holes, Circle((1.0, 2.0), 3.0), Loop.rectangle(3, 3, centre=(12, 8)), Region(Loop.slot(6, 2, (-9, -9)))]
    for hole, way in zip(mixed, walls_inside(mixed, outline), strict=True):
        alone = wall_between(hole, outline)
        assert (way.distance, way.tag_a, way.tag_b) == (alone.distance, alone.tag_a, alone.tag_b)
        assert (*way.a, *way.b) == pytest.approx((*alone.a, *alone.b), abs=ROUNDING)
