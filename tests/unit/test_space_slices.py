"""Slices of bores and prisms, and what they share: areas of rectangles, triangles and circles by hand."""

from __future__ import annotations

import math

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Loop, Region, contains
from platemaker.space import Cone, Cylinder, Frame, HalfSpace, Prism, box, volume_left
from platemaker.space._slices import (
    RoundSlicer,
    Slicer,
    _area_left,
    _crossings,
    _passing,
    _signed_area,
    _slicer,
    _slicing_frame,
    _turns,
    clipped,
    cut,
    polygon_area,
    sliced_volume,
)

SQUARE = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
LEVEL = Frame()
BORE = Cylinder((2.0, 1.0, 5.0), (12.0, 1.0, 5.0), 3.0)  # along x, its slices level


def square(x: float, y: float, side: float) -> list[tuple[float, float]]:
    return [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]


def box_of(polygon: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = zip(*polygon, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize(
    ("normal", "limit", "area"),
    [
        ((1.0, 0.0), 3.0, 12.0),  # x <= 3: 3 x 4
        ((0.0, -1.0), -1.0, 12.0),  # y >= 1
        ((1.0, 1.0), 4.0, 8.0),  # half the square, through two corners
        ((1.0, 1.0), 2.0, 2.0),  # a corner of legs 2
        ((1.0, 2.0), 6.0, 8.0),  # from (4, 1) to (0, 3): mean height 2 over 4
        ((1.0, 0.0), 4.0, 16.0),  # all, the side in the line
        ((1.0, 0.0), -0.5, 0.0),  # none
    ],
)
def test_a_square_cut_by_a_line(normal: tuple[float, float], limit: float, area: float) -> None:
    assert polygon_area(cut(SQUARE, *normal, limit)) == pytest.approx(area, abs=1e-12)


def test_a_cut_has_its_new_corners_on_the_line() -> None:
    """x + 2y = 6 meets the side x = 4 at y = 1 and the side x = 0 at y = 3."""
    assert cut(SQUARE, 1.0, 2.0, 6.0) == [(0.0, 3.0), (0.0, 0.0), (4.0, 0.0), (4.0, 1.0)]


def test_two_squares_share_their_common_corner() -> None:
    assert box_of(clipped(SQUARE, square(3.0, 2.0, 5.0))) == (3.0, 2.0, 4.0, 4.0)
    assert polygon_area(clipped(SQUARE, square(5.0, 5.0, 2.0))) == 0.0
    assert polygon_area(clipped(SQUARE, [(0.0, 0.0), (4.0, 0.0), (0.0, 2.0)])) == pytest.approx(4.0)


def test_area_of_a_polygon_either_way_round_and_far_away() -> None:
    """A right triangle of legs 3 and 4: 6; the sign follows the travel. A line has none."""
    triangle = [(1.0, 1.0), (4.0, 1.0), (1.0, 5.0)]
    assert _signed_area(triangle) == 6.0
    assert _signed_area(triangle[::-1]) == -6.0
    assert polygon_area(triangle) == polygon_area(triangle[::-1]) == 6.0
    assert polygon_area([(x + 2.0**40, y - 2.0**40) for x, y in triangle]) == 6.0
    assert polygon_area(triangle[:2]) == 0.0


@pytest.mark.parametrize(
    ("taken", "left"),
    [
        ([], 16.0),
        ([square(2, 2, 4)], 12.0),  # a corner of 2 x 2
        ([square(2, 2, 4), square(3, 0, 4)], 10.0),  # 4 + 4 less the 2 that both cover
        ([square(0, 0, 1), square(3, 3, 1), square(9, 9, 1)], 14.0),
        ([square(-1, -1, 6)], 0.0),
    ],
)
def test_area_less_what_others_cover_counts_nothing_twice(taken: list[list[tuple[float, float]]], left: float) -> None:
    assert _area_left(SQUARE, taken) == pytest.approx(left, abs=1e-12)
    assert _area_left(SQUARE[:2], taken) == 0.0


def test_a_level_bore_is_sliced_to_a_rectangle_as_wide_as_its_chord() -> None:
    """Radius 3: half the chord 1.8 off the axis is sqrt(9 - 3.24) = 2.4."""
    slicer = Slicer(BORE, LEVEL)
    assert slicer.marks == [2.0, 8.0]
    (strip,) = slicer.at(6.8)
    assert box_of(strip) == pytest.approx((2.0, -1.4, 12.0, 3.4), abs=1e-9)
    assert polygon_area(strip) == pytest.approx(48.0, abs=1e-9)
    assert _signed_area(strip) > 0.0, "windows of a clip run counter-clockwise"
    (strip,) = slicer.at(5.0)
    assert polygon_area(strip) == pytest.approx(60.0, abs=1e-9)
    assert slicer.at(8.0) == slicer.at(1.9) == []


def test_a_slanted_end_of_a_bore_slants_its_slices() -> None:
    """The end's plane x + y = const through (12, 1): the middle of the slice is as long, its sides 3 longer or shorter."""
    slanted = Cylinder((2, 1, 5), (12, 1, 5), 3.0, None, (1, 1, 0))
    (strip,) = Slicer(slanted, LEVEL).at(5.0)
    assert sorted((round(x, 9), round(y, 9)) for x, y in strip) == [(2, -2), (2, 4), (9, 4), (15, -2)]


def test_an_upright_prism_on_its_side_is_sliced_to_rectangles() -> None:
    """A U of 10 x 6 with a notch of 4 wide from y = 2 up, raised by 5 along x; y of its plane is the world's z."""
    corners = [(0, 0), (10, 0), (10, 6), (7, 6), (7, 2), (3, 2), (3, 6), (0, 6)]
    prism = Prism(Region.of(Loop.rounded(corners)), Frame((1, 2, 3), (0, 1, 0), (0, 0, 1)), 5.0)
    slicer = Slicer(prism, LEVEL)
    assert slicer.marks == [3.0, 5.0, 9.0]
    assert [box_of(p) for p in slicer.at(4.0)] == [(1.0, 2.0, 6.0, 12.0)]
    both = sorted(box_of(p) for p in slicer.at(7.0))
    assert both == [(1.0, 2.0, 6.0, 5.0), (1.0, 9.0, 6.0, 12.0)]
    assert all(_signed_area(p) > 0.0 for p in slicer.at(7.0))


def test_marks_of_a_round_outline_are_its_extremes_in_the_slices_direction() -> None:
    """A circle of radius 2 about (3, 1), seen along (0.6, 0.8): its middle is at 1.8 + 0.8 = 2.6."""
    found = _turns(Region.of(Loop.circle((3, 1), 2)), (0.6, 0.8))
    assert (min(found), max(found)) == pytest.approx((0.6, 4.6))
    # Three quarters of it are not there: the corner piece of radius 2 about (0, 0) reaches 2 one way only.
    quarter = Region.of(Loop.rounded([(0, 0), (5, 0), (5, 5), (0, 5)], [0, 0, 2, 0]))
    found = _turns(quarter, (0.6, 0.8))
    # The arc about (3, 3): 4.2 + 2; corners of the square: 0, 3 and 4.
    assert (min(found), max(found)) == pytest.approx((0.0, 6.2))


@pytest.mark.parametrize(
    ("m", "s", "places"),
    [
        ((1.0, 0.0), 1.0, [-3.0, 3.0]),  # x = 1: from y = -3 to 3
        ((0.0, 1.0), 1.0, [-5.0, 5.0]),  # y = 1, and places run along -x
        ((1.0, 0.0), 5.5, []),
        # 0.6 x + 0.8 y = 0: y = -0.75 x, out at y = ±3, x = ∓4: 5 from the middle
        ((0.6, 0.8), 0.0, [-5.0, 5.0]),
    ],
)
def test_a_line_crosses_a_rectangle_where_it_should(m: tuple[float, float], s: float, places: list[float]) -> None:
    assert sorted(_crossings([Loop.rectangle(10, 6)], m, s)) == pytest.approx(places)


def test_a_line_crosses_a_circle_half_a_chord_from_its_middle() -> None:
    """Radius 5 about (2, 1), a line 3 off its centre: 4 either way. At the rim and beyond there is none."""
    region = Region.of(Loop.circle((2, 1), 5))
    assert sorted(_crossings(region.loops, (0.0, 1.0), 4.0)) == pytest.approx([-6.0, 2.0])
    assert sorted(_crossings(region.loops, (1.0, 0.0), 5.0)) == pytest.approx([-3.0, 5.0])
    # 0.6 x + 0.8 y = 2 + 3 from the centre; the centre's place along the line is 0.6 · 1 - 0.8 · 2 = -1
    assert sorted(_crossings(region.loops, (0.6, 0.8), 5.0)) == pytest.approx([-5.0, 3.0])
    assert _crossings(region.loops, (0.0, 1.0), 6.0) == []


def test_a_line_through_a_joint_of_two_arcs_crosses_the_boundary_once_there() -> None:
    """The line of the 3-4-5 triangle above meets the circle at (7, 1), where its two halves join.

    Counted twice, the places would pair wrongly, and a slice of the void would be missing or span the metal.
    """
    plate = Region.of(Loop.rectangle(60, 60), [Loop.circle((2, 1), 5)])
    # 0.6 x + 0.8 y = 5 leaves the square at y = -30 and y = 30: x = 145 / 3 is off it, so at x = 30 and x = -30.
    out = [0.6 * y - 0.8 * x for x, y in ((30.0, -16.25), (-30.0, 28.75))]
    assert sorted(_crossings(plate.loops, (0.6, 0.8), 5.0)) == pytest.approx([out[0], -5.0, 3.0, out[1]])


@pytest.mark.parametrize("turn", range(0, 360, 15))
def test_a_line_through_any_joint_crosses_an_outline_an_even_number_of_times(turn: int) -> None:
    m = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    region = Region.of(Loop.rounded([(0, 0), (30, 0), (30, 20), (0, 20)], 5.0), [Loop.circle((12.1, 10.3), 3)])
    for x, y in (edge.start for edge in region.edges):
        s = m[0] * x + m[1] * y
        places = sorted(_crossings(region.loops, m, s))
        assert len(places) % 2 == 0
        for begin, end in zip(places[::2], places[1::2], strict=True):
            middle = (begin + end) / 2
            inside = contains(region, (s * m[0] - middle * m[1], s * m[1] + middle * m[0]))
            assert inside or end - begin < 1e-6


def test_an_arc_is_crossed_only_where_it_is() -> None:
    """A half disc: the line x = 3 meets the arc of radius 5 once, at y = 4, and the straight side at y = 0."""
    half = Region.of(Loop.rounded([(-5, 0), (5, 0), (5, 5), (-5, 5)], [0, 0, 5, 5]))
    assert sorted(_crossings(half.loops, (1.0, 0.0), 3.0)) == pytest.approx([0.0, 4.0])


def test_slicing_planes_lie_along_both_axes() -> None:
    frame = _slicing_frame(BORE, (0.0, 1.0, 0.0))
    assert (frame.origin, frame.x_axis, frame.z_axis) == (BORE.start, (1, 0, 0), (0, 0, 1))
    parallel = _slicing_frame(BORE, (1.0, 0.0, 0.0)).z_axis
    assert parallel[0] == 0.0
    prism = box((1, 2, 3), (4, 5, 6))
    assert _slicing_frame(prism, (1.0, 0.0, 0.0)).origin == (1, 2, 3)
    assert _slicing_frame(Cone((1, 1, 1), (1, 1, 5), 1, 0), (1.0, 0.0, 0.0)).z_axis == (0, 1, 0)


def test_what_planes_cut_in_curves_is_sliced_as_a_polygon_of_its_area() -> None:
    """A bore square to the slices: pi r2. A cone of radius 3 to 1 over 10: radius 2 half way. 64 tangents, same area."""
    assert isinstance(_slicer(BORE, LEVEL), Slicer)
    upright = _slicer(Cylinder((1, 2, 0), (1, 2, 10), 3.0), LEVEL)
    assert isinstance(upright, RoundSlicer)
    assert upright.marks == [0.0, 10.0]
    (polygon,) = upright.at(4.0)
    assert polygon_area(polygon) == pytest.approx(9 * math.pi, rel=1e-9)
    xs, ys = zip(*polygon, strict=True)
    assert (sum(xs) / len(xs), sum(ys) / len(ys)) == pytest.approx((1.0, 2.0), abs=1e-9)
    (polygon,) = RoundSlicer(Cone((1, 2, 0), (1, 2, 10), 3.0, 1.0), LEVEL).at(5.0)
    assert polygon_area(polygon) == pytest.approx(4 * math.pi, rel=1e-9)
    assert len(polygon) == 64
    # 64 tangents of a circle have the area 64 r2 tan(pi / 64); drawn in to the circle's area they pass it by r / 1.0004.
    reach = max(math.hypot(x - 1.0, y - 2.0) for x, y in polygon)
    assert reach == pytest.approx(2.0 * math.sqrt(math.pi / (64 * math.tan(math.pi / 64))) / math.cos(math.pi / 64))


def test_a_prism_across_the_slices_is_refused() -> None:
    with pytest.raises(GeometryError, match=r"a prism along .* cannot be sliced along"):
        _slicer(box((0, 0, 0), (1, 1, 1)), LEVEL)


def test_places_where_a_bores_slices_pass_the_faces_of_a_plate() -> None:
    """Radius 3; faces 1.8 below the axis and 2.4 above it: chords of 2.4 and 1.8 either side of the axis."""
    frame = Frame((0, 0, 0), (1, 0, 0), (0, 0, 1))  # slices upright; their distance runs along -y
    bore = Slicer(Cylinder((0, 0, 0), (10, 0, 0), 3.0), frame)
    plate = Slicer(box((-5, -9, -1.8), (15, 9, 2.4)), frame)
    assert sorted(_passing(bore, plate)) == pytest.approx([-2.4, -1.8, 1.8, 2.4])
    thick = Slicer(box((-5, -9, -3.0), (15, 9, 4)), frame)
    assert list(_passing(bore, thick)) == []
    assert list(_passing(plate, bore)) == []


def test_places_where_two_circles_cross() -> None:
    """Radii 5 and sqrt(13), centres (0, 0) and (6, 0): they cross at (4, ±3), since 16 + 9 = 25 and 4 + 9 = 13.

    Along the centres both crossings are at 4; square to them, at 3 and -3.
    """
    wide, narrow = Cylinder((0, 0, 0), (0, 0, 9), 5.0), Cylinder((6, 0, 0), (6, 0, 9), math.sqrt(13.0))
    for normal, expected in (((1.0, 0.0, 0.0), [4.0, 4.0]), ((0.0, 1.0, 0.0), [-3.0, 3.0])):
        frame = Frame.from_normal((0, 0, 0), normal, (0, 0, 1))
        assert sorted(_passing(Slicer(wide, frame), Slicer(narrow, frame))) == pytest.approx(expected)
    frame = Frame.from_normal((0, 0, 0), (0.6, 0.8, 0.0), (0, 0, 1))
    # (4, 3) and (4, -3) on 0.6 x + 0.8 y: 4.8 and 0.
    assert sorted(_passing(Slicer(wide, frame), Slicer(narrow, frame))) == pytest.approx([0.0, 4.8], abs=1e-12)
    for beside in ((8.7, 0.0), (1.0, 0.0)):  # apart, and one within the other
        other = Cylinder((*beside, 0), (*beside, 9), math.sqrt(13.0))
        assert list(_passing(Slicer(wide, frame), Slicer(other, frame))) == []


def test_volume_that_a_half_space_and_a_bore_share() -> None:
    """Half a bore of radius 3 over 10: 45 pi; behind a slanted plane through the middle of its axis as much."""
    for normal in ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)):
        found, _ = sliced_volume(BORE, HalfSpace((2, 1, 5), normal), 1e-9)
        assert found == pytest.approx(45 * math.pi, rel=1e-8)
    found, _ = sliced_volume(BORE, HalfSpace((7, 1, 5), (1, 1, 0)), 1e-9)
    assert found == pytest.approx(45 * math.pi, rel=1e-8)
    found, _ = sliced_volume(BORE, HalfSpace((5, 1, 5), (1, 0, 0)), 1e-9)
    assert found == pytest.approx(27 * math.pi, rel=1e-8)  # 3 of 10 long


def test_volume_that_two_prisms_share() -> None:
    """A triangle of legs 6 and 8, 5 high, and a box of 2 x 3 x 10 in its right corner: 2 · 3 · 5; outside it none."""
    wedge = Prism(Region.of(Loop.rounded([(0, 0), (6, 0), (0, 8)])), Frame(), 5.0)
    assert sliced_volume(wedge, box((0, 0, 0), (2, 3, 10)), 1e-9)[0] == pytest.approx(30.0)
    assert sliced_volume(wedge, box((-1, -1, -1), (9, 9, 2)), 1e-9)[0] == pytest.approx(48.0)
    across = Prism(Region.of(Loop.rectangle(4, 2)), Frame((-9, 2, 2), (0, 1, 0), (0, 0, 1)), 20.0)  # along x
    # y from 0 to 4, z from 1 to 3: the triangle's part of it has y from 0 to 4: widths 6 and 3, mean 4.5: 4.5 · 4 · 2.
    assert sliced_volume(wedge, across, 1e-9)[0] == pytest.approx(36.0)


def test_a_cone_takes_out_what_a_cone_holds() -> None:
    """pi h (R2 + R r + r2) / 3 with 3, 1 and 6: 26 pi; a bore of radius 1 through it before leaves 26 pi - 6 pi."""
    plate = box((-9, -9, 0), (9, 9, 6))
    cone = Cone((0, 0, 0), (0, 0, 6), 3.0, 1.0)
    volume, error = volume_left(cone, plate)
    assert volume == pytest.approx(26 * math.pi, rel=1e-3)
    assert abs(volume - 26 * math.pi) <= error
    volume, error = volume_left(cone, plate, [Cylinder((0, 0, -1), (0, 0, 7), 1.0)])
    assert abs(volume - 20 * math.pi) <= error


def test_a_bore_beside_a_plate_takes_nothing() -> None:
    assert volume_left(Cylinder((20, 0, 1), (30, 0, 1), 1.0), box((-9, -9, 4), (9, 9, 6))) == (0.0, 0.0)
    # An upright bore of radius 2 in a plate 6 thick: 24 pi, of which a pocket 2 deep took a third before.
    bore, plate = Cylinder((0, 0, -1), (0, 0, 9), 2.0), box((-9, -9, 0), (9, 9, 6))
    assert volume_left(bore, plate, [box((-3, -3, 4), (3, 3, 6))])[0] == pytest.approx(16 * math.pi, rel=1e-8)
