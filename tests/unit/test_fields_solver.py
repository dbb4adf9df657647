"""A case run and read back with programs that only play the solver: what they say is known beforehand."""

from __future__ import annotations

import math
import os
import signal
import sys
import threading
from pathlib import Path

import numpy as np
import pytest

from platemaker.fields import FlowError, Slab, calculated, case_of, field_of, volume_of
from platemaker.fields._solver import History, solver_version
from platemaker.plane import Loop, Region

PLAYED = """#!{python}
# Writes a loss by step as the script below has it, and a field of even flow along Z.
import pathlib, re, sys, time
if "-help" in sys.argv:
    print("Using: a player of tests")
    sys.exit()
folder = pathlib.Path(sys.argv[sys.argv.index("-case") + 1])
place = len(list(folder.parent.iterdir()))
tables = [folder / f"postProcessing/{{name}}/0/surfaceFieldValue.dat" for name in ("entry", "exit")]
for table in tables:
    table.parent.mkdir(parents=True)
    table.write_text("# Time value\\n")
step = 0
while step < {steps} and not (folder / "stop").exists():
    step += 1
    value = {value}
    for table, one in zip(tables, (value, 0.0)):
        with table.open("a") as out:
            out.write(f"{{step}} {{one!r}}\\n")
    time.sleep(0.001)
{last}
count = int(re.search("nCells:([0-9]+)", (folder / "constant/polyMesh/owner").read_text())[1])
mesh = (folder / "constant/polyMesh/boundary").read_text()
inner = int(re.search("nInternalFaces:([0-9]+)", (folder / "constant/polyMesh/owner").read_text())[1])
out = folder / str(step)
out.mkdir()
def listed(kind, values):
    return f"internalField nonuniform List<{{kind}}>\\n{{len(values)}}\\n(\\n" + "\\n".join(values) + "\\n)\\n;\\n"
(out / "U").write_text(listed("vector", ["(0 0 10)"] * count) + "boundaryField\\n{{\\n}}\\n")
for name, value in (("p", "3"), ("k", "1"), ("omega", "2")):
    (out / name).write_text(listed("scalar", [value] * count) + "boundaryField\\n{{\\n}}\\n")
patches = ""
for name, faces in re.findall(r"(\\w+) {{ type \\w+; nFaces (\\d+)", mesh):
    flow = {{"inlet": "-1", "outlet": "1"}}.get(name)
    value = f"value nonuniform List<scalar> \\n{{faces}}\\n(\\n" + (flow + "\\n") * int(faces) + ")\\n;" if flow else "value uniform 0;"
    patches += f"    {{name}}\\n    {{{{\\n        type calculated;\\n        {{value}}\\n    }}}}\\n"
(out / "phi").write_text(listed("scalar", ["1"] * inner) + "boundaryField\\n{{\\n" + patches + "}}\\n")
"""


@pytest.fixture
def play(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Puts programs on PATH that play the solver with a given loss by step."""

    def put(value: str, steps: int = 1000, last: str = "") -> None:
        folder = tmp_path / "bin"
        folder.mkdir(exist_ok=True)
        program = folder / "simpleFoam"
        program.write_text(PLAYED.format(python=sys.executable, value=value, steps=steps, last=last))
        program.chmod(0o755)
        monkeypatch.setenv("PATH", f"{folder}{os.pathsep}/usr/bin{os.pathsep}/bin")

    return put


def case() -> dict[str, object]:
    duct = (Region(Loop.rectangle(40, 40)),)
    volume = volume_of(
        [Slab("a", 0.0, 40.0, duct), Slab("m", 40.0, 60.0, duct), Slab("b", 60.0, 160.0, duct)], 40 * 40 * 20
    )
    return {**case_of(volume, 10.0, 1.5e-5), "sizes": [13.5, 10.0]}


def test_a_loss_that_stands_ends_the_run_on_both_meshes(play) -> None:
    play("50 * (1.2 + 2.718 ** (-step / 15))")
    said: list[float] = []
    found = calculated(case(), lambda share, _left: said.append(share))
    field = field_of(found)
    assert field.converged and len(field.grids) == 2
    # 50 m2/s2 is the dynamic pressure of 10 m/s.
    assert field.loss == pytest.approx(1.2, rel=1e-3)
    assert field.grids[-1].steps < 1000
    assert said == sorted(said) and said[-1] > 0.5
    # The field that was played is even: pressure 3, speed 10 along Z everywhere, as much out as in.
    assert field.uniformity == (pytest.approx(1.0), pytest.approx(1.0))
    assert field.shares == (pytest.approx(1.0),)
    assert field.lost == (pytest.approx(0.0), pytest.approx(0.0))
    assert field.fastest == pytest.approx(1.0) and (field.back, field.reach) == (0.0, 0.0)
    assert field.plan is not None and set(field.plan.z) == {1.0, None}  # half of it: the duct is symmetric
    assert field.section is not None and {None if one is None else round(one, 3) for one in field.section.z} <= {
        1.0,
        None,
    }


@pytest.mark.parametrize(
    ("value", "moves"),
    [
        ("50 * (1 + step / 1000)", "drift"),  # goes on rising
        ("50 * (1 + 0.3 * ((step // 20) % 2))", "swing"),  # goes up and down
        ("50 * (1 + 0.5 * (step > 900))", "drift"),  # calm before it jumps: stops early, or not at all
    ],
)
def test_a_loss_that_does_not_stand_gives_no_number(play, value: str, moves: str) -> None:
    play(value, steps=400 if moves == "swing" else 260)
    if "900" in value:
        assert field_of(calculated(case())).converged  # not reached: the loss stood long before
        return
    field = field_of(calculated(case()))
    assert not field.converged and len(field.grids) == 1
    assert field.plan is None and field.residual > 0.005


def test_a_field_out_of_bounds_does_not_stand(play) -> None:
    play("float('nan')", steps=200)
    assert not field_of(calculated(case())).converged


@pytest.mark.parametrize(
    ("last", "words"),
    [
        (
            "print('--> FOAM FATAL ERROR:'); print('Maximum number of iterations exceeded'); sys.exit(1)",
            "code 1.*Maximum",
        ),
        ("import os; os.kill(os.getpid(), 9)", "signal 9"),
    ],
)
def test_a_solver_that_stops_is_said(play, last: str, words: str) -> None:
    play("50", steps=10, last=last)
    with pytest.raises(FlowError, match=words):
        calculated(case())


def test_time_that_is_over_ends_the_run(play) -> None:
    play("50 * step", steps=100_000)
    field = field_of(calculated({**case(), "limit": 1.0}))
    assert not field.converged and field.grids[0].steps < 100_000


def test_ctrl_c_ends_the_solver_and_keeps_the_coarser_mesh(play, tmp_path: Path) -> None:
    play("50 * (1.2 if place == 1 else step)", steps=100_000, last="")
    shares: list[float] = []

    def progress(share: float, _left: float | None) -> None:
        if share > 0.6 and not shares:
            shares.append(share)
            threading.Timer(0.2, lambda: os.kill(os.getpid(), signal.SIGINT)).start()

    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        found = calculated(case(), progress)
    finally:
        signal.signal(signal.SIGINT, before)
    field = field_of(found)
    assert field.stopped and len(field.grids) == 1 and field.loss == pytest.approx(1.2)
    assert field.grid_error is None


def test_what_stands() -> None:
    assert not History([1.0] * 139).stands
    assert History([1.0] * 140).stands
    waves = [1 + 0.03 * math.sin(step / 5) for step in range(240)]
    assert not History(waves).stands
    assert History([*waves, *waves]).stands  # goes up and down by 3 % for long: its mean stands
    assert not History([1 + 0.2 * math.sin(step / 5) for step in range(800)]).stands
    assert not History([1 + step / 5000 for step in range(800)]).stands
    assert History([*np.linspace(3, 1, 100), *[1.0] * 140]).loss == 1.0


def test_a_slow_wave_is_averaged_whole() -> None:
    """A wave of 200 steps by 4 %: its mean over the last third of 600 is over a whole one, that of 60 steps is not."""
    wave = [20 * (1 + 0.04 * math.sin(math.tau * step / 200)) for step in range(801)]
    standing = next(count for count in range(140, 802) if History(wave[:count]).stands)
    assert History(wave[:standing]).loss == pytest.approx(20.0, rel=0.01)
    assert History(wave[:600]).loss == pytest.approx(20.0, rel=1e-9)
    assert abs(float(np.mean(wave[540:600])) / 20 - 1) > 0.02


def test_the_solver_says_what_it_is(play) -> None:
    play("1")
    assert solver_version() == "Using: a player of tests"


def test_a_case_without_its_program_stops_with_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(FlowError, match="Debian package openfoam"):
        calculated(case())
    assert solver_version() == ""
