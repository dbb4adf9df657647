"""Follows a file of readings while it is filled in: what the next should be, and which one cannot be right."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from platemaker.errors import PlatemakerError, SpecErrors, SurveyError
from platemaker.report import render_progress, worded
from platemaker.survey import load_network, progress, solve

POLL = 0.1
"""Seconds between two looks at the file."""


def follow(file: Path, say: Callable[[str], None], stopped: Callable[[], bool]) -> None:
    """Say what there is to say now and each time the file is saved, until `stopped`."""
    seen: tuple[int, int] | None = None
    while not stopped():
        now = _stamp(file)
        if now is not None and now != seen:
            seen = now
            say(said_of(file))
        time.sleep(POLL)


def _stamp(file: Path) -> tuple[int, int] | None:
    try:
        state = file.stat()
    except OSError:
        return None  # an editor is replacing it: the next look sees it
    return state.st_mtime_ns, state.st_size


def said_of(file: Path) -> str:
    """What a file of readings says as it stands: faults, readings in question, the next one, and how it ends."""
    try:
        network = load_network(file)
    except SpecErrors as fault:
        return "\n".join(str(one) for one in fault.faults) + "\n"
    except PlatemakerError as fault:
        return f"{fault}\n"
    so_far = progress(network)
    said = render_progress(so_far) if so_far is not None else "no rough places (`at`): nothing can be expected\n"
    if network.waiting or (so_far is not None and so_far.waiting):
        return said
    try:
        found = solve(network)
    except SurveyError as fault:
        return f"{said}{file.name}: {fault}\n"
    suspects = [f"suspect: {worded(one.message).metric}" for one in found.suspects]
    return said + "\n".join([*suspects, f"all is read: {found.variance.verdict}"]) + "\n"
