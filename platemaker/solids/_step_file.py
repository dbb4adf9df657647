"""STEP files from outside: read in a process of their own, whose end, whatever it is, ends nothing here."""

from __future__ import annotations

import stat
import subprocess
import sys
from functools import lru_cache
from pathlib import Path

from platemaker.errors import GeometryError
from platemaker.solids._keep import solid_from_bytes
from platemaker.solids._kernel import kernel
from platemaker.solids._measure import bounds_of
from platemaker.solids._records import Imported
from platemaker.solids._step_child import REASON, SOLID

CHILD = Path(__file__).with_name("_step_child.py")
SECONDS = 120.0
"""Longest that the reading of a file may take."""


def load_step(path: Path) -> Imported:
    """The solids of a STEP file, in mm whatever the file's unit. Raises GeometryError naming the file and its fault.

    A file that has not changed is read once.
    """
    try:
        state = path.stat()
    except OSError as cause:
        message = f"{path.name} cannot be read as a STEP file: {cause.strerror}"
        raise GeometryError(message) from cause
    if not stat.S_ISREG(state.st_mode):
        message = f"{path.name} is no regular file"
        raise GeometryError(message)
    return _loaded(path, state.st_ino, state.st_size, state.st_mtime_ns)


@lru_cache(maxsize=16)
def _loaded(path: Path, *_state: int) -> Imported:
    answer = _answer(path)
    if not answer.startswith(SOLID):
        message = f"{path.name} {answer.removeprefix(REASON).decode()}"
        raise GeometryError(message)
    shape = solid_from_bytes(answer.removeprefix(SOLID))
    solids = shape.Solids()
    volume = sum(float(solid.Volume()) for solid in solids)
    return Imported(solids[0] if len(solids) == 1 else shape, len(solids), volume, bounds_of(shape))


def _answer(path: Path) -> bytes:
    """What the reading process says; its end as a reason, when it says nothing."""
    command = [sys.executable, "-P", str(CHILD), str(path)]
    none, kept = subprocess.DEVNULL, subprocess.PIPE
    # This interpreter and a file of this package.
    with subprocess.Popen(command, stdin=none, stdout=kept, stderr=none) as child:  # noqa: S603
        try:
            kernel()  # loads here while the other process reads
            answer, _ = child.communicate(timeout=SECONDS)
        except subprocess.TimeoutExpired:
            return REASON + f"takes longer than {SECONDS:g} s to read".encode()
        finally:
            child.kill()  # does nothing to a process that has ended
    if child.returncode == 0:
        return bytes(answer)
    how = f"signal {-child.returncode}" if child.returncode < 0 else f"code {child.returncode}"
    return REASON + f"stops the kernel that reads it ({how}): its geometry is broken or too large".encode()
