"""The finite-volume solver run on a case folder, watched until its loss stands."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np

from platemaker.fields._records import FlowError
from platemaker.records import Record

PROGRAM = "simpleFoam"
PARALLEL = ("decomposePar", "reconstructPar", "mpirun")
MISSING = (
    "the field needs a finite-volume solver on PATH: program simpleFoam, Debian package openfoam "
    "(tried: v1912). `platemaker flow FOLDER --case DIR` writes the case for another machine; `check` has the throat "
    "and the loss of each chamber without it"
)
SHARED = "/usr/share/openfoam"
"""Where the Debian package keeps what the solver calls its project directory."""
WINDOW, LEAST = 60, 140
"""Steps over which the loss is averaged at least, and that are made at least."""
SHARE = 3
"""Of many steps the last third is averaged."""
STANDS = 0.005
"""By how much the mean of a window may differ from that of the window before, as a share, where the loss stands."""
CALM, SWINGS = 0.01, 0.10
"""By how much it may go up and down about its mean within a window, before and after `PATIENCE`: a steady field of an
unsteady flow does to the end. That is no error of the mean, and is stated."""
PATIENCE = 250
"""Steps after which a loss that goes up and down may stand."""
TYPICAL = 180
"""Steps until a loss usually stands: for the estimate of time only."""

Progress = Callable[[float, float], None]
"""Called with the share of the steps that is done, about, and the loss."""


class History(Record):
    """Loss of total pressure by step, over the entry's dynamic pressure."""

    losses: Sequence[float]

    @property
    def window(self) -> int:
        """Steps over which the loss is averaged: more the longer it goes up and down, to hold a slow wave whole."""
        return max(WINDOW, len(self.losses) // SHARE)

    @property
    def loss(self) -> float:
        """Mean of the last window."""
        return float(np.mean(self.losses[-self.window :])) if self.losses else float("nan")

    @property
    def drift(self) -> float:
        """How far the mean of the last window is from that of the window before, as a share."""
        if len(self.losses) < 2 * self.window:
            return float("inf")
        before = float(np.mean(self.losses[-2 * self.window : -self.window]))
        return abs(self.loss - before) / max(abs(self.loss), 1e-9)

    @property
    def swing(self) -> float:
        """Half of the range within the last window, as a share of the loss."""
        last = self.losses[-self.window :]
        return (max(last) - min(last)) / 2 / max(abs(self.loss), 1e-9) if last else float("inf")

    @property
    def stands(self) -> bool:
        """Whether the loss stands: not by a short stretch of calm, nor while its mean still moves."""
        count = len(self.losses)
        if count < LEAST or not np.isfinite(self.loss) or self.drift > STANDS:
            return False
        return self.swing < (SWINGS if count >= PATIENCE else CALM)


def has_solver(ranks: int = 1) -> bool:
    """Whether the solver's programs are on PATH."""
    return all(shutil.which(name) for name in (PROGRAM, *(PARALLEL if ranks > 1 else ())))


def solver_version() -> str:
    """What the solver's program says that it is; empty without it."""
    path = shutil.which(PROGRAM)
    if not path:
        return ""
    said = subprocess.run([path, "-help"], capture_output=True, text=True, env=_environment(), check=False, timeout=60)  # noqa: S603
    return next((line.strip() for line in said.stdout.splitlines() if line.startswith("Using:")), path)


def run_case(folder: Path, dynamic: float, *, ranks: int = 1, limit: float, progress: Progress) -> History:
    """Run a case until its loss stands, its steps are made, or `limit` seconds have passed.

    `dynamic` is the entry's dynamic pressure over density, m2/s2. Raises FlowError where a program of the solver stops.
    """
    if ranks > 1:
        _once(["decomposePar", "-force", "-case", str(folder)], folder / "log.parts")
    command = [PROGRAM, "-case", str(folder)]
    if ranks > 1:
        command = ["mpirun", "-np", str(ranks), *command, "-parallel"]
    history = _watched(command, folder, dynamic, limit, progress)
    if ranks > 1:
        _once(["reconstructPar", "-latestTime", "-case", str(folder)], folder / "log.joined")
    return history


def latest(folder: Path) -> Path:
    """The folder of the last step. Raises FlowError where there is none."""
    steps = sorted((int(path.name), path) for path in folder.iterdir() if path.name.isdigit() and path.name != "0")
    if not steps:
        message = "the solver has written no field"
        raise FlowError(message)
    return steps[-1][1]


def _environment() -> dict[str, str]:
    found = dict(os.environ)
    if "WM_PROJECT_DIR" not in found and Path(SHARED).is_dir():
        found["WM_PROJECT_DIR"] = SHARED
    return found


def _once(command: Sequence[str], log: Path) -> None:
    with log.open("wb") as out:
        child = subprocess.Popen(  # noqa: S603 - a program of the solver, found on PATH
            command, stdout=out, stderr=subprocess.STDOUT, env=_environment(), start_new_session=True
        )
        try:
            code = child.wait()
        finally:
            _end(child)
    if code:
        raise FlowError(_fault(command[0], code, log))


def _watched(command: Sequence[str], folder: Path, dynamic: float, limit: float, progress: Progress) -> History:
    """Run the solver; ask it to end, by a file that it looks for, once the loss stands or time is over."""
    log, begun = folder / "log.solver", time.monotonic()
    found: History | None = None  # as it was when it stood: the steps until the solver ends may move it again
    with log.open("wb") as out:
        child = subprocess.Popen(  # noqa: S603 - a program of the solver, found on PATH
            command, stdout=out, stderr=subprocess.STDOUT, env=_environment(), start_new_session=True
        )
        try:
            while child.poll() is None:
                time.sleep(0.2)
                history = _history(folder, dynamic)
                count = len(history.losses)
                progress(min(count / max(TYPICAL, count + 20), 1.0), history.loss)
                if history.stands and found is None:
                    found = history
                over = time.monotonic() - begun > limit
                if (found or over) and not (folder / "stop").exists():
                    (folder / "stop").touch()
                if time.monotonic() - begun > 2 * limit + 60:
                    break  # it does not look for the file: hung
        finally:
            _end(child)
    if child.returncode and not _burst(child.returncode, log):
        raise FlowError(_fault(command[0], child.returncode, log))
    if child.returncode:
        return History([*_history(folder, dynamic).losses, float("nan")])
    return found or _history(folder, dynamic)


def _end(child: subprocess.Popen[bytes]) -> None:
    """End a process and those that it has started; does nothing where it has ended."""
    if child.poll() is None:
        os.killpg(child.pid, signal.SIGKILL)
        child.wait()


def _history(folder: Path, dynamic: float) -> History:
    entry, leave = (_column(folder / f"postProcessing/{name}/0/surfaceFieldValue.dat") for name in ("entry", "exit"))
    return History([(a - b) / dynamic for a, b in zip(entry, leave, strict=False)])


def _column(path: Path) -> list[float]:
    """The values of a table by step; a last line that is being written is left out."""
    if not path.exists():
        return []
    lines = path.read_text(encoding="ascii").split("\n")[:-1]
    return [float(line.split()[1]) for line in lines if line and not line.startswith("#")]


def _burst(code: int, log: Path) -> bool:
    """Whether numbers grew out of bounds, which ends the solver: a field that does not converge, no fault."""
    return code == -signal.SIGFPE or "sigFpe" in log.read_text(encoding="utf-8", errors="replace")


def _fault(program: str, code: int, log: Path) -> str:
    said = [line.strip() for line in log.read_text(encoding="utf-8", errors="replace").splitlines() if line.strip()]
    how = f"signal {-code}" if code < 0 else f"code {code}"
    error = next(
        (" ".join(said[at : at + 3]) for at, line in enumerate(said) if "FATAL" in line), said[-1] if said else ""
    )
    return f"the solver's program {program} stopped ({how}): {error[:300]}"
