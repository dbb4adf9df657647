"""Bodies whose own port is not the joint's opening: every check looks at the port that is there."""

from __future__ import annotations

import math

import pytest

from platemaker.checks import Verdict
from platemaker.checks._air._air_path import air_path
from platemaker.errors import SpecError
from platemaker.parts import Profile, Side
from platemaker.plane import nearest
from tests.design_stacks import findings_of, inputs, only, stack_of
from tests.plates import note_of

PROJECT = """
project: trial
design: {air: {towards: TOWARDS}, boost: 0.5 bar, friction: lubricated, preload_share: 0.6}
bodies:
  log: {material: A356-T6, envelope: {box: [200, 160, 60]}, joints: {foot: {holes: tapped, thread_depth: 20 OWN}}}
joints:
  foot: {bolts: {pattern: {rectangle: [100, 80]}, thread: M8, length: 35}, opening: {circle: 40} MORE}
parts:
  plate: {kind: plate, material: 6061-T6, thickness: 20, outline: {OUTLINE},
    below: {foot: {holes: clear}}, opening: {match: foot}}
"""


def stack(folder, own: str, more: str = "", towards: str = "below", outline: str = "rectangle: [140, 120]"):
    text = PROJECT.replace("TOWARDS", towards).replace("OUTLINE", outline)
    return stack_of(folder, text.replace("OWN", f", opening: {{{own}}}" if own else "").replace("MORE", more))


def test_step_into_a_smaller_casting_port(tmp_path):
    found = only(stack(tmp_path, "circle: 38"), "PM821")
    assert found.features == ("foot", "plate to log")
    assert found.measured == pytest.approx(math.pi * (20**2 - 19**2), abs=1e-9)
    assert found.verdict is Verdict.CAUTION
    # 122.52 mm2, 1 mm wide: a blend 8 mm deep takes 122.52 x 8 / 2 = 490 mm3.
    assert "least metal off: blending" in note_of(found)
    assert "blending: log 8.0 mm deep" in note_of(found)
    assert "490 mm3 come off, if its port runs straight that far: log's depth is not specified" in note_of(found)
    assert "enlarging: log by up to 1.00 mm" in note_of(found)
    assert "how long that is, is not specified" in note_of(found)


def test_the_plate_moves_where_the_casting_cannot(tmp_path):
    found = only(stack(tmp_path, "circle: 40, at: [1.5, 0]"), "PM821")
    # Two circles of 40, 1.5 mm apart: one less the lens that they share.
    r, d = 20.0, 1.5
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    assert found.measured == pytest.approx(math.pi * r * r - lens, abs=1e-9)
    assert "least metal off: moving; moving: plate by 1.50 mm (+1.50 mm along X, +0.00 mm along Y)" in note_of(found)


def test_own_port_that_agrees_has_no_step(tmp_path):
    assert only(stack(tmp_path, "circle: 40"), "PM821").measured == pytest.approx(0.0, abs=1e-9)


def test_the_other_way_a_larger_casting_port_meets_the_plate(tmp_path):
    found = only(stack(tmp_path, "circle: 42", towards="above"), "PM821")
    assert found.features == ("foot", "log to plate")
    assert found.measured == pytest.approx(math.pi * (21**2 - 20**2), abs=1e-9)


def test_gasket_over_a_larger_casting_port(tmp_path):
    found = [one for one in findings_of(stack(tmp_path, "circle: 44", ", gasket: {thickness: 1, land: 5}"), "PM822")
             if one.features[1] == "log"]  # fmt: skip
    # The gasket follows the joint's opening: it reaches 2 mm into the log's port.
    assert [one.measured for one in found] == [pytest.approx(2.0, abs=1e-4)]


@pytest.mark.parametrize(("own", "radius"), [("", 20.0), ("circle: 50", 25.0), ("circle: 30", 20.0)])
def test_land_is_counted_from_what_is_open(tmp_path, own, radius):
    found = findings_of(stack(tmp_path, own, ", gasket: {thickness: 1, land: 5}"), "PM921")
    # The gasket's bolt holes are 10 mm, at (50, 40): 64.03 mm from the middle. A smaller port leaves the gasket's own.
    assert min(one.measured for one in found) == pytest.approx(math.hypot(50, 40) - 5.0 - radius, abs=1e-9)


def test_pressure_acts_on_the_larger_port(tmp_path):
    def area(own: str) -> float:
        folder = tmp_path / (own.replace(": ", "") or "none")
        folder.mkdir()
        found = findings_of(stack(folder, own), "PM901")
        return float(inputs(found[0])["A"])

    # Metal on metal the opening's own edge is the seal line.
    assert area("") == pytest.approx(math.pi * 20**2, rel=1e-9)
    assert area("circle: 50") == pytest.approx(math.pi * 25**2, rel=1e-9)


def test_outline_grown_round_a_joint_covers_the_own_port(tmp_path):
    around = "around: [foot], margin: 8"
    x0, _, x1, _ = stack(tmp_path, "slot: [130, 30]", outline=around).part("plate").stock.region.bounds
    # The slot's hull corners lie at X = 65, 8 mm further out than the bolts' seats would need.
    assert (x0, x1) == (pytest.approx(-73.0), pytest.approx(73.0))


def test_own_port_needs_the_joints_opening(tmp_path):
    text = PROJECT.replace("OWN", ", opening: {circle: 38}").replace(", opening: {circle: 40} MORE", "")
    text = text.replace("TOWARDS", "below").replace("OUTLINE", "rectangle: [140, 120]")
    with pytest.raises(SpecError) as caught:
        stack_of(tmp_path, text.replace("{match: foot}", "{shape: {circle: 40}}"))
    assert str(caught.value) == (
        "project.yaml:5: bodies.log.joints.foot.opening: joint 'foot' has no opening that this could differ from; "
        "allowed: joints.foot.opening as well"
    )


@pytest.mark.parametrize(("wide", "verdict"), [(42, "pass"), (50, "fail")])
def test_o_ring_lies_on_metal_round_the_own_port(tmp_path, wide, verdict):
    made = stack(tmp_path, f"circle: {wide}", ", seal: {o_ring: '-226', part: plate}")
    [found] = [one for one in findings_of(made, "PM921") if one.features == ("foot", "port of log")]
    groove = made.part("plate").cut("foot_groove").regions[0]
    # AS568-226: 1.984 in, 50.39 mm inside, 3.53 mm thick. Slack against the outer wall that has the radius of its outside.
    assert groove.bounds[2] == pytest.approx(50.39 / 2 + 3.53, abs=0.005)
    assert found.measured == pytest.approx(groove.holes[0].bounds[2] - wide / 2, abs=1e-9)
    assert found.verdict is Verdict(verdict)


def test_the_airs_way_ends_in_the_port_that_is_there(tmp_path):
    for own, radius in (("", 20.0), ("circle: 38", 19.0)):
        [end] = [one for one in air_path(stack(tmp_path, own), Side.BELOW) if one.part == ""]
        assert (end.name, end.area) == ("port of log", pytest.approx(math.pi * radius**2, rel=1e-9))


SLIDING = """
project: trial
bodies: {log: {joints: {top: {holes: tapped OWN}}}}
joints: {top: {bolts: {pattern: {rectangle: [100, 60]}, thread: M8}, opening: {rectangle: [40, 24]}}}
parts:
  base:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [150, 90]}
    below: {top: {holes: none}}
    opening: {shape: {rectangle: [50, 24]}}
    slots: {a: {slot: [19, 9], at: [-50, -30], adjusts: top}, b: {slot: [19, 9], at: [50, 30], adjusts: top}}
"""


@pytest.mark.parametrize(("own", "share"), [("", 1.0), (", opening: {rectangle: [44, 24]}", 42 / 44)])
def test_travel_closes_the_port_that_is_there(tmp_path, own, share):
    # 10 mm of travel, 5 either way, under an opening of 50: one of 40 stays whole, one of 44 loses 2.
    found = only(stack_of(tmp_path, SLIDING.replace("OWN", own)), "PM832")
    assert found.measured == pytest.approx(share)


TWO = """
project: trial
bodies:
  log: {joints: {foot: {face: above, holes: tapped}, side: {face: above, holes: tapped, at: [70, 0] OWN}}}
joints:
  foot: {bolts: {pattern: {rectangle: [60, 80]}, thread: M6}, opening: {circle: 30}}
  side: {bolts: {pattern: {points: [[0, 40], [0, -40]]}, thread: M6}, opening: {circle: 20}}
parts:
  plate:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [260, 140]}
    below: {foot: {holes: clear}, side: {holes: clear, at: [70, 0]}}
    opening: {match: foot}
    pocket: {open_out: true, wall: 4, land: 6, cutter: 8, depth: 5, side: below}
"""


@pytest.mark.parametrize(("own", "radius"), [("", 10.0), (", opening: {circle: 34}", 17.0)])
def test_an_opened_out_pocket_keeps_its_land_round_the_own_port(tmp_path, own, radius):
    pocket = stack_of(tmp_path, TWO.replace("OWN", own)).part("plate").cut("pocket")
    assert isinstance(pocket, Profile)
    left = min(nearest((70.0, 0.0), region).distance for region in pocket.regions)
    assert left == pytest.approx(radius + 6.0, abs=1e-6)


@pytest.mark.parametrize("off", [1.5, 0.8])
def test_with_a_gasket_the_joints_opening_moves(tmp_path, off):
    # The gasket's holes would let it slide 1 mm, but not the plate over it.
    own = f"circle: 40, at: [{off}, 0]"
    found = [one for one in findings_of(stack(tmp_path, own, ", gasket: {thickness: 1, land: 5}"), "PM821")
             if one.features[1] == "foot_gasket to log"]  # fmt: skip
    way = f"by {off:.2f} mm (+{off:.2f} mm along X, +0.00 mm along Y)"
    assert f"moving: the opening of joint foot, gasket and all, {way}, drawn again: 0.0 mm2 are left" in note_of(
        found[0]
    )


BODIES = """
project: trial
bodies:
  log: {joints: {foot: {face: above, holes: tapped}}}
  blower: {joints: {foot: {face: below, holes: clear, opening: {circle: 42}}}}
joints: {foot: {bolts: {pattern: {rectangle: [100, 80]}, thread: M8}, opening: {circle: 40}}}
parts:
  disc: {kind: plate, material: 6061-T6, thickness: 5, outline: {circle: 20}}
"""


def test_nothing_that_exists_on_both_sides_is_moved(tmp_path):
    [found] = findings_of(stack_of(tmp_path, BODIES), "PM821")
    assert found.features == ("foot", "blower to log")
    assert found.measured == pytest.approx(math.pi * (21**2 - 20**2), abs=1e-9)
    assert "moving: cannot be done: blower and log are both there" in note_of(found)
    assert "least metal off: blending" in note_of(found)
