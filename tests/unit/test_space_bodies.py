"""Convex bodies as the distance solver sees them, and the parts of its search: points and shares by hand."""

from __future__ import annotations

import math

import pytest

from platemaker.plane import Arc, Line, Loop, Point, Region
from platemaker.space import Cylinder, Disc, Frame, Prism, Segment, Vec3, box, separation
from platemaker.space._bodies import End, Hull
from platemaker.space._depth import _Hull, _is_one_ring, deepest
from platemaker.space._distance import Vertex, _closest, _combined, nearest, support_of_difference
from platemaker.space._figures import Cone
from platemaker.space._polish import gap_along
from platemaker.space._prism_body import PrismBody, bow, halves, is_convex, nearest_on_edge
from platemaker.space._vectors import aside, beside, cosine_along, perpendiculars

ORIGIN: Vec3 = (0.0, 0.0, 0.0)


def test_how_far_a_point_and_a_rim_reach() -> None:
    """Along (0.6, 0, 0.8): (5, 7, 10) reaches 11; about it an ellipse of 5 along x and 2 along z 3.4 more.

    hypot(5 · 0.6, 2 · 0.8) = hypot(3, 1.6) = 3.4, at 3 / 3.4 and 1.6 / 3.4 of the half-diameters.
    """
    d = (0.6, 0.0, 0.8)
    assert End((5.0, 7.0, 10.0)).reach(d) == pytest.approx(11.0)
    assert End((5.0, 7.0, 10.0)).point(d) == (5.0, 7.0, 10.0)
    rim = End((5.0, 7.0, 10.0), (5.0, 0.0, 0.0), (0.0, 0.0, 2.0))
    assert rim.reach(d) == pytest.approx(14.4)
    assert rim.point(d) == pytest.approx((5 + 15 / 3.4, 7, 10 + 3.2 / 3.4))
    assert rim.point((0.0, 1.0, 0.0)) == (5.0, 7.0, 10.0)


BORE = Cylinder((0, 0, 10), (0, 0, 30), 5.0).body
"""Upright, from 10 to 30, radius 5."""


def test_a_bore_s_middle_size_and_farthest_points() -> None:
    """The rim's two half-diameters of 5 are at most hypot(5, 5) from its centre; 10 to either end."""
    assert BORE.centre == (0, 0, 20)
    assert BORE.size == pytest.approx(10 + math.hypot(5, 5))
    assert BORE.support((0.6, 0.8, 1.0)) == pytest.approx((3, 4, 30))
    assert BORE.support((-0.6, 0.8, -1.0)) == pytest.approx((-3, 4, 10))
    segment = Segment((1, 2, 3), (3, 5, 9)).body
    assert (segment.centre, segment.size) == ((2, 3.5, 6), pytest.approx(3.5))
    assert segment.support((0.0, 0.0, -1.0)) == (1, 2, 3)


@pytest.mark.parametrize(
    ("d", "angle", "faces", "bound"),
    [
        ((0.0, 0.0, 1.0), 0.01, [1.0], []),  # the upper end, and its rim
        ((0.0, 0.0, -1.0), 0.01, [-1.0], []),
        ((1.0, 0.0, 0.0), 0.01, [], [((0.0, 0.0, 1.0), 0.0)]),  # the side
        ((0.6, 0.0, 0.8), 0.01, [], []),  # the upper rim alone
        ((0.6, 0.0, 0.8), 0.65, [1.0], []),  # 36.9 degrees, 0.6435, off the end
        ((0.6, 0.0, 0.8), 0.63, [], []),
        ((0.8, 0.0, -0.6), 0.61, [], [((0.0, 0.0, 1.0), 0.0)]),
    ],
)
def test_what_a_direction_touches_of_a_bore(
    d: Vec3, angle: float, faces: list[float], bound: list[tuple[Vec3, float]]
) -> None:
    found = BORE.features(d, angle)
    assert [one.bonds[0][0][2] for one in found if one.face] == faces
    assert [one.bonds[0] for one in found if len(one.ends) == 2] == bound
    rims = [one.ends[0].centre[2] for one in found if len(one.ends) == 1 and not one.face]
    assert rims == ([10, 30] if bound else [30 if d[2] > 0 else 10])


def test_a_disc_has_two_faces() -> None:
    """Up and down: a thing over it and one under it both lie on a face."""
    disc = Disc((0, 0, 4), (0, 0, 1), 5.0).body
    for way in (1.0, -1.0):
        (face, rim) = disc.features((0.0, 0.0, way), 0.1)
        assert face.face is not None
        assert face.bonds == (((0.0, 0.0, way), 1.0),)
        assert rim.bonds == ()
    assert disc.size == pytest.approx(math.hypot(5, 5))
    for height in (7.0, 1.0):
        assert separation(Disc((0, 0, 4), (0, 0, 1), 5.0), Segment((-1, 0, height), (1, 0, height))).distance == 3.0


def test_a_point_is_dropped_on_a_bore_s_end() -> None:
    """Inside the rim straight down; outside it, (6, 8) level, on the rim at (3, 4)."""
    (_, face, _), (_, lower, _) = sorted(BORE.faces, key=lambda one: -one[0][2])  # type: ignore[attr-defined]
    assert face.project((1.0, 2.0, 77.0)) == pytest.approx((1, 2, 30))
    assert face.project((6.0, 8.0, 77.0)) == pytest.approx((3, 4, 30))
    assert lower.project((-6.0, 8.0, -7.0)) == pytest.approx((-3, 4, 10))


def test_the_side_of_a_cone_leans() -> None:
    """From radius 3 to 7 over 3: the side's normal leans by 4 of 5 along the axis, outwards against its growth."""
    body = Cone((0, 0, 0), (0, 0, 3), 3.0, 7.0).body
    assert isinstance(body, Hull)
    assert body.rise == pytest.approx(-0.8)
    d = (0.6, 0.0, -0.8)
    assert body.ends[0].reach(d) == pytest.approx(body.ends[1].reach(d)) == pytest.approx(1.8)


SLAB = PrismBody(Region(Loop.slot(32, 12)), Frame((0, 0, 5)), 4.0)
"""A slot 20 between centres and 12 wide, from z = 5 to 9."""


def test_a_prism_s_middle_and_farthest_points() -> None:
    assert SLAB.centre == (0, 0, 7)
    assert SLAB.size == pytest.approx(math.hypot(32, 12, 4) / 2)
    for d, point in (
        ((1.0, 0.0, 1.0), (16, 0, 9)), ((-1.0, 0.0, -1.0), (-16, 0, 5)), ((3.0, 4.0, 1.0), (13.6, 4.8, 9)),
        ((-3.0, -4.0, -1.0), (-13.6, -4.8, 5)),
    ):  # fmt: skip
        assert SLAB.support(d) == pytest.approx(point)
    assert SLAB.support((0.0, -1.0, 0.0))[1] == -6


@pytest.mark.parametrize(
    ("point", "held"),
    [
        ((0, 0), True),
        ((15.9, 0), True),
        ((16.1, 0), False),
        ((14, 4), True),
        ((15, 4.5), False),
        ((0, 6), True),
        ((0, 6.1), False),
    ],
)
def test_which_points_of_the_plane_a_prism_s_outline_holds(point: Point, held: bool) -> None:
    """(14, 4): 4 and 4 from the round end's centre, within 6; (15, 4.5): 5 and 4.5."""
    for sx in (1, -1):
        for sy in (1, -1):
            assert SLAB.holds(sx * point[0], sy * point[1]) is held


def test_an_outline_without_width_holds_its_own_line_only() -> None:
    edge = Line((0.0, 0.0), (6.0, 8.0))
    flat = PrismBody(Region(Loop((edge, edge.reversed()))), Frame(), 4.0)
    assert flat.holds(3.0, 4.0)
    assert not flat.holds(9.0, 12.0)
    assert not flat.holds(4.0, 3.0)


@pytest.mark.parametrize(
    ("d", "angle", "caps", "sides", "edges"),
    [
        ((0.0, 0.0, 1.0), 0.01, [9], 0, 2),  # the upper face, and its two straight edges
        ((0.0, 0.0, -1.0), 0.01, [5], 0, 2),
        ((0.0, 1.0, 0.0), 0.01, [], 1, 2),  # the flat side, and its edges above and below
        ((0.0, 0.6, 0.8), 0.01, [], 0, 1),  # the upper edge alone
        ((1.0, 0.0, 0.0), 0.01, [], 0, 0),  # the round end
        ((0.0, 0.6, 0.8), 0.61, [9], 0, 2),  # 0.6 flat: straight up is within 0.61, and so is every edge above
    ],
)
def test_what_a_direction_touches_of_a_prism(d: Vec3, angle: float, caps: list[float], sides: int, edges: int) -> None:
    found = SLAB.features(d, angle)
    faces = [one for one in found if one.face is not None]
    assert [one.ends[0].centre[2] for one in faces if abs(one.bonds[0][0][2]) == 1] == caps
    assert sum(abs(one.bonds[0][0][2]) == 0 for one in faces) == sides
    straight = [
        one
        for one in found
        if one.face is None and len(one.ends) == 2 and one.ends[0].first is None and one.bonds[0][0][2] == 0
    ]
    assert len(straight) == edges
    for one in straight:
        assert math.dist(one.ends[0].centre, one.ends[1].centre) == pytest.approx(20)


def test_a_point_is_dropped_on_a_prism_s_faces() -> None:
    (cap,) = [one.face for one in SLAB.features((0.0, 0.0, 1.0), 0.01) if one.face is not None]
    assert cap.project((3.0, 2.0, 50.0)) == pytest.approx((3, 2, 9))
    assert cap.project((16.0, 8.0, 50.0)) == pytest.approx((13.6, 4.8, 9))  # 6 and 8 from the end's centre: 6 of 10
    assert cap.project((4.0, -9.0, 50.0)) == pytest.approx((4, -6, 9))
    (side,) = [one.face for one in SLAB.features((0.0, -1.0, 0.0), 0.01) if one.face is not None]
    assert side.project((3.0, -20.0, 7.0)) == pytest.approx((3, -6, 7))
    assert side.project((13.0, -20.0, 70.0)) == pytest.approx((10, -6, 9))
    assert side.project((-13.0, -20.0, -7.0)) == pytest.approx((-10, -6, 5))


@pytest.mark.parametrize(
    ("region", "convex"),
    [
        (Region(Loop.rectangle(20, 10)), True),
        (Region(Loop.slot(13, 4)), True),
        (Region(Loop.circle((0, 0), 4)), True),
        (Region.of(Loop.rectangle(20, 10), [Loop.circle((0, 0), 2)]), False),
        (Region(Loop.rounded([(0, 0), (9, 0), (9, 9), (5, 3)])), False),  # a notch
        (
            Region(
                Loop(
                    (
                        Arc((0, 5), (0, -5), (-9, 0), math.hypot(9, 5), False),
                        Line((0, -5), (9, 0)),
                        Line((9, 0), (0, 5)),
                    )
                )
            ),
            False,
        ),
    ],
)
def test_which_outlines_are_convex(region: Region, convex: bool) -> None:
    assert is_convex(region) is convex


def test_arcs_of_more_than_half_a_turn_are_halved() -> None:
    """Three quarters, counter-clockwise from (5, 0): the middle at 135 degrees."""
    arc = Arc((5.0, 0.0), (0.0, -5.0), (0.0, 0.0), 5.0, True, "rim")
    one, other = halves(arc)
    assert one.end == other.start == pytest.approx((-5 / math.sqrt(2), 5 / math.sqrt(2)))
    assert (one.start, other.end, one.tag, other.tag) == (arc.start, arc.end, "rim", "rim")
    assert one.sweep == pytest.approx(other.sweep) == pytest.approx(math.pi * 0.75)
    half = Arc((5.0, 0.0), (-5.0, 0.0), (0.0, 0.0), 5.0, True)
    assert halves(half) == [half]


def test_directions_that_a_bow_covers() -> None:
    """A quarter about (1, 2), from 0 to 90 degrees; the opposite quarter is not covered, a hair beside its ends is."""
    quarter = bow(Arc((6.0, 2.0), (1.0, 7.0), (1.0, 2.0), 5.0, True))
    assert (quarter.first, quarter.last) == ((1.0, 0.0), (0.0, 1.0))
    covered = {(3, 4): True, (1, 0): True, (0, 1): True, (-3, -4): False, (3, -0.1): False, (-0.1, 3): False}
    for (x, y), wanted in covered.items():
        assert quarter.covers(x, y) is wanted
    assert quarter.covers(1.0, -0.05, 0.1)
    assert quarter.covers(-0.05, 1.0, 0.1)
    assert not quarter.covers(1.0, -0.2, 0.1)


@pytest.mark.parametrize(
    ("point", "near"),
    [((3, 9), (3, 0)), ((-4, 2), (0, 0)), ((14, -2), (10, 0))],
)
def test_the_nearest_point_of_a_line(point: Point, near: Point) -> None:
    assert nearest_on_edge(Line((0.0, 0.0), (10.0, 0.0)), point) == pytest.approx(near)
    moved = nearest_on_edge(Line((7.0, -3.0), (7.0, 7.0)), (7.0 - point[1], -3.0 + point[0]))
    assert moved == pytest.approx((7.0 - near[1], -3.0 + near[0]))


@pytest.mark.parametrize(
    ("point", "near"),
    [
        ((7, 10), (4, 6)),
        ((2.5, 4), (4, 6)),
        ((1, -1), (6, 2)),
        ((-4, 3), (1, 7)),
        ((1, 2), (6, 2)),
        ((1.3, 2.4), (4, 6)),
    ],
)
def test_the_nearest_point_of_an_arc(point: Point, near: Point) -> None:
    """A quarter of radius 5 about (1, 2), from (6, 2) to (1, 7); (7, 10) lies 6 and 8 from its centre."""
    arc = Arc((6.0, 2.0), (1.0, 7.0), (1.0, 2.0), 5.0, True)
    assert nearest_on_edge(arc, point) == pytest.approx(near)


def corner(*w: float) -> Vertex:
    x, y, z = w
    return Vertex((x, y, z), ORIGIN, ORIGIN)


P, Q, R, S = corner(1, 0, 0), corner(1, 4, 0), corner(1, 0, 4), corner(5, 1, 1)


@pytest.mark.parametrize(
    ("simplex", "kept", "shares"),
    [
        ([corner(3, 4, 0)], 1, [1.0]),
        ([corner(2, -1, 0), corner(2, 3, 0)], 2, [0.75, 0.25]),  # the foot at (2, 0, 0)
        ([corner(2, 1, 0), corner(2, 3, 0)], 1, [1.0]),  # the first end
        ([corner(2, -3, 0), corner(2, -1, 0)], 1, [1.0]),  # the last
        ([corner(1, -1, -1), corner(1, 3, -1), corner(1, -1, 3)], 3, [0.5, 0.25, 0.25]),
        ([corner(1, -1, 1), corner(1, 3, 1), corner(1, -1, 5)], 2, [0.75, 0.25]),  # nearest to the side (1, y, 1)
        ([corner(1, 1, -1), corner(1, 5, -1), corner(1, 1, 3)], 2, [0.75, 0.25]),  # and to (1, 1, z)
        ([corner(1, 1, -3), corner(1, -3, 1), corner(1, -5, -5)], 2, [0.5, 0.5]),  # the first side, at (1, -1, -1)
        ([corner(1, 1, 2), corner(1, 5, 2), corner(1, 1, 6)], 1, [1.0]),
    ],
)
def test_the_part_of_a_simplex_nearest_to_the_origin(simplex: list[Vertex], kept: int, shares: list[float]) -> None:
    found, parts = _closest(simplex)
    assert len(found) == kept
    assert parts == pytest.approx(shares)


@pytest.mark.parametrize(
    ("moved", "near"),
    [
        ((-2, -1, -1), None),  # the origin inside
        ((1, -1, -1), (2, 0, 0)),  # before the face x = 1
        ((1, 2, 3), (2, 2, 3)),  # its corner
        ((1, -1, 3), (2, 0, 3)),  # its edge
        ((-9, -1, -1), (-4, 0, 0)),  # past the far corner
    ],
)
@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 1, 0, 2), (1, 3, 2, 0), (2, 0, 3, 1)])
def test_the_part_of_a_tetrahedron_nearest_to_the_origin(
    moved: Vec3, near: Vec3 | None, order: tuple[int, ...]
) -> None:
    """Corners at x = 1: (0, 0), (4, 0), (0, 4), and (5, 1, 1), moved."""
    x, y, z = moved
    corners = [(P, Q, R, S)[k].w for k in order]
    found, shares = _closest([corner(w[0] + x, w[1] + y, w[2] + z) for w in corners])
    if near is None:
        assert len(found) == 4
    else:
        assert _combined([one.w for one in found], shares) == pytest.approx(near)


def test_the_farthest_point_of_a_difference() -> None:
    """Of a box from 0 to 2 less one from 5 to 6: along x from -6 to -3."""
    a, b = box((0, 0, 0), (2, 2, 2)).body, box((5, 0, 0), (6, 1, 1)).body
    found = support_of_difference(a, b, (1.0, 1.0, 1.0))
    assert (found.w, found.a, found.b) == ((-3, 2, 2), (2, 2, 2), (5, 0, 0))
    assert gap_along(a, b, (1.0, 0.0, 0.0)) == 3
    assert gap_along(a, b, (-1.0, 0.0, 0.0)) == -6


@pytest.mark.parametrize(
    ("low", "gap"), [((5, 0, 0), 3.0), ((6, 5, 0), 5.0), ((4, 4, 3), 3.0), ((-9, 0, 0), 7.0), ((2.0, 2.0, 4.0), 2.0)]
)
def test_boxes_apart(low: Vec3, gap: float) -> None:
    """A cube of 2 at the origin and one of 2 elsewhere: 4 and 3 aside, 2, 2 and 1, and so on."""
    other = box(low, (low[0] + 2, low[1] + 2, low[2] + 2))
    found = nearest(box((0, 0, 0), (2, 2, 2)).body, other.body)
    assert found.contact is not None
    assert found.contact.distance == pytest.approx(gap, abs=1e-12)
    assert math.dist(found.contact.point_a, found.contact.point_b) == pytest.approx(gap, abs=1e-12)
    assert found.error <= 1e-12


def test_bodies_that_share_points_have_no_contact() -> None:
    for low in ((1, 1, 1), (0, 0, 0), (-1, 0.5, 0.5)):
        other = box(low, (low[0] + 2, low[1] + 2, low[2] + 2))
        assert nearest(box((0, 0, 0), (2, 2, 2)).body, other.body).contact is None


@pytest.mark.parametrize(
    ("low", "depth", "way"),
    [
        ((1.5, 0, 0), 0.5, (1, 0, 0)),
        ((1, 1.2, 0), 0.8, (0, 1, 0)),
        ((0, 1, -1.7), 0.3, (0, 0, -1)),
        ((-1.9, 1, 1), 0.1, (-1, 0, 0)),
    ],
)
def test_how_deep_boxes_overlap(low: Vec3, depth: float, way: Vec3) -> None:
    contact, error = deepest(box((0, 0, 0), (2, 2, 2)).body, box(low, (low[0] + 2, low[1] + 2, low[2] + 2)).body)
    assert contact.distance == pytest.approx(-depth, abs=1e-12)
    assert contact.direction == pytest.approx(way)
    assert error <= 1e-7


def test_how_deep_a_tilted_bore_is_in_a_plate() -> None:
    """Axis leaning 3-4-5, end rim 2 in radius at the centre (0, 0, 1): 1 - 2 · 0.6 = -0.2."""
    plate = box((-50, -50, -9), (50, 50, 0))
    contact, error = deepest(Cylinder((0, 0, 1), (30, 0, 41), 2.0).body, plate.body)
    assert contact.distance == pytest.approx(-0.2, abs=1e-9)
    assert contact.direction == pytest.approx((0, 0, -1))
    assert error <= 1e-6


def test_a_growing_hull_keeps_its_nearest_face() -> None:
    """A tetrahedron with corners 1 on each axis and (-1, -1, -1): its slanted face is 1 / sqrt(3) off."""
    corners: list[Vec3] = [(1, 0, 0), (0, 1, 0), (0, 0, 1), (-1, -1, -1)]
    hull = _Hull(corners, 1e-13)
    assert len(hull.faces) == 4
    distances = sorted(distance for _, _, distance in hull.faces.values())
    # The three others go through (-1, -1, -1) and two of the corners: (x, y, z) with x + y - 3z = 1, 1 / sqrt(11) off.
    assert distances == pytest.approx([1 / math.sqrt(11)] * 3 + [1 / math.sqrt(3)])
    distance, normal, key = hull.nearest_face()
    assert distance == pytest.approx(1 / math.sqrt(11))
    assert math.hypot(*normal) == pytest.approx(1)
    assert not hull.grow(Vertex((0.0, 0.0, 0.0), ORIGIN, ORIGIN), key)  # inside: nothing to add
    far = (3 * normal[0], 3 * normal[1], 3 * normal[2])
    assert hull.grow(Vertex(far, ORIGIN, ORIGIN), key)
    assert key not in hull.faces
    assert all(
        sum(n * c for n, c in zip(normal, point, strict=True)) <= distance + 1e-12
        for _, normal, distance in hull.faces.values()
        for point in hull.corners
    )


@pytest.mark.parametrize(
    ("following", "edges", "ring"),
    [
        ({1: 2, 2: 3, 3: 1}, 3, True),
        ({1: 2, 2: 1, 3: 4, 4: 3}, 4, False),  # two rings
        ({1: 2, 2: 3}, 2, False),  # open
        ({1: 2, 2: 3, 3: 1}, 4, False),  # an edge more that begins at one of them
        ({1: 2, 2: 3, 3: 2}, 3, False),
    ],
)
def test_whether_a_rim_is_one_ring(following: dict[int, int], edges: int, ring: bool) -> None:
    assert _is_one_ring(following, edges) is ring


@pytest.mark.parametrize(
    "axis", [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.6, 0.0, 0.8), (2 / 3, 1 / 3, 2 / 3)]
)
def test_perpendiculars_are_a_right_handed_frame(axis: Vec3) -> None:
    first, second = perpendiculars(axis)
    frame = Frame(ORIGIN, first, second)
    assert frame.z_axis == pytest.approx(axis)
    assert math.hypot(*first) == pytest.approx(1)
    assert math.hypot(*second) == pytest.approx(1)


def test_places_beside_a_line() -> None:
    """(4, 6, 20) off the upright through (1, 2, 5): 3 and 4, so 5; level with it at z = 5. The way is 15 of hypot(5, 15) up."""
    a, b, up = (1.0, 2.0, 5.0), (4.0, 6.0, 20.0), (0.0, 0.0, 1.0)
    assert aside(a, b, up) == pytest.approx(5)
    assert beside(a, b, up) == pytest.approx((4, 6, 5))
    assert cosine_along(a, b, up) == pytest.approx(15 / math.hypot(5, 15))
    assert cosine_along(a, a, up) == 0.0


def test_a_prism_and_a_bore_beside_it_in_any_frame() -> None:
    """A slot's round end at x = 16 and a bore of 3 whose axis is at x = 25: 6; at (22, 8) from the end's centre 12, 8."""
    for frame in (Frame(), Frame((5, -7, 3), (0, 1, 0), (0, 0, 1))):
        slot = Prism(Region(Loop.slot(32, 12)), Frame(), 4.0).placed(frame)
        for (x, y), gap in (((25, 0), 6.0), ((22, 8), math.hypot(12, 8) - 9), ((3, -20), 11.0)):
            bore = Cylinder((x, y, -9), (x, y, 9), 3.0).placed(frame)
            assert separation(slot, bore).distance == pytest.approx(gap, abs=1e-9)


@pytest.mark.parametrize(("up", "level"), [(1.0, 4.0), (-1.0, 0.0)])
def test_a_cap_that_a_direction_touches_has_its_normal_out_of_the_prism(up: float, level: float) -> None:
    cap = Prism(Region.of(Loop.rectangle(6, 2)), Frame(), 4.0).body.features((0.0, 0.0, up), 1e-6)[0]
    assert (cap.bonds, cap.ends[0].centre[2]) == ((((0.0, 0.0, up), 1.0),), level)
