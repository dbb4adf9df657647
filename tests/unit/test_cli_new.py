"""`platemaker new` and `platemaker schema`: a starter that passes as it is, and the schema that it names."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from platemaker.project import _new
from platemaker.spec import READINGS, load_project
from tests.cli_runner import run
from tests.package_tree import ROOT


def test_a_new_project_passes_its_checks_as_it_is(tmp_path: Path) -> None:
    folder = tmp_path / "my_plates"
    made = run("new", folder)
    assert (made.code, made.err) == (0, "")
    assert made.out.startswith(f"Started {folder}: platemaker.schema.json, project.yaml\n")
    assert load_project(folder).model.project == "my_plates"
    answer = run("check", folder)
    assert answer.code == 0, answer.out + answer.err
    assert "fail" not in answer.out.split("\n")[-2]


@pytest.mark.kernel
def test_a_new_project_builds_as_it_is(tmp_path: Path) -> None:
    run("new", tmp_path / "mine")
    answer = run("build", tmp_path / "mine", "--out", tmp_path / "exports")
    assert answer.code == 0, answer.out + answer.err
    made = tmp_path / "exports" / "mine"
    assert {"lower_plate.step", "lower_plate.dxf", "stack.step", "report.html", "manifest.json"} <= {
        path.name for path in made.iterdir()
    }
    zero = re.compile(r"(?<![\w.,:/-])-0(?:\.0+)?(?![\d.\w-])")
    for path in made.iterdir():
        if path.suffix in (".md", ".json", ".csv", ".yaml", ".dxf"):
            assert not zero.search(path.read_text(encoding="utf-8")), f"a minus before zero in {path.name}"


def test_the_starter_holds_two_plates_a_body_and_joints(tmp_path: Path) -> None:
    run("new", tmp_path / "mine")
    model = load_project(tmp_path / "mine").model
    assert [part.kind for part in model.parts.values()] == ["plate", "plate"]
    assert len(model.bodies) == 1
    assert len(model.joints) == 2


def test_schema_line_of_the_starter_names_the_schema_beside_it(tmp_path: Path) -> None:
    run("new", tmp_path / "mine")
    first = (tmp_path / "mine" / "project.yaml").read_text(encoding="utf-8").splitlines()[0]
    named = first.removeprefix("# yaml-language-server: $schema=")
    schema = json.loads((tmp_path / "mine" / named).read_text(encoding="utf-8"))
    data = yaml.safe_load((tmp_path / "mine" / "project.yaml").read_text(encoding="utf-8"))
    assert list(Draft202012Validator(schema).iter_errors(data)) == []
    data["parts"]["lower_plate"]["thicknes"] = 3
    assert list(Draft202012Validator(schema).iter_errors(data)) != []


@pytest.mark.parametrize("name", ["2plates", "with space", "dash-ed", "ö", "a" * 41, ".hidden"])
def test_bad_names_are_refused(tmp_path: Path, name: str) -> None:
    answer = run("new", tmp_path / name)
    assert answer.code == 2
    assert answer.err == (
        f"not a name for a project, met {name!r}; allowed: a letter, then letters, digits or _; at most 40, "
        "ASCII only\n"
    )
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_exists_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "project.yaml").write_text("dear work", encoding="utf-8")
    answer = run("new", tmp_path / "mine")
    assert answer.code == 2
    assert answer.err == f"{tmp_path / 'mine'} is there already and is left alone; allowed: a name that is free\n"
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["project.yaml"]
    assert (tmp_path / "mine" / "project.yaml").read_text(encoding="utf-8") == "dear work"


def test_a_missing_parent_is_named(tmp_path: Path) -> None:
    answer = run("new", tmp_path / "nowhere" / "mine")
    assert answer.code == 2
    assert answer.err == (f"there is no folder {tmp_path / 'nowhere'}; allowed: a name inside a folder that exists\n")


def test_a_start_that_fails_half_way_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_room() -> str:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(_new, "schema_text", no_room)
    answer = run("new", tmp_path / "mine")
    assert answer.code == 3
    assert answer.err == f"{tmp_path / 'mine'} cannot be written: No space left on device\n"
    assert list(tmp_path.iterdir()) == []


def test_schema_in_the_examples_is_fresh() -> None:
    """Written by `platemaker schema > part_specs/platemaker.schema.json`."""
    assert (ROOT / "part_specs" / "platemaker.schema.json").read_text(encoding="utf-8") == run("schema").out


SPECS = sorted(path for path in (ROOT / "part_specs").glob("*/*.yaml") if not path.name.endswith(READINGS))


@pytest.mark.parametrize("path", SPECS, ids=lambda p: f"{p.parent.name}-{p.name}")
def test_examples_name_the_schema_and_keep_to_it(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    schema = path.parent / first.removeprefix("# yaml-language-server: $schema=")
    assert schema.resolve() == ROOT / "part_specs" / "platemaker.schema.json"
    errors = Draft202012Validator(json.loads(schema.read_text(encoding="utf-8"))).iter_errors(
        yaml.safe_load(path.read_text(encoding="utf-8"))
    )
    assert [error.message for error in errors] == []
