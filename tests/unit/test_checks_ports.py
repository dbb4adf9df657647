"""Steps between ports: exact areas, where they are, which way the air flows, and what would fix them."""

from __future__ import annotations

import math

import pytest

from platemaker.checks import Verdict
from tests.design_stacks import findings_of, inputs, stack_of
from tests.plates import note_of

PROJECT = """
project: trial
design: {air: {towards: TOWARDS}, boost: 0.5 bar}
bodies: {log: {joints: {foot: {holes: tapped}}}}
joints:
  foot: {bolts: {pattern: {rectangle: [84, 90]}, thread: M8}, opening: {circle: 40}}
  seam: {bolts: {pattern: {rectangle: [120, 90]}, thread: M8}, opening: {circle: 40} GASKET}
parts:
  lower: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [150, 120]},
    below: {foot: {holes: counterbored}}, above: {seam: {holes: tapped}}, opening: {shape: {LOWER}}}
  upper: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [150, 120]},
    below: {seam: {holes: clear}}, opening: {shape: {UPPER}}}
"""


def steps(folder, lower: str, upper: str, towards: str = "below", gasket: str = "", check: str = "PM821"):
    text = PROJECT.replace("TOWARDS", towards).replace("LOWER", lower).replace("UPPER", upper)
    stack = stack_of(folder, text.replace("GASKET", gasket))
    return {one.features[1]: one for one in findings_of(stack, check) if one.features[0] == "seam"}


def test_ports_that_agree_have_no_step(tmp_path):
    [found] = steps(tmp_path, "circle: 40", "circle: 40").values()
    assert (found.measured, found.verdict) == (0.0, Verdict.PASS)
    stated = inputs(found)
    # The upper plate's 9 mm holes over M8 let it lie 0.5 mm aside.
    assert stated["parts may lie aside by"] == pytest.approx(0.5)
    # Two equal circles 0.5 mm apart: each less the lens that they share.
    r, d = 20.0, 0.5
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    assert stated["worst step then"] == pytest.approx(math.pi * r * r - lens, abs=1e-6)


def test_worst_step_is_that_of_the_worst_direction(tmp_path):
    # A rectangle a x b, shifted by d at an angle t from its equal, leaves d (a sin t + b cos t) - d2 sin t cos t: as
    # much as d (a2 + b2)^0.5 where the sine is to the cosine as a to b, at 59 degrees and not at 45.
    a, b, d = 50.0, 30.0, 0.5
    [found] = steps(tmp_path, f"rectangle: [{a}, {b}]", f"rectangle: [{a}, {b}]").values()
    most = max(d * (a * math.sin(t) + b * math.cos(t)) - d * d * math.sin(t) * math.cos(t)
               for t in (math.radians(k / 100) for k in range(9001)))  # fmt: skip
    # The second parabola is a few degrees wide; what it misses of a sine is far under a part in 10,000.
    assert most * (1 - 1e-4) <= inputs(found)["worst step then"] <= most + 1e-6


@pytest.mark.parametrize(
    ("lower", "seam", "aside"),
    [
        # Half the play of the 9 mm holes over M8, and half of each zone of 0.2 and 0.3 mm.
        ("position: 0.2", "", 0.5 + 0.1 + 0.15),
        # Dowels of 6 m6 (+0.004 at least) in bores of 6.02 H7 (+0.015, being over 6) hold closer than the bolts; their zones of
        # 0.06 mm count twice.
        ("position: 0.2", ", dowels: {at: {l: [-60, 0], r: [60, 0]}, diameter: 6, depth: 8, play: 0.02, position: 0.06}",
         (0.02 + 0.015 - 0.004) / 2 + 0.03 + 0.03),
    ],
)  # fmt: skip
def test_zones_and_dowels_count_in_how_far_parts_lie_aside(tmp_path, lower, seam, aside):
    text = PROJECT.replace("TOWARDS", "below").replace("LOWER", "circle: 40").replace("UPPER", "circle: 40")
    text = text.replace("{seam: {holes: tapped}}", f"{{seam: {{holes: tapped, {lower}}}}}")
    text = text.replace("{seam: {holes: clear}}", "{seam: {holes: clear, position: 0.3}}").replace(" GASKET", seam)
    [found] = (one for one in findings_of(stack_of(tmp_path, text), "PM821") if one.features[0] == "seam")
    assert inputs(found)["parts may lie aside by"] == pytest.approx(aside, abs=1e-9)


def test_a_step_of_a_third_of_a_millimetre_has_its_own_width_and_place(tmp_path):
    found = steps(tmp_path, "circle: 40", "circle: 40.6")["upper to lower"]
    stated = inputs(found)
    assert stated["widest"] == pytest.approx(0.3, abs=1e-9)
    assert math.hypot(stated["widest at X"], stated["widest at Y"]) == pytest.approx(20.3, abs=1e-9)


def test_a_smaller_port_behind_is_a_ring(tmp_path):
    found = steps(tmp_path, "circle: 40", "circle: 44")["upper to lower"]
    assert found.measured == pytest.approx(math.pi * (22**2 - 20**2), abs=1e-9)
    stated = inputs(found)
    assert stated["widest"] == pytest.approx(2.0, abs=1e-9)
    assert stated["length along the edge"] == pytest.approx(math.pi * 44, abs=1e-9)
    assert found.verdict is Verdict.CAUTION
    # 8 widths deep: 263.89 x 16 / 2.
    # Enlarged through 20 mm: 263.89 x 20.
    assert note_of(found) == (
        "least metal off: blending; moving: cannot fix it: the openings lie in each other's middle, 263.9 mm2 are left; "
        "blending: lower 16.0 mm deep, 8 times its width (common practice, no source), up to 2.00 mm wide along 138.2 mm "
        "of edge: 2111 mm3 come off; "
        "enlarging: lower by up to 2.00 mm along 138.2 mm of edge, 263.9 mm2 through 20 mm: 5278 mm3 come off"
    )


def test_the_same_pair_has_no_step_the_other_way(tmp_path):
    found = steps(tmp_path, "circle: 40", "circle: 44", "above")
    assert found["lower to upper"].measured == pytest.approx(0.0, abs=1e-9)


def test_shifted_port_tells_how_far_to_move(tmp_path):
    found = steps(tmp_path, "rectangle: [50, 30]", "rectangle: [50, 30], at: [1.5, 0]")["upper to lower"]
    assert found.measured == pytest.approx(1.5 * 30, abs=1e-9)
    # Blended 8 x 1.5 = 12 mm deep: 45 x 12 / 2 = 270 mm3; enlarged through 20 mm: 45 x 20 = 900 mm3.
    assert note_of(found) == (
        "least metal off: moving; moving: lower by 1.50 mm (+1.50 mm along X, +0.00 mm along Y), drawn again, beyond the bolts' "
        "play of 0.50 mm: 0.0 mm2 are left, no metal comes off; look again at foot, where it moves too; "
        "blending: lower 12.0 mm deep, 8 times its width (common practice, no source), up to 1.50 mm wide along 33.0 mm "
        "of edge: 270 mm3 come off; "
        "enlarging: lower by up to 1.50 mm along 33.0 mm of edge, 45.0 mm2 through 20 mm: 900 mm3 come off"
    )
    # The step is the strip from X = 25 to X = 26.5 of the plan that both plates share, on the lower plate's top.
    assert found.points[0][0] == pytest.approx(26.5, abs=1e-4)
    assert found.points[0][2] == 20.0
    assert inputs(found)["widest at X"] == pytest.approx(26.5, abs=1e-4)
    assert inputs(found)["widest"] == pytest.approx(1.5, abs=1e-4)


def test_a_step_deeper_than_the_plate_can_blend_is_enlarged(tmp_path):
    found = steps(tmp_path, "rectangle: [50, 30]", "rectangle: [56, 30]")["upper to lower"]
    # 3 mm on either side: a blend of 24 mm does not fit 20 mm of plate. 180 mm2 over 20 mm come off.
    assert note_of(found).startswith("least metal off: enlarging; ")
    assert "enlarging: lower by up to 3.00 mm along 72.0 mm of edge, 180.0 mm2 through 20 mm: 3600 mm3" in note_of(
        found
    )
    assert "blending: cannot be done: 24.0 mm deep, 8 times its width" in note_of(found)
    assert "lower has 20 mm" in note_of(found)


def test_chamber_is_no_port_that_misses(tmp_path):
    found = steps(tmp_path, "circle: 40", "circle: 60")["upper to lower"]
    assert found.verdict is Verdict.NOT_CHECKED
    # pi (30^2 - 20^2) = 1571 mm2
    assert note_of(found).startswith("upper is 1571 mm2 wider there than lower: plenum wall, not a port mismatch")


def test_gasket_is_a_step_of_its_own(tmp_path):
    found = steps(tmp_path, "circle: 43", "circle: 42", gasket=", gasket: {thickness: 1, land: 5}")
    assert found["upper to seam_gasket"].measured == pytest.approx(math.pi * (21**2 - 20**2), abs=1e-9)
    stated = note_of(found["upper to seam_gasket"])
    assert stated.startswith("least metal off: enlarging; moving: cannot fix it")
    assert "blending: cannot be done: seam_gasket is a sheet" in stated
    # pi (21^2 - 20^2) through 1 mm.
    assert "enlarging: seam_gasket by up to 1.00 mm along 131.9 mm of edge, 128.8 mm2 through 1 mm: 129 mm3" in stated
    assert found["seam_gasket to lower"].measured == pytest.approx(0.0, abs=1e-9)


def test_gasket_that_hangs_over_the_opening_behind(tmp_path):
    [found] = steps(
        tmp_path, "circle: 43", "circle: 40", gasket=", gasket: {thickness: 1, land: 5}", check="PM822"
    ).values()
    assert (found.measured, found.verdict) == (pytest.approx(1.5, abs=1e-4), Verdict.CAUTION)
    assert inputs(found)["area that hangs free"] == pytest.approx(math.pi * (21.5**2 - 20**2), abs=1e-9)
    assert note_of(found) == "cut its opening larger by up to 1.50 mm: gasket.overhang"
    [found] = steps(
        tmp_path, "circle: 41", "circle: 40", gasket=", gasket: {thickness: 1, land: 5}", check="PM822"
    ).values()
    assert (found.measured, found.verdict, note_of(found)) == (pytest.approx(0.5, abs=1e-4), Verdict.PASS, "")


def test_mouth_counts_as_the_opening_at_its_face(tmp_path):
    text = PROJECT.replace("TOWARDS", "below").replace("{LOWER}}", "{circle: 40}, mouth_radius: 2, mouth: above}")
    stack = stack_of(tmp_path, text.replace("UPPER", "circle: 44").replace("GASKET", ""))
    [found] = [one for one in findings_of(stack, "PM821") if one.features[0] == "seam"]
    assert found.measured == pytest.approx(0.0, abs=1e-6)


def test_without_a_design_the_worse_way_is_told(tmp_path):
    text = PROJECT.replace("design: {air: {towards: TOWARDS}, boost: 0.5 bar}\n", "").replace("GASKET", "")
    stack = stack_of(tmp_path, text.replace("LOWER", "circle: 42").replace("UPPER", "circle: 40"))
    [found] = [one for one in findings_of(stack, "PM821") if one.features[0] == "seam"]
    assert found.features[1] == "lower to upper"
    assert note_of(found).startswith("which way it flows is not specified: worse of both")


def test_closed_side_has_no_step(tmp_path):
    text = PROJECT.replace("TOWARDS", "below").replace(", opening: {shape: {UPPER}}", "").replace("GASKET", "")
    stack = stack_of(tmp_path, text.replace("LOWER", "circle: 40"))
    assert [one for one in findings_of(stack, "PM821") if one.features[0] == "seam"] == []


def test_a_move_within_the_bolts_play_is_told_as_such(tmp_path):
    found = steps(tmp_path, "rectangle: [50, 30]", "rectangle: [50, 30], at: [0, -0.4]")["upper to lower"]
    # 0.4 x 50 = 20 mm2 of 1500: above 1 %. The 9 mm holes over M8 give 0.5 mm.
    assert (
        "moving: lower by 0.40 mm (+0.00 mm along X, -0.40 mm along Y), within the bolts' play of 0.50 mm"
        in note_of(found)
    )


@pytest.mark.parametrize(
    ("turn", "way"),
    [(90, "+0.00 mm along X, +1.50 mm along Y"), (180, "-1.50 mm along X, +0.00 mm along Y")],
)
def test_a_move_is_in_the_plan_of_the_part_that_moves(tmp_path, turn, way):
    """The seam lies turned in the lower plate's plan; the upper port is 1.5 mm along the seam's X."""
    text = (
        PROJECT.replace("TOWARDS", "below").replace("LOWER", "circle: 40").replace("UPPER", "circle: 40, at: [1.5, 0]")
    )
    text = text.replace("{seam: {holes: tapped}}", f"{{seam: {{holes: tapped, turn: {turn}}}}}").replace("GASKET", "")
    text = text.replace("outline: {rectangle: [150, 120]}", "outline: {rectangle: [150, 150]}")
    [found] = (one for one in findings_of(stack_of(tmp_path, text), "PM821") if "upper to lower" in one.features)
    assert f"moving: lower by 1.50 mm ({way})" in note_of(found)
    assert ": 0.0 mm2 are left" in note_of(found)


def test_a_move_is_no_longer_than_it_need_be(tmp_path):
    found = steps(tmp_path, "circle: 44", "circle: 40, at: [5, 0]")["upper to lower"]
    # The circle of 40 lies in that of 44 once their centres are 2 mm apart: 3 mm of the 5. The area left falls to 0 as
    # the power 3/2 of what is missing: 1e-6 mm2 stand for some 1e-4 mm.
    assert "moving: lower by 3.00 mm (+3.00 mm along X, +0.00 mm along Y)" in note_of(found)


def test_neither_blend_nor_larger_opening_where_a_bolt_stands_in_the_way(tmp_path):
    # The foot's counterbores, 15 mm (DIN 974-1) at X = 42, begin at X = 34.5. A step from 30 to 32 would leave 2.5 mm.
    found = steps(tmp_path, "rectangle: [60, 94]", "rectangle: [64, 94]")["upper to lower"]
    assert note_of(found).startswith("none of the three can be done as drawn; moving: cannot fix it")
    assert note_of(found).count("it leaves 2.50 mm to foot_") == 2
    assert note_of(found).count("the limit for walls is 3 mm") == 2


def test_no_move_where_a_bolt_stands_in_the_way(tmp_path):
    found = steps(tmp_path, "rectangle: [60, 94]", "rectangle: [60, 94], at: [2, 0]")["upper to lower"]
    assert (
        "moving: cannot be done: lower by 2.00 mm (+2.00 mm along X, +0.00 mm along Y), it leaves 2.50 mm"
        in note_of(found)
    )
    assert note_of(found).startswith("none of the three can be done as drawn")
