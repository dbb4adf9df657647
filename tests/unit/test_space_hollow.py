"""Prisms with holes and hollow arcs, the least along a range, and how a bore opens into another: by hand."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Line, Loop, Point, Region
from platemaker.space import (
    Cylinder,
    Frame,
    HalfSpace,
    Prism,
    Segment,
    Vec3,
    apart,
    box,
    crossing,
    entry,
    separation,
    spotface_depth,
    trimmed,
)
from platemaker.space._ball import _proved, largest_ball
from platemaker.space._crossing import _covered, _entry, _spans
from platemaker.space._hollow import (
    CurvedSide,
    FlatSide,
    _bound,
    _cap_contact,
    _least_contact,
    _pokes_through,
    _turned,
    hollow_to_body,
    hollow_to_hollow,
    lowest_point,
    sides,
)
from platemaker.space._polish import Contact
from platemaker.space._search import _dips, least_along, least_of_many
from platemaker.space._upright import parallel_contact

RING = Prism(Region.of(Loop.circle((0, 0), 20), [Loop.circle((0, 0), 10)]), Frame((0, 0, 5)), 8.0)
"""From radius 10 to 20, from z = 5 to 13."""
SQUARE = Prism(Region.of(Loop.rectangle(60, 40), [Loop.rectangle(30, 20)]), Frame(), 6.0)
"""60 x 40 x 6 with a window of 30 x 20."""


def measured(value: float) -> Any:
    return SimpleNamespace(distance=value)


@pytest.mark.parametrize(("at", "count"), [(0.3, 7), (2.0, 5), (-1.0, 4), (4.999, 9), (1.0, 6)])
def test_the_least_along_a_range_is_closed_in_on(at: float, count: int) -> None:
    """|x - at| from -1 to 5 has its least, 0, at its kink, wherever the samples are."""
    found = least_along(lambda x: measured(abs(x - at)), -1.0, 5.0, count)
    assert found.distance == pytest.approx(0.0, abs=1e-11)
    value, near, far = least_of_many(
        lambda x: (np.abs(x - at), np.column_stack([x, x, x]), np.column_stack([2 * x, x, x])), -1.0, 5.0, count
    )
    assert value == pytest.approx(0.0, abs=1e-8)
    assert near[0] == pytest.approx(at, abs=1e-8)
    assert far[0] == pytest.approx(2 * at, abs=1e-8)


def test_of_two_dips_the_lower_is_found() -> None:
    """At 1 a dip to 0.5, at 4 one to 0.2, whose samples are higher."""

    def value(x: float) -> float:
        return min(0.5 + abs(x - 1.0), 0.2 + 3 * abs(x - 4.25))

    assert least_along(lambda x: measured(value(x)), 0.0, 6.0, 12).distance == pytest.approx(0.2, abs=1e-11)
    many = np.vectorize(value)
    found, *_ = least_of_many(lambda x: (many(x), np.zeros((len(x), 3)), np.zeros((len(x), 3))), 0.0, 6.0, 12)
    assert found == pytest.approx(0.2, abs=1e-8)


def test_a_measure_that_is_nowhere_finite_has_no_dip() -> None:
    assert _dips([math.inf, math.inf]) == []
    assert least_along(lambda x: measured(math.inf), 0.0, 1.0, 3).distance == math.inf


@pytest.mark.parametrize(
    ("values", "dips"),
    [
        ([3, 1, 2], [1]), ([1, 2, 3], [0]), ([3, 2, 1], [2]), ([1, 2, 0.5], [2, 0]), ([2, 2, 3], [0, 1]), ([5], [0]),
        ([3, 2, math.inf, 1, 4], [3, 1]),
    ],
)  # fmt: skip
def test_dips_lowest_first(values: list[float], dips: list[int]) -> None:
    assert _dips(values) == dips


@pytest.mark.parametrize(
    ("angle", "x", "y"), [(0.0, 11.0, 2.0), (math.pi / 2, 1.0, 12.0), (math.pi / 6, 1 + 5 * math.sqrt(3), 7.0)]
)
@pytest.mark.parametrize("ccw", [True, False])
def test_uprights_of_a_curved_side(angle: float, x: float, y: float, ccw: bool) -> None:
    """Half a turn of radius 10 about (1, 2); 4 high. Clockwise it begins at the other side of y = 2 and turns down."""
    side = 1.0 if ccw else -1.0
    curved = CurvedSide(Arc((11.0, 2.0), (-9.0, 2.0), (1.0, 2.0), 10.0, ccw), Frame((0, 0, 3)), 4.0)
    upright = curved.upright(side * angle)
    wanted = (x, 2 + side * (y - 2))
    assert upright.ends[0].centre == pytest.approx((*wanted, 3))
    assert upright.ends[1].centre == pytest.approx((*wanted, 7))
    assert curved.tangent(side * angle) == pytest.approx((-side * math.sin(angle), math.cos(angle), 0))
    parts = curved.parts()
    assert len(parts) == 31  # 180 degrees in steps of 6
    assert parts[0].centre == pytest.approx((11, 2, 5))
    assert parts[-1].centre == pytest.approx((-9, 2, 5))


def test_sides_of_a_prism() -> None:
    """A window has four flat sides, a ring four halves of circles; 20 between their middles, less what each reaches."""
    assert [type(side) for side in sides(SQUARE)] == [FlatSide] * 8
    assert [type(side) for side in sides(RING)] == [CurvedSide] * 4
    first, other = FlatSide(Line((0, 0), (8, 0)), Frame(), 6.0), FlatSide(Line((0, 20), (8, 20)), Frame(), 6.0)
    assert first.size == pytest.approx(5.0)
    assert _bound(first, other) == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("start", "end", "gap"),
    [
        ((0, 0, 0), (0, 0, 30), 10.0),  # on the axis of the ring
        ((6, 0, 0), (6, 0, 30), 4.0),  # beside it
        ((9, 12, 20), (9, 12, 30), 7.0),  # over it: 15 from the middle, between 10 and 20
        ((9, 12, -4), (9, 12, 2), 3.0),  # under it
        ((18, 24, 0), (18, 24, 30), 10.0),  # 30 from the middle
        ((3, 4, 25), (3, 4, 17), math.hypot(5, 4)),  # over the hole: 5 from the wall, 4 above
        ((18, 24, 37), (18, 24, 40), math.hypot(10, 24)),
    ],
)
def test_how_far_a_line_is_from_a_ring(start: Vec3, end: Vec3, gap: float) -> None:
    for turned in (Frame(), Frame((3, -4, 9), (0, 0, 1), (1, 0, 0))):
        ring, line = RING.placed(turned), Segment(start, end).placed(turned)
        contact = hollow_to_body(ring, line.body)
        assert contact is not None
        assert contact.distance == pytest.approx(gap, abs=1e-9)
        assert math.dist(contact.point_a, contact.point_b) == pytest.approx(gap, abs=1e-9)
        assert separation(line, ring).distance == pytest.approx(gap, abs=1e-9)


@pytest.mark.parametrize(
    ("start", "end", "through"),
    [
        ((15, 0, 0), (15, 0, 30), True),
        ((5, 0, 0), (5, 0, 30), False),  # down the hole
        ((15, 0, 14), (15, 0, 30), False),  # above
        ((15, 0, 0), (15, 0, 4), False),  # below
        ((15, 0, 12), (15, 0, 30), True),
        ((15, 0, 0), (15, 0, 6), True),
        ((5, 0, 3), (15, 0, 23), False),  # comes through z = 5 at x = 6
        ((5, 0, -15), (15, 0, 5), True),  # ends on the underside at x = 15
        ((5, 0, -5), (17, 0, 7), True),  # at z = 5 at x = 15
        ((15, 0, 8), (16, 0, 8), True),  # level, within
        ((21, 0, 8), (22, 0, 8), False),
    ],
)
def test_whether_a_line_goes_through_the_caps_of_a_ring(start: Vec3, end: Vec3, through: bool) -> None:
    """Asked only of what does not touch the sides."""
    assert _pokes_through(RING, Segment(start, end).body) is through


def test_the_nearest_cap() -> None:
    """A bore over the ring, one under it, and both: the nearer. Over the hole there is no cap."""
    over, under = Cylinder((15, 0, 16), (15, 0, 20), 2.0).body, Cylinder((-15, 0, -9), (-15, 0, 4), 2.0).body
    found = _cap_contact(RING, [over])
    assert found is not None
    assert (found.distance, found.direction, found.point_a[2]) == (3.0, (0, 0, 1), 13.0)
    both = _cap_contact(RING, [over, under])
    assert both is not None
    assert (both.distance, both.direction, both.point_a[2], both.point_b[2]) == (1.0, (0, 0, -1), 5.0, 4.0)
    assert _cap_contact(RING, [Segment((1, 0, 20), (0, 1, 30)).body]) is None
    low = _cap_contact(SQUARE, [Cylinder((25, 0, -7), (25, 0, -2), 1.0).body])  # the underside is at 0 here
    assert low is not None
    assert (low.distance, low.direction) == (2.0, (0, 0, -1))


@pytest.mark.parametrize(
    ("centre", "gap"),
    [
        ((0.0, 0.0), 5.0),  # a post 20 x 10 x 2 amid the window: 5 to each side
        ((3.0, 0.0), 2.0),
        ((0.0, 4.0), 1.0),
        ((50.0, 0.0), 10.0),  # beside the plate: 40 less 30
        ((43.0, 29.0), 5.0),  # off its corner: 33 - 30 and 24 - 20
    ],
)
def test_how_far_a_ring_is_from_what_stands_askew_in_it(centre: Point, gap: float) -> None:
    """Turned about x by a quarter: axes square to each other, so no plane measure does it."""
    post = Prism(Region(Loop.rectangle(20, 4)), Frame((centre[0], centre[1] + 5, 3), (1, 0, 0), (0, 0, 1)), 10.0)
    assert separation(SQUARE, post).distance == pytest.approx(gap, abs=1e-9)
    hollow = Prism(Region.of(Loop.rectangle(20, 4), [Loop.circle((0, 0), 1)]), post.frame, 10.0)
    contact = hollow_to_hollow(SQUARE, hollow)
    assert contact is not None
    assert contact.distance == pytest.approx(gap, abs=1e-9)
    found = apart(hollow, SQUARE)
    assert found is not None
    assert found.distance == pytest.approx(gap, abs=1e-9)


def test_a_contact_the_other_way_round() -> None:
    contact = Contact(2.0, (1, 2, 3), (4, 5, 6), (0.6, 0.0, 0.8))
    assert _turned(contact) == Contact(2.0, (4, 5, 6), (1, 2, 3), (-0.6, 0.0, -0.8))
    assert _turned(None) is None


def test_the_least_of_many_contacts_asks_no_more_than_it_must() -> None:
    asked: list[str] = []

    def at(name: str, distance: float | None) -> Any:
        def measure(limit: float) -> Contact | None:
            asked.append(name)
            return None if distance is None else Contact(distance, (0, 0, 0), (0, 0, 0), (0, 0, 1))

        return measure

    begin = Contact(9.0, (0, 0, 0), (1, 1, 1), (0, 0, 1))
    found = _least_contact([(6.0, at("far", 7.0)), (3.0, at("near", 5.0)), (1.0, at("first", 8.0))], begin)
    assert found is not None
    assert (found.distance, asked) == (5.0, ["first", "near"])
    assert _least_contact([(9.0, at("none", 1.0))], begin) == begin
    assert _least_contact([(1.0, at("through", None))], begin) is None
    assert _least_contact([], None) is None


def test_the_lowest_point_of_a_ring() -> None:
    """Along (0.6, 0.8, 0) the rim at (-12, -16); along (0, 0, 1) its underside."""
    assert lowest_point(RING, (0.6, 0.8, 0.0))[:2] == pytest.approx((-12, -16))
    assert lowest_point(RING, (0.0, 0.0, 1.0))[2] == 5
    assert lowest_point(RING, (0.0, 0.0, -1.0))[2] == 13


@pytest.mark.parametrize(("x", "diameter"), [(10.0, 1.0), (11.0, 2.0), (-11.5, 2.5)])
def test_how_deep_a_bore_cuts_into_a_plate_with_a_window(x: float, diameter: float) -> None:
    """A bore of radius 6 in the window, whose sides are at x = 15 and -15: it reaches 1 to 2.5 mm into the plate."""
    shift = (70.0, -30.0, 20.0)
    found, centre, more = largest_ball(SQUARE.moved(shift), Cylinder((x, 0, -5), (x, 0, 11), 6.0).moved(shift))
    assert found == pytest.approx(diameter, abs=1e-6)
    assert centre[0] == pytest.approx(70 + math.copysign(15 + diameter / 2, x), abs=1e-3)
    assert abs(centre[1] + 30) < 0.1
    assert 20 + diameter / 2 <= centre[2] + 1e-6 <= 26 - diameter / 2 + 2e-6
    assert more >= 0


def test_figures_whose_boxes_only_touch_hold_no_ball() -> None:
    bore = Cylinder((0, 0, 6), (0, 0, 16), 18.0)
    assert largest_ball(SQUARE, bore)[::2] == (0.0, 0.0)
    assert largest_ball(SQUARE, Segment((20, 0, 1), (25, 0, 2)))[::2] == (0.0, 0.0)


def test_the_largest_ball_is_proved() -> None:
    """In a box of 4 x 6 x 10 the radius is 2; no ball is larger than said."""
    low, high = np.zeros(3), np.array([4.0, 6.0, 10.0])
    best, place, upper = _proved(lambda points: np.hstack([points - low, high - points]), low, high)
    assert best == pytest.approx(2.0, rel=0.02)
    assert 2.0 <= upper <= best + max(5e-3, 0.02 * best) + 1e-12
    assert place[0] == pytest.approx(2.0, abs=0.05)
    found, _, _ = _proved(lambda points: -np.ones((len(points), 1)), low, high)
    assert found == -1.0


@pytest.mark.parametrize(
    ("slices", "end", "spans"),
    [
        ([[(1, 0), (4, 0), (4, 2), (1, 2)]], 5.0, [(0, 2)]),
        ([[(1, 0), (4, 0), (4, 2), (1, 2)]], 0.5, []),  # beyond the bore's end
        ([[(-4, 0), (-1, 0), (-1, 2), (-4, 2)]], 5.0, []),  # behind its start
        ([[(1, 3), (4, 3), (4, 5), (1, 5)], [(1, 0), (2, 0), (2, 1), (1, 1)]], 5.0, [(0, 1), (3, 5)]),
        ([[(0, 0), (4, 0), (0, 4)]], 1.0, [(0, 4)]),
        ([[(0, 0), (4, 0), (4, 4)]], 1.0, [(0, 1)]),
    ],
)
def test_ranges_across_a_bore_that_meet_a_slice(
    slices: list[list[Point]], end: float, spans: list[tuple[float, float]]
) -> None:
    assert _spans(slices, end) == [pytest.approx(span) for span in spans]


@pytest.mark.parametrize(
    ("spans", "covered"),
    [
        ([], 0.0), ([(-9, 9)], 6.0), ([(-1, 1)], 2.0), ([(-1, 1), (0, 2)], 3.0), ([(-1, 2), (0, 1)], 3.0),
        ([(-9, -4), (4, 9)], 0.0), ([(-5, -2), (1, 8)], 3.0), ([(-1, 0), (0.5, 1)], 1.5),
    ],
)  # fmt: skip
def test_how_much_of_a_range_is_covered(spans: list[tuple[float, float]], covered: float) -> None:
    """From -3 to 3."""
    assert _covered([(float(a), float(b)) for a, b in spans], -3.0, 3.0) == pytest.approx(covered)


@pytest.mark.parametrize(
    ("y", "first"),
    [(0.0, 2.0), (0.5, 2.5), (1.0, 3.0), (1.5, 3.5), (2.0, 4.0), (2.1, math.inf), (-0.1, math.inf)],
)
def test_where_a_line_first_enters_a_slice(y: float, first: float) -> None:
    """A triangle from (2, 0) to (6, 0) and (4, 2), and the same behind the bore's start, which counts for nothing."""
    triangle = [(2.0, 0.0), (6.0, 0.0), (4.0, 2.0)]
    behind = [(x - 9.0, y) for x, y in triangle]
    assert _entry([behind, triangle], y) == pytest.approx(first)
    assert _entry([[(x - 4.0, y) for x, y in triangle]], 0.5) == 0.0  # it begins inside


@pytest.mark.parametrize(("off", "height"), [(0.0, math.sqrt(48)), (3.0, math.sqrt(15)), (-3.0, math.sqrt(15))])
def test_how_far_a_bore_goes_on_past_where_its_last_line_enters(off: float, height: float) -> None:
    """A bore of radius 4 down from z = 20 into a level one of radius 8 about z = 0, centred or 3 off.

    The line farthest out, 4 or 7 off, enters sqrt(64 - 16) or sqrt(64 - 49) over the axis.
    """
    rail = Cylinder((-50, 0, 0), (50, 0, 0), 8.0)
    for end in (0.0, height - 0.001, height + 0.001):
        found = crossing(Cylinder((0, off, 20), (0, off, end), 4.0), rail)
        assert found.spare == pytest.approx(height - end, abs=1e-9)
        assert found.is_full is (end < height)
        assert (found.share == 1.0) is found.is_full


@pytest.mark.parametrize("off", [1.0, -1.0, 3.0])
@pytest.mark.parametrize(
    "turn", [Frame(), Frame((5, -6, 7), (0, 1, 0), (-1, 0, 0)), Frame((0, 0, 0), (-1, 0, 0), (0, -1, 0))]
)
def test_a_bore_opens_by_the_segment_that_lies_over_a_box(off: float, turn: Frame) -> None:
    """Radius 4, the box's side `off` from its axis: 16 acos(off / 4) - off sqrt(16 - off^2)."""
    bore = Cylinder((0, 0, 20), (0, 0, -2), 4.0).placed(turn)
    found = crossing(bore, box((off, -50, -9), (50, 50, 0)).placed(turn))
    assert found.open_area == pytest.approx(16 * math.acos(off / 4) - off * math.sqrt(16 - off**2), abs=1e-7)
    assert found.own_area == pytest.approx(16 * math.pi)
    assert found.spare == -math.inf
    assert crossing(Cylinder((0, 0, 20), (0, 0, 1), 4.0), box((off, -50, -9), (50, 50, 0))).open_area == 0


def test_a_bore_enters_a_face() -> None:
    """Leaning 3-4-5 to a level face at z = 10: 12 down from z = 22 is 15 along it. Radius 4: half-axes 4 and 5, lead 6."""
    bore = Cylinder((1, 2, 22), (1 + 18, 2, 22 - 24), 4.0)
    found = entry(bore, HalfSpace((0, 0, 10), (0, 0, 1)))
    assert found.centre == pytest.approx((10, 2, 10))
    assert found.angle == pytest.approx(math.degrees(math.acos(0.8)))
    assert (found.section.minor, found.section.major) == pytest.approx((4, 5))
    assert found.lead == pytest.approx(6)
    assert (found.first, found.last) == (pytest.approx((5, 2, 10)), pytest.approx((15, 2, 10)))
    assert found.section.area == pytest.approx(20 * math.pi)
    assert spotface_depth(4.0, found.angle) == pytest.approx(3.0)
    level = entry(bore.rotated((0, 0, 0), (0, 0, 1), 90.0), HalfSpace((0, 0, 10), (0, 0, 1)))
    assert (level.first, level.last) == (pytest.approx((-2, 5, 10)), pytest.approx((-2, 15, 10)))
    aslope = entry(Cylinder((22, 1, 2), (22 - 24, 19, 2), 4.0), HalfSpace((10, 0, 0), (1, 0, 0)))
    assert (aslope.first, aslope.last) == (pytest.approx((10, 5, 2)), pytest.approx((10, 15, 2)))
    with pytest.raises(GeometryError, match=r"less than 89\.9 degrees"):
        entry(Cylinder((0, 0, 20), (10, 0, 20), 4.0), HalfSpace((0, 0, 10), (0, 0, 1)))


@pytest.mark.parametrize("turned", [False, True])
def test_a_bore_behind_a_face_ends_in_it(turned: bool) -> None:
    """Leaning 3-4-5, from (0, 0, 0) to (18, 0, 24), cut by z = 12 at (9, 0, 12)."""
    ends: tuple[Vec3, Vec3] = ((0, 0, 0), (18, 0, 24))
    bore = Cylinder(*(ends[::-1] if turned else ends), 2.0)
    found = trimmed(bore, HalfSpace((0, 0, 12), (0, 0, 1)))
    assert found is not None
    kept = (found.end, found.start) if turned else (found.start, found.end)
    assert kept == (pytest.approx((0, 0, 0)), pytest.approx((9, 0, 12)))
    assert (found.start_normal if turned else found.end_normal) == (0, 0, 1)
    above = trimmed(bore, HalfSpace((0, 0, 12), (0, 0, -1)))
    assert above is not None
    assert above.length == pytest.approx(15)
    # The upper rim is from 24 - 1.2 to 24 + 1.2, the lower from -1.2 to 1.2.
    assert trimmed(bore, HalfSpace((0, 0, 25.3), (0, 0, 1))) is bore
    assert trimmed(bore, HalfSpace((0, 0, 25.1), (0, 0, 1))) is bore  # part of the end: left whole
    assert trimmed(bore, HalfSpace((0, 0, -1.3), (0, 0, 1))) is None
    assert trimmed(bore, HalfSpace((0, 0, 22.7), (0, 0, 1))) is not bore


@pytest.mark.parametrize(
    ("post", "gap", "direction"),
    [
        (Cylinder((0, 0, 8), (0, 0, 10), 4.0), 6.0, None),  # in the ring's hole: 10 - 4 at any side
        (Cylinder((3, 0, 8), (3, 0, 10), 4.0), 3.0, (-1, 0, 0)),
        (Cylinder((15, 0, 16), (15, 0, 20), 2.0), 3.0, (0, 0, 1)),  # over the ring
        (Cylinder((15, 0, 2), (15, 0, -20), 2.0), 3.0, (0, 0, -1)),  # under it, and upside down
        (Cylinder((28, 0, 0), (28, 0, 30), 5.0), 3.0, (1, 0, 0)),
        (Cylinder((28, 0, 17), (28, 0, 30), 5.0), 5.0, (0.6, 0, 0.8)),  # 3 aside and 4 over it
    ],
)
def test_how_far_an_upright_bore_is_from_a_ring(post: Cylinder, gap: float, direction: Vec3 | None) -> None:
    for turned in (Frame(), Frame((3, -4, 9), (0, 0, 1), (1, 0, 0))):
        contact = parallel_contact(RING.placed(turned), post.placed(turned))
        assert contact is not None
        assert contact.distance == pytest.approx(gap)
        if direction:
            assert turned.unturn(contact.direction) == pytest.approx(direction)


def test_a_bore_flush_on_a_ring_touches_it_and_overlaps_by_what_little_they_share() -> None:
    for sunk in (0.0, 0.9e-6):
        contact = parallel_contact(RING, Cylinder((15, 0, 13 - sunk), (15, 0, 20), 2.0))
        assert contact is not None
        assert contact.distance == pytest.approx(-sunk, abs=1e-12)
        assert contact.point_a == contact.point_b == pytest.approx((17, 0, 13 - sunk / 2), abs=1e-9)
    assert parallel_contact(RING, Cylinder((15, 0, 13 - 1.2e-6), (15, 0, 20), 2.0)) is None
    assert parallel_contact(RING, Cylinder((15, 0, 9), (15, 0, 20), 2.0)) is None
    assert parallel_contact(RING, Prism(Region(Loop.rectangle(90, 90)), Frame((0, 0, 6)), 2.0)) is None


def test_a_box_round_a_window_s_post() -> None:
    assert separation(SQUARE, box((-10, -5, 0), (10, 5, 6))).distance == pytest.approx(5)
