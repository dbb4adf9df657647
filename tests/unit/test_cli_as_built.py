"""First-article sheets of both examples, written, filled in and checked as a shop would, with deviations planted."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import pytest
import yaml

from platemaker.export._paper import about_of
from platemaker.export._sheet._first_article import first_article, write_first_article
from platemaker.resolved import assemble
from platemaker.spec import load_project
from tests.cli_runner import run
from tests.package_tree import ROOT

PLANTED = {
    "pump_engine": {
        ("lower_plate", "hole.log_top_3.x"): 0.9,
        ("blower_plate", "cut.pocket.depth"): 0.7,
        ("blower_plate", "cut.pocket.x"): -0.8,
        ("oil_return", "size.x"): 0.8,
        ("rail_bracket_front", "bend.1.angle"): 1.5,
        ("rail_bracket_rear", "hole.rail.from_end"): -0.6,
        ("fuel_rail", "hole.injectors_2.x"): 0.8,
        ("injector_bosses", "size.diameter"): 0.05,
        ("injector_bosses_drilling", "hole.injectors_4.y"): 0.4,
        ("blower_base_gasket", "thickness"): 0.3,
    },
    "standard_faces": {("adapter", "hole.display_2.x"): 0.4},
}


def filled(project: str, folder: Path, planted: Mapping[tuple[str, str], float]) -> list[Path]:
    """Every sheet of an example, each measure at its nominal but for what is planted, gauges good."""
    stack = assemble(load_project(ROOT / "part_specs" / project))
    files = []
    for part in stack.parts:
        about = about_of(stack, part, None)
        file = folder / f"{part.name}_first_article.yaml"
        write_first_article(part, about, first_article(part, about), file)
        sheet = yaml.safe_load(file.read_text(encoding="utf-8"))
        for row in sheet["measures"]:
            if row["nominal"] is None:
                row["reads"] = True
            else:
                lower, upper = row["tolerance"]
                middle = 0.0 if lower <= 0 <= upper else (lower + upper) / 2  # p6 of a pressed boss lies above nominal
                row["reads"] = round(row["nominal"] + middle + planted.get((part.name, row["id"]), 0.0), 6)
        file.write_text(yaml.safe_dump(sheet, sort_keys=False), encoding="utf-8")
        files.append(file)
    return files


def checked(project: str, files: list[Path]) -> tuple[int, list[dict[str, object]]]:
    options = [word for file in files for word in ("--as-built", file)]
    done = run("check", ROOT / "part_specs" / project, "--json", *options)
    return done.code, json.loads(done.out)["findings"]


def test_parts_that_read_their_nominals_pass(tmp_path: Path) -> None:
    for project in PLANTED:
        (tmp_path / project).mkdir()
        code, findings = checked(project, filled(project, tmp_path / project, {}))
        assert code == 0
        assert not [one for one in findings if one["verdict"] == "fail" or one["check"] in ("PM853", "PM854")]


@pytest.mark.parametrize("project", PLANTED)
def test_planted_deviations_are_found_and_no_others(project: str, tmp_path: Path) -> None:
    code, findings = checked(project, filled(project, tmp_path, PLANTED[project]))
    off = {
        (str(one["part"]), str(one["features"][0]))  # type: ignore[index]
        for one in findings
        if one["check"] == "PM851" and one["verdict"] == "fail"
    }
    assert code == 1
    assert off == set(PLANTED[project])
    assert not [one for one in findings if one["check"] in ("PM853", "PM854")]


def test_a_sheet_is_held_to_the_blank_one_of_its_drawing(tmp_path: Path) -> None:
    """A row that was taken out was not read; a tolerance is the drawing's: 12.7 mm by class m has 0.2 mm."""
    [file] = filled("standard_faces", tmp_path, {})
    sheet = yaml.safe_load(file.read_text(encoding="utf-8"))
    rows = list(sheet["measures"])

    def answer(*files: Path, **changes: object) -> tuple[int, str]:
        file.write_text(yaml.safe_dump({**sheet, **changes}, sort_keys=False), encoding="utf-8")
        options = [word for one in files for word in ("--as-built", one)]
        done = run("check", ROOT / "part_specs" / "standard_faces", "--all", *options)
        return done.code, " ".join((done.out + done.err).split())

    code, words = answer(file, measures=rows[:3])
    assert (code, f"{len(rows) - 3} of {len(rows)} measures of" in words) == (0, True)
    [thick] = [row for row in rows if row["id"] == "thickness"]
    wide = [{**row, "tolerance": [-2, 2]} if row is thick else row for row in rows]
    code, words = answer(file, measures=wide)
    band = f"[-{thick['tolerance'][1]}, {thick['tolerance'][1]}]".replace("[", "(").replace("]", ")")
    assert (code, "thickness: the tolerance is not the drawing's" in words, f"allowed: {band}" in words) == (
        2,
        True,
        True,
    )
    code, words = answer(file, file, measures=rows)
    assert (code, "is a second sheet of adapter" in words) == (2, True)
