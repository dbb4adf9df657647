"""Airflow through a stack, against NACA tables, Crane's loss coefficients and arithmetic written out.

Sources: NACA Report 1135 (1953), Table I; Crane TP-410 (2009), p. A-26 (sudden contraction 0.5 (1 - beta^2), sudden
expansion (1 - beta^2)^2) and p. A-29 (rounded mouths: K 0.09 at r/D 0.10); the choking flow of 100 mm2 at 300 kPa and
320 K, 0.06778 kg/s, by the textbook formula.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict, airflow, helps
from platemaker.checks._air._airflow import AirReport
from platemaker.formulas import choked_mass_flow, duct_state
from platemaker.parts import Stack
from platemaker.report import worded
from platemaker.spec import AirModel
from tests.design_stacks import findings_of, inputs, only, stack_of
from tests.frozen_demo import changed_findings
from tests.plates import note_of

STACK = """
project: duct
design:
  boost: BOOST
  AIR
bodies:
  log: {envelope: {box: [200, 200, 50]}, joints: {lower: {thread_depth: 20}}}
  blower: {envelope: {box: [200, 200, 50]}, joints: {upper: {face: below, thread_depth: 20}}}
joints:
  lower: {bolts: {pattern: {rectangle: [150, 150]}, thread: M8}, opening: LOWER}
  upper: {bolts: {pattern: {rectangle: [110, 150]}, thread: M8, length: 30}, opening: UPPER}
parts:
  plate:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {rectangle: [180, 180]}
    below: {lower: {holes: tapped}}
    above: {upper: {holes: clear}}
    opening: {shape: MIDDLE MOUTH}
"""


def duct(
    folder: Path,
    *,
    upper: str = "{circle: 100}",
    middle: str = "{circle: 100}",
    lower: str = "{circle: 100}",
    mouth: str = "",
    air: str = "air: {mass_flow: 0.2 kg/s, outlet_temperature: 350 K}",
    boost: str = "0.5 bar",
) -> Stack:
    text = STACK.replace("UPPER", upper).replace("MIDDLE", middle).replace("LOWER", lower).replace("MOUTH", mouth)
    return stack_of(folder, text.replace("AIR", air).replace("BOOST", boost))


def report_of(stack: Stack) -> AirReport:
    report = airflow(stack)
    assert isinstance(report, AirReport)
    return report


def dynamic(flow: float, diameter: float, pressure: float, temperature: float) -> float:
    """rho V^2/2 at a round section, Pa, with the density that the flow has there."""
    state = duct_state(flow, math.pi / 4 * (diameter / 1000) ** 2, pressure, temperature)
    return state.density * state.speed**2 / 2


P = 151_325.0


def test_a_straight_duct_loses_nothing(tmp_path: Path) -> None:
    report = report_of(duct(tmp_path))
    assert [step.station.name for step in report.steps] == ["port of blower", "plate opening", "port of log"]
    assert report.loss == 0.0
    assert report.steps[0].diameter == pytest.approx(100.0)


def test_a_step_down_is_cranes(tmp_path: Path) -> None:
    """100 to 70: K = 0.5 (1 - 0.49) on the speed in 70; then 70 to 100: K = (1 - 0.49)^2."""
    report = report_of(duct(tmp_path, middle="{circle: 70}"))
    _, into, out = report.steps
    assert (into.coefficient, out.coefficient) == (pytest.approx(0.5 * 0.51), pytest.approx(0.51**2))
    first = 0.5 * 0.51 * dynamic(0.2, 70, P, 350)
    assert into.loss == pytest.approx(first, rel=1e-9)
    assert out.loss == pytest.approx(0.51**2 * dynamic(0.2, 70, P - first, 350), rel=1e-9)
    found = findings_of(duct(tmp_path, middle="{circle: 70}"), "PM952")[0]
    assert found.measured == pytest.approx((into.loss + out.loss) / 50_000)


def test_a_rounded_mouth_costs_a_fifth(tmp_path: Path) -> None:
    """r/D = 0.10: K = 0.09 where a sharp mouth has 0.5, both less by the ratio of areas."""
    mouth = ", mouth_radius: 7, mouth: above"
    report = report_of(duct(tmp_path, middle="{circle: 70}", mouth=mouth))
    assert report.steps[1].coefficient == pytest.approx(0.09 * 0.51)
    assert worded(report.steps[1].method).metric == "rounded mouth r 7 mm (Crane)"


def test_a_mouth_on_the_far_side_helps_nothing(tmp_path: Path) -> None:
    report = report_of(duct(tmp_path, middle="{circle: 70}", mouth=", mouth_radius: 7, mouth: below"))
    assert report.steps[1].coefficient == pytest.approx(0.5 * 0.51)


@pytest.mark.parametrize(
    ("mouth", "coefficient", "method"),
    [
        ("mouth_chamfer: 7, mouth_angle: 45 deg", 0.2475 * 0.51, "chamfered mouth 7 mm long at 45 deg (Idelchik)"),
        # tan 30 = 0.57735: 4.0415 mm on the face are 7 mm along the flow, l/D = 0.1.
        ("mouth_chamfer: 4.041452, mouth_angle: 30 deg", 0.18 * 0.51, "chamfered mouth 7 mm long at 30 deg (Idelchik)"),
        (
            "mouth_chamfer: 1",
            0.5 * 0.51,
            "chamfered mouth 1 mm long at 45 deg, shorter than Idelchik's table begins, taken as sharp: "
            "sudden contraction (Crane)",
        ),
    ],
)
def test_a_chamfered_mouth_by_idelchiks_table(tmp_path: Path, mouth: str, coefficient: float, method: str) -> None:
    """l/D = 0.1: K = 0.18 at a whole angle of 60 degrees, 0.27 at 100 (Idelchik, diagram 3-7), so 0.2475 at 90."""
    step = report_of(duct(tmp_path, middle="{circle: 70}", mouth=f", mouth: above, {mouth}")).steps[1]
    assert step.coefficient == pytest.approx(coefficient, rel=1e-6)
    assert worded(step.method).metric == method


def test_a_ledge_leaves_what_two_circles_share(tmp_path: Path) -> None:
    """Two circles of radius 40, 10 apart, share 2 r^2 acos(d/2r) - (d/2) sqrt(4 r^2 - d^2)."""
    stack = duct(tmp_path, upper="{circle: 80}", middle="{circle: 80, at: [10, 0]}", lower="{circle: 80, at: [10, 0]}")
    step = report_of(stack).steps[1]
    lens = 2 * 40**2 * math.acos(10 / 80) - 10 / 2 * math.sqrt(4 * 40**2 - 10**2)
    share = lens / (math.pi * 40**2)
    assert step.shared == pytest.approx(lens, rel=1e-12)
    assert step.coefficient == pytest.approx(0.5 * (1 - share) + (1 - share) ** 2)


def test_the_ledge_that_the_ports_check_finds_is_the_one_that_air_pays_for(tmp_path: Path) -> None:
    """Two circles of radius 40, 3 apart: what of the one lies outside the other stands in the flow."""
    stack = duct(tmp_path, upper="{circle: 80}", middle="{circle: 80, at: [3, 0]}", lower="{circle: 80, at: [3, 0]}")
    step = report_of(stack).steps[1]
    [ledge] = [found for found in findings_of(stack, "PM821") if found.features[0] == "upper"]
    lens = 2 * 40**2 * math.acos(3 / 80) - 3 / 2 * math.sqrt(4 * 40**2 - 3**2)
    assert ledge.measured == pytest.approx(math.pi * 40**2 - lens, rel=1e-9)
    assert ledge.measured == pytest.approx(math.pi * 40**2 - step.shared, rel=1e-9)
    assert step.loss > 0


def test_mach_half_by_the_table(tmp_path: Path) -> None:
    """NACA 1135, Table I: A/A* = 1.3398 at M = 0.5; printed to four decimals, which move M by 0.0001."""
    flow = choked_mass_flow(math.pi / 4 * 0.05**2, P, 350.0) / 1.3398
    air = f"air: {{mass_flow: {flow:.9f} kg/s, outlet_temperature: 350 K}}"
    found = findings_of(duct(tmp_path, middle="{circle: 50}", air=air), "PM951")
    [worst] = [one for one in found if one.features[0] == "opening"]
    assert inputs(worst)["area"] == pytest.approx(math.pi * 25**2)
    assert worst.measured == pytest.approx(0.5, abs=2e-4)
    assert (worst.verdict, worst.required) == (Verdict.CAUTION, 0.3)


def test_a_flow_that_chokes_is_an_answer(tmp_path: Path) -> None:
    """100 mm2 at 300 kPa and 320 K pass 0.06778 kg/s; 0.1 is asked: 1.475 times as much."""
    diameter = math.sqrt(400 / math.pi)
    stack = duct(
        tmp_path,
        middle=f"{{circle: {diameter:.9f}}}",
        air="air: {mass_flow: 0.1 kg/s, outlet_temperature: 320 K, inlet_pressure: 2 bar}",
        boost="1 bar",
    )
    worst = max(findings_of(stack, "PM951"), key=lambda one: one.measured or 0.0)
    assert (worst.measured, worst.verdict) == (1.0, Verdict.FAIL)
    assert note_of(worst) == (
        f"choked: demand is {0.1 / 0.06778:.2f} times the choked flow; what lies behind is not calculated"
    )
    assert findings_of(stack, "PM952") == []


def test_a_blower_gives_its_mass_flow(tmp_path: Path) -> None:
    """1.5 L a turn, 1.5 x 3000 rpm, 0.9 full, air at 101 325 Pa and 293.15 K: 1.2041 kg/m3 (ISO 2533's gas law)."""
    air = (
        "air: {inlet_temperature: 293.15 K}\n  engine: {displacement: 4 L, speed: 3000 rpm}\n"
        "  blower: {per_turn: 1.5 L, ratio: 1.5, volumetric_efficiency: 0.9, efficiency: 0.6}"
    )
    report = report_of(duct(tmp_path, air=air))
    assert report.air.mass_flow == pytest.approx(101_325 / (287.05 * 293.15) * 0.0015 * 0.9 * 75, rel=1e-9)
    # T_2 = T_1 (1 + (1.4935^(0.4/1.4) - 1)/0.6)
    ratio = 151_325 / 101_325
    assert report.air.temperature == pytest.approx(293.15 * (1 + (ratio ** (0.4 / 1.4) - 1) / 0.6), rel=1e-9)
    assert report.words == "Heywood 1988, sec. 6.8, from memory, blower at 4500 rpm"


def test_an_engine_alone_gives_what_it_breathes(tmp_path: Path) -> None:
    """0.9 x 4 L x 3000/2 rpm of air at 151 325 Pa and 350 K."""
    air = "air: {outlet_temperature: 350 K}\n  engine: {displacement: 4 L, speed: 3000 rpm, volumetric_efficiency: 0.9}"
    report = report_of(duct(tmp_path, air=air))
    assert report.air.mass_flow == pytest.approx(0.9 * 151_325 / (287.05 * 350) * 0.004 * 25, rel=1e-9)


def test_boost_told_and_boost_made(tmp_path: Path) -> None:
    """1.5 L x 1.5 x 0.9 against 4 L/2 x 0.9, no warmer: a ratio of 1.125, so 0.127 bar where 0.5 bar are stated."""
    air = (
        "air: {inlet_temperature: 300 K, outlet_temperature: 300 K}\n"
        "  engine: {displacement: 4 L, speed: 3000 rpm, volumetric_efficiency: 0.9}\n"
        "  blower: {per_turn: 1.5 L, ratio: 1.5, volumetric_efficiency: 0.9}"
    )
    found = only(duct(tmp_path, air=air), "PM954")
    assert found.measured == pytest.approx(abs(0.125 * 1.01325 - 0.5) / 0.5)
    assert (note_of(found), found.verdict) == ("they make 0.13 bar", Verdict.CAUTION)


def test_what_a_larger_mouth_would_save(tmp_path: Path) -> None:
    """From a sharp mouth to r/D = 0.10 at 70: 0.5 to 0.09, times 0.51, less what the next step gains by it."""
    report = report_of(duct(tmp_path, middle="{circle: 70}", lower="{circle: 70}"))
    saved = {worded(way).metric: gain for way, gain in helps(report, AirModel(larger_mouth="7 mm"))}
    first = dynamic(0.2, 70, P, 350)
    assert saved["mouth radius +7 mm"] == pytest.approx((0.5 - 0.09) * 0.51 * first, rel=1e-9)
    wide = 0.5 * (1 - 0.74**2) * dynamic(0.2, 74, P, 350)
    # 2 mm larger all round the plate is 74, and steps down to the port of 70 behind it.
    behind = 0.5 * (1 - (70 / 74) ** 2) * dynamic(0.2, 70, P - wide, 350)
    assert saved["plate opening 2 mm larger all round"] == pytest.approx(0.5 * 0.51 * first - wide - behind, rel=1e-9)


def test_a_bend_behind_the_stack(tmp_path: Path) -> None:
    """A mitre of 90 degrees after Rennels: K 1.2021 on the speed in the last section."""
    air = "air: {mass_flow: 0.2 kg/s, outlet_temperature: 350 K, bends: [{angle: 90 deg}]}"
    report = report_of(duct(tmp_path, air=air))
    assert report.loss == pytest.approx(1.2021 * dynamic(0.2, 100, P, 350), rel=1e-4)
    assert worded(report.steps[-1].method).metric == "no step; mitre bend of 90 deg, K 1.202 (Rennels)"


def test_bends_before_the_stack_cost_in_its_first_section(tmp_path: Path) -> None:
    """Rennels at r/D = 1.5, 45 degrees, f = 0.02, twice before a port of 100; then a step down to 70."""
    half = math.radians(22.5)
    turned = 0.02 * 2 * half * 1.5 + 0.148 * math.sin(half) + 0.132 * (math.sin(half) ** 0.5 + math.sin(half)) / 1.5
    bend = "{angle: 45 deg, radius: 150, lies: before}"
    air = f"air: {{mass_flow: 0.2 kg/s, outlet_temperature: 350 K, bends: [{bend}, {bend}]}}"
    first, into, _ = report_of(duct(tmp_path, middle="{circle: 70}", air=air)).steps
    lost = 2 * turned * dynamic(0.2, 100, P, 350)
    assert first.loss == pytest.approx(lost, rel=1e-9)
    assert into.loss == pytest.approx(0.5 * 0.51 * dynamic(0.2, 70, P - lost, 350), rel=1e-9)


def test_the_flow_may_go_up(tmp_path: Path) -> None:
    air = "air: {mass_flow: 0.2 kg/s, outlet_temperature: 350 K, towards: above}"
    report = report_of(duct(tmp_path, middle="{circle: 70}", mouth=", mouth_radius: 7, mouth: below", air=air))
    assert [step.station.name for step in report.steps] == ["port of log", "plate opening", "port of blower"]
    assert report.steps[1].coefficient == pytest.approx(0.09 * 0.51)


def test_sections_that_share_nothing_choke(tmp_path: Path) -> None:
    air = "air: {mass_flow: 0.01 kg/s, outlet_temperature: 350 K}"
    left, right = "{circle: 20, at: [-30, 0]}", "{circle: 20, at: [30, 0]}"
    stack = duct(tmp_path, upper=left, middle=right, lower="{circle: 90}", air=air)
    [found] = [one for one in findings_of(stack, "PM951") if one.verdict is Verdict.FAIL]
    assert any(one.symbol == "K" and "no pocket joins them" in worded(one.how).metric for one in found.inputs)
    assert found.features[0] == "opening"


def test_no_air_told_is_no_finding(tmp_path: Path) -> None:
    stack = duct(tmp_path, air="friction: plain")
    assert airflow(stack) == "the spec's `design` has no air: give `air`, `blower` or `engine`"
    assert [found.check for found in findings_of(stack, "PM952")] == []


def test_no_boost_leaves_no_share(tmp_path: Path) -> None:
    found = only(duct(tmp_path, middle="{circle: 70}", boost="0 bar"), "PM952")
    assert found.verdict is Verdict.NOT_CHECKED
    assert note_of(found).startswith("no boost to compare it with; ")
    assert found.inputs


def test_a_plate_off_the_calculated_way_is_not_checked(tmp_path: Path) -> None:
    """Without an opening in the joint between the plates there are two ways; one is calculated."""
    found = changed_findings(tmp_path, {"joints.plate_to_plate.opening": None})
    alone = [one for one in found if one.check == "PM952" and one.verdict is Verdict.NOT_CHECKED]
    assert [(one.part, one.features) for one in alone] == [("blower_plate", ("air", "blower_plate"))]
