"""Fit-up findings: whose tolerance counts, what is said where none is stated, surveys, slots and dowels."""

from __future__ import annotations

import json

import pytest

from platemaker.checks import Verdict
from platemaker.parts import Side
from tests.cli_runner import run
from tests.design_stacks import findings_of, inputs, only, stack_of
from tests.plates import note_of

PROJECT = """
project: trial
bodies: {log: {joints: {top: {holes: tapped LOWER}}}}
joints:
  top: {bolts: {pattern: {points: {a: [-50, -30], b: [50, -30], c: [50, 30], d: [-50, 30]}}, thread: M8} MORE}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 10
    outline: {rectangle: [140, 100]}
    below: {top: {holes: clear UPPER}}
    PART
"""


def project(lower: str = "", upper: str = "", more: str = "", part: str = "") -> str:
    text = PROJECT.replace("LOWER", lower and f", position: {lower}").replace("UPPER", upper and f", position: {upper}")
    return text.replace("MORE", more).replace("PART", part)


def test_told_zones_are_weighed_against_the_clearance(tmp_path):
    stack = stack_of(tmp_path, project("0.5", "0.3"))
    found = only(stack, "PM801")
    assert (found.part, found.verdict) == ("lid", Verdict.PASS)
    # M8 in its 9 mm hole, tapped below: 9 - 8 - (0.5 + 0.3).
    assert found.measured == pytest.approx(0.2, abs=1e-9)
    assert inputs(found)["T lower"] == 0.5
    assert "log: 0.5 mm, the spec; lid: 0.3 mm, the spec" in note_of(found)
    # 8 + 0.5 + 0.3: the hole that just holds.
    assert "holes of at least 8.80 mm hold at worst" in note_of(found)
    chance = only(stack, "PM802")
    assert (chance.measured, chance.verdict) == (100.0, Verdict.PASS)
    assert "the worst case holds" in note_of(chance)


def test_a_missed_worst_case_is_a_caution_and_is_sampled(tmp_path):
    stack = stack_of(tmp_path, project("0.8", "0.4"))
    assert only(stack, "PM801").verdict is Verdict.CAUTION
    stated = inputs(only(stack, "PM802"))
    assert (stated["samples"], stated["seed"]) == (4_000, 1)


def test_hopeless_holes_fail_with_advice(tmp_path):
    found = only(stack_of(tmp_path, project("2.5", "0.5")), "PM802")
    assert found.verdict is Verdict.FAIL
    assert "open the clearance holes to 10.8 mm: 99.9 % start" in note_of(found)
    assert "transfer-punch the holes from the other part" in note_of(found)
    assert inputs(found)["smallest hole for 99.9 %"] > 9.0


def test_good_joints_too_tell_both_smallest_holes_and_their_samples(tmp_path):
    stack = stack_of(tmp_path, project("0.5", "0.3"))
    worst, chance = only(stack, "PM801"), only(stack, "PM802")
    # T1 + T2 = 0.8: all start with 8.8 mm, and 99.9 % with no more than that.
    assert inputs(worst)["smallest hole, worst case"] == 8.8
    stated = inputs(chance)
    assert stated["samples"] == 4_000
    assert 8.0 < stated["hole, 95 % interval from"] <= stated["smallest hole for 99.9 %"] <= stated["hole, to"] <= 8.8
    assert note_of(chance).split("; ")[1] == (
        f"99.9 % start with holes of {stated['smallest hole for 99.9 %']:.2f} mm "
        f"({stated['hole, 95 % interval from']:.2f} to {stated['hole, to']:.2f} mm with 95 % confidence, 4,000 samples)"
    )


def test_more_samples_on_demand(tmp_path):
    (tmp_path / "project.yaml").write_text(project("0.8", "0.4"), encoding="utf-8")
    answer = run("check", tmp_path, "--samples", "20000", "--json")
    [found] = [one for one in json.loads(answer.out)["findings"] if one["check"] == "PM802"]
    stated = {one["symbol"]: one["value"] for one in found["inputs"]}
    assert stated["samples"] == 20000
    assert "20,000 samples" in found["note"]
    # All start with 9.2 mm holes, for 0.8 + 0.4 is then the whole clearance; 99.9 % need no more than that.
    assert 8.0 < stated["smallest hole for 99.9 %"] <= 9.2


def test_a_missed_worst_case_tells_what_would_hold(tmp_path):
    note = note_of(only(stack_of(tmp_path, project("0.8", "0.4")), "PM801"))
    assert "holes of at least 9.20 mm hold at worst" in note
    # Zone 0.4 by the punch against 9 - 8.
    assert "transfer-punch the holes from the other part (zone 0.4 mm): 0.60 mm left at worst" in note


def test_same_stack_same_findings(tmp_path):
    stack = stack_of(tmp_path, project("1.6", "0.6"))
    assert only(stack, "PM802") == only(stack, "PM802")


def test_general_tolerances_stand_in_for_a_made_part_and_cannot_fail_it(tmp_path):
    stack = stack_of(tmp_path, project("2.5"))
    found = only(stack, "PM801")
    # ISO 2768-1 m: +-0.3 on 50 mm, +-0.2 on 30 mm ("6 to 30"): a zone of 2 hypot(0.3, 0.2) round the corner.
    assert inputs(found)["T upper"] == pytest.approx(2 * (0.3**2 + 0.2**2) ** 0.5)
    assert "class m, since none is specified" in note_of(found)
    assert only(stack, "PM802").verdict is Verdict.CAUTION


@pytest.mark.parametrize(
    ("letter", "first", "second"),
    # ISO 2768-1:1989, Table 1: over 30 up to 120 mm f 0.15, m 0.3, c 0.8, v 1.5; over 6 up to 30 mm 0.1, 0.2, 0.5, 1.
    [("f", 0.15, 0.1), ("m", 0.3, 0.2), ("c", 0.8, 0.5), ("v", 1.5, 1.0)],
)
def test_general_tolerances_are_of_the_project_s_class(tmp_path, letter, first, second):
    text = project("0.3").replace("project: trial", f"project: trial\ndrawing: {{tolerance: {letter}}}")
    found = only(stack_of(tmp_path, text), "PM801")
    assert inputs(found)["T upper"] == pytest.approx(2 * (first**2 + second**2) ** 0.5)
    assert f"class {letter}, since none is specified" in note_of(found)


def test_the_shortest_coordinates_of_class_v_take_its_first_row(tmp_path):
    text = project("0.3").replace("project: trial", "project: trial\ndrawing: {tolerance: v}")
    text = text.replace("c: [50, 30], d: [-50, 30]", "c: [50, 2], d: [-50, 2]")
    # Class v begins above 3 mm: 0.5 up to 6 mm.
    assert "class v" in note_of(only(stack_of(tmp_path, text), "PM801"))


@pytest.mark.parametrize(
    ("lower", "upper", "reason"),
    [
        ("", "", "neither side states how far its holes may lie off: give `position` on a side, or a survey"),
        ("", "0.3", "how far the holes of log lie off is not specified: give its `position`, or a survey"),
    ],
)
def test_not_checked_with_the_reason(tmp_path, lower, upper, reason):
    found = only(stack_of(tmp_path, project(lower, upper)), "PM801")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, reason)


READINGS = """
features: {a: {hole: 7}, b: {hole: 7}, c: {hole: 7}, d: {hole: 7}}
datum: {origin: a, x_towards: b, left: [d]}
readings:
  - {centres: [a, b], reads: 100}
  - {centres: [b, c], reads: 60}
  - {centres: [c, d], reads: 100}
  - {centres: [a, d], reads: 60}
  - {centres: [a, c], reads: DIAGONAL}
  - {centres: [b, d], reads: 116.619}
MORE
"""
SURVEYED = "{survey: top.readings.yaml, at: [-50, -30]}"


def surveyed(folder, diagonal: str = "116.619", more: str = "", upper: str = "0.3"):
    text = READINGS.replace("DIAGONAL", diagonal).replace("MORE", more)
    (folder / "top.readings.yaml").write_text(text, encoding="utf-8")
    spec = project("", upper)
    points = "{points: {a: [-50, -30], b: [50, -30], c: [50, 30], d: [-50, 30]}}"
    return stack_of(folder, spec.replace(points, SURVEYED))


def test_a_survey_stands_for_the_position_of_an_existing_body(tmp_path):
    stack = surveyed(tmp_path)
    found = only(stack, "PM801")
    assert "log: as surveyed in top.readings.yaml" in note_of(found)
    # The survey's own uncertainty takes from the 0.7 mm that 9 - 8 - 0.3 leaves.
    assert 0.3 < (found.measured or 0.0) < 0.7
    stated = inputs(found)
    assert stated["needed"] == pytest.approx(stated["T upper"] + stated["survey and mismatch"])
    assert inputs(only(stack, "PM802"))["samples"] == 4_000


def test_survey_finding_tells_readings_and_the_proposed_drawing(tmp_path):
    found = only(surveyed(tmp_path), "PM803")
    assert (found.part, found.verdict) == ("log", Verdict.PASS)
    assert "top.readings.yaml: 6 readings and diameters, 1 redundant" in note_of(found)
    assert "within its uncertainty this is a 100 × 60 mm rectangle" in note_of(found)
    assert "proposed, not used" in note_of(found)
    # A third of 9 - 8.
    assert found.required == pytest.approx(1 / 3)


def test_reading_left_out_is_a_caution_and_one_of_several_a_failure(tmp_path):
    more = "".join(f"  - {{inside: [{pair}], reads: {value}}}\n" for pair, value in
                   [("a, b", 93), ("b, c", 53), ("c, d", 93), ("a, d", 53), ("b, d", 109.619), ("a, c", 109.619)])  # fmt: skip
    found = only(surveyed(tmp_path, "118.2", more), "PM804")
    assert found.verdict is Verdict.CAUTION
    assert "reading 5, a-c centres: 1.5" in note_of(found)
    assert "too long; read it again" in note_of(found)
    # With one redundant reading all six state on each other alike: nobody can say which is wrong.
    found = only(surveyed(tmp_path, "118.2"), "PM804")
    assert found.verdict is Verdict.FAIL
    assert "the readings do not show which" in note_of(found)


def test_slots_give_room_along_themselves(tmp_path):
    slots = "".join(
        f"\n      s{i}: {{slot: [13, 9], at: [{x}, {y}], adjusts: top}}"
        for i, (x, y) in enumerate([(-50, -30), (50, -30), (50, 30), (-50, 30)])
    )
    round_ones = only(stack_of(tmp_path, project("1.6", "0.6")), "PM802")
    text = project("1.6", "0.6", part=f"slots: {slots}").replace("holes: clear", "holes: none")
    slotted = only(stack_of(tmp_path, text), "PM802")
    assert (slotted.measured or 0) > (round_ones.measured or 0)
    # Round holes can be reamed or drawn out; a slot is one already.
    assert "ream " in note_of(round_ones)
    assert not {"ream ", "slot "} & {word + " " for word in note_of(slotted).split()}


def test_a_bolt_without_a_hole_is_told(tmp_path):
    found = only(stack_of(tmp_path, project("0.4", "0.4").replace("holes: clear", "holes: none")), "PM801")
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, "no hole of lid lets the bolt at a through")


DOWELS = ", dowels: {at: {l: [-60, 0], r: [60, 0]}, diameter: 6, depth: 8}"


def test_dowels_are_bored_in_the_plate_and_held_to_their_play(tmp_path):
    stack = stack_of(tmp_path, project("0.3", "0.2", DOWELS))
    bores = {hole.name: hole for hole in stack.part("lid").holes if "dowel" in hole.name}
    assert set(bores) == {"top_dowel_l", "top_dowel_r"}
    # Pressed into the log below, sliding in the lid above with the usual play of 0.02 mm, from its lower face.
    assert {(hole.diameter, hole.depth, hole.direction) for hole in bores.values()} == {(6.02, 8.0, (0.0, 0.0, 1.0))}
    found = only(stack, "PM801")
    # The thickest dowel, 6 m6 (+0.012), has 0.008 in the least bore, 6.02 H7 (+0), against zones of 0.01 on either side;
    # the bolts have 9 - 8 - 0.5 left.
    assert found.measured == pytest.approx(0.008 - 0.02, abs=1e-9)
    assert "dowel" in found.features[1]
    # In chance sizes are midway: their play is the stated 0.02, which zones of 0.01 on either side never use up.
    assert only(stack, "PM802").verdict is Verdict.PASS


def test_pressed_into_the_upper_side(tmp_path):
    stack = stack_of(tmp_path, project("0.3", "0.2", DOWELS[:-1] + ", pressed: upper}"))
    assert stack.joint("top").dowels is not None
    assert stack.joint("top").dowels.pressed is Side.ABOVE  # type: ignore[union-attr]
    assert {hole.diameter for hole in stack.part("lid").holes if "dowel" in hole.name} == {6.0}


def test_dowels_deeper_than_the_plate_are_refused(tmp_path):
    from platemaker.errors import SpecError

    with pytest.raises(SpecError, match=r"dowels of joint top are 12 mm deep, the plate is 10 mm thick"):
        stack_of(tmp_path, project("0.3", "0.2", DOWELS.replace("depth: 8", "depth: 12")))


def test_joint_without_the_other_side_says_nothing(tmp_path):
    text = project("0.3", "0.2").replace("bodies: {log: {joints: {top: {holes: tapped , position: 0.3}}}}\n", "")
    text = text.replace("bodies: {log: {joints: {top: {holes: tapped, position: 0.3}}}}\n", "")
    assert "bodies" not in text
    assert findings_of(stack_of(tmp_path, text), "PM801") == []
