"""Joints with several openings: each is checked as a single one is, and the walls and lands between them."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict, air_shares, check_stack
from platemaker.checks._air._airflow import check_airflow
from platemaker.checks._air._shares import check_shares
from platemaker.checks._loads._seal_lines import seal_line
from platemaker.checks._metal._metal import check_metal
from platemaker.checks._ports._ports import check_ports
from platemaker.checks._sealing._o_rings import check_o_rings
from platemaker.checks._sealing._sealing import check_sealing
from platemaker.project import load
from platemaker.report import render_json
from tests.design_stacks import by_check, stack_of
from tests.openings import two_openings
from tests.plates import note_of

FOUR_PORTS = Path(__file__).resolve().parents[2] / "part_specs" / "four_ports"
GASKET = "gasket: {thickness: 1, land: 5}"


def test_wall_and_land_between_two_openings(tmp_path):
    near = "one: {circle: 40, at: [-21, 0]}, two: {circle: 40, at: [21, 0]}"
    stack = two_openings(tmp_path, near, more=GASKET, own="openings: {two: {circle: 41, at: [21, 0]}}")
    [wall] = [one for one in check_metal(stack) if one.features == ("one opening", "two opening")]
    lands = [one for one in check_sealing(stack, ()) if one.title == "narrowest land round the opening"]
    # Two circles of 40, 42 mm apart; in the head the second is 41 wide.
    assert wall.measured == pytest.approx(2.0, abs=1e-9)
    assert {one.features[1]: one.measured for one in lands} == pytest.approx({"one": 1.5, "two": 1.5}, abs=1e-9)
    assert {one.verdict for one in lands} == {Verdict.FAIL}


@pytest.mark.parametrize(
    ("more", "half"), [("", 0.0), (GASKET, 2.5), ("seal: {o_ring: AS568-226}", 28.725 - 3.53 / 2 - 20)]
)
def test_pressure_acts_on_every_opening(tmp_path, more, half):
    stack = two_openings(tmp_path, more=more)
    line = seal_line(stack, stack.joint("ports"))
    assert line.measures.area == pytest.approx(2 * math.pi * (20 + half) ** 2, rel=1e-6)
    assert line.length == pytest.approx(2 * math.tau * (20 + half), rel=1e-6)


def test_lands_that_meet_are_pressed_once(tmp_path):
    near = "one: {circle: 40, at: [-21, 0]}, two: {circle: 40, at: [21, 0]}"
    stack = two_openings(tmp_path, near, more=GASKET)
    r, d = 22.5, 42.0
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    area = seal_line(stack, stack.joint("ports")).measures.area
    assert area == pytest.approx(2 * math.pi * r * r - lens, rel=1e-9)


def test_a_gaskets_web_under_a_pocket_fails(tmp_path):
    cut = "opening: {match: ports}, pocket: {shape: {slot: [140, 50]}, side: below, depth: 8, cutter: 16}"
    lands = by_check(check_sealing(two_openings(tmp_path, more=GASKET, cut=cut), ()), "PM921")
    [web] = [one for one in lands if one.title == "land between two openings"]
    assert (web.features, web.measured, web.verdict) == (("ports", "two", "one"), 0.0, Verdict.FAIL)


def test_each_groove_is_checked(tmp_path):
    found = by_check(check_o_rings(two_openings(tmp_path, more="seal: {o_ring: AS568-226}")), "PM927")
    assert [one.features[1] for one in found] == ["ports_one_groove", "ports_two_groove"]


def test_each_step_is_that_of_its_own_port(tmp_path):
    stack = two_openings(tmp_path, own="openings: {two: {circle: 38, at: [40, 0]}}")
    steps = {one.features: one.measured for one in check_ports(stack) if one.features[0] == "ports"}
    assert steps == {
        ("ports", "one", "plate to head"): pytest.approx(0.0, abs=1e-9),
        ("ports", "two", "plate to head"): pytest.approx(math.pi * (20**2 - 19**2), abs=1e-9),
    }


def test_an_opening_that_lies_wholly_beside_the_port_fails(tmp_path):
    """Circles of 40 and 38, 50 mm apart: 11 mm of metal between them. At 38.9 mm they share a sliver."""
    for at, verdicts in ((90, [Verdict.FAIL]), (78.9, [])):
        stack = two_openings(tmp_path, own=f"openings: {{two: {{circle: 38, at: [{at}, 0]}}}}")
        found = by_check(check_ports(stack), "PM823")
        assert [(one.features, one.verdict) for one in found] == [(("ports", "two"), each) for each in verdicts]
    [step] = [one for one in by_check(check_ports(stack), "PM821") if "two" in one.features]
    assert step.verdict is Verdict.NOT_CHECKED
    assert "a mismatch where two ports meet" in note_of(step)


def test_an_opening_that_the_part_across_closes_fails(tmp_path):
    [found] = by_check(check_ports(two_openings(tmp_path, cut="openings: {a: {match: ports.one}}")), "PM823")
    assert (found.part, found.features, found.verdict) == ("plate", ("ports", "two"), Verdict.FAIL)
    assert note_of(found) == "plate has no opening there: match one to ports.two"


@pytest.mark.parametrize(
    ("cut", "closed", "solid"),
    [
        ("edge_break: 0.5", {"ports", "top"}, "20 mm"),  # its opening was forgotten
        (
            "pocket: {shape: {rectangle: [180, 60], corner_radius: 10}, depth: 8, side: above, cutter: 12}",
            {"ports"},
            "12",
        ),
        (
            "pockets: {over: {shape: {rectangle: [150, 50], corner_radius: 10}, depth: 8, side: above, cutter: 12}, "
            "under: {shape: {rectangle: [150, 50], corner_radius: 10}, depth: 7, side: below, cutter: 12}}",
            set(),
            "5",
        ),
    ],
)
def test_a_plate_between_two_openings_that_nothing_goes_through(
    tmp_path: Path, cut: str, closed: set[str], solid: str
) -> None:
    stack = two_openings(tmp_path, cut=cut)
    assert {one.features[0] for one in by_check(check_ports(stack), "PM823")} == closed
    [stopped] = [one for one in check_airflow(stack) if one.verdict is Verdict.FAIL]
    assert (stopped.check, stopped.part) == ("PM951", "plate")
    assert note_of(stopped).startswith(f"air cannot pass plate: {solid}")
    assert not by_check(check_stack(stack), "PM952")


@pytest.mark.parametrize(
    ("cylinders", "left", "verdict"),
    [
        (2, 0, Verdict.PASS),
        (4, 0, Verdict.PASS),
        (1, 0, Verdict.PASS),
        (3, 1, Verdict.CAUTION),
        (5, 1, Verdict.CAUTION),
    ],
)
def test_as_many_openings_for_each_cylinder(tmp_path: Path, cylinders: int, left: int, verdict: Verdict) -> None:
    """Two openings: two of four cylinders share one, one cylinder has both; of three or five one is left over."""
    engine = f"mass_flow: 0.06 kg/s}}, engine: {{displacement: 2 L, speed: 3000 rpm, cylinders: {cylinders}"
    [found] = by_check(check_ports(two_openings(tmp_path, air=engine)), "PM824")
    assert (found.measured, found.verdict) == (left, verdict)


COVER = """
project: trial
design: {air: {mass_flow: 0.06 kg/s}}
bodies: {head: {material: A356-T6, joints: {ports: {face: above, holes: tapped, thread_depth: 20}}}}
joints: {ports: {bolts: {pattern: {rectangle: [80, 80]}, thread: M8, length: 35}, opening: {circle: 40}}}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [110, 110]}, below: {ports: {holes: clear}}}
"""


def test_a_cover_closes_an_opening_and_is_no_fault(tmp_path: Path) -> None:
    assert not by_check(check_ports(stack_of(tmp_path, COVER)), "PM823")


def shares_by_hand(*ways: tuple[float, float]) -> list[float]:
    """Areas and K: m = A √(2 ρ Δp / (1 + K)), Δp from the plenum at rest to the static pressure in the ports."""
    flows = [area / math.sqrt(1 + K) for area, K in ways]
    return [flow / sum(flows) for flow in flows]


PLENUM = 180 * 60 - (4 - math.pi) * 10**2
LARGE, SMALL = math.pi * 20**2, math.pi * 15**2
UNLIKE = "one: {circle: 40, at: [-40, 0]}, two: {circle: 30, at: [40, 0]}"


def test_share_of_air_follows_area_and_loss(tmp_path):
    [found] = air_shares(two_openings(tmp_path, UNLIKE))
    # Sharp contraction at 180 degrees after Crane: K = (1 - A2/A1) / 2 on the speed in the smaller section.
    expected = shares_by_hand((LARGE, (1 - LARGE / PLENUM) / 2), (SMALL, (1 - SMALL / PLENUM) / 2))
    assert [way.share for way in found.ways] == pytest.approx(expected, abs=2e-3)  # density changes a little
    assert sum(way.share for way in found.ways) == pytest.approx(1.0, abs=1e-12)


def test_each_opening_has_its_own_mouth(tmp_path):
    cut = "openings: {a: {match: ports.one}, b: {match: ports.two, mouth_radius: 6, mouth: above}}"
    [found] = air_shares(two_openings(tmp_path, cut=cut))
    # Crane: K = 0.04 for a mouth of 0.15 diameters and more, out of a large space.
    expected = shares_by_hand((LARGE, (1 - LARGE / PLENUM) / 2), (LARGE, 0.04 * (1 - LARGE / PLENUM)))
    assert [way.share for way in found.ways] == pytest.approx(expected, abs=2e-3)


@pytest.mark.parametrize(("more", "verdict"), [("", Verdict.CAUTION), (", uneven: 0.29", Verdict.PASS)])
def test_uneven_share_against_the_specs_limit(tmp_path, more, verdict):
    [found] = check_shares(two_openings(tmp_path, UNLIKE, air=f"mass_flow: 0.06 kg/s{more}"))
    large, small = shares_by_hand((LARGE, (1 - LARGE / PLENUM) / 2), (SMALL, (1 - SMALL / PLENUM) / 2))
    assert found.measured == pytest.approx((large - small) / (large + small), abs=4e-3)
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("air", "reason"),
    [
        (
            "mass_flow: 0.06 kg/s, towards: above",
            "the air comes out of these openings: what feeds them sets their shares",
        ),
        ("mass_flow: 3 kg/s", "an even share of the air chokes at plate one"),
        ("towards: below", "the spec's `design` has neither mass flow, blower nor engine"),
    ],
)
def test_share_that_is_not_known_says_why(tmp_path, air, reason):
    [found] = check_shares(two_openings(tmp_path, air=air))
    assert (found.verdict, note_of(found)) == (Verdict.NOT_CHECKED, reason)


def test_the_example_has_no_fails_and_states_each_share():
    done = load(FOUR_PORTS).check()
    assert not {one.verdict for one in done.findings} & {Verdict.FAIL, Verdict.CAUTION}
    report = json.loads(render_json(done.stack, done.findings, done.meta({}), chambers=done.chambers))
    joint = next(one for one in report["joints"] if one["name"] == "ports")
    assert [one["name"] for one in joint["openings"]] == ["port_1", "port_2", "port_3", "port_4"]
    assert math.fsum(one["air"]["share"] for one in joint["openings"]) == pytest.approx(1.0, abs=4e-6)
    assert joint["lower"]["own_ports"]["port_3"]["area"] == pytest.approx(math.pi * 22.15**2, abs=1e-5)


@pytest.mark.slow
@pytest.mark.kernel
def test_the_example_builds(tmp_path):
    load(FOUR_PORTS).build(tmp_path)
    table = (tmp_path / "four_ports" / "report.json").read_text(encoding="utf-8")
    assert json.loads(table)["summary"]["fail"] == 0
    assert (tmp_path / "four_ports" / "ports_gasket.dxf").exists()
