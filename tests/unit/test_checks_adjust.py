"""Plates on slots over their travel, studs in reliefs, squareness from corner readings, and the shims that square."""

from __future__ import annotations

import math
import re

import pytest
from scipy.integrate import quad

from platemaker.checks import Verdict
from platemaker.errors import SpecError, SpecErrors
from platemaker.parts import Kind
from tests.design_stacks import FOUR_SLOTS, PLATE_ON_LOG, findings_of, inputs, only, stack_of
from tests.plates import note_of

PROJECT = (
    PLATE_ON_LOG.replace("washers: true", "washers: WASHERS")
    + """    below: {top: {holes: none}}
    opening: {shape: {rectangle: [OPENING, 24]}}
    reliefs: {stud: {at: [0, -30], diameter: 20, depth: 5, side: below STUD}}
"""
    + FOUR_SLOTS
)


def sliding(folder, opening: str = "40", stud: str = ", stud: 8", washers: str = "true"):
    text = PROJECT.replace("OPENING", opening).replace("STUD", stud).replace("WASHERS", washers)
    return stack_of(folder, text)


def test_port_stays_open_over_the_travel_or_is_told_where_not(tmp_path):
    # 10 mm of travel, 5 either way: a port of 40 under an opening of 50 stays whole; under 40 it loses 5 of 40.
    assert only(sliding(tmp_path, "50"), "PM832").measured == pytest.approx(1.0)
    found = only(sliding(tmp_path), "PM832")
    assert found.measured == pytest.approx(35 / 40)
    assert found.verdict is Verdict.CAUTION
    assert note_of(found) == "least at one end of 10.00 mm of travel"


def filled() -> str:
    return PROJECT.replace("OPENING", "40").replace("STUD", ", stud: 8").replace("WASHERS", "true")


def test_land_is_least_at_an_end_of_the_travel(tmp_path):
    found = only(stack_of(tmp_path, filled().replace("side: below", "side: above")), "PM831")
    # The port's corner (20, 12), 5 mm to the left at one end: (-25, 12). The slot's round end, radius 4.5, is centred
    # at (-50 + 5, 30).
    assert found.measured == pytest.approx(math.hypot(20, 18) - 4.5, abs=1e-6)
    assert found.verdict is Verdict.PASS


def test_land_counts_a_relief_on_the_joint_s_face(tmp_path):
    # The relief's edge at Y = -30 + 10, the port's at -12, whatever the travel along X.
    found = only(sliding(tmp_path), "PM831")
    assert found.features[1] == "stud"
    assert found.measured == pytest.approx(8.0, abs=1e-6)


def test_land_counts_other_holes_over_the_whole_travel(tmp_path):
    # A hole of 6 mm at X = 30; the port reaches to X = 20, and to 25 at one end of its travel: 30 - 3 - 25.
    found = only(stack_of(tmp_path, filled() + "    holes: {pin: {at: [30, 0], diameter: 6}}\n"), "PM831")
    assert (found.features[1], found.verdict) == ("pin", Verdict.FAIL)
    assert found.measured == pytest.approx(2.0, abs=1e-6)


def test_land_is_found_between_the_places_that_are_looked_at(tmp_path):
    # A port of radius 12 passes under a slot's round end: centre (2.3, 19), radius 2. Nearest when right below it.
    text = filled().replace("opening: {rectangle: [40, 24]}", "opening: {circle: 24}").replace(
        "opening: {shape: {rectangle: [40, 24]}}", "opening: {shape: {circle: 24}}").replace(
        "      a: {slot", "      mark: {slot: [6, 4], at: [2.3, 20], turn: 90 deg}\n      a: {slot")  # fmt: skip
    found = only(stack_of(tmp_path, text), "PM831")
    assert found.features[1] == "mark"
    assert found.measured == pytest.approx(19 - 2 - 12, abs=1e-6)


def test_slots_off_their_bolts_give_the_travel_that_all_leave(tmp_path):
    # Bolt a stands 2 mm right of its slot's middle, bolt b 1 mm left of its own: the plate may go -3 to 7 and -6 to 4.
    text = filled().replace("at: [-50, -30], adjusts", "at: [-52, -30], adjusts").replace("[150, 90]", "[150, 130]")
    text = text.replace("at: [50, -30], adjusts", "at: [51, -30], adjusts")
    stack = stack_of(tmp_path, text)
    found = only(stack, "PM834")
    assert inputs(found)["travel"] == pytest.approx(7.0)
    # The plate 4 mm to the right: its bolts at -50 lie at -54 in its plan; radius 8 of the washer, edge at -75.
    assert found.measured == pytest.approx(75 - 54 - 8)
    # The stud, in the middle of its relief as the spec puts the plate, goes 4 mm one way: 10 - 4 - 4.
    assert only(stack, "PM835").measured == pytest.approx(10 - 4 - 4)


@pytest.mark.parametrize(
    ("old", "new", "reason"),
    [
        ("at: [50, 30], adjusts", "at: [50, 30], turn: 90 deg, adjusts", "slots a and c do not run one way: nothing slides"),
        ("at: [50, 30], adjusts", "at: [50, 10], adjusts", "slot c holds none of the joint's bolts"),
        ("holes: none", "holes: clear", "hole top_1 is round: it holds the plate where it is"),
    ],
)  # fmt: skip
def test_slots_that_let_nothing_slide_are_told(tmp_path, old, new, reason):
    text = filled().replace(old, new)
    if "clear" in new:
        text = "\n".join(
            line for line in text.splitlines() if not line.startswith(("      a:", "      b:", "      d:"))
        ).replace("[19, 9]", "[19, 8]")  # narrower than the hole, which would otherwise take nothing away
    found = only(stack_of(tmp_path, text), "PM831")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, reason)


def test_a_washer_that_passes_a_hole_between_the_ends_of_its_travel_is_seen(tmp_path):
    # Travel of 40 mm along Y = 30; the washer's radius 8 passes a hole of radius 2 whose centre is 9 mm aside.
    text = filled().replace("[19, 9]", "[49, 9]").replace("[150, 90]", "[220, 110]")
    found = only(stack_of(tmp_path, text + "    holes: {pin: {at: [60, 39], diameter: 4}}\n"), "PM834")
    assert found.verdict is Verdict.FAIL
    assert found.measured == pytest.approx(9 - 8 - 2, abs=1e-6)


def test_port_that_slides_from_under_the_plate_is_negative(tmp_path):
    stack = stack_of(tmp_path, PROJECT.replace("OPENING", "40").replace("STUD", "").replace("WASHERS", "true").replace(
        "outline: {rectangle: [150, 90]}", "outline: {rectangle: [150, 90]}").replace(
        "opening: {rectangle: [40, 24]}", "opening: {rectangle: [40, 24], at: [52, 0]}"))  # fmt: skip
    found = only(stack, "PM831")
    # The port reaches to X = 72, and 77 at the end of the travel; the plate ends at 75.
    assert found.measured == pytest.approx(-2.0, abs=1e-6)
    assert found.verdict is Verdict.FAIL


def test_washer_beside_its_slot_and_on_the_plate(tmp_path):
    bears, stays = only(sliding(tmp_path), "PM833"), only(sliding(tmp_path), "PM834")
    # ISO 7089 M8: 16 mm outside; slot 9 mm.
    assert bears.measured == pytest.approx((16 - 9) / 2)
    # Bolts at (50, 30), 5 mm on at the end: 75 - 55 - 8; up: 45 - 30 - 8.
    assert stays.measured == pytest.approx(7.0)
    assert stays.features[1] == "outline"


def test_a_head_over_a_slot_presses_on_what_is_left_of_its_face(tmp_path):
    """A washer of 16 over a slot of 9: both segments beyond 4.5 mm, by quadrature; the round hole that leaves as much."""
    text = filled().replace("project: trial", "project: trial\ndesign: {friction: waxed, boost: 1 bar}").replace(
        "washers: true}", "washers: true, length: 35}").replace(
        "{log: {joints: {top: {holes: tapped}}}}",
        "{log: {material: A356-T6, joints: {top: {face: above, holes: tapped, thread_depth: 30}}}}")  # fmt: skip
    left = 4 * quad(lambda y: math.sqrt(8**2 - y**2), 4.5, 8)[0]
    assert inputs(only(stack_of(tmp_path, text), "PM904"))["d_h"] == pytest.approx(
        2 * math.sqrt(8**2 - left / math.pi), rel=1e-9
    )


def test_bare_heads_are_told(tmp_path):
    found = only(sliding(tmp_path, washers="false"), "PM833")
    # ISO 4762 M8: head 13 mm.
    assert found.measured == pytest.approx((13 - 9) / 2, abs=0.2)
    assert note_of(found) == "the joint has no washers"


def test_washer_that_slides_off_fails(tmp_path):
    text = PROJECT.replace("OPENING", "40").replace("STUD", "").replace("WASHERS", "true")
    found = only(stack_of(tmp_path, text.replace("rectangle: [150, 90]", "rectangle: [124, 90]")), "PM834")
    # 62 - 55 - 8
    assert (found.measured, found.verdict) == (pytest.approx(-1.0), Verdict.FAIL)


def test_stud_keeps_its_room_at_both_ends(tmp_path):
    # Relief 20, stud 8, 5 mm either way: 10 - 4 - 5; half a millimetre is enough.
    found = only(sliding(tmp_path), "PM835")
    assert (found.measured, found.verdict) == (pytest.approx(1.0), Verdict.PASS)
    found = only(sliding(tmp_path, stud=", stud: 9.2"), "PM835")
    assert (found.measured, found.verdict) == (pytest.approx(0.4), Verdict.CAUTION)
    found = only(sliding(tmp_path, stud=", stud: 11"), "PM835")
    assert (found.measured, found.verdict) == (pytest.approx(-0.5), Verdict.FAIL)


def test_relief_without_its_stud_is_not_checked_where_the_plate_slides(tmp_path):
    found = only(sliding(tmp_path, stud=""), "PM835")
    assert (found.verdict, note_of(found)) == (
        Verdict.NOT_CHECKED, "what stands in the relief is not specified: give its `stud`"
    )  # fmt: skip


LEVEL = """
project: trial
bodies: {blower: {material: A356-T6, joints: {base: {face: below, holes: tapped, thread_depth: 20}}}}
joints:
  base:
    bolts: {pattern: {rectangle: [120, 60]}, thread: M8, length: 30}
    opening: {circle: 40}
    gasket: {thickness: 1, land: 4}
    level: {corners: {CORNERS}, nose: [-150, 0, 100]}
    MORE
parts:
  base_plate: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [160, 100]},
    above: {base: {holes: clear}}, opening: {match: base}}
"""
FOUR = "a: {at: [-80, -50], reads: 1.6}, b: {at: [80, -50], reads: 0.8}, c: {at: [80, 50], reads: 0.8}, d: {at: [-80, 50], reads: 1.6}"


def level(folder, corners: str = FOUR, more: str = ""):
    return stack_of(folder, LEVEL.replace("CORNERS", corners).replace("MORE", more))


def test_tilt_in_degrees_and_mm_per_100(tmp_path):
    found = only(level(tmp_path), "PM836")
    # Falls 0.8 mm over 160 mm along X: 0.5 mm per 100 mm, atan(0.005).
    assert found.measured == pytest.approx(math.degrees(math.atan(0.005)))
    stated = inputs(found)
    assert stated["as read, along X"] == pytest.approx(-0.5)
    assert stated["as read, along Y"] == pytest.approx(0.0, abs=1e-12)
    assert found.verdict is Verdict.CAUTION
    # The nose, 150 mm before the middle and 100 mm up: 1.2 + 0.75 higher, 100 x 0.005 backwards.
    assert stated["nose rises by"] == pytest.approx(1.95)
    assert stated["nose moves along X"] == pytest.approx(0.5)
    assert "square with 0.00 mm more at a, 0.80 mm more at b, 0.80 mm more at c, 0.00 mm more at d" in note_of(found)
    assert "a taper shim rising +0.500 per 100 along X and +0.000 per 100 along Y" in note_of(found)


def test_steep_machine_fails(tmp_path):
    found = only(level(tmp_path, FOUR.replace("1.6", "2.6")), "PM836")
    # 1.8 over 160: 0.645 degrees.
    assert (found.verdict, found.measured) == (Verdict.FAIL, pytest.approx(math.degrees(math.atan(1.8 / 160))))


def test_fourth_corner_tells_whether_it_rocks(tmp_path):
    found = only(
        level(tmp_path, FOUR.replace("d: {at: [-80, 50], reads: 1.6}", "d: {at: [-80, 50], reads: 1.9}")), "PM837"
    )
    # One corner of a rectangle 0.3 mm off: least squares shares it, a quarter at each corner.
    assert (found.measured, found.verdict) == (pytest.approx(0.075), Verdict.CAUTION)
    three = ", ".join(FOUR.split(", d:")[:1])
    found = only(level(tmp_path, three), "PM837")
    assert note_of(found) == "three corners always lie on one plane: read a fourth"


@pytest.mark.parametrize(("off", "verdict"), [(0.19, Verdict.PASS), (0.21, Verdict.CAUTION)])
def test_a_soft_foot_from_both_sides_of_its_limit(tmp_path, off, verdict):
    """0.05 mm, common practice: four times that at one of four corners."""
    corners = FOUR.replace("d: {at: [-80, 50], reads: 1.6}", f"d: {{at: [-80, 50], reads: {1.6 + off}}}")
    found = only(level(tmp_path, corners), "PM837")
    assert (found.measured, found.verdict) == (pytest.approx(off / 4), verdict)


def test_shim_that_squares_takes_the_tilt_up_and_is_a_part(tmp_path):
    stack = level(tmp_path, more="shim: {thickness: 3, squares: true}")
    found = only(stack, "PM836")
    assert found.measured == pytest.approx(0.0, abs=1e-9)
    assert inputs(found)["as read, along X"] == pytest.approx(-0.5)
    shim = stack.part("base_shim")
    assert (shim.kind, shim.stock.thickness) == (Kind.SHIM, 3.0)  # type: ignore[union-attr]
    # The blank is 160 mm long: 3 - 160 x 0.005.
    assert shim.note == (
        "TAPER: upper face planed, 3.000 mm at the thick end, 2.200 mm at the thin end; rises +0.500 per 100 along X, "
        "+0.000 along Y; corners, counter-clockwise from the lower left: T1 2.200 mm, T2 3.000 mm, T3 3.000 mm, "
        "T4 2.200 mm; holes square to the lower face"
    )
    assert {hole.name for hole in shim.holes} == {f"base_{i}" for i in range(1, 5)}
    assert shim.cut("opening").through  # type: ignore[union-attr]


def test_a_shims_taper_is_in_the_projects_unit(tmp_path):
    """3 mm are 0.1181 in, 2.2 mm 0.0866 in."""
    text = LEVEL.replace("CORNERS", FOUR).replace("MORE", "shim: {thickness: 3, squares: true}")
    stack = stack_of(tmp_path, "units: in\n" + re.sub(r"(?<=[\[ ])(-?\d+(\.\d+)?)(?=[],}])", r"\1 mm", text))
    assert "0.1181 in at the thick end, 0.0866 in at the thin end" in stack.part("base_shim").note


def test_shim_lies_over_the_gasket_and_lengthens_the_grip(tmp_path):
    bare, shimmed = level(tmp_path), level(tmp_path, more="shim: {thickness: 2}")
    place = {part.name: part.places[0].origin[2] for part in shimmed.parts}
    assert place["base_shim"] - place["base_gasket"] == pytest.approx(1.0)
    grips = [inputs(findings_of(stack, "PM302")[0])["grip"] for stack in (bare, shimmed)]
    assert grips[1] - grips[0] == pytest.approx(2.0)  # type: ignore[operator]
    overlaps = [one for one in findings_of(shimmed, "PM642") if (one.measured or 0) < -1e-6]
    assert overlaps == []


def test_flat_shim_has_no_taper(tmp_path):
    stack = level(tmp_path, more="shim: {thickness: 2, material: S235}")
    assert stack.part("base_shim").note == ""


@pytest.mark.parametrize(
    ("corners", "more", "message"),
    [
        (FOUR, "shim: {thickness: 0.5, squares: true}", "the shim tapers to -0.300 mm at its thin end, met '0.5 mm'"),
        (FOUR, "shim: {thickness: 2, squares: true, taper: [1 deg, 0]}", "a shim has either `taper` or `squares`"),
        (FOUR, "shim: {thickness: 2, taper: [12 deg, 0]}", "`taper` of a shim is at most 10 degrees"),
        (FOUR, "shim: {thickness: 2, material: cheese}", "joints.base.shim.material"),
        (
            "a: {at: [0, 0], reads: 1}, b: {at: [10, 0], reads: 1}, c: {at: [20, 0], reads: 1}", "",
            "joints.base.level.corners: the corners lie on one line, or nearly: they give no plane",
        ),
        ("a: {at: [0, 0], reads: 1}, b: {at: [10, 0], reads: 1}", "", "joints.base.level.corners"),
    ],
)  # fmt: skip
def test_refused_in_exact_words(tmp_path, corners, more, message):
    with pytest.raises((SpecError, SpecErrors)) as caught:
        level(tmp_path, corners, more)
    assert message in str(caught.value)


def test_shim_that_squares_without_readings_is_refused(tmp_path):
    text = LEVEL.replace("    level: {corners: {CORNERS}, nose: [-150, 0, 100]}\n", "")
    with pytest.raises(SpecErrors, match="needs the joint's `level`: readings at its corners"):
        stack_of(tmp_path, text.replace("MORE", "shim: {thickness: 2, squares: true}"))
