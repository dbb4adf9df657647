"""Faces of a blank by hand: which run smoothly on, what stands outside each, and which a point lies on."""

import math

import pytest

from platemaker.plane import Arc, Line, Loop, Region
from platemaker.resolved._blank import Blank, _pushed, _sliver
from platemaker.resolved._touching import _grazed, _shrunk
from platemaker.space import Cylinder, Frame, Prism


def blank(region, height=10.0):
    return Blank(Prism(region, Frame(), height), ("face below", "face above"), "outline")


BLOCK = blank(Region.of(Loop.rectangle(40, 20)))
SLOTTED = blank(Region.of(Loop((
    Line((-10, -5), (10, -5)), Arc((10, -5), (10, 5), (10, 0), 5, True),
    Line((10, 5), (-10, 5)), Arc((-10, 5), (-10, -5), (-10, 0), 5, True),
))))  # fmt: skip


@pytest.mark.parametrize(
    ("point", "normals"),
    [
        ((0, 0, 0), {(0, 0, -1)}),
        ((0, 0, 10), {(0, 0, 1)}),
        ((20, 0, 5), {(1, 0, 0)}),
        ((-20, -10, 5), {(-1, 0, 0), (0, -1, 0)}),
        ((20, 10, 10), {(1, 0, 0), (0, 1, 0), (0, 0, 1)}),
        ((20, 3, 0), {(1, 0, 0), (0, 0, -1)}),
        ((0, 0, 5), set()),
        ((0, 0, 9.9), set()),
        ((19.9, 0, 5), set()),
    ],
)
def test_which_faces_a_point_lies_on(point, normals):
    faces = {face.number: face for face in BLOCK.faces}
    found = {tuple(round(u) for u in faces[number].plane.normal) for number in BLOCK.at(point)}
    assert found == normals


def test_each_flat_face_has_the_matter_behind_it():
    assert [face.number for face in BLOCK.faces] == [0, 1, 2, 3, 4, 5]
    for face in BLOCK.faces:
        # The middle (0, 0, 5) is 5, 10 or 20 behind each.
        deep = sum((p - q) * u for p, q, u in zip(face.plane.point, (0, 0, 5), face.plane.normal, strict=True))
        assert deep == pytest.approx({0: 5, 1: 5}.get(face.number, 10 if face.plane.normal[1] else 20))
        assert face.smooth == ()


def test_round_ends_run_smoothly_on_into_both_flanks():
    assert [set(face.smooth) for face in SLOTTED.faces] == [set(), set(), {3, 5}, {2, 4}, {3, 5}, {2, 4}]
    assert [face.is_flat for face in SLOTTED.faces] == [True, True, True, False, True, False]


def test_a_face_that_turns_back_is_no_smooth_one():
    """A sharp tip: the two flanks of a sliver of 1e-9 rad would be parallel, but run against each other."""
    region = Region.of(Loop((Line((0, 0), (100, 0)), Line((100, 0), (0, 5e-5)), Line((0, 5e-5), (0, 0)))))
    assert all(face.smooth == () for face in blank(region).faces)


def test_what_stands_outside_a_straight_edge():
    assert _sliver(Line((2, 3), (12, 3))).bounds == pytest.approx((2, 3 - 1e-3, 12, 3))
    assert _sliver(Line((2, 3), (2, 13))).bounds == pytest.approx((2, 3, 2 + 1e-3, 13))
    assert Region.of(_sliver(Line((2, 3), (12, 3)))).area == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("radius", "ccw", "far"), [(5.0, True, 5.001), (5.0, False, 4.999), (1e-3, False, 5e-4), (1e-3, True, 2e-3)]
)
def test_what_stands_outside_an_arc_is_half_a_ring(radius, ccw, far):
    x, y = 7.0, -2.0
    found = Region.of(_sliver(Arc((x + radius, y), (x - radius, y), (x, y), radius, ccw)))
    assert found.area == pytest.approx(math.pi / 2 * abs(far**2 - radius**2), rel=1e-6)


def test_a_point_of_an_arc_pushed_out():
    """3, 4, 5 twice as large, from the centre (1, 2)."""
    assert _pushed(Arc((4, 6), (-2, -2), (1, 2), 5, True), (4, 6), 10) == pytest.approx((7, 10))
    assert _pushed(Arc((4, 6), (-2, -2), (1, 2), 5, True), (-2, -2), 2.5) == pytest.approx((-0.5, 0))


ROD = blank(Region.of(Loop.circle((1, 2), 10)), height=40.0)
TUBE = blank(Region.of(Loop.circle((1, 2), 10), [Loop.circle((1, 2), 4)]), height=40.0)


@pytest.mark.parametrize(
    ("figure", "off", "radius", "grazes"),
    [
        (ROD, 7, 3, True),
        (ROD, -7, 3, True),
        (ROD, 7, 2.9, False),
        (ROD, 7, 3.1, False),
        (ROD, 6.9, 3, False),
        (ROD, 13, 3, False),
        (TUBE, 6, 2, True),
        (TUBE, -6, 2, True),
        (TUBE, 7, 3, True),
        (TUBE, 6, 1.9, False),
        (TUBE, 2, 2, False),
    ],
)
@pytest.mark.parametrize("along", [1, -1])
def test_a_cross_bore_touches_a_round_face_where_axes_lie_as_far_apart_as_the_radii_say(
    figure, off, radius, grazes, along
):
    ends = (1 - along * 20.0, 2.0 + off, 15.0), (1 + along * 20.0, 2.0 + off, 15.0)
    bore = type("Void", (), {"tool": Cylinder(*ends, float(radius))})
    assert bool(list(_grazed(bore, figure))) is grazes


@pytest.mark.parametrize(
    ("start", "end"),
    [
        ((-19, 9, 15), (-4, 9, 15)),  # ends before the place
        ((6, 9, 15), (21, 9, 15)),  # begins behind it
        ((-19, 9, 41), (21, 9, 41)),  # above the rod
        ((-19, 9, -1), (21, 9, -1)),
        ((1, 9, 0), (1, 9, 40)),  # along it
    ],
)
def test_a_bore_that_never_comes_to_the_place_touches_nothing(start, end):
    bore = type("Void", (), {"tool": Cylinder(start, end, 3.0)})
    assert list(_grazed(bore, ROD)) == []


def test_a_bore_shrinks_all_round_by_what_is_no_wall():
    found = _shrunk(Cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 10.0), 3.0))
    lost = 3.0 - found.radius
    assert 0 < lost < 1e-3
    assert (found.start[2], found.end[2]) == pytest.approx((lost, 10 - lost), abs=1e-12)
