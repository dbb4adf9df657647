"""Separations, depths, volumes and sections that analytic geometry gives in closed form.

The distance of two skew lines P + s·u, Q + t·v is |(Q - P) · (u × v)| / |u × v| (vector analysis, from memory; the
arithmetic stands beside each number). Bores on such axes lie that far apart, less their radii, wherever the common
perpendicular meets both. Tolerance 1e-9 mm where a closed form stands beside it: double precision, some 1e-15 of
coordinates near 100, through a few square roots.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.plane import Loop, Region
from platemaker.space import (
    Cone,
    Cylinder,
    Disc,
    Frame,
    HalfSpace,
    Prism,
    Segment,
    box,
    crossing,
    entry,
    oblique_section,
    overlap_volume,
    separation,
    spotface_depth,
)
from platemaker.space._clipped import line_distances

EXACT = 1e-9
UP = (0.0, 0.0, 1.0)


def _bore(point: tuple[float, float, float], way: tuple[float, float, float], radius: float) -> Cylinder:
    """A bore of 200 mm about a point."""
    size = math.hypot(*way)
    half = [100 * w / size for w in way]
    start = (point[0] - half[0], point[1] - half[1], point[2] - half[2])
    return Cylinder(start, (point[0] + half[0], point[1] + half[1], point[2] + half[2]), radius)


@pytest.mark.parametrize(
    ("p", "u", "q", "v", "expected"),
    [
        # u × v = (1,2,2) × (2,0,1) = (2, 3, -4), |.| = sqrt(29); (Q - P) = (12, -9, 15); 24 - 27 - 60 = -63
        ((0, 0, 0), (1, 2, 2), (12, -9, 15), (2, 0, 1), 63 / math.sqrt(29)),
        # u × v = (2,-1,1) × (1,3,-2) = (2-3, 1+4, 6+1) = (-1, 5, 7), |.| = sqrt(75); Q-P = (6, 14, 15); 169 / sqrt(75)
        ((1, 0, -1), (2, -1, 1), (7, 14, 14), (1, 3, -2), 169 / math.sqrt(75)),
        # Crossed at right angles, 20 mm apart in z.
        ((0, 0, 0), (1, 0, 0), (5, 7, 20), (0, 1, 0), 20.0),
    ],
)
def test_skew_and_crossed_bores_are_as_far_apart_as_their_axes_less_the_radii(
    p: tuple[float, float, float],
    u: tuple[float, float, float],
    q: tuple[float, float, float],
    v: tuple[float, float, float],
    expected: float,
) -> None:
    found = separation(_bore(p, u, 2.5), _bore(q, v, 4.0))
    assert found.distance == pytest.approx(expected - 6.5, abs=EXACT)
    assert math.dist(found.point_a, found.point_b) == pytest.approx(found.distance, abs=EXACT)
    assert separation(Segment(*_ends(p, u)), Segment(*_ends(q, v))).distance == pytest.approx(expected, abs=EXACT)


def _ends(
    p: tuple[float, float, float], u: tuple[float, float, float]
) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    bore = _bore(p, u, 1.0)
    return bore.start, bore.end


def test_parallel_bores() -> None:
    """Axes at (0, 0) and (9, 12): 15 apart."""
    found = separation(Cylinder((0, 0, 0), (0, 0, 30), 4.0), Cylinder((9, 12, 10), (9, 12, 50), 3.0))
    assert found.distance == pytest.approx(15 - 7, abs=EXACT)
    assert 10 <= found.point_a[2] <= 30


def test_parallel_bores_that_pass_each_other_end_to_end_are_as_far_as_their_rims() -> None:
    """Rims nearest: 8 sideways, 6 along; 10 in the slant."""
    found = separation(Cylinder((0, 0, 0), (0, 0, 30), 4.0), Cylinder((9, 12, 36), (9, 12, 50), 3.0))
    assert found.distance == pytest.approx(math.hypot(8, 6), abs=EXACT)


def test_coaxial_bores_end_to_end_overlap_by_their_common_length_or_leave_it() -> None:
    one = Cylinder((0, 0, 0), (0, 0, 10), 5.0)
    assert separation(one, Cylinder((0, 0, 13), (0, 0, 20), 2.0)).distance == pytest.approx(3.0, abs=EXACT)
    assert separation(one, Cylinder((0, 0, 9), (0, 0, 20), 2.0)).distance == pytest.approx(-1.0, abs=EXACT)


def test_one_bore_inside_another_is_as_deep_as_the_way_out() -> None:
    """Out sideways: 20 + 3; out along the axis, over the shorter end: 12 (the inner runs from 5 to 12 of 0 to 50)."""
    outer, inner = Cylinder((0, 0, 0), (0, 0, 50), 20.0), Cylinder((0, 0, 5), (0, 0, 12), 3.0)
    found = separation(outer, inner)
    assert found.distance == pytest.approx(-12.0, abs=EXACT)
    assert found.error <= 1e-6


def test_tangent_and_touching_figures_are_at_zero() -> None:
    one = Cylinder((-50, 0, 0), (50, 0, 0), 6.0)
    touching = [
        Cylinder((0, -50, 10), (0, 50, 10), 4.0),  # crossed, tangent: 6 + 4 = 10
        Cylinder((-50, 10, 0), (50, 10, 0), 4.0),  # parallel, along a line
        Cylinder((50, 0, 0), (80, 0, 0), 2.0),  # end on end
        box((-5, -5, 6), (5, 5, 9)),  # a face on the surface
        Cone((0, 0, 16), (0, 0, 6), 3.0, 0.0),  # a tip on the surface
        HalfSpace((0, 0, -6), UP),
    ]
    for other in touching:
        assert separation(one, other).distance == pytest.approx(0.0, abs=EXACT), other


def test_crossed_bores_that_overlap_come_apart_along_their_common_perpendicular() -> None:
    found = separation(_bore((0, 0, 0), (1, 0, 0), 6.0), _bore((0, 0, 9), (0, 1, 0), 4.0))
    assert found.distance == pytest.approx(9 - 10, abs=EXACT)
    assert found.point_b[2] - found.point_a[2] == pytest.approx(-1.0, abs=EXACT)


def test_nearly_parallel_bores() -> None:
    """Axes that lean 1e-7 from parallel, 100 long, lean together by at most 1e-5 over their length.

    The nearest points are at the end where they lean together: the distance there is 20 - 1e-5 - 7, less a part of
    the second order in the lean, (1e-7)² · 100, far below rounding.
    """
    lean = 1e-7
    one = Cylinder((0, 0, 0), (0, 0, 100), 4.0)
    other = Cylinder((20, 0, 0), (20 - 100 * lean, 0, 100), 3.0)
    assert separation(one, other).distance == pytest.approx(20 - 100 * lean - 7, abs=EXACT)


@pytest.mark.parametrize("power", range(1, 15))
def test_bores_that_cross_at_a_vanishing_angle(power: int) -> None:
    """The common perpendicular runs along x, 20 mm long, however small the angle."""
    lean = 10.0**-power
    one = Cylinder((0, 0, -50), (0, 0, 50), 4.0)
    other = Cylinder((20, -50 * lean, -50), (20, 50 * lean, 50), 3.0)
    assert separation(one, other).distance == pytest.approx(13.0, abs=EXACT)


@pytest.mark.parametrize("power", range(1, 9))
def test_a_face_just_off_a_bore_and_just_into_it(power: int) -> None:
    """A flat beside a bore of radius 4, at 4 + e and at 4 - e: the gap is e, the least way out is e."""
    e = 10.0**-power
    bore = Cylinder((0, 0, -50), (0, 0, 50), 4.0)
    assert separation(bore, box((4 + e, -10, -30), (10, 10, 60))).distance == pytest.approx(e, abs=EXACT)
    assert separation(bore, box((4 - e, -10, -30), (10, 10, 60))).distance == pytest.approx(-e, abs=EXACT)


def test_nearly_parallel_planes() -> None:
    """Two boxes, 2 mm apart at one edge, the upper tilted by an angle a about it: the gap stays at that edge."""
    for angle in (1e-9, 1e-6, 1e-3, 0.1):
        lower = box((0, 0, -5), (40, 40, 0))
        upper = box((0, 0, 0), (40, 40, 5)).rotated((0, 0, 0), (0, 1, 0), -angle).moved((0, 0, 2))
        assert separation(lower, upper).distance == pytest.approx(2.0, abs=EXACT)


def test_a_bore_over_a_face_and_through_it() -> None:
    """A bore that leans by a from the face's normal reaches r · sin(a) below its end's centre."""
    face = HalfSpace((0, 0, 0), (0, 0, -1))  # the matter is above
    bore = Cylinder((0, 0, 30), (15, 0, 10), 3.0)
    sine = 15 / 25
    assert separation(bore, face.opposite).distance == pytest.approx(10 - 3 * sine, abs=EXACT)
    through = Cylinder((0, 0, 30), (30, 0, -10), 3.0)
    assert separation(through, face.opposite).distance == pytest.approx(-10 - 3 * (30 / 50), abs=EXACT)


def test_a_bore_that_leaves_through_an_edge_is_through_both_faces() -> None:
    """Two faces at right angles; the bore along the edge's bisector passes both by the same."""
    right, top = HalfSpace((20, 0, 0), (1, 0, 0)), HalfSpace((0, 0, 20), UP)
    bore = Cylinder((0, 0, 0), (20, 0, 20), 4.0)
    beyond = -4 / math.sqrt(2)  # the rim reaches r · sin(45°) past its centre, which stands on the edge
    assert separation(bore, right.opposite).distance == pytest.approx(beyond, abs=EXACT)
    assert separation(bore, top.opposite).distance == pytest.approx(beyond, abs=EXACT)
    assert separation(bore, box((20, -9, 20), (30, 9, 30))).distance == pytest.approx(0.0, abs=EXACT)


@pytest.mark.parametrize(("angle", "reach"), [(118.0, 5 / math.tan(math.radians(59))), (135.0, 5 * (math.sqrt(2) - 1))])
def test_floor_under_a_drill_point(angle: float, reach: float) -> None:
    """A 10 mm drill's point is r / tan(angle / 2) long; tan(67.5°) = 1 + sqrt(2), so 135° gives 5 · (sqrt(2) - 1).

    The handbook rule for 118 degrees, 0.3 times the diameter, is 3.0 mm; the exact figure is 3.004.
    """
    point = Cone.drill_point((0, 0, 25 - 18), (0, 0, -1), 10.0, angle)
    assert separation(point, HalfSpace((0, 0, 0), (0, 0, 1))).distance == pytest.approx(25 - 18 - reach, abs=EXACT)
    if angle == 118.0:
        assert reach == pytest.approx(0.3 * 10, abs=0.005)


@pytest.mark.parametrize("lean", [20.0, 45.0])
def test_floor_under_a_slanted_drill_point(lean: float) -> None:
    """Leaning by a, the point's tip is depth + r / tan(59°) down the slant, the bore's corner depth and r · sin(a).

    The flank leans 90 - 59 = 31 degrees from the bottom: below that lean the tip is lowest, above it the corner.
    """
    a = math.radians(lean)
    way = (math.sin(a), 0.0, -math.cos(a))
    end = (20 * way[0], 0.0, 40 + 20 * way[2])
    hole = Cylinder((0, 0, 40), end, 4.0), Cone.drill_point(end, way, 8.0, 118.0)
    bottom = HalfSpace((0, 0, 0), (0, 0, 1))
    tip = 40 - (20 + 4 / math.tan(math.radians(59))) * math.cos(a)
    corner = 40 - 20 * math.cos(a) - 4 * math.sin(a)
    assert (tip < corner) == (lean < 31.0)
    assert min(separation(one, bottom).distance for one in hole) == pytest.approx(min(tip, corner), abs=EXACT)


def test_a_cone_beside_a_parallel_plane_and_a_point() -> None:
    """A 90 degree countersink's flank leans 45 degrees: a point 10 beside its tip is 10 / sqrt(2) from it."""
    sink = Cone((0, 0, 0), (0, 0, 6), 0.0, 6.0)
    point = Cylinder((10, 0, -1e-6), (10, 0, 0), 1e-6)
    assert separation(sink, point).distance == pytest.approx(10 / math.sqrt(2), abs=2e-6)


def test_discs_face_to_face_and_edge_to_edge() -> None:
    one = Disc((0, 0, 0), UP, 5.0)
    assert separation(one, Disc((3, 0, 4), UP, 2.0)).distance == pytest.approx(4.0, abs=EXACT)
    assert separation(one, Disc((12, 0, 0), UP, 2.0)).distance == pytest.approx(5.0, abs=EXACT)
    assert separation(one, Disc((0, 0, 9), (1, 0, 0), 2.0)).distance == pytest.approx(7.0, abs=EXACT)


def test_a_bore_in_an_island_of_a_pocket_is_the_islands_radius_less_its_own_and_their_offset() -> None:
    pocket = Prism(Region.of(Loop.rectangle(80, 60, 6), [Loop.circle((10, 5), 11.0)]), Frame(), 12.0)
    hole = Cylinder((12, 6.5, -5), (12, 6.5, 30), 4.0)
    assert separation(pocket, hole).distance == pytest.approx(11 - 4 - math.hypot(2, 1.5), abs=EXACT)
    through = separation(pocket, Cylinder((15, 5, -5), (15, 5, 30), 8.0))
    # The bore reaches 15 + 8 = 23, the island's wall stands at 21; the largest ball between fits the 2 mm.
    assert through.distance == pytest.approx(-2.0, abs=1e-6)
    assert through.error < 0.2


def test_pockets_on_one_plate_are_as_far_as_their_outlines() -> None:
    arm = Region.of(Loop.rounded([(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)], 2.0))
    one = Prism(arm, Frame(), 10.0)
    slot = Prism(Region.of(Loop.slot(14, 6)), Frame((22, 22, 4)), 10.0)
    # The slot's straight flank is at y = 19, above the arm's upper edge at y = 10; its end's centre at x = 18 is
    # 8 from the arm's inner edge at x = 10, so 5 away.
    assert separation(one, slot).distance == pytest.approx(5.0, abs=EXACT)
    assert separation(one, slot.moved((0, 0, 18))).distance == pytest.approx(math.hypot(5, 12), abs=EXACT)


@pytest.mark.parametrize("radius", [2.0, 5.0])
def test_two_equal_bores_square_to_each_other_share_sixteen_thirds_of_the_radius_cubed(radius: float) -> None:
    """The volume that Archimedes gives for two crossed cylinders: 16 r³ / 3."""
    shared = overlap_volume(_bore((0, 0, 0), (1, 0, 0), radius), _bore((0, 0, 0), (0, 1, 0), radius))
    assert shared.volume == pytest.approx(16 * radius**3 / 3, rel=1e-9)


def test_shared_volumes_of_elementary_solids() -> None:
    bore = Cylinder((0, 0, 0), (0, 0, 20), 4.0)
    block = box((-10, -10, 5), (10, 10, 11))
    assert overlap_volume(bore, block).volume == pytest.approx(math.pi * 16 * 6, rel=1e-9)
    assert overlap_volume(bore, HalfSpace((0, 0, 0), (1, 0, 0))).volume == pytest.approx(math.pi * 8 * 20, rel=1e-9)
    assert overlap_volume(bore, Cylinder((0, 0, 15), (0, 0, 40), 3.0)).volume == pytest.approx(math.pi * 45, rel=1e-9)
    # A plane through the far rim and the near foot of a bore takes half of it.
    lean = HalfSpace((0, 0, 10), (20, 0, 8))
    assert overlap_volume(bore, lean).volume == pytest.approx(math.pi * 16 * 10, rel=1e-9)
    # A frustum: pi h / 3 (R² + R r + r²); the upper half of a cone of radius 4 and height 10 is 1/8 of it.
    frustum = overlap_volume(Cone((0, 0, 0), (0, 0, 10), 4, 0), HalfSpace((0, 0, 5), UP))
    assert frustum.volume == pytest.approx(math.pi * 16 * 10 / 3 * 7 / 8, rel=1e-3)
    assert abs(frustum.volume - math.pi * 16 * 10 / 3 * 7 / 8) <= frustum.error


def _segment(radius: float, height: float) -> float:
    """Area of a circle's segment beyond a chord at `height` from the centre."""
    return radius**2 * math.acos(height / radius) - height * math.sqrt(radius**2 - height**2)


@pytest.mark.parametrize("off", [0.0, 3.0, 5.0, 6.0, 8.0, 9.9])
def test_a_cross_bore_opens_by_what_a_disc_shares_with_a_strip(off: float) -> None:
    """A 4 mm radius bore into one of 6 mm, offset: the strip's edge stands 6 - off from the bore's centre."""
    found = crossing(Cylinder((0, off, 30), (0, off, -30), 4.0), Cylinder((-99, 0, 0), (99, 0, 0), 6.0))
    edge = 6 - off
    beyond = 0.0 if edge >= 4 else _segment(4.0, edge)
    assert found.open_area == pytest.approx(math.pi * 16 - beyond, abs=1e-8)
    assert found.is_full == (off <= 2.0)


def test_parallel_bores_open_by_the_lens_of_two_circles() -> None:
    """Circles r, R at distance d: the chord is (d² + r² - R²) / 2d from the one, (d² + R² - r²) / 2d from the other."""
    r, big, d = 3.0, 6.0, 5.0
    lens = _segment(r, (d * d + r * r - big * big) / (2 * d)) + _segment(big, (d * d + big * big - r * r) / (2 * d))
    found = crossing(Cylinder((0, d, 0), (0, d, 30), r), Cylinder((0, 0, 20), (0, 0, 60), big))
    assert found.open_area == pytest.approx(lens, abs=1e-8)


def test_a_passage_that_ends_inside_the_cross_bores_section_opens_it_only_that_far() -> None:
    """The passage ends 2 mm past the bore's axis: a segment beyond the chord at 2 stays shut."""
    found = crossing(Cylinder((98, 0, 30), (98, 0, -30), 4.0), Cylinder((-99, 0, 0), (100, 0, 0), 6.0))
    assert found.open_area == pytest.approx(math.pi * 16 - _segment(4.0, 2.0), abs=1e-8)
    assert not found.is_full


def test_a_bore_into_a_cavity_opens_by_what_lies_over_it() -> None:
    """A cavity whose side stands 3 mm off the bore's axis; its ceiling at z = 0, the bore's end at z = -1."""
    bore = Cylinder((0, 0, 30), (0, 0, -1), 4.0)
    found = crossing(bore, box((-3, -50, -10), (50, 50, 0)))
    assert found.open_area == pytest.approx(math.pi * 16 - _segment(4.0, 3.0), abs=1e-6)
    whole = crossing(bore, box((-9, -50, -10), (50, 50, 0)))
    assert (whole.share, whole.spare) == (1.0, pytest.approx(1.0, abs=EXACT))
    short = crossing(Cylinder((0, 0, 30), (0, 0, 0.5), 4.0), box((-9, -50, -10), (50, 50, 0)))
    assert (short.share, short.spare) == (0.0, pytest.approx(-0.5, abs=EXACT))


def test_a_slanted_cross_bore_has_the_same_silhouette() -> None:
    """Seen along any direction a long round passage is a strip as wide as itself: the slant changes no area."""
    way = (math.sin(0.7), 0.0, -math.cos(0.7))
    start = (-40 * way[0], 5.0, -40 * way[2])
    found = crossing(Cylinder(start, (40 * way[0], 5.0, 40 * way[2]), 4.0), Cylinder((-99, 0, 0), (99, 0, 0), 6.0))
    assert found.open_area == pytest.approx(math.pi * 16 - _segment(4.0, 1.0), abs=1e-8)


@pytest.mark.parametrize("angle", [0.0, 30.0, 45.0, 60.0])
def test_an_oblique_cut_is_an_ellipse_of_r_and_r_over_cosine(angle: float) -> None:
    """Cosines of 0, 30, 45, 60 degrees: 1, sqrt(3)/2, sqrt(2)/2, 1/2; tangents 0, 1/sqrt(3), 1, sqrt(3)."""
    cosine = {0.0: 1.0, 30.0: math.sqrt(3) / 2, 45.0: math.sqrt(2) / 2, 60.0: 0.5}[angle]
    tangent = {0.0: 0.0, 30.0: 1 / math.sqrt(3), 45.0: 1.0, 60.0: math.sqrt(3)}[angle]
    section = oblique_section(7.0, angle)
    assert (section.minor, section.major) == pytest.approx((7.0, 7.0 / cosine), abs=EXACT)
    bore = Cylinder((0, 0, 20), (20 * tangent, 0, 0), 7.0)
    found = entry(bore, HalfSpace((0, 0, 3), UP))
    assert found.angle == pytest.approx(angle, abs=1e-9 if angle else 1e-5)
    assert found.centre == pytest.approx((17 * tangent, 0, 3), abs=EXACT)
    assert math.dist(found.first, found.last) == pytest.approx(14.0 / cosine, abs=EXACT)
    assert found.lead == pytest.approx(14.0 * tangent, abs=1e-6)
    assert spotface_depth(9.0, angle) == pytest.approx(9.0 * tangent, abs=EXACT)


def test_a_post_in_a_round_pocket_of_a_ring() -> None:
    """A post's farthest corner stands hypot(6, 4) from the ring's axis; the hole's wall at 12."""
    ring = Prism(Region.of(Loop.circle((0, 0), 20), [Loop.circle((0, 0), 12)]), Frame(), 10.0)
    corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (3.0, 4.0), (3.0, 2.0), (0.0, 2.0)]
    post = Prism(Region.of(Loop.rounded(corners)), Frame((0, 0, 3)), 30.0)
    assert separation(ring, post).distance == pytest.approx(12 - math.hypot(6, 4), abs=EXACT)
    assert separation(post, ring).distance == pytest.approx(12 - math.hypot(6, 4), abs=EXACT)
    assert separation(ring, post.moved((0, 0, 12))).distance == pytest.approx(
        math.hypot(12 - math.hypot(6, 4), 5), abs=EXACT
    )
    assert separation(ring, post.moved((13, 0, -20))).distance < 0.0
    inner = Prism(Region.of(Loop.circle((1, 2), 7), [Loop.circle((1, 2), 3)]), Frame(), 10.0)
    assert separation(ring, inner).distance == pytest.approx(12 - 7 - math.sqrt(5), abs=EXACT)


def test_two_arms_whose_flanks_lie_in_crossing_planes() -> None:
    """The upper arm's lower edge line passes 8 · sqrt(1.25) from the other's edge at (0, 6.5): measured by hand.

    The first arm stands on x = 6 with its long edge at z = 9 to 17, y from -10 to 10; the second's top edge runs along
    y from -3 to 13 through (2, y, 1), the frame's origin (-4, -3, -7) plus 10 along (0.6, 0, 0.8). From (2, ., 1) to
    (6, ., 9) it is hypot(4, 8).
    """
    arm = Loop.rounded([(0, 0), (20, 0), (20, 8), (8, 8), (8, 16), (0, 16)])
    one = Prism(Region.of(arm), Frame((6, -10, 9), (0, 1, 0), (0, 0, 1)), 1.0)
    other = Prism(Region.of(arm, [Loop.circle((4, 4), 3)]), Frame((-4, -3, -7), (0.8, 0, -0.6), (0, 1, 0)), 10.0)
    assert separation(one, other).distance == pytest.approx(math.hypot(4, 8), abs=EXACT)


def test_straight_pieces_are_nearest_at_an_end_and_its_foot() -> None:
    """A piece of 4 along X; one that begins at (3, 1, 2) and leads away: sqrt(1 + 4) apart, at x = 3 of the first."""
    apart, near, far = line_distances(*(np.array([point]) for point in ((0, 0, 0), (4, 0, 0), (3, 1, 2), (3, 5, 2))))
    assert apart.item() == pytest.approx(math.sqrt(5), abs=1e-12)
    assert (near[0, 0], far[0, 0]) == (pytest.approx((3, 0, 0)), pytest.approx((3, 1, 2)))
