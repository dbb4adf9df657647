"""`platemaker study` and `platemaker compare`: answers, files, exit codes, interrupts."""

from __future__ import annotations

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli_runner import run
from tests.cure_mutations import PROJECTS
from tests.package_tree import ROOT
from tests.study_projects import project
from tests.unit.test_structure_imports import HEAVY, loaded_by


@pytest.fixture
def lid(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return project(tmp_path / "lid")


def test_a_study_answers_and_writes(lid: Path) -> None:
    answer = run("study", lid, "--vary", "lid.pocket.depth=4,5", "--show", "PM110:lid:pocket+face")
    assert (answer.code, answer.err) == (0, "")
    assert max(map(len, answer.out.splitlines()[:-1])) <= 80
    assert "PM110:" in answer.out
    folder = lid.parent / "exports" / "lid-study"
    assert answer.out.splitlines()[-1] == f"table and plots in {folder}"
    assert {path.name for path in folder.iterdir()} == {
        "study.csv", "study.json", "study.png", "study.svg", "manifest.json",
    }  # fmt: skip


def test_names_are_varied_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """O-rings by their dash: -250 is 126.59 mm inside, in a plate of 126 by 130 mm."""
    monkeypatch.chdir(tmp_path)
    answer = run("study", PROJECTS / "cover", "--vary", "rim.seal.o_ring=AS568-232,AS568-250", "--json")
    rows = json.loads(answer.out)["variants"]
    assert [one["values"] for one in rows] == [["AS568-232"], ["AS568-250"]]
    assert [one["fails"] > 0 for one in rows] == [False, True]


def test_out_names_another_place(lid: Path) -> None:
    answer = run("study", lid, "--vary", "lid.pocket.depth=4", "--out", "elsewhere", "--json")
    assert answer.code == 0
    assert json.loads(answer.out) == json.loads((lid.parent / "elsewhere/lid-study/study.json").read_text("utf-8"))
    assert not (lid.parent / "exports").exists()


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ("rim.bolts.pattern.rectangle[0]=80,92", 0),
        ("rim.bolts.pattern.rectangle[0]=92", 1),
        ("lid.thickness=-1", 2),
        ("lid.thickness=-1,12", 0),
    ],
)
def test_exit_codes(lid: Path, values: str, code: int) -> None:
    """A wall of 50 - 46 - 3.3 = 0.7 mm fails; a plate -1 thick cannot be."""
    assert run("study", lid, "--vary", values).code == code


def test_an_unknown_key_is_a_spec_fault(lid: Path) -> None:
    answer = run("study", lid, "--vary", "lid.pocket.dept=4")
    assert (answer.code, answer.out) == (2, "")
    assert answer.err.rstrip().endswith("did you mean 'lid.pocket.depth'?")
    stated = json.loads(run("study", lid, "--vary", "lid.pocket.dept=4", "--json").out)
    assert (stated["error"], stated["faults"][0]["nearest"]) == ("spec", "lid.pocket.depth")
    assert not (lid.parent / "exports").exists()


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--part", "shin"], "no part is called 'shin'; allowed: lid, shim; did you mean 'shim'?\n"),
        (
            ["--figure", "poket"],
            "no pocket or opening of lid is called 'poket'; allowed: pocket; did you mean 'pocket'?\n",
        ),
    ],
)
def test_a_mistyped_part_or_figure_is_refused_before_the_work(lid: Path, options: list[str], said: str) -> None:
    """The first variant cannot be made; the last one, 13, has the parts."""
    answer = run("study", lid, "--vary", "lid.thickness=0..13/1", *options)
    assert (answer.code, answer.out, answer.err) == (2, "", said)
    assert not (lid.parent / "exports").exists()
    chosen = run("study", lid, "--vary", "lid.pocket.depth=4", "--part", "shim", "--figure", "opening")
    assert (chosen.code, "; shim, opening\n" in chosen.out) == (0, True)


def test_a_study_of_nothing_says_so(lid: Path) -> None:
    """Neither a front, nor a fail, nor a plot is there; and of a lid without air no throat is sought."""
    answer = run("study", lid, "--vary", "lid.thickness=0,-1", "--show", "PM110")
    lines = answer.out.splitlines()
    assert (answer.code, lines[-3:]) == (
        2,
        ["", "variants: 2 not possible", f"table in {lid.parent / 'exports/lid-study'}"],
    )
    sought = run("study", lid, "--vary", "lid.thickness=0,-1", "--seek", "least mass")
    assert (sought.code, "no combination tried is possible" in sought.out) == (2, True)
    throat = run("study", lid, "--vary", "lid.thickness=10,12", "--seek", "most throat", "--show", "PM99")
    for line in ("no front: no variant has both throat and least metal", "no finding begins with PM99",
                 "no figure of throat in any combination tried"):  # fmt: skip
        assert f"\n{line}\n" in throat.out


def test_a_value_that_reads_as_a_formula_is_drawn_as_it_is(lid: Path) -> None:
    answer = run("study", lid, "--vary", "lid.title=$\\frac$,b")
    assert answer.code == 0, answer.err
    assert "$\\frac$" in (lid.parent / "exports/lid-study/study.svg").read_text("utf-8")


def test_a_foreign_folder_is_left_alone(lid: Path) -> None:
    """Without a name the study goes beside it; by name that folder is asked for, and refused."""
    mine = lid.parent / "exports" / "lid-study" / "mine.txt"
    mine.parent.mkdir(parents=True)
    mine.write_text("mine", encoding="utf-8")
    answer = run("study", lid, "--vary", "lid.pocket.depth=4")
    assert (answer.code, answer.err) == (0, "")
    assert (lid.parent / "exports" / "lid-study-2" / "study.csv").exists()
    named = lid.parent / "exports" / "lid-study-own"
    mine.parent.rename(named)
    answer = run("study", lid, "--vary", "lid.pocket.depth=4", "--name", "own")
    assert answer.code == 3
    assert "lid-study-own" in answer.err
    assert [path.name for path in named.iterdir()] == ["mine.txt"]


def test_compare_exit_codes(lid: Path) -> None:
    other = project(lid.parent / "other", **{"depth: 5": "depth: 6"})
    same = run("compare", lid, lid)
    assert (same.code, same.out.splitlines()[-1]) == (0, "nothing differs")
    answer = run("compare", lid, other)
    assert answer.code == 1
    assert "depth 5.000 -> 6.000 mm" in answer.out
    assert json.loads(run("compare", lid, other, "--json").out)["differs"] is True
    assert run("compare", lid, lid.parent / "nowhere").code == 2
    release = lid.parent / "lid.releases" / "A"
    release.mkdir(parents=True)
    assert run("compare", release, lid).code == 2, "nothing in it"
    (release / "report.json").write_text(run("check", lid, "--json").out, encoding="utf-8")
    assert "one side is a report" in run("compare", release, lid).out
    project(release / "spec")
    assert run("compare", release, lid).out.splitlines()[-1] == "nothing differs"
    assert "depth 5.000 -> 6.000 mm" in run("compare", release, other).out
    assert len(run("compare", lid, lid, "--all").out) > len(same.out)


@pytest.mark.parametrize("command", ["study", "compare"])
def test_help_loads_no_room(command: str) -> None:
    code, names = loaded_by(command, "--help")
    assert code == 0
    assert names & HEAVY == set()
    assert {name for name in names if name.startswith("platemaker.")} == {
        "platemaker.errors",
        "platemaker.records",
        "platemaker.cli",
    }


def test_they_load_no_kernel(lid: Path) -> None:
    code, names = loaded_by("study", str(lid), "--vary", "lid.pocket.depth=4", "--out", str(lid.parent))
    assert code == 0
    assert "matplotlib" in names, "nothing was drawn: this test has lost its object"
    assert names & {"cadquery", "OCP", "ezdxf"} == set()
    code, names = loaded_by("compare", str(lid), str(lid))
    assert code == 0
    assert names & HEAVY == set()


@pytest.mark.slow
@pytest.mark.parametrize("cores", ["1", "2"])
def test_ctrl_c_keeps_what_is_done(lid: Path, cores: str) -> None:
    """On a terminal of its own, stopped once the bar shows that variants are done."""
    mine, theirs = pty.openpty()
    arguments = ["study", str(lid), "--vary", "lid.pocket.depth=1..9/0.01", "--vary", "lid.pocket.cutter=4..8/1"]
    arguments += ["--cores", cores, "--json", "--out", str(lid.parent)]
    process = subprocess.Popen(
        [sys.executable, "-m", "platemaker.cli", *arguments],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=theirs, start_new_session=True, text=True,
    )  # fmt: skip
    os.close(theirs)
    seen, until = "", time.monotonic() + 120
    while not any(f" {done}/4005" in seen for done in range(4, 400)) and time.monotonic() < until:
        if select.select([mine], [], [], 1.0)[0]:
            seen += os.read(mine, 4096).decode()
    os.killpg(process.pid, signal.SIGINT)
    out, _ = process.communicate(timeout=120)
    os.close(mine)
    stated = json.loads(out)
    assert process.returncode == 130, seen
    assert stated["interrupted"] is True
    assert 4 <= stated["done"] < stated["asked"] == 4005
    assert (lid.parent / "lid-study" / "study.csv").exists()
