"""Comparisons of a small lid with an edited one: what moved, changed size, appeared, vanished; margins; reports."""

from __future__ import annotations

import json
import math
import shutil
from pathlib import Path

import pytest

from platemaker.errors import SpecError
from platemaker.study import Change, Comparison, compare, comparison_json, render_comparison
from tests.cli_runner import run
from tests.package_tree import ROOT
from tests.study_projects import project

WITH_HOLE = {
    "opening: {shape: {circle: 20}}": "opening: {shape: {circle: 20}}\n    holes: {vent: {at: [20, 0], diameter: 5}}"
}


def compared(folder: Path, before: dict[str, str], after: dict[str, str]) -> Comparison:
    return compare(project(folder / "before", **before), project(folder / "after", **after))


def stated(comparison: Comparison, *, findings: bool = False) -> set[tuple[str, str, str, str]]:
    """The differences without their values."""
    return {
        (one.change.value, one.owner, one.name, one.fact)
        for one in comparison.differences
        if findings or one.subject.value != "finding"
    }


def test_a_project_does_not_differ_from_itself(tmp_path: Path) -> None:
    found = compared(tmp_path, {}, {})
    assert found.differences == ()
    assert found.margins != ()
    assert all((one.before, one.verdict_before) == (one.after, one.verdict_after) for one in found.margins)
    assert render_comparison(found).endswith("nothing differs\n")


def test_a_hole_moves(tmp_path: Path) -> None:
    found = compared(tmp_path, WITH_HOLE, {**WITH_HOLE, "at: [20, 0]": "at: [20, 1]"})
    assert stated(found) == {("moved", "shim", "vent", "at")}
    (moved,) = (one for one in found.differences if one.fact == "at")
    assert (moved.before, moved.after, moved.unit) == ((20.0, 0.0, 12.0), (20.0, 1.0, 12.0), "mm")


def test_how_far_a_hole_moved_is_one_line(tmp_path: Path) -> None:
    text = render_comparison(compared(tmp_path, WITH_HOLE, {**WITH_HOLE, "at: [20, 0]": "at: [22, 0]"}))
    assert "moved         shim, vent: by +2.000 mm in X\n" in text


def test_a_hole_of_another_name_is_matched_by_its_place(tmp_path: Path) -> None:
    """With its findings; one that lies 15 mm off is another hole."""
    found = compared(tmp_path, WITH_HOLE, {**WITH_HOLE, "vent: {at: [20, 0]": "breather: {at: [20, 1]"})
    assert stated(found) == {("moved", "shim", "vent", "at"), ("changed", "shim", "vent", "name")}
    assert "now called breather" in render_comparison(found)
    sides = {one.finding: (one.verdict_before, one.verdict_after) for one in found.margins}
    assert sides["PM110:shim:vent+outline"] == ("pass", "pass")
    far = stated(compared(tmp_path, WITH_HOLE, {**WITH_HOLE, "vent: {at: [20, 0]": "breather: {at: [20, 15]"}))
    assert {("appeared", "shim", "breather", ""), ("vanished", "shim", "vent", "")} <= far


def test_a_pattern_with_more_holes_is_not_all_holes_moved(tmp_path: Path) -> None:
    """Three spots along X instead of two: the corners stay, whatever their numbers are now."""
    found = compared(tmp_path, {}, {"{rectangle: [80, 60]}": "{rectangle: [80, 60], rows: [3, 2]}"})
    assert {(change, fact) for change, owner, name, fact in stated(found) if name == "rim"} >= {
        ("moved", "spot 2 (new)")
    }
    text = render_comparison(found)
    assert text.count("new at") == 2
    assert " by " not in text
    assert "rim_" not in text.split("margins of findings")[0], "holes follow from their joint"


def test_a_hole_changes_size(tmp_path: Path) -> None:
    """The disc is 12 thick: its volume falls by 12 pi (6^2 - 5^2) / 4."""
    found = compared(tmp_path, WITH_HOLE, {**WITH_HOLE, "diameter: 5": "diameter: 6"})
    assert stated(found) == {
        ("changed size", "shim", "vent", "diameter"),
        ("changed size", "shim", "vent", "step 1 diameter"),
        ("changed size", "", "shim", "volume"),
        ("changed", "", "shim", "mass"),
    }
    (volume,) = (one for one in found.differences if one.fact == "volume")
    assert isinstance(volume.before, float)
    assert isinstance(volume.after, float)
    # Both are rounded to 1e-6 in the report.
    assert volume.before - volume.after == pytest.approx(12 * math.pi * (36 - 25) / 4, abs=2e-6)


def test_a_hole_appears(tmp_path: Path) -> None:
    found = compared(tmp_path, {}, WITH_HOLE)
    assert ("appeared", "shim", "vent", "") in stated(found)
    added = [one for one in found.margins if one.verdict_before is None]
    assert {"PM110:shim:vent+outline"} <= {one.finding for one in added}
    assert all(one.before is None and one.verdict_after is not None for one in added)


def test_a_pocket_grows_and_is_not_told_to_move(tmp_path: Path) -> None:
    """Its box grows with it; only a pocket of the same size that lies elsewhere has moved."""
    grown = compared(tmp_path, {}, {"[72, 44]": "[72, 45]"})
    facts = {fact for _, owner, name, fact in stated(grown) if (owner, name) == ("lid", "pocket")}
    assert facts == {"area", "boundary"}
    (area,) = (one for one in grown.differences if one.fact == "area")
    corner = (4 - math.pi) * 25
    assert area.before == pytest.approx(72 * 44 - corner, rel=1e-12)
    assert area.after == pytest.approx(72 * 45 - corner, rel=1e-12)
    moved = compared(tmp_path, {}, {"corner_radius: 5": "corner_radius: 5, at: [1, 0]"})
    assert stated(moved) == {("moved", "lid", "pocket", "middle"), ("moved", "lid", "pocket", "box")}


def test_the_joint_and_the_blank(tmp_path: Path) -> None:
    found = compared(tmp_path, {}, {"[80, 60]": "[80, 58]", "[100, 80]": "[100, 82]", "6061-T6": "7075-T6"})
    assert {
        ("moved", "", "rim", "spot 1"),
        ("moved", "lid", "rim_1", "at"),
        ("changed size", "lid", "outline", "area"),
        ("changed size", "", "lid", "size"),
        ("changed", "", "lid", "material"),
    } <= stated(found)


def test_a_part_appears_without_a_word_on_each_of_its_cuts(tmp_path: Path) -> None:
    disc = "  disc:\n    kind: plate\n    material: A36\n    thickness: 5\n    outline: {circle: 40}\n"
    more = {"parts:\n": "parts:\n" + disc}
    found = compared(tmp_path, {}, more)
    assert stated(found, findings=True) == {("appeared", "", "disc", "")}
    assert {one.part for one in found.margins if one.verdict_before is None} <= {"disc"}
    gone = compared(tmp_path, more, {})
    assert stated(gone, findings=True) == {("vanished", "", "disc", "")}


def test_bodies_are_compared(tmp_path: Path) -> None:
    body = {"joints:\n  rim": "bodies:\n  box: {envelope: {box: [60, 60, 20]}, place: {at: [0, 0, 0]}}\njoints:\n  rim"}
    moved = {key: text.replace("at: [0, 0, 0]", "at: [0, 9, 0]") for key, text in body.items()}
    assert stated(compared(tmp_path, body, moved)) == {("moved", "", "box", "place")}
    assert ("appeared", "", "box", "") in stated(compared(tmp_path, {}, body))


def test_a_bodys_own_port_is_compared(tmp_path: Path) -> None:
    def body(port: str) -> dict[str, str]:
        faces = f"{{rim: {{face: above, opening: {{circle: {port}, at: [0, 0]}}}}}}"
        return {
            "joints:\n  rim": f"bodies:\n  box: {{joints: {faces}}}\njoints:\n  rim",
            "thread: M6}": "thread: M6}\n    opening: {circle: 20}",
        }

    found = stated(compared(tmp_path, body("20"), body("19")))
    assert found == {("changed size", "", "rim", f"port of box, {what}") for what in ("area", "boundary")}


def test_margins_before_and_after(tmp_path: Path) -> None:
    """Floor under the pocket: 12 - 5 = 7 before, 12 - 6 = 6 after; the limit is the same."""
    found = compared(tmp_path, {}, {"depth: 5": "depth: 6"})
    (floor,) = (one for one in found.margins if one.finding == "PM110:lid:pocket+face below")
    assert floor.before is not None
    assert floor.after is not None
    assert floor.before - floor.after == pytest.approx(1.0, abs=2e-6)
    text = render_comparison(found)
    assert "PM110:lid:pocket+face below" in text
    assert "PM110:lid:rim_1+outline" not in text
    assert "PM110:lid:rim_1+outline" in render_comparison(found, every=True)
    assert max(map(len, render_comparison(found, every=True).splitlines())) <= 80


def test_two_edited_values_of_a_whole_project_take_at_most_forty_lines(tmp_path: Path) -> None:
    source = ROOT / "part_specs" / "pump_engine"
    shutil.copytree(source, tmp_path / "edited")
    file = tmp_path / "edited" / "plates.yaml"
    old, new = ("wall: 5, land: 12, cutter: 12.7, depth: 12,", "wall: 6, land: 12, cutter: 12.7, depth: 11,")
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    stated = run("compare", source, tmp_path / "edited").out
    assert "depth 12.000 -> 11.000 mm" in stated
    assert "PM955:blower_plate:pocket+opening+opening" in stated, "its throat is smaller than what is accepted"
    assert len(stated.splitlines()) <= 40
    assert len(run("compare", source, tmp_path / "edited", "--all").out.splitlines()) > 100


def test_json(tmp_path: Path) -> None:
    found = compared(tmp_path, {}, {"depth: 5": "depth: 6"})
    read = json.loads(comparison_json(found))
    assert (read["differs"], read["partial"]) == (True, False)
    depth = next(one for one in read["differences"] if one["fact"] == "depth")
    assert (depth["change"], depth["before"], depth["after"], depth["unit"]) == ("changed size", 5.0, 6.0, "mm")
    assert json.loads(comparison_json(compared(tmp_path, {}, {})))["differs"] is False


def report(folder: Path, **edits: str) -> Path:
    answer = run("check", project(folder, **edits), "--json")
    file = folder / "report.json"
    file.write_text(answer.out, encoding="utf-8")
    return file


def test_reports_are_compared_in_what_they_hold(tmp_path: Path) -> None:
    first, second = report(tmp_path / "a", **WITH_HOLE), report(tmp_path / "b", **WITH_HOLE, **{"[72, 44]": "[60, 44]"})
    same = compare(first, project(tmp_path / "c", **WITH_HOLE))
    assert (same.differences, same.partial) == ((), True)
    assert "one side is a report" in " ".join(render_comparison(same).split())
    # The pocket itself is not in a report: only what the checks say of it differs.
    found = compare(first, second)
    assert stated(found) == set()
    assert {one.change for one in found.differences} <= {Change.CHANGED, Change.APPEARED, Change.VANISHED}
    moved = compare(first, report(tmp_path / "d", **WITH_HOLE, **{"at: [20, 0]": "at: [20, 1]"}))
    assert stated(moved) == {("moved", "shim", "vent", "at")}


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        ("{", "not JSON; allowed: a project's folder, or a report.json"),
        ("[]", "not a report that can be read; allowed: a report.json of format 1"),
        ('{"format": 99}', "not a report that can be read"),
        ('{"format": 1}', "a report with something missing: 'joints'"),
    ],
)
def test_what_is_no_report(tmp_path: Path, content: str, problem: str) -> None:
    file = tmp_path / "report.json"
    file.write_text(content, encoding="utf-8")
    with pytest.raises(SpecError) as fault:
        compare(file, file)
    assert str(fault.value).startswith(f"report.json: {problem}")


BRACKET = """  arm: {kind: bracket, material: S235, width: 25, thickness: 5, legs: [60, 50], bends: [{angle: 90 deg, radius: 5}],
    quantity: 2, note: "deburr\\nall round", place: {at: [0, 0, 200]},
    holes: {a: {leg: 1, at: [15, 0], clear: M6, screw: {length: 20}}}}
"""


def test_legs_and_bends_are_named_and_counts_are_whole(tmp_path: Path) -> None:
    before = {"  shim:\n": BRACKET + "  shim:\n"}
    edits = {
        "angle: 90 deg": "angle: 85 deg",
        "quantity: 2": "quantity: 3",
        "all round": "outside",
        "length: 20": "length: 25",
    }
    text = " ".join(render_comparison(compared(tmp_path, before, {**before, **edits})).split())
    assert "bend angles (90.000) -> (85.000) deg" in text
    assert "quantity 2 -> 3" in text
    assert "note deburr / all round -> deburr / outside" in text
    assert "arm, a: screw length 20.000 -> 25.000 mm" in text
    assert "StripStock" not in text


def test_what_is_bought_for_a_joint_is_compared(tmp_path: Path) -> None:
    """None of these moves a hole: the list of bolts and the fitter's sheet alone would say it."""
    bolts = {"thread: M6}": "thread: M6, length: 20, washers: true, torque: 9 N.m}"}
    found = compared(tmp_path, bolts, {"thread: M6}": "thread: M6, length: 25, head: hex, torque: 8 N.m}"})
    own = {one.fact: (one.before, one.after, one.unit) for one in found.differences if one.subject.value == "joint"}
    assert own == {
        "head": ("socket", "hex", ""),
        "screw length": (20.0, 25.0, "mm"),
        "washers": (True, False, ""),
        "torque": (9.0, 8.0, "N.m"),
    }


STATED = """
drawing: {number: TR-1, owner: Workshop}
design: {boost: 0.6 bar, friction: oiled, temperature: 90 degC}
stack: {ceiling: 260}
limits: {minimum_wall: 2.5}
accept: [{check: PM301, feature: rim, limit: 1.5, because: a flange over it}]
"""
EDITS = {
    "TR-1": "TR-2",
    "0.6 bar": "0.8 bar",
    "oiled": "plain",
    "90 degC": "363.15 K",  # the same
    "ceiling: 260": "ceiling: 26 cm",  # the same
    "minimum_wall: 2.5": "minimum_wall: 3",
    "limit: 1.5": "limit: 1.4",
}


def test_what_the_spec_states_beside_its_parts_is_compared(tmp_path: Path) -> None:
    """By what it means, not by how it is written: 90 degC are 363.15 K, 26 cm are 260 mm."""
    head = "project: lid\n"
    before = project(tmp_path / "a")
    text = (before / "project.yaml").read_text(encoding="utf-8")
    assert head in text
    text = text.replace(head, head + "title: A lid\n" + STATED)
    (before / "project.yaml").write_text(text, encoding="utf-8")
    for old, new in {**EDITS, "A lid": "The lid"}.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    after = project(tmp_path / "b")
    (after / "project.yaml").write_text(text, encoding="utf-8")
    found = compare(before, after)
    assert {(one.owner, one.name, one.fact, one.before, one.after) for one in found.differences
            if one.subject.value == "spec"} == {
        ("", "project", "title", "A lid", "The lid"),
        ("", "drawing", "number", "TR-1", "TR-2"),
        ("", "design", "boost", "0.6 bar", "0.8 bar"),
        ("", "design", "friction", "oiled", "plain"),
        ("", "limits", "minimum_wall", "2.5", "3"),
        ("accept", "PM301 rim", "limit", 1.5, 1.4),
    }  # fmt: skip
    said = " ".join(render_comparison(found).split())
    assert "changed spec design: boost 0.6 bar -> 0.8 bar; friction oiled -> plain" in said
    assert "changed spec project: title A lid -> The lid" in said


def test_land_pressure_limits_and_threads_of_bodies_are_compared(tmp_path: Path) -> None:
    """None of these is in a part's metal."""
    first = {"thread: M6}": "thread: M6}\n    pressure: 1 bar\n    gasket: {thickness: 1, land: 4}"}
    second = {"thread: M6}": "thread: M6}\n    pressure: 2 bar\n    gasket: {thickness: 1, land: 5}"}
    found = compared(tmp_path, first, second)
    assert {
        (one.name, one.fact, one.before, one.after) for one in found.differences if one.subject.value == "joint"
    } == {
        ("rim", "pressure", "1 bar", "2 bar"),
        ("rim", "gasket.land", "4", "5"),
    }
    body = (
        "bodies: {pot: {material: A356-T6, envelope: {box: [90, 70, 40]}, joints: {rim: {thread_depth: 14}}}}\nparts:\n"
    )
    found = compared(tmp_path / "b", {"parts:\n": body}, {"parts:\n": body.replace("14", "9")})
    assert ("changed", "", "pot", "rim.thread_depth") in stated(found)


def test_a_window_in_a_leg_that_moves_is_found(tmp_path: Path) -> None:
    """Neither area nor mass shows it."""
    window = "pockets: {w: {leg: 1, shape: {rectangle: [8, 8], corner_radius: 3, at: [30, 0]}, cutter: 6}},\n    holes:"
    before = {"  shim:\n": BRACKET.replace("holes:", window) + "  shim:\n"}
    found = compared(tmp_path, before, {**before, "at: [30, 0]": "at: [32, 0]"})
    moved = {one.fact: (one.before, one.after) for one in found.differences if one.name == "w"}
    assert moved == {"middle": ((30.0, 0.0), (32.0, 0.0)), "box": ((26.0, -4.0, 34.0, 4.0), (28.0, -4.0, 36.0, 4.0))}
