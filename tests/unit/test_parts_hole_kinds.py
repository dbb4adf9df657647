"""Countersinks, pipe threads and straight ports: steps, metal, solids, drawing, hole table and findings.

Sources: ISO 10642 M8, theoretical head 17.92 mm at 90 degrees; ASME B18.3 3/8, 0.781 in at 82 degrees; ISO 273 and ASME
B18.2.8 clearance holes, 9 mm and 0.4062 in; ASME B1.20.1 1/8 NPT, L1 0.162 in, 27 an inch, drill 0.332 in; SAE J1926-1
port -6 from memory: cone 0.614 in wide, 12 degrees, 0.097 deep, drill 33/64 to 0.609, full thread 0.5, spotface 0.969 in.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import METAL, Finding, Verdict, check_stack
from platemaker.errors import SpecError, SpecErrors
from platemaker.export import hole_table
from platemaker.parts import Hole, Operation, Part, Stack
from platemaker.plane import Loop, Region, intersect
from platemaker.records import replace
from platemaker.resolved import Cutting, expected_volume, resolved, resolved_stack
from platemaker.spec import load_project
from platemaker.views import call_out
from tests.design_stacks import findings_of, stack_of
from tests.plates import note_of

IN = 25.4
PLATE = """
project: kinds
parts:
  plate:
    {kind: plate, material: 6061-T6, thickness: THICK, outline: {rectangle: [120, 60]}, holes: {HOLES}}
"""


def plate(folder: Path, holes: str, thick: str = "22") -> Stack:
    return stack_of(folder, PLATE.replace("HOLES", holes).replace("THICK", thick))


def hole(part: Part, name: str) -> Hole:
    return next(one for one in part.holes if one.name == name)


def frustum(wide: float, narrow: float, high: float) -> float:
    return math.pi * high / 12 * (wide**2 + wide * narrow + narrow**2)


def metal(stack: Stack, *between: str) -> Finding:
    [found] = [one for one in check_stack(stack) if one.check == METAL and set(one.features) == set(between)]
    return found


def test_a_metric_countersink(tmp_path: Path) -> None:
    """From 17.92 to the hole of 9 at 90 degrees: 4.46 deep; volume of plate, cone and drill by arithmetic."""
    part = plate(tmp_path, "a: {at: [0, 0], countersunk: M8}").part("plate")
    cone, drill = hole(part, "a").steps
    assert (cone.operation, cone.diameter, cone.narrow, cone.end) == (Operation.COUNTERSINK, 17.92, 9.0, 4.46)
    assert (drill.diameter, drill.start, drill.end) == (9.0, 4.46, 22.0)
    left = 120 * 60 * 22 - frustum(17.92, 9, 4.46) - math.pi * 81 / 4 * (22 - 4.46)
    assert expected_volume(part) == pytest.approx(left, rel=1e-12)


def test_an_inch_countersink_from_below(tmp_path: Path) -> None:
    """0.781 in to 0.4062 at 82 degrees: (0.781 - 0.4062)/2/tan 41 = 0.21558 in deep."""
    part = plate(tmp_path, "a: {at: [0, 0], countersunk: 3/8-16, side: below}").part("plate")
    cone = hole(part, "a").steps[0]
    assert cone.end == pytest.approx((0.781 - 0.4062) / 2 / math.tan(math.radians(41)) * IN, abs=1e-6)
    section = resolved(part).section(Cutting.ACROSS_Y, 0.0)
    [cut] = [taken.region for taken in section.taken if taken.void.what == "countersink"]
    inside = intersect(cut, Region.of(Loop.rectangle(120, 22, centre=(0, 11))))
    trapezium = (0.781 + 0.4062) / 2 * IN * cone.end
    assert sum(region.area for region in inside) == pytest.approx(trapezium, abs=1e-6)


@pytest.mark.kernel
@pytest.mark.parametrize(
    "spec",
    ["countersunk: M8", "countersunk: M8, side: below", "countersunk: 1/4-20", "port: -6", "port: -6, side: below"],
)
def test_the_solid_holds_what_arithmetic_says(tmp_path: Path, spec: str) -> None:
    from platemaker.solids import prove, solid_of

    part = plate(tmp_path, f"a: {{at: [0, 0], {spec}}}").part("plate")
    assert prove(part, solid_of(part)).expected is not None


def test_walls_to_a_cone(tmp_path: Path) -> None:
    """A plain hole of 6, 16 mm off: 16 - 3 - 8.96 at the rim. From the cone's end to the face below: 22 - 4.46."""
    stack = plate(tmp_path, "a: {at: [0, 0], countersunk: M8}, b: {at: [16, 0], diameter: 6}")
    assert metal(stack, "a countersink", "b").measured == pytest.approx(16 - 3 - 8.96)
    below = metal(stack, "a countersink", "face below")
    assert (below.title, below.measured) == ("shoulder under the head", pytest.approx(22 - 4.46))


def test_a_wall_beside_a_blind_cut_under_the_rim(tmp_path: Path) -> None:
    """A pocket from below, 2 mm below the cone's end: nearest square to the cone, at 45 degrees to the corner.

    The corner of the pocket is 12 mm off the axis and 15.54 high, 2 below the cone's end at 17.54. The cone runs through
    (4.5, 17.54) and (8.96, 22): its line lies (12 - 4.5 + 17.54 - 15.54)/sqrt 2 = 6.718 from the corner, the foot at
    (7.25, 20.29) on the cone.
    """
    pocket = "pockets: {p: {shape: {rectangle: [10, 10], at: [17, 0]}, depth: 15.54, side: below}}, holes: {HOLES}"
    text = PLATE.replace("holes: {HOLES}", pocket).replace("HOLES", "a: {at: [0, 0], countersunk: M8}")
    stack = stack_of(tmp_path, text.replace("THICK", "22"))
    assert metal(stack, "a countersink", "p pocket").measured == pytest.approx((7.5 + 2) / math.sqrt(2), abs=1e-6)


def test_a_countersink_as_deep_as_the_plate_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpecError, match=r"countersink for M8 is 4\.46 mm deep, the material only 4 mm"):
        plate(tmp_path, "a: {at: [0, 0], countersunk: M8}", "4")


def test_a_head_that_stands_proud_fails(tmp_path: Path) -> None:
    """Sunk to 17 mm only, the head of 17.92 stands (17 - 17.92)/2/tan 45 = 0.46 mm out of the face."""
    stack = plate(tmp_path, "a: {at: [0, 0], countersunk: M8}")
    [found] = findings_of(stack, "PM720")
    assert (found.measured, found.verdict) == (0.0, Verdict.PASS)
    part = stack.part("plate")
    small = replace(part.holes[0], steps=(replace(part.holes[0].steps[0], diameter=17.0), part.holes[0].steps[1]))
    [found] = findings_of(replace(stack, parts=(replace(part, cuts=(small,)),)), "PM720")
    assert (found.measured, found.verdict) == (pytest.approx(-0.46), Verdict.FAIL)


def test_in_words_and_tables(tmp_path: Path) -> None:
    part = plate(tmp_path, "a: {at: [0, 0], countersunk: M8}, p: {at: [30, 0], port: -6}").part("plate")
    assert call_out(hole(part, "a")).metric == "countersink 17.920 x 90 deg, drilled 9.000 through"
    rows = [(row.operation, row.diameter, row.depth, row.thread) for row in hole_table(part)]
    assert rows[:2] == [("countersink 90 deg", 17.92, 4.46, ""), ("drill", 9.0, None, "")]
    assert rows[2][0] == "countersink 24 deg"
    assert rows[-1] == ("tap", pytest.approx(9 / 16 * IN), pytest.approx(0.5 * IN), "9/16-18 UNF")


def test_a_pipe_thread_for_a_sensor(tmp_path: Path) -> None:
    """1/8 NPT, 9 deep: drilled 3/27 in deeper; L1 is 0.162 in, three turns more make 0.273 in = 6.94 mm."""
    stack = plate(tmp_path, "s: {at: [0, 0], pipe_thread: 1/8 NPT, depth: 9, fitting: {diameter: 18, length: 40}}")
    sensor = hole(stack.part("plate"), "s")
    assert (sensor.diameter, sensor.depth) == (pytest.approx(0.332 * IN), pytest.approx(9 + 3 / 27 * IN, abs=1e-5))
    [found] = findings_of(stack, "PM980")
    assert (found.measured, found.verdict) == (9.0, Verdict.PASS)
    assert sensor.fitting == (18, 40)
    for depth, verdict, limit in ((6, Verdict.CAUTION, (0.162 + 3 / 27) * IN), (4, Verdict.FAIL, 0.162 * IN)):
        (tmp_path / f"{depth}").mkdir()
        short = plate(tmp_path / f"{depth}", f"s: {{at: [0, 0], pipe_thread: 1/8 NPT, depth: {depth}}}")
        [found] = findings_of(short, "PM980")
        assert (found.verdict, found.required) == (verdict, pytest.approx(limit, abs=0.01))
        [room] = findings_of(short, "PM983")
        assert (room.verdict, note_of(room)) == (
            Verdict.NOT_CHECKED, "give `fitting`: diameter and length of what it takes",
        )  # fmt: skip


def test_a_port_in_the_form_of_its_standard(tmp_path: Path) -> None:
    stack = plate(
        tmp_path, "v: {at: [0, 0], port: -6, fitting: {diameter: 22, length: 30}}, b: {at: [20, 0], diameter: 8}"
    )
    valve = hole(stack.part("plate"), "v")
    cone, drill = valve.steps
    assert (cone.diameter, cone.end) == (pytest.approx(0.614 * IN), pytest.approx(0.097 * IN))
    assert cone.narrow == pytest.approx((0.614 - 2 * 0.097 * math.tan(math.radians(12))) * IN, abs=1e-6)
    assert (drill.diameter, drill.end) == (pytest.approx(33 / 64 * IN, abs=0.001), pytest.approx(0.609 * IN))
    thread, deep = sorted(findings_of(stack, "PM981"), key=lambda one: one.features[1], reverse=True)
    assert (thread.measured, thread.verdict) == (pytest.approx(0.5 * IN), Verdict.PASS)
    assert (deep.measured, deep.verdict) == (pytest.approx(0.609 * IN), Verdict.PASS)
    [face] = findings_of(stack, "PM982")  # 20 - 4 to the hole beside it: 32 mm across; the spotface takes 24.6
    assert (face.measured, face.required, face.verdict) == (32.0, pytest.approx(0.969 * IN), Verdict.PASS)


def test_a_port_needs_thickness_and_room(tmp_path: Path) -> None:
    """A plate of 10 holds 10 mm of the 12.7 of thread; a hole of 8, 14 mm off, leaves a face of 20 for 24.6."""
    stack = plate(tmp_path, "v: {at: [0, 0], port: -6}, b: {at: [14, 0], diameter: 8}", "10")
    [thread] = findings_of(stack, "PM981")
    assert (thread.measured, thread.verdict) == (10.0, Verdict.FAIL)
    [face] = findings_of(stack, "PM982")
    assert (face.measured, face.verdict) == (pytest.approx(20.0), Verdict.FAIL)


def test_an_insert_in_aluminium(tmp_path: Path) -> None:
    """M8 x 1.25, 1.5 d = 12 long: thread 9.624 wide, drill no less than 8.271: 8.3; 13.25 deep and 3 pitches to drill."""
    stack = plate(tmp_path, "a: {at: [0, 0], insert: M8, depth: 13.25}")
    one = hole(stack.part("plate"), "a")
    assert one.tapping is not None
    assert (one.tapping.designation, one.tapping.insert, one.bolt) == ("M8x1.25 STI", 12.0, "M8")
    assert one.tapping.major_diameter == pytest.approx(8 + 1.29904 * 1.25)
    assert (one.diameter, one.depth) == (8.3, 13.25 + 3 * 1.25)
    [deep] = findings_of(stack, "PM984")
    assert (deep.measured, deep.required, deep.verdict) == (13.25, 13.25, Verdict.PASS)
    assert call_out(one).metric.startswith("M8x1.25 STI thread 13.250 deep, wire insert 12.000 long, drilled 8.300")


@pytest.mark.parametrize(
    ("spec", "measured", "required", "verdict"),
    [
        ("insert: M8, depth: 12", 12.0, 13.25, Verdict.FAIL),  # one pitch more than its length in a blind hole
        ("insert: M8, insert_length: 2, depth: 17.25", 17.25, 17.25, Verdict.PASS),
        ("insert: M8, insert_length: 3", 22.0, 24.0, Verdict.FAIL),  # through 22 mm, 24 long
        ("insert: M8", 22.0, 12.0, Verdict.PASS),
    ],
)
def test_room_for_an_insert(tmp_path: Path, spec: str, measured: float, required: float, verdict: Verdict) -> None:
    [found] = findings_of(plate(tmp_path, f"a: {{at: [0, 0], {spec}}}"), "PM984")
    assert (found.measured, found.required, found.verdict) == (measured, required, verdict)


def test_the_pull_that_takes_an_insert_out(tmp_path: Path) -> None:
    """FED-STD-H28: pi n L D_s (1/2n + 0.57735 (D_s - E_n)) of 6061-T6 at 0.577 x 240 MPa over 36.6 mm2 x 580 MPa.

    L = 12 - 0.75 x 1.25; D_s is the 6g minimum and E_n the 6H maximum of a thread of 9.624 x 1.25, by ISO 965-1: 9.384
    (allowance 0.028, tolerance 0.212) and 8.972 (8.812 and 0.160), each to a few hundredths.
    """
    [found] = findings_of(plate(tmp_path, "a: {at: [0, 0], insert: M8}"), "PM985")
    area = math.pi * (12 - 0.75 * 1.25) / 1.25 * 9.384 * (0.625 + 0.57735 * (9.384 - 8.972))
    assert found.measured == pytest.approx(area * 0.577 * 240 / (36.6 * 580), rel=0.01)
    assert found.verdict is Verdict.PASS
    assert "class 8.8" in note_of(found)
    (tmp_path / "short").mkdir()
    text = PLATE.replace("6061-T6", "5083-H111").replace("HOLES", "a: {at: [0, 0], insert: M8, insert_length: 1}")
    [weak] = findings_of(stack_of(tmp_path / "short", text.replace("THICK", "22")), "PM985")
    short = math.pi * (8 - 0.75 * 1.25) / 1.25 * 9.384 * (0.625 + 0.57735 * (9.384 - 8.972))
    assert weak.measured == pytest.approx(short * 0.577 * 125 / (36.6 * 580), rel=0.01)
    assert weak.verdict is Verdict.FAIL


UNDER = """
project: under
parts:
  plate: {kind: plate, material: 6061-T6, thickness: 22, outline: {rectangle: [120, 60]}, place: {at: [0, 0, 0]},
    holes: {a: {at: [0, 0], INSERT}}}
  strip: {kind: bracket, material: S235, width: 30, thickness: 6, legs: [60],
    holes: {foot: {leg: 1, at: [30, 0], clear: M8, over: plate.a}}}
"""


@pytest.mark.parametrize(
    ("kind", "deep"), [("insert: M8", 11.0625), ("insert: M8, insert_length: 2", 15.0625), ("tapped: M8", 22.0)]
)
def test_a_screw_holds_in_its_insert_alone(tmp_path: Path, kind: str, deep: float) -> None:
    """Through 22 mm of plate, but only along the assembled length (ASME B18.29.2M): 0.75 pitch less; an M8 either way."""
    [bolt] = resolved_stack(stack_of(tmp_path, UNDER.replace("INSERT", kind))).bolts
    assert bolt.tapped is not None
    assert (bolt.thread.designation, bolt.tapped.depth, bolt.fits) == ("M8", deep, True)


RAIL = """
project: rail
joints: {injectors: {spots: {row: [-60, 0, 60]}}}
parts:
  rail: {kind: rail, material: 6061-T6, stock: {bar: [WIDE, 32]}, length: 200, joint: injectors, passage: 10,
    cross_bore: {diameter: 8}, ends: {ENDS}}
"""


def test_a_rails_end_ports(tmp_path: Path) -> None:
    stack = stack_of(tmp_path, RAIL.replace("WIDE", "26").replace("ENDS", "port: -6"))
    end = hole(stack.part("rail"), "front_end")
    assert [step.end for step in end.steps] == [pytest.approx(0.097 * IN), pytest.approx(0.609 * IN)]
    assert {one.verdict for check in ("PM981", "PM982") for one in findings_of(stack, check)} == {Verdict.PASS}
    (tmp_path / "narrow").mkdir()
    narrow = stack_of(tmp_path / "narrow", RAIL.replace("WIDE", "22").replace("ENDS", "port: -6"))
    faces = findings_of(narrow, "PM982")
    assert [(one.measured, one.verdict) for one in faces] == [(22.0, Verdict.FAIL)] * 2


def test_a_rails_plain_end_thread_of_a_port(tmp_path: Path) -> None:
    """9/16-18, 11 of thread, is drilled 3 pitches of 1.411 deeper; the port's drill goes 15.47. A caution names `port`."""
    stack = stack_of(tmp_path, RAIL.replace("WIDE", "26").replace("ENDS", "thread: 9/16-18, depth: 11"))
    found = findings_of(stack, "PM981")
    assert [(one.measured, one.verdict) for one in found] == [(pytest.approx(11 + 25.4 / 6), Verdict.CAUTION)] * 2
    assert "`port` in place of `thread`" in note_of(found[0])


@pytest.mark.kernel
def test_a_rail_with_ports_is_proved(tmp_path: Path) -> None:
    from platemaker.solids import prove, solid_of

    part = stack_of(tmp_path, RAIL.replace("WIDE", "26").replace("ENDS", "port: -6")).part("rail")
    assert prove(part, solid_of(part)).expected is not None


@pytest.mark.parametrize(
    ("holes", "words"),
    [
        ("a: {at: [0, 0], tapped: M8, port: -6}", "exactly one of"),
        ("a: {at: [0, 0], port: -7}", "straight port"),
        ("a: {at: [0, 0], tapped: M8, insert_length: 2}", "goes with an `insert`"),
        ("a: {at: [0, 0], pipe_thread: 5/8 NPT}", "pipe thread"),
        ("a: {at: [0, 0], tapped: M8, fitting: {diameter: 20, length: 20}}", "a `fitting` goes into"),
        ("a: {at: [0, 0], port: -6, depth: 10}", "a `port` has the depth of its standard"),
        ("a: {at: [0, 0], tapped: M8, fit: close}", "a `fit` is the clearance of a hole"),
        ("a: {at: [0, 0], port: -6, fitting: {diameter: 20, length: 20, bore: 21}}", "as wide as the fitting"),
    ],
)
def test_what_is_refused(tmp_path: Path, holes: str, words: str) -> None:
    (tmp_path / "project.yaml").write_text(PLATE.replace("HOLES", holes).replace("THICK", "22"), encoding="utf-8")
    with pytest.raises(SpecErrors, match=words):
        load_project(tmp_path)
