"""Figures, frames and boxes: what they refuse, and where they stand."""

from __future__ import annotations

import math

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Loop, Region
from platemaker.space import (
    AnyFigure,
    Cone,
    Cylinder,
    Disc,
    Flare,
    Frame,
    HalfSpace,
    Prism,
    Segment,
    apart,
    bounding_box,
    box,
    closest_pairs,
    crossing,
    entry,
    is_empty,
    oblique_section,
    overlap_volume,
    rotation,
    separation,
    separation_within,
    spotface_depth,
    trimmed,
)

ROUND = Cylinder((0, 0, 0), (0, 0, 10), 3.0)
SQUARE = Region.of(Loop.rectangle(10, 6))
TOP = HalfSpace((0, 0, 0), (0, 0, 1))


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Cylinder((0, 0, 0), (0, 0, 1), 0.0), "a cylinder's radius must be finite and above 1e-09 mm, met 0.0"),
        (lambda: Cylinder((0, 0, 0), (0, 0, 1), math.inf), "a cylinder's radius must be finite .* met inf"),
        (
            lambda: Cylinder((0, 0, 0), (0, 0, 0), 1.0),
            r"a cylinder's axis must have a finite length .* met \(0, 0, 0\)",
        ),
        (lambda: Cylinder((0, math.nan, 0), (0, 0, 1), 1.0), "a cylinder's start must be three finite numbers"),
        (lambda: Cylinder((0, 0), (0, 0, 1), 1.0), "a cylinder's start must be three numbers"),  # type: ignore[arg-type]
        (lambda: Cylinder((0, 0, 0), (0, 0, 1), 1.0, (1, 0, 0)), "start_normal must lean less than 89.9 degrees"),
        (lambda: Cylinder((0, 0, 0), (0, 0, 1), 3.0, (1, 0, 1)), "cross inside it: its shortest side is -2 mm"),
        (
            lambda: Cone((0, 0, 0), (0, 0, 1), -1.0, 2.0),
            "a cone's radius_start must be finite and 0 mm or more, met -1",
        ),
        (lambda: Cone((0, 0, 0), (0, 0, 1), 0.0, 0.0), "a cone's larger radius must be above 1e-09 mm, met 0"),
        (lambda: Cone.drill_point((0, 0, 0), (0, 0, 1), 5.0, 180.0), "below 180 degrees, met 180"),
        (lambda: Prism(SQUARE, Frame(), 0.0), "a prism's height must be finite and above 1e-09 mm, met 0.0"),
        (lambda: Prism(Region(Loop.rectangle(2, 2).reversed()), Frame(), 1.0), "an area above 0 mm2, met -4"),
        (
            lambda: Flare(Region.of(Loop.rectangle(9, 9), [Loop.circle((0, 0), 2)]), Frame(), 1.0, 1.0),
            "a convex region",
        ),
        (lambda: Flare(SQUARE, Frame(), 2.0, 1.0, rounded=True), "as wide as it is high, met 1 and 2 mm"),
        (lambda: Flare(SQUARE, Frame(), 0.0, 1.0), "a flare's height must be finite and above 1e-09 mm, met 0.0"),
        (lambda: Disc((0, 0, 0), (0, 0, 0), 1.0), "a disc's normal must have a finite length"),
        (lambda: Segment((1, 1, 1), (1, 1, 1)), "a segment must have a finite length"),
        (lambda: HalfSpace((0, 0, 0), (0, 0, 0)), "a face's normal must have a finite length"),
        (lambda: Frame((0, 0, 0), (1, 0, 0), (1, 1, 0)), "square within 1e-6, met an angle of 45.000000 degrees"),
        (lambda: box((0, 0, 0), (1, 0, 1)), "a box's depth must be finite and above 1e-09 mm, met 0"),
        (lambda: separation(TOP, TOP), "two half-spaces have no separation"),
        (lambda: overlap_volume(TOP, TOP), "two half-spaces share no bounded volume"),
        (lambda: overlap_volume(ROUND, ROUND, 1.0), "must be from 1e-9 to 0.1, met 1"),
        (lambda: closest_pairs([ROUND], -1.0), "a limit of distance must be 0 mm or more, met -1"),
        (lambda: oblique_section(5.0, 90.0), "from 0 to below 90 degrees, met 90"),
        (lambda: spotface_depth(0.0, 30.0), "a spotface's radius must be finite and above 1e-09 mm, met 0.0"),
        (
            lambda: entry(ROUND, HalfSpace((0, 0, 0), (1, 0, 0))),
            "less than 89.9 degrees from its normal, met 90 degrees",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_name_value_and_range(make: object, message: str) -> None:
    with pytest.raises(GeometryError, match=message):
        make()  # type: ignore[operator]


def test_frames_compose_and_undo() -> None:
    outer = Frame((1, 2, 3), (0, 1, 0), (0, 0, 1))
    inner = Frame((4, 0, -1), (0, 0, 1), (1, 0, 0))
    point = (0.3, -0.7, 2.5)
    assert inner.placed(outer).to_world(point) == pytest.approx(outer.to_world(inner.to_world(point)), abs=1e-15)
    assert outer.to_local(outer.to_world(point)) == pytest.approx(point, abs=1e-15)
    assert outer.placed(outer.inverse()).to_world(point) == pytest.approx(point, abs=1e-15)


def test_a_turn_follows_the_right_hand() -> None:
    turned = ROUND.rotated((0, 0, 0), (1, 0, 0), 90.0)
    assert turned.end == pytest.approx((0, -10, 0), abs=1e-14)
    assert rotation((5, 0, 0), (0, 0, 1), 180.0).to_world((6, 0, 0)) == pytest.approx((4, 0, 0), abs=1e-14)


def test_every_figure_moves() -> None:
    figures = [
        ROUND,
        Cone((0, 0, 0), (0, 0, 4), 2, 0),
        Prism(SQUARE, Frame(), 4),
        TOP,
        Segment((0, 0, 0), (1, 0, 0)),
        Disc((0, 0, 0), (0, 0, 1), 2.0),
        Cylinder((0, 0, 0), (1, 0, 10), 1.0, (0, 0, 1), (0, 0, 1)),
    ]
    probe = Cylinder((30, 0, 8), (30, 0, 20), 1.0)
    motion = rotation((3, 1, 2), (1, 2, -1), 77.0)
    for figure in figures:
        before = separation(figure, probe).distance
        assert separation(figure.placed(motion), probe.placed(motion)).distance == pytest.approx(before, abs=1e-11)


def test_boxes_about_round_figures_are_exact() -> None:
    """A disc of radius r whose normal leans by an angle a from z spans r · sin(a) up and down."""
    slanted = Cylinder((0, 0, 0), (30, 0, 40), 5.0)
    # axis (0.6, 0, 0.8): along x the rim spans 5 · 0.8 = 4, along z 5 · 0.6 = 3, along y 5
    assert bounding_box(slanted) == pytest.approx((-4, -5, -3, 34, 5, 43), abs=1e-12)
    assert bounding_box(Cone((0, 0, 0), (0, 0, 8), 0, 6)) == pytest.approx((-6, -6, 0, 6, 6, 8), abs=1e-12)
    assert bounding_box(box((1, 2, 3), (4, 6, 8))) == pytest.approx((1, 2, 3, 4, 6, 8), abs=1e-12)
    assert bounding_box(TOP) == (-math.inf, -math.inf, -math.inf, math.inf, math.inf, 0.0)


def test_a_bore_cut_by_plate_faces_is_an_oblique_cylinder() -> None:
    long = Cylinder((-10, 0, -10), (30, 0, 30), 2.0)
    inside = trimmed(long, HalfSpace((0, 0, 20), (0, 0, 1)))
    assert inside is not None
    inside = trimmed(inside, HalfSpace((0, 0, 0), (0, 0, -1)))
    assert inside is not None
    # Ellipses of half-width 2 · sqrt(2) about (0, 0, 0) and (20, 0, 20).
    assert bounding_box(inside) == pytest.approx((-math.sqrt(8), -2, 0, 20 + math.sqrt(8), 2, 20), abs=1e-12)
    assert trimmed(long, HalfSpace((0, 0, 50), (0, 0, 1))) is long
    assert trimmed(long, HalfSpace((0, 0, -50), (0, 0, 1))) is None


def test_a_face_through_part_of_an_end_leaves_the_bore_whole() -> None:
    bore = Cylinder((0, 0, 0), (10, 0, 10), 2.0)
    assert trimmed(bore, HalfSpace((0, 0, 10.5), (0, 0, 1))) is bore


def test_bores_that_converge_outside_the_plate_do_not_count() -> None:
    upright = Cylinder((0, 0, -50), (0, 0, 50), 3.0)
    leaning = Cylinder((0, 20, -50), (0, -20, 150), 3.0)
    plate = Prism(Region.of(Loop.rectangle(80, 80)), Frame((0, 0, -25)), 25.0)
    assert separation(upright, leaning).distance < 0.0
    # At z = 0 the leaning axis is at y = 10 and its ellipse reaches 3 / cos(atan(0.2)) = 3 · sqrt(1.04) nearer.
    inside = separation_within(upright, leaning, plate)
    assert inside.distance == pytest.approx(10 - 3 * math.sqrt(1.04) - 3, abs=1e-9)
    assert inside.point_b == pytest.approx((0, 10 - 3 * math.sqrt(1.04), 0), abs=1e-6)
    deeper = Prism(plate.region, Frame((0, 0, -90)), 25.0)
    assert separation_within(upright, leaning, deeper).distance == math.inf


def test_a_chamfer_of_no_length_is_empty_and_near_to_nothing() -> None:
    nothing = Cone((1, 2, 3), (1, 2, 3), 4.0, 4.0)
    assert is_empty(nothing)
    assert separation(nothing, ROUND).distance == math.inf
    assert all(math.isnan(x) for x in separation(ROUND, nothing).point_a)
    assert overlap_volume(ROUND, nothing).volume == 0.0
    assert bounding_box(nothing) == (math.inf,) * 3 + (-math.inf,) * 3
    assert closest_pairs([nothing, ROUND, TOP], math.inf)[0].first == 1


def test_pairs_come_nearest_first_and_only_within_the_limit() -> None:
    row = [Cylinder((x, 0, 0), (x, 0, 9), 1.0) for x in (0, 5, 9, 30)]
    found = closest_pairs([*row, HalfSpace((0, 0, -2), (0, 0, 1))], 3.0)
    assert [(p.first, p.second, pytest.approx(p.separation.distance)) for p in found] == [
        (0, 4, 2.0),
        (1, 2, 2.0),
        (1, 4, 2.0),
        (2, 4, 2.0),
        (3, 4, 2.0),
        (0, 1, 3.0),
    ]


def test_a_crossing_knows_what_depth_is_missing() -> None:
    passage = Cylinder((-50, 0, 0), (50, 0, 0), 6.0)
    short = crossing(Cylinder((0, 0, 30), (0, 0, 5.0), 4.0), passage)
    # The last line enters at the height sqrt(6² - 4²) above the passage's axis.
    assert short.spare == pytest.approx(math.sqrt(20) - 5.0, abs=1e-9)
    assert not short.is_full
    assert 0.0 < short.share < 1.0


def test_a_slanted_bore_is_fully_open_where_the_last_of_its_rim_enters() -> None:
    """A bore of radius 4 at 45 degrees into one of radius 5, to where their axes meet.

    Its line at angle p of the rim enters 4 cos p - sqrt(25 - 16 sin^2 p) / sin 45 before that: the latest at cos p = 3/4,
    where 3 - sqrt(18) / sin 45 = -3; 3.07 at p = 0, 4.24 at p = 90 degrees.
    """
    rail, start = Cylinder((-100, 0, 0), (100, 0, 0), 5.0), (-30.0, 0.0, 30.0)
    assert crossing(Cylinder(start, (0, 0, 0), 4.0), rail).spare == pytest.approx(3.0, abs=1e-9)
    assert crossing(Cylinder((0, -30, 30), (0, 0, 0), 4.0), rail).spare == pytest.approx(3.0, abs=1e-9)  # square to it


def test_upright_figures_five_micrometres_apart_or_into_each_other_do_not_touch() -> None:
    ell = Prism(Region(Loop.rounded([(0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10)])), Frame(), 10.0)
    beside = separation(ell, Cylinder((15.005, 2, 2), (15.005, 2, 8), 5.0))
    assert beside.distance == pytest.approx(0.005, abs=1e-12)
    # A bar that stands 0.005 into it, 3 wide and 5 high: the largest ball in what they share is 0.005 wide.
    into = separation(ell, box((9.995, 0.5, 3), (20, 3.5, 8)))
    assert into.distance == pytest.approx(-0.005, abs=1e-9)
    # They share heights of 0.005, over a strip 0.002 wide: the strip is the narrower.
    corner = separation(ell, box((9.998, 0, 9.995), (20, 4, 20)))
    assert corner.distance == pytest.approx(-0.002, abs=1e-9)


def test_what_has_no_points_is_infinitely_far_from_all() -> None:
    nothing = Cone((0, 0, 5), (0, 0, 5), 0.0, 3.0)
    for other in (ROUND, Prism(SQUARE, Frame(), 4.0)):
        found = apart(nothing, other)
        assert found is not None
        assert found.distance == math.inf


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (Segment((-5, 0, 0), (5, 0, 0)), Segment((0, -5, 0), (0, 5, 0))),  # they cross
        (Disc((0, 0, 0), (0, 0, 1), 4.0), Disc((3, 0, 0), (0, 0, 1), 4.0)),  # one plane
        (Disc((0, 0, 0), (0, 0, 1), 4.0), Segment((-9, 0, 0), (9, 0, 0))),
    ],
)
def test_flat_things_that_meet_in_one_plane_overlap_by_nothing(a: AnyFigure, b: AnyFigure) -> None:
    """No thickness is in the way of parting them: a step along the normal of their plane is none."""
    assert separation(a, b).distance == pytest.approx(0.0, abs=1e-9)
