"""`platemaker survey FILE --onto OTHER`: one measured pattern placed on another."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli_runner import run

READINGS = """
survey: {name}
features: {{A: {{hole: 8}}, B: {{hole: 8}}, C: {{hole: 8}}}}
datum: {{origin: {origin}, x_towards: {towards}, left: [{left}]}}
readings:
  - {{centres: [A, B], reads: 80}}
  - {{centres: [B, C], reads: 60}}
  - {{centres: [A, C], reads: 100}}
"""


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    first, second = tmp_path / "log.readings.yaml", tmp_path / "base.readings.yaml"
    first.write_text(READINGS.format(name="log", origin="A", towards="B", left="C"), encoding="utf-8")
    second.write_text(READINGS.format(name="base", origin="B", towards="C", left="A"), encoding="utf-8")
    return first, second


def test_equal_triangles_in_turned_frames_lie_on_each_other(files: tuple[Path, Path]) -> None:
    # A 60-80-100 triangle (3-4-5): B C along X instead of A B along X is a turn by -90 degrees, and nothing is left.
    answer = run("survey", str(files[0]), "--onto", str(files[1]), "--json")
    placed = json.loads(answer.out)["placed_on"]
    assert placed["file"] == "base.readings.yaml"
    for fit in placed["fits"]:
        assert fit["turn"] == pytest.approx(-90.0, abs=1e-5)
        # B of the first, at (80, 0), lies on the second's origin; so the first's own origin goes to (0, 80).
        assert fit["origin_to"] == pytest.approx([0.0, 80.0], abs=1e-5)
        assert fit["root_mean_square"] == pytest.approx(0.0, abs=1e-5)
        assert [one["hole"] for one in fit["misfits"]] == ["A", "B", "C"]


def test_the_placement_is_told_in_words(files: tuple[Path, Path]) -> None:
    answer = run("survey", str(files[0]), "--onto", str(files[1]))
    assert answer.code == 0
    assert "log placed on base, by a shift and a turn alone; lengths in mm\nholes matched by name\n" in answer.out
    assert "least largest misfit: turn -90.0000 deg about" in answer.out


def renamed(file: Path, names: dict[str, str]) -> None:
    text = file.read_text(encoding="utf-8")
    for old, new in names.items():
        text = re.sub(rf"\b{old}\b", new, text)
    file.write_text(text, encoding="utf-8")


def test_holes_of_other_names_are_matched_by_their_order_and_told(files: tuple[Path, Path]) -> None:
    renamed(files[1], {"A": "K", "B": "L", "C": "M"})
    stated = run("survey", str(files[0]), "--onto", str(files[1])).out
    assert "\nholes matched by their order, for the names differ: A on K, B on L, C on M\n" in stated


def test_holes_whose_names_agree_in_part_are_not_guessed_at(files: tuple[Path, Path]) -> None:
    # By their order A would lie on B, B on C and C on K.
    renamed(files[1], {"A": "K"})
    answer = run("survey", str(files[0]), "--onto", str(files[1]))
    stated = "it is not specified which hole lies on which: some have the same name in both patterns; only in one of them A, K\n"
    assert (answer.code, answer.err) == (2, stated)


def test_a_hole_too_many_is_named(files: tuple[Path, Path]) -> None:
    more = files[1].read_text(encoding="utf-8").replace("C: {hole: 8}}", "C: {hole: 8}, D: {hole: 8}}")
    more += "".join(
        f"  - {{centres: [{name}, D], reads: {span}}}\n" for name, span in zip("ABC", (60, 100, 80), strict=True)
    )
    files[1].write_text(more, encoding="utf-8")
    answer = run("survey", str(files[0]), "--onto", str(files[1]))
    stated = "patterns of 3 and 4 holes cannot be placed on each other: only in one of them D\n"
    assert (answer.code, answer.err) == (2, stated)


def test_a_folder_is_no_file_of_readings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "readings").mkdir()
    monkeypatch.chdir(tmp_path / "readings")
    answer = run("survey", ".")
    assert (answer.code, answer.err) == (2, "readings: a folder, not a file of readings\n")


def test_a_missing_target_is_told(files: tuple[Path, Path]) -> None:
    answer = run("survey", str(files[0]), "--onto", str(files[0].with_name("none.yaml")))
    assert (answer.code, answer.err) == (2, "none.yaml: no such file of readings\n")
