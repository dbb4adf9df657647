"""The door for scripts: `import platemaker`, its names, and what its objects promise beyond their doctests."""

from __future__ import annotations

import doctest
import inspect
import json
from pathlib import Path

import pytest

import platemaker
from tests.cli_runner import run
from tests.package_tree import ROOT

FACES = ROOT / "part_specs" / "standard_faces"


@pytest.mark.parametrize("name", platemaker.__all__)
def test_every_public_name_is_documented_and_has_an_example(name: str) -> None:
    thing = getattr(platemaker, name)
    assert inspect.getdoc(thing)
    found = doctest.DocTestFinder(recurse=False).find(thing, name)
    assert any(test.examples for test in found), f"{name} has no example"


@pytest.mark.parametrize("kind", [platemaker.Project, platemaker.Checked])
def test_every_method_is_documented(kind: type) -> None:
    methods = [name for name in vars(kind) if not name.startswith("_") and callable(getattr(kind, name))]
    assert len(methods) >= 4
    assert [name for name in methods if not inspect.getdoc(getattr(kind, name))] == []


def test_completion_shows_the_public_names() -> None:
    assert set(platemaker.__all__) <= set(dir(platemaker))
    with pytest.raises(AttributeError, match="has no attribute 'lod'"):
        platemaker.lod  # noqa: B018


def test_a_change_leaves_project_and_files_alone() -> None:
    before = {path.name: path.read_bytes() for path in FACES.iterdir()}
    project = platemaker.load(FACES)
    thick = project.with_value("adapter.thickness", 20).with_value("adapter.thickness", "1 in")
    assert (project.value("adapter.thickness"), thick.value("adapter.thickness")) == (12, "1 in")
    assert thick.stack.part("adapter").stock.thickness == 25.4
    assert project.stack.part("adapter").stock.thickness == 12
    assert len(thick.changes) == 1, "a second change of one key takes the first one's place"
    assert {path.name: path.read_bytes() for path in FACES.iterdir()} == before


def test_a_wrong_value_names_file_line_and_key() -> None:
    with pytest.raises(platemaker.SpecError, match=r"project\.yaml:\d+: parts\.adapter\.thickness: .*-3"):
        platemaker.load(FACES).with_value("adapter.thickness", -3)


def test_findings_are_those_of_the_command() -> None:
    findings = platemaker.load(FACES).check().findings
    stated = json.loads(run("check", FACES, "--json").out)["findings"]
    assert sorted(one.id for one in findings) == sorted(one["id"].partition("#")[0] for one in stated)


def test_a_study_varies_the_changed_project() -> None:
    """Floors under the counterbores for M6, 6.4 mm deep by ISO 4762's head and a clearance of 0.4."""
    thin = platemaker.load(FACES).with_value("adapter.thickness", 8)
    rows = thin.study("adapter.edge_break=0.4,0.5").rows
    assert [row.least.measured for row in rows if row.least] == pytest.approx([8 - 6.4] * 2)
    assert [row.least.measured for row in thin.study("adapter.thickness=9").rows if row.least] == pytest.approx([2.6])


def test_reports_say_what_was_changed() -> None:
    """A report of a changed project must not pass for one of the files as they stand."""
    project = platemaker.load(FACES)
    thick = project.with_value("adapter.thickness", 20)
    meta = thick.check().meta({})
    assert meta.spec_name == "standard_faces with parts.adapter.thickness = 20"
    assert meta.spec_hash != project.check().meta({}).spec_hash
    assert project.with_value("adapter.thickness", 21).check().meta({}).spec_hash != meta.spec_hash


@pytest.mark.parametrize(("name", "nearest"), [("adaptor", "adapter"), ("zzz", None)])
def test_a_part_that_is_none_is_refused(name: str, nearest: str | None) -> None:
    done = platemaker.load(FACES).check()
    for ask in (done.least_metal, done.only):
        with pytest.raises(platemaker.SpecError, match=f"no part is called '{name}'") as refused:
            ask(name)
        assert refused.value.nearest == nearest


def test_readings_of_the_finished_part_are_checked(tmp_path: Path) -> None:
    with pytest.raises(platemaker.SpecError, match=r"missing\.yaml"):
        platemaker.load(FACES).check(as_built=[tmp_path / "missing.yaml"])


@pytest.mark.kernel
def test_the_lines_of_the_readme_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys) -> None:
    (tmp_path / "part_specs").symlink_to(ROOT / "part_specs")
    monkeypatch.chdir(tmp_path)
    lines = (ROOT / "README.md").read_text(encoding="utf-8").partition("```python\n")[2].partition("```")[0]
    exec(compile(lines, "README.md", "exec"), {})
    said = capsys.readouterr().out.splitlines()
    assert any(line.endswith("3.0 mm") for line in said), "8 mm leaves 1.6 mm under the heads, which fails"
    assert said[-3].startswith("8 1.6 ")
    assert said[-1] == "12 5.6 0", "the example as it stands passes"
    assert (tmp_path / "exports" / "standard_faces" / "adapter.step").exists()
