"""Sizes that are hardly meant: every number of a spec against its usual range, marks and threads against their part."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from platemaker.catalog import (
    UsualSize,
    cutters,
    drills,
    face_gland,
    mounting_patterns,
    standard_bolt_lengths,
    usual_size_of,
    usual_sizes,
)
from platemaker.checks import Finding, Verdict, check_stack
from platemaker.checks._machining._plausible import check_plausible
from platemaker.errors import SpecErrors
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.spec import Given, load_project
from tests.cli_runner import run
from tests.design_stacks import stack_of as stack_in
from tests.plates import HEAD, found, lid_of, note_of, stack_of

LID = """
    thickness: 20
    outline: {rectangle: [120, 80]}
"""
DERIVED = {
    "plate_length",
    "plate_width",
    "edge_break_share",
    "hole_share",
    "body_size",
    "pattern_size",
    "pattern_pitch",
}

ON_METAL = "mark on the metal of its part"


def cautions(stack: Stack) -> dict[str, Finding]:
    """The findings that a size, a mark or a thread is hardly meant, by title."""
    return {one.title: one for one in check_plausible(stack) if one.verdict is Verdict.CAUTION}


@pytest.mark.parametrize(
    ("body", "titles"),
    [
        (LID.replace("120", "10000"), {"plate length"}),
        (LID.replace("120", "9").replace("80", "4"), {"plate length", "plate width"}),
        (LID.replace("20\n", "0.2\n"), {"plate thickness"}),
        (LID.replace("20\n", "508\n"), {"plate thickness"}),  # 20 in
        (LID + "    edge_break: 5000\n", {"edge break", "edge break share"}),
        (LID + "    edge_break: 5\n", set()),
        (LID + "    edge_break: 5.1\n", {"edge break", "edge break share"}),  # over a quarter of 20 as well
        (LID + "    edge_break: 0.01\n", {"edge break"}),
        (LID + "    marks: {front: {text: FRONT, at: [500, 0]}}\n", {"mark on the metal of its part"}),
        (LID + "    marks: {front: {text: F, height: 200 mm, at: [-59, -39]}}\n", {"mark height", "mark on the metal of its part"}),
        (LID + "    holes: {a: {at: [0, 0], diameter: 0.2}}\n", {"hole diameter"}),
        (LID + "    holes: {a: {at: [0, 0], diameter: 8, depth: 0.1}}\n", {"hole depth"}),
        (LID + "    pocket: {shape: {circle: 30}, depth: 0.01}\n", {"pocket depth"}),
        (LID + "    pocket: {shape: {circle: 0.3}, depth: 5, cutter: 0.25}\n", {"figure size", "cutter diameter"}),
        (LID + "    pocket: {shape: {rectangle: [30, 30], corner_radius: 0.05}, depth: 5}\n", {"corner radius"}),
        (LID + "    opening: {shape: {circle: 30}, mouth_radius: 0.05}\n", {"mouth radius"}),
        (LID + "    slots: {s: {slot: [30, 0.5]}}\n", {"slot size"}),
        (LID + "    reliefs: {r: {at: [0, 0], diameter: 1, depth: 5}}\n", {"relief diameter"}),
        (LID + "    holes: {a: {at: [-20, 0], diameter: 70}, b: {at: [40, 0], diameter: 38}}\n", {"hole share"}),
        (LID + "    limits: {minimum_wall: 400}\n", {"limit length"}),
        (LID + "    bores: {b: {at: [0, -40, 10], towards: [0, 1, 0], tapped: M6, depth: 500}}\n",
         {"thread depth in its part"}),
        (LID, set()),
    ],
)  # fmt: skip
def test_what_no_shop_cuts_is_a_caution(tmp_path: Path, body: str, titles: set[str]) -> None:
    assert set(cautions(lid_of(tmp_path, body))) == titles


def test_a_caution_names_number_range_key_and_source(tmp_path: Path) -> None:
    one = found(lid_of(tmp_path, LID.replace("120", "10000")), "PM521", "outline")
    assert (one.title, one.measured, one.required, one.margin, one.unit) == ("plate length", 10000, 2000, -8000, "mm")
    assert note_of(one) == "usual 10 mm to 2000 mm (the longer side of the blank); check the unit"
    assert one.source == "common practice, no source"
    one = found(
        lid_of(tmp_path, LID + "    pockets: {w: {shape: {circle: 30}, depth: 0.01}}\n"), "PM521", "pockets.w.depth"
    )
    assert (one.part, one.sense.value, one.required, one.margin) == ("lid", "at least", 0.2, pytest.approx(-0.19))
    assert note_of(one) == "usual 0.2 mm to 150 mm; check the unit"


def test_the_terminal_names_the_range_in_the_projects_unit(tmp_path: Path) -> None:
    text = HEAD.replace("parts:", "units: in\nparts:") + LID.replace("20\n", "20 mm\n").replace("[120, 80]", "[390, 4]")
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    done = run("check", tmp_path)
    words = " ".join(done.out.split())
    # Inches of 25.4 mm: 390 of a project that was drawn in mm.
    assert "caution PM521 Plate length: lid, outline 390.00 in, at most 78.74 in, 5.0 times as much" in words
    assert "usual 10 mm (0.3937 in) to 2000 mm (78.7402 in) (the longer side of the blank); check the unit" in words
    assert done.code == 0
    stated = json.loads(run("check", tmp_path, "--json").out)["findings"]
    assert [one["verdict"] for one in stated if one["check"] == "PM521"] == ["caution"]


def test_who_has_no_size_off_passes_with_the_count(tmp_path: Path) -> None:
    """The thickness; length and width of the outline follow."""
    passed = [one for one in check_stack(lid_of(tmp_path, LID)) if one.check == "PM521"]
    assert [(one.verdict, one.part, one.measured) for one in passed] == [(Verdict.PASS, "lid", 0.0)]
    assert note_of(passed[0]) == "3 sizes within what is usual"


STACK = """
project: trial
bodies:
  box: {{envelope: {{box: [{side}, 80, 40]}}, joints: {{rim: {{face: above, holes: tapped, thread_depth: {depth}}}}}}}
joints:
  rim:
    bolts: {{pattern: {{rectangle: [{wide}, 60]}}, thread: M6, length: {length}, torque: {torque}}}
    gasket: {{thickness: {sheet}, land: 3}}
    pressure: {pressure}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {{rectangle: [120, 80]}}
    below: {{rim: {{holes: clear}}}}
"""
USUAL = {
    "side": "120", "depth": "20", "wide": "100", "length": "25", "torque": "10 N.m", "sheet": "0.8", "pressure": "1 bar"
}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "owner", "title", "measured"),
    [
        ({"side": "5 m"}, "box", "body size", 5000),
        ({"depth": "45"}, "box", "thread depth in its part", 45),
        ({"length": "2.5"}, "rim", "bolt length", 2.5),
        ({"torque": "10000 N.m"}, "rim", "bolt torque", 10000),
        ({"torque": "10 N.mm"}, "rim", "bolt torque", 0.01),
        ({"sheet": "0.001"}, "rim", "gasket thickness", 0.001),
        ({"sheet": "20.3"}, "rim", "gasket thickness", 20.3),  # 0.8 in
        ({"pressure": "1 GPa"}, None, "", 0),  # refused: above 1000 bar
        ({"pressure": "100 MPa"}, "rim", "joint pressure", 1000),
        ({"pressure": "1 mbar"}, "rim", "joint pressure", 0.001),
        ({}, None, "", 0),
    ],
)
def test_bodies_and_joints_are_held_against_what_is_usual(
    tmp_path: Path, change: dict[str, str], owner: str | None, title: str, measured: float
) -> None:
    text = STACK.format(**{**USUAL, **change})
    if change == {"pressure": "1 GPa"}:
        with pytest.raises(SpecErrors, match=r"joints\.rim\.pressure: '1 GPa' is out of range"):
            stack_of(tmp_path, text)
        return
    stated = cautions(stack_of(tmp_path, text))
    assert {one.title: (one.part, one.measured) for one in stated.values()} == (
        {title: (owner, pytest.approx(measured))} if owner else {}
    )


DESIGN = """
design:
  boost: {boost}
  temperature: {temperature}
  engine: {{displacement: {displacement}, speed: 2800 rpm}}
  loads: {{blower: {{mass: {mass}, at: [0, 0, 50], joints: [rim]}}}}
"""
MEANT = {"boost": "0.6 bar", "temperature": "110 degC", "displacement": "4.4 L", "mass": "16 kg"}


@pytest.mark.parametrize(
    ("change", "title", "measured"),
    [
        ({"boost": "0.6 MPa"}, "boost", 6.0),
        ({"boost": "0.6 mbar"}, "boost", 0.0006),
        ({"temperature": "110 K"}, "engine temperature", 110 - 273.15),
        ({"temperature": "1100 degC"}, "engine temperature", 1100),
        ({"displacement": "4.4 cc"}, "engine displacement", 0.0044),
        ({"displacement": "440 L"}, "engine displacement", 440),
        ({"mass": "16 g"}, "load mass", 0.016),
        ({}, "", 0.0),
    ],
)
def test_a_wrong_unit_in_the_design_is_a_caution(
    tmp_path: Path, change: dict[str, str], title: str, measured: float
) -> None:
    stated = cautions(stack_of(tmp_path, STACK.format(**USUAL) + DESIGN.format(**{**MEANT, **change})))
    assert {one.title: (one.part, one.measured) for one in stated.values()} == (
        {title: ("trial", pytest.approx(measured))} if change else {}
    )


INSIDE = {
    "mm": lambda x: x,
    "deg": lambda x: x,
    "MPa": lambda x: x,
    "N": lambda x: x,
    "kg": lambda x: x,
    "kg/s": lambda x: x,
    "rpm": lambda x: x,
    "kW": lambda x: x,
    "bar": lambda x: x / 10,
    "N.m": lambda x: x * 1000,
    "L": lambda x: x * 1e6,
    "cc/min": lambda x: x * 1000 / 60,
    "L/min": lambda x: x * 1e6 / 60,
    "degC": lambda x: x + 273.15,
}
"""From the units of the table to MPa, N.mm, mm3, mm3/s and K."""


def test_patterns_of_the_table_have_no_wildcard_but_the_star() -> None:
    assert [row.keys for row in usual_sizes().values() if set(row.keys or "") & set("?[]")] == []


@pytest.mark.parametrize("row", [row for row in usual_sizes().values() if row.keys], ids=lambda row: row.name)
def test_every_size_of_the_table_is_a_caution_just_beyond_either_end(row: UsualSize) -> None:
    key = (row.keys or "").split()[0].replace("*", "x")
    assert usual_size_of(key) is row
    least, most = row.least or 0.0, row.most or 0.0
    assert least < most
    low, high = (least - 1, most + 1) if row.unit == "degC" else (0.99 * least, 1.01 * most)
    for value, off in ((low, least > 0 or row.unit == "degC"), (least, False), (most, False), (high, True)):
        given = Given(("design", row.name), key, INSIDE[row.unit](value))
        stated = [one for one in check_plausible(Stack("s", "s", "mm", (), (), (), given=(given,))) if one.margin]
        assert [(one.title, one.unit, one.verdict) for one in stated] == (
            [(row.title, row.unit, Verdict.CAUTION)] if off else []
        ), value


def test_every_derived_size_has_no_key_and_every_other_has_one() -> None:
    assert {name for name, row in usual_sizes().items() if not row.keys} == DERIVED


def test_what_standards_hold_in_stock_is_usual() -> None:
    """ISO 888 and inch bolt lengths, ISO 1641 and inch end mills, ISO 235 and inch drills, glands, mounting patterns."""

    def inside(name: str, values: list[float]) -> bool:
        row = usual_sizes()[name]
        return bool(values) and all((row.least or 0) <= value <= (row.most or 0) for value in values)

    for size in ("M3", "M5", "M8", "M12", "M20", "#10-24", "1/4-20", "1/2-13"):
        assert inside("bolt_length", list(standard_bolt_lengths(size).lengths)), size
    assert inside("cutter_diameter", [mill.diameter for mill in cutters()])
    assert inside("hole_diameter", [drill.diameter for drill in drills() if drill.diameter >= 0.5])
    assert inside("groove_depth", [deep for ring in (1.78, 2.62, 3.53, 5.33, 6.99)
                                   for deep in (face_gland(ring).depth_least, face_gland(ring).depth_most)])  # fmt: skip
    sizes = [size for one in mounting_patterns() for size in (one.bolt_circle, one.pitch_x, one.pitch_y) if size]
    assert inside("pattern_size", sizes)


RANGE = "    limits: {usual: {plate_length: %s}}\n"


def test_a_spec_sets_a_range_for_the_project_and_for_a_part(tmp_path: Path) -> None:
    long = LID.replace("120", "3000")
    whole = HEAD.replace("parts:", "limits: {usual: {plate_length: [10, 6 m]}}\nparts:")
    assert cautions(stack_of(tmp_path, whole + long)) == {}
    assert cautions(lid_of(tmp_path, long + RANGE % "[10, 6 m]")) == {}
    [one] = cautions(stack_of(tmp_path, whole + long + RANGE % "[10, 100 in]")).values()
    assert (one.required, one.source) == (pytest.approx(2540), "the spec, limits.usual.plate_length")
    assert note_of(one) == "usual 10 mm to 2540 mm (the longer side of the blank); check the unit"


def test_ranges_of_other_units_and_of_joints_and_bodies(tmp_path: Path) -> None:
    text = STACK.format(**{**USUAL, "pressure": "100 MPa", "side": "5 m", "torque": "10000 N.m"})
    wide = "limits: {usual: {joint_pressure: [0 bar, 200 MPa], body_size: [1, 9 m], bolt_torque: [1 N.m, 20000 N.m]}}\n"
    assert set(cautions(stack_of(tmp_path, text))) == {"joint pressure", "body size", "bolt torque"}
    assert cautions(stack_of(tmp_path, text + wide)) == {}


@pytest.mark.parametrize(
    ("given", "stated"),
    [
        ("{plate_lenght: [1, 2]}", "limits.usual.plate_lenght: unknown key"),
        ("{plate_length: [2, 1]}", "limits.usual.plate_length: a usual range is [least, most]"),
        ("{plate_length: [1]}", "limits.usual.plate_length"),
        ("{plate_length: [1 bar, 2]}", "limits.usual.plate_length[0]"),
        ("{boost: [1 bar, 2]}", "limits.usual.boost[1]"),
    ],
)
def test_a_range_that_is_none_is_refused_with_its_key(tmp_path: Path, given: str, stated: str) -> None:
    text = HEAD.replace("parts:", f"limits: {{usual: {given}}}\nparts:") + LID
    (tmp_path / "project.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(SpecErrors) as caught:
        load_project(tmp_path)
    assert str(caught.value).startswith(f"project.yaml:3: {stated}")


def test_a_mark_is_measured_at_its_letter_that_is_farthest_out(tmp_path: Path) -> None:
    """FRONT, 6 mm high and 5 x 0.76 x 6 = 22.8 mm long, from X = 50: to 72.8, 12.8 mm beyond the edge at 60."""
    one = cautions(lid_of(tmp_path, LID + "    marks: {front: {text: FRONT, at: [50, 0]}}\n"))[ON_METAL]
    assert one.measured == pytest.approx(-12.8)
    assert one.points[0][0] == pytest.approx(72.8)
    off = cautions(lid_of(tmp_path, LID + "    marks: {front: {text: FRONT, at: [500, 0]}}\n"))[ON_METAL]
    assert off.measured == pytest.approx(-(500 + 22.8 - 60))


def test_a_mark_over_a_hole_is_found(tmp_path: Path) -> None:
    """Letters from (0, 0) to (22.8, 6); a hole of 10 about (30, 3) leaves 30 - 5 - 22.8 = 2.2; about (26, 3) it takes
    1.8 of them. A blind one from below is not in the face."""
    spec = LID + "    marks: {front: {text: FRONT}}\n    holes: {h: {at: [%s, 3], diameter: 10%s}}\n"
    clear = [one for one in check_plausible(lid_of(tmp_path, spec % (30, ""))) if one.check == "PM522"]
    assert [(one.measured, one.verdict, one.note) for one in clear] == [
        (pytest.approx(2.2), Verdict.PASS, "nearest: h")
    ]
    over = cautions(lid_of(tmp_path, spec % (26, "")))[ON_METAL]
    assert (over.measured, over.note) == (pytest.approx(-1.8), "nearest: h")
    below = [
        one for one in check_plausible(lid_of(tmp_path, spec % (26, ", depth: 8, side: below"))) if one.check == "PM522"
    ]
    assert [one.verdict for one in below] == [Verdict.PASS]


def test_a_slanted_thread_is_held_against_its_own_way_through_the_blank(tmp_path: Path) -> None:
    """From the middle of the upper face, 45 degrees down through 20 mm: 20 sqrt 2 of metal on its axis."""
    bore = "    bores: {b: {at: [0, 0, 20], towards: [0, 1, -1], tapped: M6, depth: %s}}\n"
    deep = [one for one in check_plausible(lid_of(tmp_path, LID + bore % 29)) if one.check == "PM523"]
    assert [(one.verdict, one.required) for one in deep] == [(Verdict.CAUTION, pytest.approx(20 * math.sqrt(2)))]
    fits = [one for one in check_plausible(lid_of(tmp_path, LID + bore % 15)) if one.check == "PM523"]
    assert [one.verdict for one in fits] == [Verdict.PASS]


@pytest.mark.kernel
def test_a_body_from_a_file_in_metres_is_too_large(tmp_path: Path) -> None:
    import cadquery as cq

    cq.exporters.export(cq.Workplane("XY").box(20_000, 40, 30), str(tmp_path / "housing.step"))
    text = HEAD.replace(
        "parts:", "bodies:\n  housing: {envelope: {step: housing.step}, place: {at: [0, 0, -500]}}\nparts:"
    )
    [one] = cautions(stack_of(tmp_path, text + LID)).values()
    assert (one.part, one.title, one.measured) == ("housing", "body size", pytest.approx(20000, abs=1e-3))


def test_the_examples_have_no_size_off() -> None:
    for folder in (Path(__file__).parents[2] / "part_specs").iterdir():
        if folder.is_dir():
            assert cautions(assemble(load_project(folder))) == {}, folder.name


@pytest.mark.parametrize(
    ("envelope", "left"),
    [
        ("{box: [200, 100, 40]}", 50 - 40 - 4),
        ("{box: [200, 80, 40]}", -4),  # the axes lie on the edge
        ("{box: [110, 60, 40]}", -10 - 4),
        ("{cylinder: [150, 40]}", 75 - math.hypot(50, 40) - 4),
    ],
)
def test_bolts_stand_on_their_body(tmp_path: Path, envelope: str, left: float) -> None:
    """M8 at 100 by 80."""
    text = f"""
project: pot
bodies: {{pot: {{material: A356-T6, envelope: {envelope}, joints: {{lid: {{thread_depth: 24}}}}}}}}
joints: {{lid: {{bolts: {{pattern: {{rectangle: [100, 80]}}, thread: M8, length: 30}}}}}}
parts:
  lid: {{kind: plate, material: 6061-T6, thickness: 12, outline: {{rectangle: [130, 110]}}, below: {{lid: {{holes: clear}}}}}}
"""
    [one] = [each for each in check_plausible(stack_in(tmp_path, text)) if each.check == "PM529"]
    assert (one.part, one.measured) == ("pot", pytest.approx(left))
    assert one.verdict is (Verdict.CAUTION if left < 0 else Verdict.PASS)
