"""Sections of parts: cut faces, edges behind, threads and axes, against arithmetic written out."""

from __future__ import annotations

import math

import pytest

from platemaker.parts import Hole, Operation, Part, Profile, ProfileKind, Side, Step
from platemaker.plane import Arc, Loop, Region
from platemaker.records import replace
from platemaker.resolved import Cutting, Section, crossings, resolved
from platemaker.views import Clip, Stroke, View, on_paper, plan_ink, section_ink
from platemaker.views._ink._model import Group
from tests.sample_parts import (
    bent_bracket,
    counterbore_and_pocket,
    counterbored,
    cross_bored_rail,
    plate,
    tapped_blind,
)

Y, X = Cutting.ACROSS_Y, Cutting.ACROSS_X


def cut(part: Part, cutting: Cutting, at: float) -> Section:
    return resolved(part).section(cutting, at)


def area(regions: tuple[Region, ...]) -> float:
    return sum(region.area for region in regions)


def ends(section: Section) -> set[tuple[float, ...]]:
    """The edges behind, as X or Y from and to, and heights."""
    return {
        tuple(round(value, 6) for end in sorted((edge.start, edge.end)) for value in end) for edge in section.behind
    }


def test_a_counterbore_is_cut_in_two_rectangles_with_its_shoulder_behind() -> None:
    """100 x 25.4 less 15 x 8.6 and 9 x 16.8; one millimetre off the axis half chords are root(7.5^2 - 1) and so on."""
    part = plate("lid", Loop.rectangle(100, 60), 25.4, counterbored("b", (10, 5), 15, 8.6, 9, 25.4))
    assert area(cut(part, Y, 5.0).faces) == pytest.approx(100 * 25.4 - 15 * 8.6 - 9 * 16.8)
    wide, narrow = 2 * math.sqrt(7.5**2 - 1), 2 * math.sqrt(4.5**2 - 1)
    off = cut(part, Y, 6.0)
    assert area(off.faces) == pytest.approx(100 * 25.4 - wide * 8.6 - narrow * 16.8)
    # The rims at both faces, and the shoulder's narrower circle.
    assert ends(cut(part, Y, 5.0)) == {(2.5, 25.4, 17.5, 25.4), (5.5, 16.8, 14.5, 16.8), (5.5, 0.0, 14.5, 0.0)}
    [axis] = [seen.axis for seen in cut(part, Y, 5.0).holes]
    assert axis is not None
    assert {axis.start, axis.end} == {(10.0, 25.4), (10.0, 0.0)}
    assert off.holes == (), "a plane 1 mm off the axis of a 9 mm hole does not show it as its axis does"


def test_a_drill_point_beside_the_plane_is_a_hyperbola() -> None:
    """A cone of radius 3.4, 22 deep, full angle 118: a plane 1 mm off meets it down to (3.4 - 1) / tan 59 below that."""
    part = plate("lid", Loop.rectangle(60, 40), 30, tapped_blind("t", (10, -5), 30))
    for off in (0.0, 1.0, 2.5):
        low = min(one.region.bounds[1] for one in cut(part, Y, -5 + off).taken)
        # Chords between lines along the cone: 0.024 % of its radius.
        assert low == pytest.approx(30 - 22 - (3.4 - off) / math.tan(math.radians(59)), abs=0.00024 * 3.4 + 1e-9)


def test_a_thread_is_two_lines_of_its_outside_diameter_and_an_end() -> None:
    part = plate("lid", Loop.rectangle(60, 40), 30, tapped_blind("t", (10, -5), 30))
    [seen] = cut(part, Y, -5.0).holes
    [thread] = seen.threads
    assert {side.start[0] for side in thread.sides} == {6.0, 14.0}
    assert {side.end[1] for side in thread.sides} == {12.0}
    assert (thread.end.start[1], thread.end.length, thread.runs_out) == (12.0, 8.0, True)
    assert area(cut(part, Y, -5.0).faces) == pytest.approx(60 * 30 - 6.8 * 22 - 3.4**2 / math.tan(math.radians(59))), (
        "the drilled hole is cut out, not the thread"
    )


def test_a_slanted_bore_across_the_plane_is_an_ellipse() -> None:
    """A bore of 12 at 45 degrees meets a plane across its lean in 12 x 12 root 2; 144 chords take 0.032 % off."""
    s = math.sqrt(0.5)
    bore = Hole("bore", (0.0, -20.0, 40.0), (0.0, s, -s), (Step(Operation.DRILL, 12.0, 0.0, 50.0),), False)
    part = plate("block", Loop.rectangle(120, 90), 40, bore)
    [taken] = cut(part, Y, 0.0).taken
    polygon = math.sin(math.tau / 144) / (math.tau / 144)
    assert taken.region.area == pytest.approx(math.pi * 6 * 6 * math.sqrt(2) * polygon, rel=1e-3 * (1 - polygon) + 1e-6)
    x0, z0, x1, z1 = taken.region.bounds
    assert ((x0 + x1) / 2, (z0 + z1) / 2, x1 - x0) == pytest.approx((0.0, 20.0, 12.0), abs=2e-3)
    # Along its lean it is cut in its own breadth, and its entry is no straight edge; its flat end lies in the metal.
    along = cut(part, X, 0.0)
    assert [edge.length for edge in along.behind] == pytest.approx([12.0])
    deep = bore.point(50.0)
    assert along.behind[0].point(0.5) == pytest.approx((deep[1], deep[2]))


def test_a_plane_square_to_a_bore_gives_a_circle_as_wide_as_the_bore_is_there() -> None:
    step = Step(Operation.DRILL, 10.0, 0.0, 30.0)
    bore = Hole("bore", (-50.0, 0.0, 12.0), (1.0, 0.0, 0.0), (step,), False, tip_angle=118.0)
    part = plate("bar", Loop.rectangle(100, 60), 24, bore)
    assert area(cut(part, X, -30.0).faces) == pytest.approx(60 * 24 - math.pi * 25)
    tip = 5 / math.tan(math.radians(59))
    assert area(cut(part, X, -20 + tip / 2).faces) == pytest.approx(60 * 24 - math.pi * 2.5**2), "half way in the point"
    assert area(cut(part, X, 20.0).faces) == pytest.approx(60 * 24)


def test_the_rim_of_a_level_bore_in_a_flat_end_is_seen_behind() -> None:
    rail = cross_bored_rail()
    section = cut(rail, Y, 0.0)
    upright = {(one[0], one[3] - one[1]) for one in ends(section) if one[0] == one[2]}
    assert upright == {(-150.0, 14.0), (150.0, 14.0)}
    # Cross bores of 11 from below, where the plane cuts the bar at Z = 0; they end in the passage, not behind it.
    assert {one for one in ends(section) if one[0] != one[2]} == {
        (x - 5.5, 0.0, x + 5.5, 0.0) for x in (-110.0, -8.0, 96.0)
    }
    assert area(section.faces) == pytest.approx(300 * (25.4 - 14) - 3 * 11 * (25.4 - 14) / 2)


def test_a_round_bar_off_its_axis_is_as_high_as_its_chord() -> None:
    rail = replace(cross_bored_rail(), cuts=())
    assert area(cut(rail, Y, 7.0).faces) == pytest.approx(300 * 2 * math.sqrt(12.7**2 - 7**2))
    assert area(cut(rail, X, 10.0).faces) == pytest.approx(math.pi * 12.7**2)
    assert cut(rail, X, 151.0).blank == cut(rail, Y, 12.8).blank == ()


def test_a_bent_strip_is_cut_as_it_stands() -> None:
    """Legs of 60 and 40 bent over 5: 12.5 mm of arc at mid thickness; holes of 7 through 5 mm in both legs."""
    part = bent_bracket()
    stock = part.strip
    assert stock is not None
    assert area(cut(part, Y, 0.0).faces) == pytest.approx(stock.profile.area - 2 * 7 * 5)
    assert area(cut(part, Y, 10.0).faces) == pytest.approx(stock.profile.area)
    assert area(cut(part, X, 20.0).faces) == pytest.approx(25 * 5 - 7 * 5), "through the hole of the first leg"
    # The second leg stands upright from X = 55 to 60; the plane cuts it flatwise, from its bend to its end.
    standing = cut(part, X, 57.0)
    assert area(standing.faces) == pytest.approx(area(standing.blank) - math.pi * 3.5**2)
    assert standing.taken[0].region.bounds == pytest.approx((-3.5, 24.5, 3.5, 31.5)), "28 mm up the leg"


@pytest.mark.parametrize("mouth", [Side.ABOVE, Side.BELOW])
def test_a_mouth_met_squarely_is_made_of_quarter_rounds(mouth: Side) -> None:
    """Opening 50 wide with a mouth of 6: two corners of 6^2 (1 - pi / 4) more than the straight opening."""
    part = counterbore_and_pocket()
    opening = replace(next(one for one in part.profiles if one.name == "port"), mouth=mouth)
    section = cut(replace(part, cuts=(opening,)), Y, 0.0)
    assert area(section.faces) == pytest.approx((120 - 50) * 25.4 - 2 * 36 * (1 - math.pi / 4))
    arcs = [edge for region in section.faces for edge in region.edges if isinstance(edge, Arc)]
    assert [arc.radius for arc in arcs] == [6.0, 6.0]
    face, far = (25.4, 0.0) if mouth is Side.ABOVE else (0.0, 25.4)
    assert ends(section) == {(-31.0, face, 31.0, face), (-25.0, far, 25.0, far)}, "a rounded mouth leaves no other edge"


def test_a_chamfered_mouth_has_an_edge_at_its_foot_and_widens_with_the_circle() -> None:
    """A chamfer 4 wide at 45 degrees on a hole of 30, cut 9 mm off its middle: half chords of 15 and 19."""
    shape = (Region.of(Loop.circle((0.0, 0.0), 15.0)),)
    hole = Profile("port", ProfileKind.OPENING, shape, Side.ABOVE, 20.0, True, mouth_chamfer=4.0, mouth=Side.ABOVE)
    section = cut(plate("lid", Loop.rectangle(80, 60), 20, hole), Y, 9.0)
    narrow, wide = math.sqrt(15**2 - 81), math.sqrt(19**2 - 81)
    assert sorted((edge.start[1], round(edge.length / 2, 6)) for edge in section.behind) == [
        (0.0, round(narrow, 6)), (16.0, round(narrow, 6)), (20.0, round(wide, 6)),
    ]  # fmt: skip


def test_a_mouth_is_seen_where_the_plane_misses_its_opening() -> None:
    shape = (Region.of(Loop.circle((0.0, 0.0), 15.0)),)
    hole = Profile("port", ProfileKind.OPENING, shape, Side.ABOVE, 20.0, True, mouth_chamfer=4.0, mouth=Side.ABOVE)
    section = cut(plate("lid", Loop.rectangle(80, 60), 20, hole), Y, 17.0)
    [taken] = section.taken
    # The chamfer's cone has radius 17 two millimetres below the face.
    assert taken.region.bounds[1] == pytest.approx(18.0, abs=1e-3)
    assert section.behind[0].length == pytest.approx(2 * math.sqrt(19**2 - 17**2))


def test_a_plane_clear_of_corners_is_met_exactly_where_it_is_asked_for() -> None:
    circle = Region.of(Loop.circle((0.0, 0.0), 15.0))
    assert crossings(circle, Y, 14.9) == [
        (pytest.approx(-math.sqrt(15**2 - 14.9**2), abs=1e-12), pytest.approx(math.sqrt(15**2 - 14.9**2), abs=1e-12))
    ]


def test_a_pipe_thread_narrows_by_a_sixteenth_of_its_length() -> None:
    """ASME B1.20.1: a taper of 1 in 16 on the diameter, so that 16 mm of thread narrow by 1 mm, half of it each side."""
    hole = tapped_blind("t", (10, -5), 30, drill_depth=20.0, full=16.0)
    tapping = replace(hole.tapping, designation="1/2 NPT") if hole.tapping else None
    part = plate("lid", Loop.rectangle(60, 40), 30, replace(hole, tapping=tapping))
    [thread] = cut(part, Y, -5.0).holes[0].threads
    assert sorted(side.start[0] for side in thread.sides) == pytest.approx([6.0, 14.0])
    assert sorted(side.end[0] for side in thread.sides) == pytest.approx([6.5, 13.5])


def test_the_lines_of_a_thread_stand_apart_on_the_sheet() -> None:
    """At 1:2 a thread of 8 over a hole of 6.8 is 0.3 mm outside it: drawn 0.7 mm outside, 0.35 mm more on each side."""
    part = plate("lid", Loop.rectangle(60, 40), 30, tapped_blind("t", (10, -5), 30))
    half = View(0.5, (0.0, 0.0))
    for apart, due in ((0.0, 2.0), (0.7, 1.7 + 0.7)):
        ink = list(on_paper(section_ink(part, Y, -5.0, half, 0.0, apart=apart)))
        inside = [one for clip in ink if isinstance(clip, Clip) for one in clip.ink if isinstance(one, Stroke)]
        sides = [one.run[0] for one in inside if one.look == "thread" and isinstance(one.run, tuple)]
        assert sorted(abs(side.start[0] - 5.0) for side in sides) == pytest.approx([due, due])
        arcs = [
            edge.radius
            for group in plan_ink(part, half, 0.0, apart=apart) if isinstance(group, Group)
            for one in group.ink if isinstance(one, Stroke) and one.look == "thread" and isinstance(one.run, tuple)
            for edge in one.run if isinstance(edge, Arc)
        ]  # fmt: skip
        assert arcs == pytest.approx([due])


def test_a_countersink_grows_on_past_its_face_and_a_counterbore_does_not() -> None:
    """90 degrees: from 16 to 8 over 4 deep, and so 2 wider for each millimetre above the face; a counterbore stays 15."""
    cone = Step(Operation.COUNTERSINK, 16.0, 0.0, 4.0, narrow=8.0)
    hole = Hole("h", (0.0, 0.0, 20.0), (0.0, 0.0, -1.0), (cone, Step(Operation.DRILL, 8.0, 4.0, 20.0)), through=True)
    sunk = cut(plate("lid", Loop.rectangle(60, 40), 20, hole), Y, 0.0)
    box = next(one.region.bounds for one in sunk.taken if one.region.bounds[3] > 20)
    over = box[3] - 20
    assert over > 0
    assert box == pytest.approx((-8 - over, 16, 8 + over, 20 + over))
    assert area(sunk.faces) == pytest.approx(60 * 20 - (16 + 8) / 2 * 4 - 8 * 16)
    bored = cut(plate("lid", Loop.rectangle(60, 40), 20, counterbored("b", (0, 0), 15, 8.6, 9, 20)), Y, 0.0)
    assert max(one.region.bounds[2] for one in bored.taken) == pytest.approx(7.5)
