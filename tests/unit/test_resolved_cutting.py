"""Where a cutting plane meets regions, bores and cones: what a section shows, against plane geometry by hand."""

import math

import pytest

from platemaker.plane import Loop, Region
from platemaker.resolved._cutting import Cutting, _around, crossings, cut_round, half_chord

Y, X = Cutting.ACROSS_Y, Cutting.ACROSS_X
TILT = (math.sqrt(0.5), math.sqrt(0.5), 0.0)
RING = Region.of(Loop.rectangle(10, 4, centre=(20, 7)), [Loop.circle((20, 7), 1)])


def bounds(region):
    return pytest.approx(tuple(region.bounds), abs=1e-9)


def test_a_section_runs_along_the_axis_that_its_plane_leaves_free():
    assert (Y.flat((1.0, 2.0, 3.0)), Y.in_plan(1.0, 2.0)) == ((1.0, 3.0), (1.0, 2.0))
    assert (X.flat((1.0, 2.0, 3.0)), X.in_plan(2.0, 1.0)) == ((2.0, 3.0), (1.0, 2.0))


@pytest.mark.parametrize(
    ("cutting", "at", "pieces"),
    [
        # 0.6 off the middle of a hole of radius 1 half its chord is 0.8.
        (Y, 7.6, [(15, 19.2), (20.8, 25)]),
        (Y, 6.4, [(15, 19.2), (20.8, 25)]),
        (X, 20.6, [(5, 6.2), (7.8, 9)]),
        (X, 19.4, [(5, 6.2), (7.8, 9)]),
        (Y, 8.5, [(15, 25)]),
        (X, 22, [(5, 9)]),
        (Y, 5.0, [(15, 25)]),  # along an edge the plane lies a nanometre to the greater side
        (Y, 9.0, []),
        (X, 25.0, []),
        (X, 15.0, [(5, 9)]),
        (Y, 8.0, [(15, 25)]),  # touches the hole
        (Y, 10.0, []),
    ],
)
def test_a_plane_meets_a_plate_with_a_hole(cutting, at, pieces):
    found = crossings(RING, cutting, at)
    assert found == [pytest.approx(piece) for piece in pieces]


@pytest.mark.parametrize(("off", "half"), [(3, 4), (-3, 4), (0, 5), (5, 0), (-5, 0), (6, 0)])
def test_half_a_chord_is_of_three_four_five(off, half):
    assert half_chord(5, off) == half


@pytest.mark.parametrize(("at", "radius"), [(3, 4), (6, 2.5), (9, 1)])
@pytest.mark.parametrize("turned", [False, True])
def test_a_cone_square_to_the_plane_shows_a_circle_of_its_radius_there(at, radius, turned):
    # From radius 5 at 1 to radius 1 at 9: half a millimetre less a millimetre.
    ends, radii = ((30.0, 1.0, 2.0), (30.0, 9.0, 2.0)), (5.0, 1.0)
    axis = (0.0, 1.0, 0.0)
    if turned:
        ends, radii, axis = ends[::-1], radii[::-1], (0.0, -1.0, 0.0)
    assert cut_round(ends, axis, radii, Y, 0.5) is None
    assert cut_round(ends, axis, radii, Y, 9.5) is None
    if at < 9:
        found = cut_round(ends, axis, radii, Y, at)
        assert found.area == pytest.approx(math.pi * radius**2)
        assert bounds(found) == (30 - radius, 2 - radius, 30 + radius, 2 + radius)


def test_a_bore_along_the_plane_shows_as_wide_as_its_chord():
    ends, axis = ((0.0, 1.0, 2.0), (10.0, 1.0, 2.0)), (1.0, 0.0, 0.0)
    found = cut_round(ends, axis, (5.0, 5.0), Y, 4.0)  # 3 off the axis: half a chord of 4
    assert found.area == pytest.approx(10 * 8)
    assert bounds(found) == (0, -2, 10, 6)
    assert cut_round(ends, axis, (5.0, 5.0), Y, 6.0) is None


def test_a_bore_aslant_in_the_plane_is_a_rectangle_square_to_its_axis():
    found = cut_round(((0.0, 0.0, 0.0), (6.0, 0.0, 8.0)), (0.6, 0.0, 0.8), (5.0, 5.0), Y, 0.0)
    # Corners 5 to either side of both ends, along (-0.8, 0.6): (-4, 3), (4, -3), (10, 5), (2, 11).
    assert found.area == pytest.approx(100)
    assert bounds(found) == (-4, -3, 10, 11)
    corners = sorted(edge.start for edge in found.edges)
    assert corners == [pytest.approx(one) for one in [(-4, 3), (2, 11), (4, -3), (10, 5)]]


@pytest.mark.parametrize(("narrow", "area"), [(0.0, 4 * 6 / 2 * 2), (1.0, (4 + 1) * 6)])
def test_a_cone_through_its_axis_is_a_triangle_or_what_is_left_of_one(narrow, area):
    found = cut_round(((0.0, 0.0, 1.0), (0.0, 0.0, 7.0)), (0.0, 0.0, 1.0), (4.0, narrow), Y, 0.0)
    assert found.area == pytest.approx(area)
    assert bounds(found) == (-4, 1, 4, 7)
    assert len(found.edges) == (4 if narrow else 3)


def test_a_bore_at_45_degrees_shows_the_regular_polygon_of_144_corners_drawn_out():
    found = cut_round(((-20.0, -10.0, 3.0), (20.0, 30.0, 3.0)), TILT, (2.0, 2.0), Y, 5.0)
    # Half axes 2 and 2 / cos 45 about (-5, 3); n corners of a circle hold n / 2 sin(360 / n) r^2.
    assert found.area == pytest.approx(144 / 2 * math.sin(math.tau / 144) * 2 * math.sqrt(8))
    middle = [(a + b) / 2 for a, b in zip(found.bounds[:2], found.bounds[2:], strict=True)]
    assert middle == pytest.approx([-5, 3])


@pytest.mark.parametrize("sign", [1, -1])
def test_a_bore_that_ends_in_the_plane_is_cut_off_by_its_rim(sign):
    end = (sign * 20.0, sign * 20.0, 0.0)
    found = cut_round(((0.0, 0.0, 0.0), end), tuple(sign * u for u in TILT), (2.0, 2.0), Y, 0.0)
    # Half of the ellipse with half axes 2 and sqrt 8; its rim, of radius 2, stands upright at x = 0.
    assert found.area == pytest.approx(math.pi * 2 * math.sqrt(8) / 2, rel=5e-4)
    low, high = sorted((0.0, sign * math.sqrt(8)))
    assert found.bounds == pytest.approx((low, -2, high, 2), abs=2e-3)
    assert min(abs(edge.start[0]) for edge in found.edges) < 1e-9


def test_points_of_a_round_figure_are_joined_all_round_in_any_order():
    found = _around([(14, 13), (10, 10), (10, 13), (14, 10), (14, 13 + 1e-7)])
    assert found.area == pytest.approx(12)
    assert len(found.edges) == 4
    assert _around([(0, 0), (1, 0)]) is None
    assert _around([(0, 0), (1, 0), (2, 0)]) is None
    assert _around([(0, 0), (3, 0), (0, 2)]).area == pytest.approx(3)
