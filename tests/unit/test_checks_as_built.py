"""As built: sheets of readings against tolerances, every check on what was cut, and what a sheet may not say."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict, check_as_built
from platemaker.checks._as_built import _of_sheet, _slip
from platemaker.errors import SpecError
from platemaker.parts import Stack, as_cut, read_as_built
from platemaker.report import worded
from tests.cli_runner import run
from tests.design_stacks import by_check, inputs, stack_of
from tests.plates import note_of

PROJECT = """
project: trial
bodies: {log: {joints: {top: {holes: tapped, position: 0.4}}}}
joints:
  top: {bolts: {pattern: {rectangle: [80, 60]}, thread: M8}, opening: {rectangle: [40, 30], corner_radius: 5}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [120, 100]}
    below: {top: {holes: counterbored, position: 0.3}}
    opening: {match: top}
    reliefs: {stud: {at: [50, 0], diameter: 10, depth: 6}}
    holes: {pin: {at: [-50, 0], diameter: 6}, tap: {at: [0, 36], tapped: M6, depth: 4}}
"""
ROWS = {
    "thickness": (12, 0.2),
    "size.x": (120, 0.3),
    "cut.opening.x": (40, 0.3),
    "cut.opening.y": (30, 0.2),
    "cut.stud.diameter": (10, 0.2),
    "cut.stud.depth": (6, 0.1),
    "hole.top_1.diameter": (9, 0.2),
    "hole.top_3.x": (80, 0.3),
    "hole.top_3.y": (60, 0.3),
    "hole.top_3.diameter": (9, 0.2),
    "hole.top_3.counterbore.depth": (8.6, 0.2),
    "hole.pin.x": (-10, 0.2),
    "hole.tap.thread_depth": (4, 0.5),
}


def sheet(folder: Path, reads: dict[str, object], more: str = "", part: str = "lid") -> Path:
    """A sheet from the datum hole top_1 at (-40, -30)."""
    lines = [f"part: {part}", "datum: {hole: top_1, at: [-40.0, -30.0]}", "measures:"]
    for id_, (nominal, band) in ROWS.items():
        value = reads.get(id_, "null")
        lines.append(f"- {{id: {id_}, what: words, nominal: {nominal}, tolerance: [-{band}, {band}], reads: {value}}}")
    file = folder / "lid_first_article.yaml"
    file.write_text("\n".join(lines) + "\n" + more, encoding="utf-8")
    return file


@pytest.fixture
def stack(tmp_path) -> Stack:
    return stack_of(tmp_path, PROJECT)


def built(stack: Stack, folder: Path, **reads: object) -> tuple[Finding, ...]:
    ids = {id_.replace(".", "_"): id_ for id_ in ROWS}
    return check_as_built(stack, [read_as_built(sheet(folder, {ids[k]: v for k, v in reads.items()}), stack)])


def test_sheet_agrees_with_what_the_build_would_write(stack, tmp_path):
    """Its ids and nominals are those of the export room's own sheet."""
    from platemaker.export._sheet._drawing_title import About
    from platemaker.export._sheet._first_article import first_article
    from platemaker.export._sheet._sheet_paper import Projection
    from platemaker.parts._as_made._as_built import nominals_of

    about = About("trial", "mm", "1", Projection.FIRST_ANGLE)
    rows = [one for one in first_article(stack.part("lid"), about) if not one.computed]
    written = {one.id: one.nominal for one in rows if one.nominal is not None}
    known = nominals_of(stack.part("lid"), (-40.0, -30.0))
    assert {id_: pytest.approx(known[id_]) for id_ in written} == written
    assert set(ROWS) <= set(written)


def test_deviation_is_told_with_the_room_left(stack, tmp_path):
    findings = by_check(built(stack, tmp_path, thickness=12.05, cut_stud_depth=6.13), "PM851")
    good, bad = sorted(findings, key=lambda found: found.measured or 0.0, reverse=True)
    assert (good.verdict, good.measured) == (Verdict.PASS, pytest.approx(0.15))
    assert (bad.verdict, bad.measured) == (Verdict.FAIL, pytest.approx(-0.03))
    assert note_of(bad) == "words: +0.130 mm off; allowed -0.1 to +0.1 mm"
    assert inputs(bad)["reads"] == 6.13


@pytest.mark.parametrize(
    ("reads", "slip"),
    [
        (1205, "; 1205 with its decimal point elsewhere is 12.05 mm: read it again"),
        (1.19, "; 1.19 with its decimal point elsewhere is 11.9 mm: read it again"),
        (0.4715, "; 0.4715 taken as inches is 11.9761 mm: read it again"),
        (14.0, ""),
        (12.05, ""),
    ],
)
def test_a_typing_error_is_pointed_at(stack, tmp_path, reads, slip):
    """1 in is 25.4 mm: 0.4715 in is 11.9761 mm."""
    [found] = by_check(tuple(_of_sheet(read_as_built(sheet(tmp_path, {"thickness": reads}), stack))), "PM851")
    assert note_of(found).partition("; allowed -0.2 to +0.2 mm")[2] == slip


def test_a_reading_near_zero_is_no_typing_error():
    """0.5 for 0 +-0.2 is a hole that lies off, not 0.05 or 0.005."""
    assert _slip(0.5, 0.0, (-0.2, 0.2), "mm") == ""
    assert worded(_slip(0.5, 50.0, (-0.2, 0.2), "mm")).metric == "0.5 with its decimal point elsewhere is 50 mm"


def test_a_wrong_sign_is_pointed_at(stack, tmp_path):
    [found] = by_check(built(stack, tmp_path, hole_pin_x=10.1), "PM851")
    assert note_of(found).endswith("; 10.1 with the other sign is -10.1 mm: read it again")


@pytest.mark.parametrize(
    ("x", "y", "off", "verdict"),
    [(80.09, 60.12, 0.15, Verdict.PASS), (79.88, 60.12, 0.12 * math.sqrt(2.0), Verdict.FAIL)],
)
def test_an_axis_is_held_to_its_round_zone(stack, tmp_path, x, y, off, verdict):
    """The lid's zone is 0.3 mm: 0.09 and 0.12 make 0.15 (3-4-5) and just fit, twice 0.12 does not."""
    [found] = by_check(built(stack, tmp_path, hole_top_3_x=x, hole_top_3_y=y), "PM855")
    assert (found.verdict, found.features) == (verdict, ("top_3",))
    assert found.measured == pytest.approx(off, abs=1e-9)
    assert found.required == 0.15


def test_an_axis_read_one_way_only_or_without_a_zone_is_held_to_no_zone(stack, tmp_path):
    assert by_check(built(stack, tmp_path, hole_top_3_x=80.1, hole_pin_x=-10.0), "PM855") == []


def test_what_was_not_read_is_told(stack, tmp_path):
    [found] = by_check(built(stack, tmp_path, thickness=12.0), "PM853")
    assert note_of(found) == (
        "12 of 13 measures of lid_first_article.yaml are not filled in: size.x to hole.tap.thread_depth"
    )


def test_cuts_take_what_was_read(stack, tmp_path):
    reads = {
        "thickness": 11.9, "size.x": 120.4, "cut.opening.x": 40.6, "cut.stud.diameter": 10.3, "cut.stud.depth": 6.2,
        "hole.top_3.x": 80.2, "hole.top_3.y": 59.9, "hole.top_3.diameter": 9.1, "hole.top_3.counterbore.depth": 8.7,
        "hole.tap.thread_depth": 3.7,
    }  # fmt: skip
    cut, lost = as_cut(stack, read_as_built(sheet(tmp_path, reads), stack))
    part = cut.part("lid")
    assert lost == ()
    assert part.stock.thickness == 11.9  # type: ignore[union-attr]
    x0, _, x1, _ = part.stock.region.bounds  # type: ignore[union-attr]
    assert (x0, x1) == pytest.approx((-60.2, 60.2))
    opening, stud = part.cut("opening"), part.cut("stud")
    # 40.6 x 30 less four corners of radius 5: each leaves (1 - pi / 4) 25 mm2 out.
    assert opening.regions[0].area == pytest.approx(40.6 * 30 - 4 * 25 * (1 - 3.141592653589793 / 4))  # type: ignore[union-attr]
    assert opening.depth == 11.9
    assert stud.depth == 6.2
    assert stud.regions[0].area == pytest.approx(3.141592653589793 * 5.15**2)  # type: ignore[union-attr]
    hole = part.cut("top_3")
    assert hole.at == pytest.approx((40.2, 29.9, 11.9))  # type: ignore[union-attr]
    assert [(step.diameter, step.end) for step in hole.steps][1] == (9.1, 11.9)  # type: ignore[union-attr]
    assert hole.steps[0].end == 8.7  # type: ignore[union-attr]
    assert part.cut("tap").tapping.depth == 3.7  # type: ignore[union-attr]


def test_every_check_is_run_on_what_was_cut(stack, tmp_path):
    from platemaker.checks import check_stack

    drawn = {one.id: one.measured for one in check_stack(stack)}
    cut = {one.id: one.measured for one in built(stack, tmp_path, cut_stud_diameter=10.5, cut_stud_depth=6.5)}
    floor, wall = "PM110:lid:stud relief+face above", "PM110:lid:stud relief+outline"
    # Half a millimetre deeper, and a quarter wider on the side of the edge.
    assert cut[floor] == pytest.approx((drawn[floor] or 0.0) - 0.5)
    assert cut[wall] == pytest.approx((drawn[wall] or 0.0) - 0.25)


def test_fit_up_sees_the_holes_where_they_are(stack, tmp_path):
    file = sheet(tmp_path, {"hole.top_3.x": 80.4, "hole.top_3.y": 60.0}, "sd: 1 um\n")
    [found] = by_check(check_as_built(stack, [read_as_built(file, stack)]), "PM801")
    # The datum hole and the one that was read are known; the two others keep the zone of the drawing.
    assert "lid: 0.3 mm, the spec, 2 of 4 holes as read on the finished part" in note_of(found)
    # top_3 and top_4 stand 0.4 mm further apart than drawn: at best 0.2 mm off each, a zone of 0.4 mm. An unread hole
    # has 9 - 8 - 0.4 - 0.3 - 0.4 left; readings to a micrometre take 6 of them at most.
    assert found.measured == pytest.approx(-0.1, abs=6e-3)


def test_a_part_read_all_over_has_no_zone(stack, tmp_path):
    more = "".join(
        f"- {{id: hole.top_{i}.{axis}, what: w, nominal: {nominal}, tolerance: [-0.3, 0.3], reads: {nominal}}}\n"
        for i, place in ((2, (80, 0)), (4, (0, 60)))
        for axis, nominal in zip("xy", place, strict=True)
    )
    file = sheet(tmp_path, {"hole.top_3.x": 80, "hole.top_3.y": 60}, f"{more}sd: 1 um\n")
    [found] = by_check(check_as_built(stack, [read_as_built(file, stack)]), "PM801")
    assert inputs(found)["T upper"] == 0.0
    assert "lid: as read on the finished part" in note_of(found)
    # Only the log's zone is left: 9 - 8 - 0.4; readings to a micrometre take 6 of them at most.
    assert found.measured == pytest.approx(0.6, abs=6e-3)


TWO_BOLTS = """
project: trial
bodies: {log: {joints: {top: {holes: tapped, position: 0.4}}}}
joints: {top: {bolts: {pattern: {row: [0, 80]}, thread: M8}}}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [120, 40], at: [40, 0]}, below: {top: {holes: clear}}}
"""


@pytest.mark.parametrize(
    ("key", "sigma"),
    [
        # A digital caliper unless the sheet says so: rounding to 0.01 mm and 0.03 mm of setting.
        ("", math.hypot(0.01 / math.sqrt(12), 0.03)),
        ("instrument: steel rule\n", math.hypot(0.5 / math.sqrt(12), 0.15)),
        ("sd: 0.1\n", 0.1),
    ],
)
def test_what_places_were_read_to_enters_fit_up(tmp_path, key, sigma):
    stack = stack_of(tmp_path, TWO_BOLTS)
    rows = "".join(f"- {{id: hole.top_2.{axis}, what: w, nominal: {at}, tolerance: [-0.3, 0.3], reads: {at}}}\n"
                   for axis, at in (("x", 80), ("y", 0)))  # fmt: skip
    file = tmp_path / "lid_first_article.yaml"
    file.write_text(f"part: lid\ndatum: {{hole: top_1, at: [0.0, 0.0]}}\n{key}measures:\n{rows}", encoding="utf-8")
    [found] = by_check(check_as_built(stack, [read_as_built(file, stack)]), "PM801")
    # Of two bolts a turn takes up what the second lies aside; along the row each takes half of the error. So the worst
    # case, 3 deviations of either hole as a zone of twice that, has 9 - 8 - 0.4 - 2 x 3 x sigma / 2 left.
    assert found.measured == pytest.approx(0.6 - 3 * sigma, abs=1e-6)


def test_an_instrument_that_nobody_knows_is_refused(stack, tmp_path):
    with pytest.raises(SpecError, match=r"instrument: unknown instrument 'caliper'; allowed: digital caliper, dial"):
        read_as_built(sheet(tmp_path, {}, "instrument: caliper\n"), stack)


def test_a_typing_error_is_left_out_of_the_other_checks(stack, tmp_path):
    # 86 for 8.6: a counterbore 86 mm deep in a plate of 12 would fail every check of its floor and bolt.
    found = built(stack, tmp_path, hole_top_3_counterbore_depth=86)
    [deviation] = [one for one in by_check(found, "PM851") if "hole.top_3.counterbore.depth" in one.features]
    assert deviation.verdict is Verdict.FAIL
    assert note_of(deviation).endswith("; 86 with its decimal point elsewhere is 8.6 mm: read it again")
    [without] = by_check(found, "PM854")
    assert note_of(without) == (
        "hole.top_3.counterbore.depth: 86 with its decimal point elsewhere is 8.6 mm; left out of the checks on what was "
        "cut, which are run on what was drawn there"
    )
    drawn = built(stack, tmp_path)
    others = [[(one.id, one.measured) for one in some if not one.check.startswith("PM85")] for some in (found, drawn)]
    assert others[0] == others[1]


@pytest.mark.parametrize(
    "name",
    [
        "lower_plate",
        "blower_plate",
        "oil_return",
        "fuel_rail",
        "rail_bracket_front",
        "injector_bosses",
        "injector_bosses_drilling",
        "log_top_gasket",
    ],
)
def test_a_part_cut_as_drawn_gives_the_findings_of_the_drawing(name):
    """Readings equal to their nominals change nothing but what is known of the holes.

    What checks take at the ends of its zone is left out: pressed bosses with their bores, and bores for O-rings.
    """
    from platemaker.checks import check_stack
    from platemaker.parts import AsBuilt, AsRead
    from platemaker.parts._as_made._as_built import nominals_of
    from platemaker.resolved import assemble
    from platemaker.spec import load_project
    from tests.package_tree import ROOT

    stack = assemble(load_project(ROOT / "part_specs" / "pump_engine"))
    zoned = {"size.diameter", "hole.bore.diameter"}
    zoned |= {f"hole.injectors_{n}.{word}diameter" for n in range(1, 5) for word in ("", "counterbore.")}
    rows = [row for row in nominals_of(stack.part(name), (0.0, 0.0)).items() if row[0] not in zoned]
    built = AsBuilt("sheet", name, (0.0, 0.0), tuple(AsRead(id_, id_, v, (-0.1, 0.1), v) for id_, v in rows))

    def measured(findings: tuple[Finding, ...]) -> dict[str, float]:
        return {one.id: one.measured or 0.0 for one in findings if one.check[:4] not in ("PM80", "PM85")}

    drawn, cut = measured(check_stack(stack)), measured(check_as_built(stack, [built]))
    assert cut == pytest.approx(drawn, abs=1e-6)


def test_gauges(stack, tmp_path):
    more = "- {id: hole.tap.thread, what: M6, nominal: null, tolerance: null, reads: GO}\n"
    for word, verdict in (("true", Verdict.PASS), ("false", Verdict.FAIL)):
        file = sheet(tmp_path, {}, more.replace("GO", word))
        [found] = by_check(check_as_built(stack, [read_as_built(file, stack)]), "PM852")
        assert found.verdict is verdict


def test_a_slot_reads_longer_and_wider(tmp_path):
    text = PROJECT.replace("opening: {match: top}", "opening: {shape: {slot: [40, 30]}}").replace(
        "opening: {rectangle: [40, 30], corner_radius: 5}", "opening: {slot: [40, 30]}"
    )
    stack = stack_of(tmp_path, text)
    cut, lost = as_cut(stack, read_as_built(sheet(tmp_path, {"cut.opening.x": 40.2, "cut.opening.y": 30.3}), stack))
    [region] = cut.part("lid").cut("opening").regions  # type: ignore[union-attr]
    assert lost == ()
    assert region.bounds == pytest.approx((-20.1, -15.15, 20.1, 15.15))
    # A slot 40 x 30 is 10 x 30 and a disc of 15; 0.2 longer adds 0.2 x 30, then 0.3 wider adds 0.3 x 40.2.
    assert region.area == pytest.approx(10 * 30 + math.pi * 15**2 + 0.2 * 30 + 0.3 * 40.2, rel=1e-12)


def refusal(stack: Stack, file: Path) -> str:
    with pytest.raises(SpecError) as caught:
        read_as_built(file, stack)
    return str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("part: lid", "part: lidd", "lid_first_article.yaml:1: part: no part of the project has this name, met 'lidd'; "
         "allowed: lid; did you mean 'lid'?"),
        ("id: hole.pin.x", "id: hole.pni.x", "lid_first_article.yaml:15: measures[11]: 'hole.pni.x' is nothing to measure "
         "on lid, met 'hole.pni.x'; did you mean 'hole.pin.x'?"),
        ("id: size.x", "id: thickness", "lid_first_article.yaml:5: measures[1]: 'thickness' is measured twice; "
         "allowed: each id once"),
        ("nominal: 12,", "nominal: 10,", "lid_first_article.yaml:4: measures[0]: thickness is 12 mm now: the sheet was "
         "written for another drawing, met 10.0; allowed: a sheet of this build"),
        ("reads: 12.1}", "reads: -12.1}", "lid_first_article.yaml:4: measures[0]: thickness cannot read this, "
         "met '-12.1 mm'; allowed: above 0 mm"),
        ("reads: 12.1}", "reads: true}", "lid_first_article.yaml:4: measures[0]: thickness"),
        ("reads: 12.1}", "reads: thick}", "lid_first_article.yaml:4: measures[0]: thickness"),
        ("reads: 12.1}", "reads: 12.1, by: me}", "lid_first_article.yaml:4: measures[0].by: unknown key"),
        ("reads: 12.1}", "reeds: 12.1}", "lid_first_article.yaml:4: measures[0].reeds: unknown key; allowed: id, what, "
         "nominal, tolerance, source, reads; did you mean 'reads'?"),
        ("reads: 12.1}", "reads: [12.1]}", "lid_first_article.yaml:4: measures[0].reads: "),
        ("tolerance: [-0.2, 0.2]", "tolerance: [-0.2, wide]", "lid_first_article.yaml:4: measures[0].tolerance[1]: "),
        ("tolerance: [-0.2, 0.2]", "tolerance: [0.2]", "lid_first_article.yaml:4: measures[0].tolerance: "),
        ("tolerance: [-0.2, 0.2]", "tolerance: 0.2", "lid_first_article.yaml:4: measures[0].tolerance: "),
        ("nominal: 12,", "nominal: '12',", "lid_first_article.yaml:4: measures[0].nominal: "),
        ("part: lid", "part: lid\ninstrment: steel rule", "lid_first_article.yaml:2: instrment: unknown key"),
        ("part: lid", "part: lid\nunit: in", "lid_first_article.yaml:2: unit: not an allowed value, met 'in'; allowed: mm"),
        ("datum: {hole: top_1, at: [-40.0, -30.0]}", "datum: {hole: top_1}", "lid_first_article.yaml:2: datum.at: "),
    ],
)  # fmt: skip
def test_refused_in_exact_words(stack, tmp_path, old, new, message):
    file = sheet(tmp_path, {"thickness": 12.1})
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert refusal(stack, file).startswith(message)


def test_number_for_a_gauge_and_missing_file(stack, tmp_path):
    more = "- {id: hole.tap.thread, what: M6, nominal: null, tolerance: null, reads: 6.1}\n"
    stated = refusal(stack, sheet(tmp_path, {}, more))
    assert stated.endswith("measures[13]: hole.tap.thread is a gauge, met 6.1; allowed: reads: true or false")
    assert refusal(stack, tmp_path / "no.yaml").startswith("no such sheet of readings: no.yaml")


def test_command(stack, tmp_path):
    project = tmp_path / "job"
    project.mkdir()
    (project / "project.yaml").write_text(PROJECT, encoding="utf-8")

    def blank(reads: float) -> Path:
        """The sheet without its holes: a row that is missing was not read."""
        file = sheet(tmp_path, {"thickness": reads})
        lines = file.read_text(encoding="utf-8").splitlines(keepends=True)
        file.write_text("".join(line for line in lines if "id: hole" not in line), encoding="utf-8")
        return file

    good = run("check", project, "--as-built", blank(12.1))
    assert (good.code, "PM853" in good.out) == (0, True)
    bad = run("check", project, "--as-built", blank(12.3))
    assert bad.code == 1
    assert "Reading within its tolerance: lid, thickness" in " ".join(bad.out.split())
    wrong = run("check", project, "--as-built", tmp_path / "gone.yaml")
    assert wrong.code == 2
