"""The field of air, as far as it goes without its solver: the volume, a child's end, the answer, words and command."""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path

import pytest

from platemaker.errors import GeometryError
from platemaker.fields import MODEL, Edge, FlowError, Slab, Stretch, case_of, field_of, joined, volume_of
from platemaker.fields._run import solved
from platemaker.plane import Loop, Region
from tests.cli_runner import run

GRID = {
    "size": 5.0,
    "cells": 10,
    "steps": 300,
    "loss": 2.0,
    "stands": True,
    "residual": 0.004,
    "volume": 1.0,
}
PLANE = {
    "columns": 3,
    "rows": 2,
    "box": [0, 0, 3, 2],
    "x": [1.0, 1.0, None] * 2,
    "y": [0.0, 0.2, None] * 2,
    "z": [0.0] * 6,
}
ANSWER = {
    "meshes": [{**GRID, "loss": 2.2}, GRID], "seconds": 3.0, "shares": [1.0], "uniformity": [0.9, 0.8], "back": {"share": 0.05, "reach": 40.0},
    "lost": [0.1, 1.5, 1.6, 1.7], "fastest": 2.0, "plan": PLANE, "section": PLANE,
}  # fmt: skip


def rectangle(width: float, height: float, x: float = 0.0, corner: float = 0.0) -> tuple[Region, ...]:
    return (Region(Loop.rectangle(width, height, corner, centre=(x, 0.0))),)


def slabs(dx: float = 50.0) -> list[Slab]:
    return [
        Slab("upper", 0.0, 100.0, rectangle(40, 58, dx)),
        Slab("chamber", 100.0, 112.0, rectangle(200, 140, 25)),
        Slab("lower", 112.0, 400.0, rectangle(60, 70)),
    ]


def test_volume_of_prisms_and_the_half_of_a_symmetric_one() -> None:
    volume = volume_of(slabs(), 200 * 140 * 12)
    assert volume.volume == pytest.approx(40 * 58 * 100 + 200 * 140 * 12 + 60 * 70 * 288)
    assert volume.mirror == ("x", 0.0)
    case = case_of(volume, 37.6, 1.5e-5)
    halves = [slab["regions"][0][0] for slab in case["slabs"]]
    assert all(min(edge[1] for edge in half) == 0.0 for half in halves)
    assert (
        volume_of([*slabs()[:2], Slab("lower", 112, 400, (Region(Loop.rectangle(60, 70, centre=(0, 3))),))], 1).mirror
        is None
    )


def test_an_edge_of_an_entry_is_a_slab_of_its_own() -> None:
    edge, rest = Stretch("port", 20.0, rectangle(60, 70, corner=10), Edge(4.0, 4.0, rounded=True)).slabs(0.0)
    # Outlines grown by t hold area + perimeter t + pi t2; of a quarter round t sums to r2 (1 - pi/4), t2 to r3 (5/3 - pi/2).
    area, perimeter = 60 * 70 - (4 - math.pi) * 100, 2 * (60 + 70) - (8 - 2 * math.pi) * 10
    assert rest.volume == pytest.approx(area * 16)
    assert edge.volume == pytest.approx(
        area * 4 + perimeter * 16 * (1 - math.pi / 4) + math.pi * 64 * (5 / 3 - math.pi / 2)
    )
    flat = Stretch("port", 20.0, rectangle(60, 70, corner=10), Edge(4.0, 4.0, rounded=False)).slabs(0.0)[0]
    assert flat.volume == pytest.approx(4 * (area + perimeter * 4 / 2 + math.pi * 4**2 / 3))


def test_gaskets_go_to_the_neighbour_that_is_nearest_in_area() -> None:
    sections = [
        Stretch("top", 14.0, rectangle(40, 58)), Stretch("gasket", 0.8, rectangle(41, 59)),
        Stretch("pocket", 12.0, rectangle(200, 140)), Stretch("low", 25.0, rectangle(60, 70)),
    ]  # fmt: skip
    assert [(one.name, one.length) for one in joined(sections)] == [("top", 14.8), ("pocket", 12.0), ("low", 25.0)]


def test_ports_that_nothing_joins_are_refused() -> None:
    with pytest.raises(GeometryError, match="air cannot pass from upper to chamber"):
        volume_of(slabs(dx=300.0), 1.0)


def test_an_answer_gives_loss_and_grid_error() -> None:
    field = field_of(ANSWER)
    assert (field.converged, field.loss, field.residual) == (True, 2.0, 0.004)
    # Richardson: a difference of 0.2 in 2.0 between cells of 1.35 and 1, of which the error goes with the square.
    assert field.grid_error == pytest.approx(0.1 / (1.35**2 - 1))
    assert (field.back, field.reach) == (0.05, 40.0)
    assert field.plan is not None and field.plan.x[:3] == (1.0, 1.0, None)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"meshes": []}, "no mesh"),
        ({"meshes": [{"size": 1}]}, "cannot be read: KeyError"),
        ({"plan": {**PLANE, "x": [1.0]}}, "3 by 2 points"),
        ({"seconds": None}, "cannot be read: TypeError"),
    ],
)
def test_an_answer_that_is_none_is_said(change: dict[str, object], words: str) -> None:
    with pytest.raises(FlowError, match=words):
        field_of({**ANSWER, **change})


@pytest.mark.parametrize(
    ("script", "words"),
    [
        ("import os, sys; sys.stdin.read(); os.kill(os.getpid(), 9)", "stopped .signal 9."),
        ("import sys; sys.exit('no memory')", "stopped .code 1.: no memory"),
        ("import sys; sys.stdin.read(); print('{half a line')", "stopped .code 0."),
    ],
)
def test_a_process_that_ends_ends_nothing_else(script: str, words: str) -> None:
    with pytest.raises(FlowError, match=words):
        solved({}, None, (sys.executable, "-c", script))


def test_progress_says_what_is_left() -> None:
    script = 'print(\'library speaks\'); print(\'{"progress": 0.5, "loss": 1}\'); print(\'{"result": {"a": 1}}\')'
    seen: list[tuple[float, float | None]] = []
    assert solved({}, lambda *what: seen.append(what), (sys.executable, "-c", script)) == {"a": 1}
    assert seen[0][0] == 0.5 and seen[0][1] is not None


def test_without_the_solver_the_command_says_how_to_get_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    answer = run("flow", "part_specs/pump_engine", "--fresh", "--out", str(tmp_path))
    assert answer.code == 3
    assert "Debian package openfoam" in answer.out and "--case DIR" in answer.out
    assert "`check` has the throat" in answer.out


def test_a_project_without_air_is_refused() -> None:
    answer = run("flow", "part_specs/standard_faces")
    assert (answer.code, answer.out) == (2, "")
    assert "no field of the air: the spec's `design` has no air" in answer.err


@pytest.mark.parametrize(("stands", "stopped", "code"), [(True, False, 0), (False, False, 1), (True, True, 130)])
def test_the_command_prints_the_field_beside_the_reduced_loss(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, stands: bool, stopped: bool, code: int
) -> None:
    answered = {**ANSWER, "meshes": [{**GRID, "stands": stands, "residual": 0.2}], "stopped": stopped}
    monkeypatch.setattr("platemaker.fields.calculated", lambda *_: answered)
    answer = run("flow", "part_specs/pump_engine", "--fresh", "--json", "--out", str(tmp_path))
    assert answer.code == code
    stated = json.loads(answer.out)
    # 0.12933 kg/s of 1.473 kg/m3 through 3356.4 mm2: 26.2 m/s, 504 Pa; twice that is lost.
    density = 161325 / 287.05 / 381.48
    dynamic = (0.129326 / density / 3356.39e-6) ** 2 * density / 2
    assert stated["reduced"]["value"] > 0
    assert stated.get("loss", {}).get("value") == (pytest.approx(2 * dynamic / 1000, rel=1e-3) if stands else None)
    if stands:
        assert stated["loss"]["high"] == pytest.approx(2 * dynamic / 1000 * (1 + MODEL), rel=1e-3)
    folder = tmp_path / "pump_engine-flow"
    assert (folder / "flow.png").exists() == stands


def test_words_of_a_field(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("platemaker.fields.calculated", lambda *_: ANSWER)
    said = run("flow", "part_specs/pump_engine", "--fresh", "--out", str(tmp_path)).out
    assert "recirculation reaches 40 mm into the duct behind, 5% of the air at its start" in said
    assert "error in known cases on such meshes" in said and "error by the mesh 12%, 10 and 10 cells" in said
    monkeypatch.setattr(
        "platemaker.fields.calculated",
        lambda *_: {**ANSWER, "meshes": [{**GRID, "stands": False, "residual": 0.2}]},
    )
    said = run("flow", "part_specs/pump_engine", "--fresh", "--out", str(tmp_path)).out
    assert "did not converge; the loss still moves by 20.0% in 300 steps. No loss is given." in said


def test_a_case_is_written_to_a_new_folder_only(tmp_path: Path) -> None:
    target = tmp_path / "case"
    answer = run("flow", "part_specs/four_ports", "--case", str(target), "--ranks", "4", "--json")
    assert answer.code == 0
    count = json.loads(answer.out)["cells"]
    assert f"nCells:{count}" in (target / "constant/polyMesh/owner").read_text(encoding="ascii")
    assert "numberOfSubdomains 4" in (target / "system/decomposeParDict").read_text(encoding="ascii")
    assert (target / "run").stat().st_mode & 0o111
    again = run("flow", "part_specs/four_ports", "--case", str(target))
    assert again.code == 3 and "holds something already" in again.err
    assert [path.name for path in tmp_path.iterdir()] == ["case"]
