"""`platemaker survey FILE --onto OTHER`: one measured pattern placed on another."""

from __future__ import annotations

import json
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
    assert "log placed on base, by a shift and a turn alone; lengths in mm" in answer.out
    assert "least largest misfit: turn -90.0000 deg about" in answer.out


def test_a_missing_target_is_told(files: tuple[Path, Path]) -> None:
    answer = run("survey", str(files[0]), "--onto", str(files[0].with_name("none.yaml")))
    assert (answer.code, answer.err) == (2, "none.yaml: no such file of readings\n")
