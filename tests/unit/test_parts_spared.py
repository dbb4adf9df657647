"""What an opened-out figure spares: heads, threads, counterbores, and only what shares height with it.

A pocket that is stopped by one round thing alone stays `wall` off its circle: the nearest piece of the outline states.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.parts import Hole, Profile, Stack
from platemaker.plane import nearest
from tests.plates import found, lid_of, stack_of

PLATE = """
    thickness: 20
    outline: {rectangle: [120, 80]}
"""
POCKET = "    pocket: {open_out: true, wall: 4, land: 5, cutter: 8, depth: 6, side: %s, start: [40, 0]}\n"


def distance(stack: Stack, name: str, at: tuple[float, float]) -> float:
    """From a point to the outline of a figure of the lid, mm."""
    cut = stack.part("lid").cut(name)
    assert isinstance(cut, Profile)
    return min(nearest(at, region).distance for region in cut.regions)


@pytest.mark.parametrize("side", ["above", "below"])
def test_a_relief_from_the_other_face_is_spared_where_it_shares_height(tmp_path: Path, side: str) -> None:
    other = "below" if side == "above" else "above"
    for depth, shared in ((13.0, False), (15.0, True)):
        relief = f"    reliefs: {{stud: {{at: [0, 0], diameter: 10, depth: {depth}, side: {other}}}}}\n"
        stack = lid_of(tmp_path, PLATE + relief + POCKET % side)
        cut = stack.part("lid").cut("pocket")
        assert isinstance(cut, Profile)
        assert bool(cut.regions[0].holes) is shared
        if shared:
            assert distance(stack, "pocket", (0, 0)) == pytest.approx(5 + 4, abs=1e-9)


@pytest.mark.parametrize(
    ("hole", "radius"),
    [
        ("diameter: 8", 4.0),
        ("tapped: M8", 4.0),  # the thread, wider than its 6.8 mm drill
        ("clear: M8", 13.0 / 2),  # the head of 13 mm (ISO 4762) stands on the pocket's face
        ("counterbored: M8", 15.0 / 2),  # DIN 974-1
    ],
)
def test_a_hole_is_spared_at_its_widest(tmp_path: Path, hole: str, radius: float) -> None:
    stack = lid_of(tmp_path, PLATE + f"    holes: {{a: {{at: [0, 0], {hole}}}}}\n" + POCKET % "above")
    assert distance(stack, "pocket", (0, 0)) == pytest.approx(radius + 4, abs=1e-9)


def test_a_thread_from_below_is_spared_where_its_drill_point_shares_height(tmp_path: Path) -> None:
    # Drilled 3 pitches of 1.25 mm deeper by a drill of 6.8 mm, whose point of 118 degrees is 3.4 / tan 59 deg = 2.043
    # mm high: its tip at 13.793, 14.293 and 16.793 mm, the pocket's floor at 14.
    for depth, shared in ((8.0, False), (8.5, True), (11.0, True)):
        hole = f"    holes: {{a: {{at: [0, 0], tapped: M8, depth: {depth}, side: below}}}}\n"
        cut = lid_of(tmp_path, PLATE + hole + POCKET % "above").part("lid").cut("pocket")
        assert isinstance(cut, Profile)
        assert bool(cut.regions[0].holes) is shared


CASES = Path(__file__).parents[1] / "cases"


@pytest.mark.parametrize("side", ["above", "below"])
@pytest.mark.parametrize("depth", ["12.79", "12.8", "12.80000000001", "12.81"])
def test_pocket_over_drill_sliver(tmp_path: Path, side: str, depth: str) -> None:
    """M5 drilled to 4.8 + 3 x 0.8 = 7.2 mm, its point to 8.46; 12.8 and 7.2 make 20 but for rounding.

    The room inside the land of 8 mm, its corners the cutter's, less the thread of 5 mm and its wall of 4 all round.
    """
    text = (CASES / "pocket_over_drill_sliver" / "project.yaml").read_text(encoding="utf-8")
    if side == "below":
        text = text.replace("above", "other").replace("below", "above").replace("other", "below")
    stack = stack_of(tmp_path, text.replace("12.8", depth))
    cut = stack.part("pl").cut("pocket")
    assert isinstance(cut, Profile)
    due = (120 - 16) * (80 - 16) - (4 - math.pi) * 4**2 - math.pi * (5 / 2 + 4) ** 2
    assert sum(region.area for region in cut.regions) == pytest.approx(due, abs=1e-6)
    floors = {one.features: one for one in check_stack(stack) if one.check == "PM110"}
    assert (floors.get(("pocket", "face below")) or floors["pocket", "face above"]).measured == pytest.approx(
        20 - float(depth), abs=1e-9
    )


@pytest.mark.parametrize("side", ["above", "below"])
def test_floors_that_meet_share_no_height(tmp_path: Path, side: str) -> None:
    """20 - 12.8 is 7.199999999999999 in binary: a relief 7.2 mm deep meets the pocket and constrains nothing."""
    other = "below" if side == "above" else "above"
    relief = f"    reliefs: {{stud: {{at: [0, 0], diameter: 10, depth: 7.2, side: {other}}}}}\n"
    pocket = f"    pocket: {{open_out: true, wall: 4, land: 5, cutter: 8, depth: 12.8, side: {side}}}\n"
    stack = lid_of(tmp_path, PLATE + relief + pocket)
    cut = stack.part("lid").cut("pocket")
    assert isinstance(cut, Profile)
    assert cut.opened is not None
    assert cut.opened.request.spared == ()
    floor = found(stack, "PM110", "stud relief", "pocket")
    assert (floor.verdict, floor.measured) == (Verdict.FAIL, pytest.approx(0, abs=1e-9))


JOINT = """
project: trial
bodies:
  box: {{joints: {{rim: {{face: above, holes: tapped}}}}}}
joints:
  rim: {{bolts: {{pattern: {{points: [[0, 0]]}}, thread: M8, {words}}}}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {{rectangle: [120, 80]}}
    below: {{rim: {{holes: {role}}}}}
"""


@pytest.mark.parametrize(
    ("words", "role", "radius"),
    [
        ("head: socket", "clear", 13.0 / 2),  # ISO 4762
        (
            "head: hex",
            "clear",
            13 / math.sqrt(3),
        ),  # at most 13 mm across flats (ISO 4014), so 13 / cos 30 across corners
        ("head: hex, washers: true", "clear", 16.0 / 2),  # ISO 7089
        ("head: socket, washers: true", "counterbored", 18.0 / 2),  # the washer and 2 mm, common practice
        ("head: hex", "counterbored", (19.3 + 2) / 2),  # a wrench of 1.25 x 13 + 3 mm, and 2 mm, common practice
    ],
)
def test_a_joints_bolt_is_spared_at_its_own_head(tmp_path: Path, words: str, role: str, radius: float) -> None:
    stack = stack_of(tmp_path, JOINT.format(words=words, role=role) + POCKET % "above")
    assert distance(stack, "pocket", (0, 0)) == pytest.approx(radius + 4, abs=1e-9)
    opening = "    opening: {open_out: true, wall: 4, land: 5, cutter: 8, start: [40, 0], keep_clear: {bar: %s}}\n"
    bar = "{rectangle: [2, 78]}"  # or the bolt's surroundings would come loose
    stack = stack_of(tmp_path, JOINT.format(words=words, role=role) + opening % bar)
    assert distance(stack, "opening", (0, 0)) == pytest.approx(radius + 4, abs=1e-9)


def test_a_counterbore_for_a_hexagon_head_takes_its_wrench(tmp_path: Path) -> None:
    hole = stack_of(tmp_path, JOINT.format(words="head: hex", role="counterbored")).part("lid").holes[0]
    # The wrench and 2 mm wide; the head of 5.3 mm (ISO 4014, k) and 0.5 mm deep.
    assert (hole.steps[0].diameter, hole.steps[0].end) == pytest.approx((21.3, 5.8))


def test_an_opening_spares_reliefs_and_slots_too(tmp_path: Path) -> None:
    body = """
    reliefs: {stud: {at: [40, 0], diameter: 10, depth: 3, side: below}}
    opening: {open_out: true, wall: 4, land: 5, cutter: 8, start: [-30, 0], keep_clear: {bar: {rectangle: [2, 70], at: [40, 0]}}}
"""
    assert distance(lid_of(tmp_path, PLATE + body[1:]), "opening", (40, 0)) == pytest.approx(9, abs=1e-9)


TWO_JOINTS = """
project: trial
bodies:
  box: {joints: {rim: {face: above, holes: tapped}, side: {face: above, holes: tapped}}}
joints:
  rim:
    bolts: {pattern: {points: [[0, 30]]}, thread: M6}
    dowels: {at: {"1": [20, 0]}, diameter: 8, depth: 8}
  side: {bolts: {pattern: {points: [[-45, 30]]}, thread: M6}, opening: {circle: 20, at: [-35, 0]}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [120, 80]}
    below: {rim: {holes: clear}, side: {holes: clear}}
"""


def test_dowels_and_other_joints_gasket_lines_are_spared(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, TWO_JOINTS + POCKET % "below")
    cut, pin = stack.part("lid").cut("pocket"), stack.part("lid").cut("rim_dowel_1")
    assert isinstance(cut, Profile)
    assert isinstance(pin, Hole)
    # The dowel's bore and the wall of 4 mm; the port of the other joint keeps the land of 5 mm.
    assert distance(stack, "pocket", (20, 0)) == pytest.approx(pin.diameter / 2 + 4, abs=1e-9)
    assert distance(stack, "pocket", (-35, 0)) == pytest.approx(10 + 5, abs=1e-9)
    assert {"rim_dowel_1", "side"} <= {edge.tag for region in cut.regions for edge in region.edges}


def test_a_figure_too_narrow_for_its_cutter_is_told(tmp_path: Path) -> None:
    # Two squares of 20 mm joined by a channel 6 mm wide: a cutter of 8 mm does not go through.
    right = "[-10, -10], [-10, -3], [10, -3], [10, -10], [30, -10], [30, 10]"
    loop = f"[[-30, -10], {right}, [10, 10], [10, 3], [-10, 3], [-10, 10], [-30, 10]]"
    stack = lid_of(tmp_path, PLATE + f"    pocket: {{shape: {{loop: {loop}}}, depth: 6, cutter: 8}}\n")
    narrow = [one.measured for one in check_stack(stack) if one.check == "PM505"]
    assert narrow
    assert narrow == pytest.approx([6 / 8] * len(narrow), abs=1e-9)


def test_a_rib_between_two_places_of_one_pocket_is_told(tmp_path: Path) -> None:
    # A U whose legs, 15 mm wide, stand 2.5 mm apart.
    loop = "[[-16.25, 20], [-16.25, -20], [16.25, -20], [16.25, 20], [1.25, 20], [1.25, -5], [-1.25, -5], [-1.25, 20]]"
    stack = lid_of(tmp_path, PLATE + f"    pocket: {{shape: {{loop: {loop}}}, depth: 6}}\n")
    ribs = [one for one in check_stack(stack) if one.title == "rib of one cut"]
    assert ribs
    assert [(one.features, one.required) for one in ribs] == [(("pocket",), 3.0)] * len(ribs)
    assert [one.measured for one in ribs] == pytest.approx([2.5] * len(ribs), abs=1e-9)
