"""A field calculated in a process of its own, whose end, whatever it is, ends nothing here."""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from typing import IO, Any

from platemaker.fields._records import FlowError

SEAL_CHILD = (sys.executable, "-P", "-m", "platemaker.fields._seal._child")
LIBRARY = "ngsolve"

Progress = Callable[[float, float | None], None]
"""Called with the share that is done and the seconds that are left, if known."""


def time_left(begun: float, share: float) -> float | None:
    """Seconds left of what began at a `time.monotonic()` and is done to a share; None where it is too early to say."""
    return (time.monotonic() - begun) * (1 / share - 1) if share > 0.02 else None


def has_library() -> bool:
    """Whether the finite-element library is installed; it is not loaded."""
    return importlib.util.find_spec(LIBRARY) is not None


def solved(
    case: Mapping[str, Any], progress: Progress | None, command: tuple[str, ...], missing: str = ""
) -> dict[str, Any]:
    """The answer of a case as plain records, such as for `seal_field_of`; Ctrl-C ends its process.

    `command` starts the calculation; the library is needed by that of this package. Raises FlowError where it is
    `missing`, in these words, or where the process stops.
    """
    if command == SEAL_CHILD and not has_library():
        raise FlowError(missing)
    threads = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    with (
        tempfile.TemporaryFile() as said,
        subprocess.Popen(  # noqa: S603 - the caller's own program
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=said, env=threads
        ) as child,
    ):
        try:
            answer = _answer(child, json.dumps(case).encode(), progress or (lambda _share, _left: None))
        finally:
            child.kill()  # does nothing to a process that has ended
        if answer is None:
            child.wait()
            raise FlowError(_end(child.returncode, said))
    result: dict[str, Any] = answer["result"]
    return result


def _answer(child: subprocess.Popen[bytes], case: bytes, progress: Progress) -> dict[str, Any] | None:
    """The line that ends the child's answer; None where it stops without one. Other lines are progress."""
    if child.stdin is None or child.stdout is None:
        return None
    try:
        child.stdin.write(case)
        child.stdin.close()
    except BrokenPipeError:
        return None
    begun = time.monotonic()
    for line in child.stdout:
        try:
            said = json.loads(line)
        except ValueError:
            continue  # the library's own words
        if not isinstance(said, dict):
            continue
        if "result" in said:
            return said
        if "progress" in said:
            share = float(said["progress"])
            progress(share, time_left(begun, share))
    return None


def _end(code: int, said: IO[bytes]) -> str:
    said.seek(0)
    last = said.read()[-300:].decode(errors="replace").strip().splitlines()
    how = f"signal {-code}" if code < 0 else f"code {code}"
    return f"the calculation of the field stopped ({how})" + (f": {last[-1]}" if last else "")
