"""`platemaker check`: findings worst first within 80 columns, JSON, one part alone, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml

from tests.cli_runner import run
from tests.package_tree import ROOT

EXAMPLES = sorted(path.parent for path in (ROOT / "part_specs").glob("*/project.yaml"))
GOOD = """\
project: lid
joints:
  rim:
    bolts: {pattern: {rectangle: [80, 60]}, thread: M6}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [110, 90], corner_radius: 8}
    below:
      rim: {holes: clear}
    holes:
      vent: {at: [-50, 0], diameter: 9}
  other:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {circle: 60}
"""
"""The vent's wall: its centre 5 mm from the edge at X = -55, radius 4.5: 0.5 mm, less than any limit."""


@pytest.fixture
def thin(tmp_path: Path) -> Path:
    (tmp_path / "lid").mkdir()
    (tmp_path / "lid" / "project.yaml").write_text(GOOD, encoding="utf-8")
    return tmp_path / "lid"


@pytest.mark.parametrize("folder", EXAMPLES, ids=lambda folder: folder.name)
def test_examples_pass(folder: Path) -> None:
    answer = run("check", folder)
    assert (answer.code, answer.err) == (0, ""), answer.out


@pytest.mark.parametrize("options", [(), ("--all",)])
@pytest.mark.parametrize("folder", EXAMPLES, ids=lambda folder: folder.name)
def test_the_table_fits_80_columns(folder: Path, options: tuple[str, ...]) -> None:
    assert max(map(len, run("check", folder, *options).out.splitlines())) <= 80


def test_a_thin_wall_fails_and_stands_first(thin: Path) -> None:
    answer = run("check", thin)
    assert (answer.code, answer.err) == (1, "")
    rows = answer.out.splitlines()
    assert rows[0].startswith("Not ready to order: "), rows[0]
    assert rows[2].startswith("fail "), rows[2]
    assert "vent" in " ".join(rows[2:4])
    assert any("0.500 mm, at least " in row for row in rows[2:6])


def test_passes_are_listed_only_when_asked_for(thin: Path) -> None:
    assert "\npass " not in run("check", thin).out
    assert "\npass " in run("check", thin, "--all").out


def test_json_holds_the_same_findings(thin: Path) -> None:
    answer = run("check", thin, "--json")
    assert (answer.code, answer.err) == (1, "")
    report = json.loads(answer.out)
    assert report["project"]["name"] == "lid"
    assert report["summary"]["verdict"] == "fail"
    vent = [one for one in report["findings"] if "vent" in one["features"] and one["verdict"] == "fail"]
    assert 0.5 in [round(one["measured"], 6) for one in vent]
    assert set(report["spec"]) == {"name", "sha256"}


def test_only_narrows_findings_parts_and_exit_code(thin: Path) -> None:
    assert run("check", thin, "--only", "lid").code == 1
    answer = run("check", thin, "--only", "other", "--json")
    assert answer.code == 0
    report = json.loads(answer.out)
    assert [part["name"] for part in report["parts"]] == ["other"]
    assert {one["part"] for one in report["findings"]} <= {"other"}
    both = json.loads(run("check", thin, "--only", "other", "--only", "lid", "--json").out)
    assert [part["name"] for part in both["parts"]] == ["lid", "other"]


def test_check_writes_nothing(thin: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(thin.parent)
    run("check", "lid")
    assert [path.name for path in thin.parent.iterdir()] == ["lid"]
    assert [path.name for path in thin.iterdir()] == ["project.yaml"]


def test_the_folder_may_be_the_current_one(thin: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(thin)
    assert json.loads(run("check", ".", "--json").out)["spec"]["name"] == "lid"


def test_the_hash_follows_every_file_of_the_spec(thin: Path) -> None:
    def digest() -> str:
        return json.loads(run("check", thin, "--json").out)["spec"]["sha256"]

    first = digest()
    assert digest() == first
    (thin / "notes.txt").write_text("not read", encoding="utf-8")
    assert digest() == first
    (thin / "more.yaml").write_text("bodies: {}\n", encoding="utf-8")
    second = digest()
    assert second != first
    (thin / "more.yaml").write_text("bodies: {} \n", encoding="utf-8")
    assert digest() not in {first, second}


def test_colour_only_where_asked_for(thin: Path) -> None:
    assert "\x1b" not in run("check", thin).out
    assert "\x1b[1;31mfail" in run("check", thin, "--colour").out
    assert "\x1b" not in run("check", thin, "--colour", "--json").out


def test_the_spec_in_the_readme_passes(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8").split("```yaml\n")[1].split("```")[0]
    name = yaml.safe_load(text)["project"]
    (tmp_path / name).mkdir()
    (tmp_path / name / "project.yaml").write_text(text, encoding="utf-8")
    answer = run("check", tmp_path / name)
    assert answer.code == 0, answer.out + answer.err
    assert "caution" not in answer.out
