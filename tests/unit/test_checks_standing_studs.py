"""Plates over standing studs, worked out by hand: the stud's length over its metal, the room over the plate, angles.

A log's top lies at Z = 0; a gasket of 0.8 and a lid of 20 put the lid's upper face at 20.8. Studs stand 60 out of the
log, so the lid's face below, at 0.8, is clear of their tips once it is lifted by 59.2.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict, check_stack
from platemaker.checks._stack._between import box_around
from platemaker.checks._stack._stack_items import contents_of
from platemaker.checks._stack._standing_studs import _drawn, _free, _overlap, check_in_line
from platemaker.parts import Stack, Vec3
from platemaker.records import replace
from platemaker.space import Cylinder, Prism, box, shifted
from tests.plates import note_of, stack_of

LID = """
project: studs
bodies:
  log:
    material: A356-T6
    envelope: {box: [200, 120, 40]}
    joints: {top: {face: above, holes: tapped, thread_depth: 25}}
  shelf:
    envelope: {box: SIZE}
    place: {at: [SHELF]}
joints:
  top:
    bolts: {pattern: {rectangle: [120, 70]}, thread: M8, head: HEAD, length: 60}
    opening: {circle: 40}
    gasket: {thickness: 0.8, land: 6}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [150, 100]}
    below: {top: {holes: clear}}
    opening: {match: top}
"""


ARM = """
project: studs
joints:
  top:
    bolts: {pattern: {rectangle: [120, 70]}, thread: M8, head: stud, length: 60}
    opening: {circle: 40}
    gasket: {thickness: 0.8, land: 6}
parts:
  base:
    kind: plate
    material: 6061-T6
    thickness: 40
    outline: {rectangle: [400, 120]}
    place: {at: [0, 0, -40]}
    above: {top: {holes: tapped, thread_depth: 25}}
    opening: {match: top}
    holes: {foot: {at: [180, 0], tapped: M8}}
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [150, 100]}
    below: {top: {holes: clear}}
    opening: {match: top}
  arm:
    kind: bracket
    material: S235
    width: 20
    thickness: 5
    legs: [70, 65, 100]
    bends: [{angle: -90 deg, radius: 6}, {angle: 90 deg, radius: 6}]
    turn: 180 deg
    holes: {foot: {leg: 1, at: [10, 0], clear: M8, over: base.foot, screw: {head: hex}}}
"""


def lid(folder: Path, shelf: str, size: str = "[60, 60, 10]", head: str = "stud") -> Stack:
    return stack_of(folder, LID.replace("SHELF", shelf).replace("SIZE", size).replace("HEAD", head))


def of_check(stack: Stack, check: str) -> list[Finding]:
    return [one for one in check_stack(stack, 200) if one.check == check]


def test_a_shelf_over_the_lid_stops_it(tmp_path: Path) -> None:
    """Between the nuts' sockets, its underside at 70: 70 - 20.8 = 49.2 mm of lift, where 59.2 are needed."""
    (finding,) = of_check(lid(tmp_path, "0, 0, 70"), "PM664")
    assert (finding.verdict, finding.features) == (Verdict.FAIL, ("lid", "top", "shelf"))
    assert finding.measured == pytest.approx(49.2, abs=2e-3)
    assert finding.required == pytest.approx(59.2)


def test_a_shelf_as_high_as_the_lift_lets_it_pass(tmp_path: Path) -> None:
    (finding,) = of_check(lid(tmp_path, "0, 0, 80"), "PM664")
    assert (finding.verdict, finding.measured) == (Verdict.PASS, pytest.approx(59.2))


def test_a_thin_bar_beside_the_lid_is_not_jumped_over(tmp_path: Path) -> None:
    """Foil 0.2 mm thick over the lid's edge, at 50: 50 - 20.8 = 29.2."""
    (finding,) = of_check(lid(tmp_path, "74, 0, 50", "[10, 10, 0.2]"), "PM664")
    assert finding.measured == pytest.approx(29.2, abs=2e-3)


def test_screws_need_no_lift(tmp_path: Path) -> None:
    stack = lid(tmp_path, "0, 0, 70", head="hex")
    assert not of_check(stack, "PM664")
    assert not of_check(stack, "PM309")


def test_what_bolts_hold_comes_off_before(tmp_path: Path) -> None:
    """An arm on the base reaches over the lid, its underside at 60, and its screw lies lower than the lid's nuts."""
    stack = stack_of(tmp_path, ARM)
    (finding,) = of_check(stack, "PM664")
    assert finding.verdict is Verdict.PASS
    (order,) = of_check(stack, "PM662")
    assert note_of(order) == "tighten in this order: top, arm.foot"


def test_what_cannot_come_off_before_stops_it(tmp_path: Path) -> None:
    """Riveted down, so to speak: the arm stands there as a body, 60 over the face: 60 - 20.8 = 39.2."""
    text = ARM[: ARM.index("  arm:")].replace(
        "parts:", "bodies:\n  arm: {envelope: {box: [165, 20, 5]}, place: {at: [107, 0, 60]}}\nparts:"
    )
    (finding,) = of_check(stack_of(tmp_path, text), "PM664")
    assert (finding.verdict, finding.measured) == (Verdict.FAIL, pytest.approx(39.2, abs=2e-3))


def test_what_keeps_a_stud_from_turning_is_not_known(tmp_path: Path) -> None:
    (finding,) = of_check(lid(tmp_path, "0, 0, 90"), "PM309")
    assert finding.verdict is Verdict.NOT_CHECKED
    assert "nothing states what keeps the stud from turning" in note_of(finding)


def tilted(folder: Path, degrees: float, owner: str = "log") -> Finding | None:
    """The lid with its first stud leant by an angle, towards X, and set into `owner`."""
    stack = lid(folder, "0, 0, 90")
    contents = contents_of(stack)
    first, *others = contents.fasteners
    assert first.tapped is not None
    out = (math.sin(math.radians(degrees)), 0.0, math.cos(math.radians(degrees)))
    first = replace(first, seat=replace(first.seat, out=out), tapped=replace(first.tapped, owner=owner),
                    joins=frozenset(("lid", owner)))  # fmt: skip
    hits = list(check_in_line(stack, replace(contents, fasteners=(first, *others))))
    return hits[0] if hits else None


UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
OVER, UNDER = box((-9, -9, 25), (9, 9, 30)), box((-9, -9, -13), (9, 9, -8))
"""15 over what is 10 high on Z = 0, and 8 under it."""
FOOT = (0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("figure", "out", "stop", "free"),
    [
        (Cylinder(FOOT, (0, 0, 10), 3), UP, OVER, 15),
        (Cylinder((0, 0, 10), FOOT, 3), UP, OVER, 15),
        (Cylinder(FOOT, (0, 0, 10), 3), DOWN, UNDER, 8),
        (Cylinder((0, 0, 10), FOOT, 3), DOWN, UNDER, 8),
        (box((-5, -5, 0), (5, 5, 10)), UP, OVER, 15),
        (box((-5, -5, 0), (5, 5, 10)), DOWN, UNDER, 8),
        (box((-5, -5, 0), (5, 5, 10)).rotated(FOOT, (1, 0, 0), 180).moved((0, 0, 10)), UP, OVER, 15),
        (Cylinder((-5, 0, 3), (5, 0, 3), 3), UP, OVER, 25 - 6),  # it lies across the way
        (box((-5, -5, 0), (5, 5, 10)).rotated((0, 0, 5), (1, 0, 0), 90), UP, OVER, 15),
        (Cylinder(FOOT, (0, 0, 10), 3), UP, UNDER, 40),  # nothing stands in its way
        (Cylinder((12, 0, 0), (12, 0, 10), 2.9), UP, OVER, 40),  # it passes beside
        (Cylinder((12, 0, 0), (12, 0, 10), 3.1), UP, OVER, 15),
        (Cylinder(FOOT, (0, 0, 26), 3), UP, OVER, 40),  # it stands in it from the first: that is another check's
    ],
)
def test_how_far_a_figure_goes_before_it_meets_another(
    figure: Cylinder | Prism, out: Vec3, stop: Prism, free: float
) -> None:
    assert _free(figure, stop, out, 40.0) == pytest.approx(free, abs=2.5e-3)
    assert _free(figure, stop, out, 0.0) == 0.0


def test_studs_that_part_by_more_than_the_play_of_their_holes(tmp_path: Path) -> None:
    """ISO 273 medium for M8: 9, so each hole has 0.5 of radial play, both 1.0. Over 59.2, 2 degrees part by 2.07."""
    assert tilted(tmp_path, 0.0) is None
    finding = tilted(tmp_path, 2.0)
    assert finding is not None
    assert (finding.verdict, finding.measured) == (Verdict.FAIL, pytest.approx(1.0 - 2.07, abs=0.01))
    little = tilted(tmp_path, 0.9)  # 0.93
    assert little is not None
    assert (little.verdict, little.measured) == (Verdict.PASS, pytest.approx(0.07, abs=0.01))


def test_studs_at_an_angle_in_two_bodies_are_not_checked(tmp_path: Path) -> None:
    finding = tilted(tmp_path, 30.0, "shelf")
    assert finding is not None
    assert finding.verdict is Verdict.NOT_CHECKED
    assert "30.0 degrees to each other, in " in note_of(finding)


def test_a_part_that_may_not_be_lifted_at_all_is_free_by_nothing() -> None:
    """Over a stud that ends below the face, the lift asked for is 0 or less, whatever stands over it."""
    assert _free(box((-5, -5, 0), (5, 5, 10)), box((-5, -5, 10), (5, 5, 20)), UP, 0.0) == 0.0
    assert _free(box((-5, -5, 0), (5, 5, 10)), OVER, UP, 0.5) == 0.5  # 15 of room
    close = box((-5, -5, 10.25), (5, 5, 20))
    assert _free(box((-5, -5, 0), (5, 5, 10)), close, UP, 0.5) == pytest.approx(0.25, abs=2.5e-3)


@pytest.mark.parametrize(("far", "free"), [(14.5, 14.5), (15.5, 15.0), (16.0, 15.0), (39.5, 15.0)])
def test_a_lift_is_looked_at_to_its_end(far: float, free: float) -> None:
    """15 of room: a lift by less is free, one by a little more is stopped."""
    lying = Cylinder((-5, 0, 7), (5, 0, 7), 3)  # its top at 10, across the way
    for figure in (box((-5, -5, 0), (5, 5, 10)), lying):
        assert _free(figure, OVER, UP, far) == pytest.approx(free, abs=2.5e-3)


@pytest.mark.parametrize(
    ("figure", "out", "low", "high"),
    [
        (Cylinder((1, 2, 3), (1, 2, 13), 4), UP, 3, 20),
        (Cylinder((1, 2, 13), (1, 2, 3), 4), UP, 3, 20),
        (Cylinder((1, 2, 3), (1, 2, 13), 4), DOWN, -4, 13),
        (Cylinder((1, 2, 13), (1, 2, 3), 4), DOWN, -4, 13),
        (box((-3, -2, 3), (5, 6, 13)), UP, 3, 20),
        (box((-3, -2, 3), (5, 6, 13)), DOWN, -4, 13),
    ],
)
def test_a_figure_drawn_out_by_7_reaches_7_farther_one_way(
    figure: Cylinder | Prism, out: Vec3, low: float, high: float
) -> None:
    """From Z = 3 to 13: up to 20, or down to -4; 4 to each side of (1, 2)."""
    drawn = _drawn(figure, out, 7.0)
    assert drawn is not None
    assert box_around(drawn) == pytest.approx((-3, -2, low, 5, 6, high))


def test_a_figure_across_the_way_is_not_drawn_out() -> None:
    assert _drawn(Cylinder((0, 0, 0), (10, 0, 0), 3), UP, 7.0) is None
    assert _drawn(box((0, 0, 0), (1, 1, 1)).rotated(FOOT, (1, 0, 0), 90), UP, 7.0) is None


@pytest.mark.parametrize(("deep", "meets"), [(0.002, True), (0.0005, False), (0.0, False), (-1.0, False)])
def test_figures_meet_where_they_overlap_by_more_than_a_micrometre(deep: float, meets: bool) -> None:
    assert _overlap(box((0, 0, 0), (10, 10, 10)), box((0, 0, 10 - deep), (10, 10, 20))) is meets


def test_a_box_is_shifted_at_both_corners() -> None:
    assert shifted((1, 2, 3, 4, 5, 6), (10, 20, 30)) == (11, 22, 33, 14, 25, 36)
