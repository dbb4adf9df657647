"""Looks after a project's folder and builds it whenever a file of it is saved."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from pathlib import Path

from platemaker.cli._board import Board
from platemaker.cli._builder import BUILT, PREVIEW, Answer, Builder
from platemaker.export import Store
from platemaker.project import READ

POLL = 0.1
"""Seconds between two looks at the folder."""

Stamps = dict[str, tuple[int, int]]


def stamps_of(folder: Path) -> Stamps:
    """Time and size of every file that the project may depend on; empty when the folder cannot be read."""
    found: Stamps = {}
    try:
        for path in folder.iterdir():
            if path.suffix in READ:
                state = path.stat()
                found[path.name] = (state.st_mtime_ns, state.st_size)
    except OSError:
        return {}  # a file was taken away while it was looked at: the next look sees a change
    return found


def settled(folder: Path, seen: Stamps) -> Stamps | None:
    """The folder's stamps once they differ from `seen` and hold still for one look; None while nothing changed."""
    now = stamps_of(folder)
    if now == seen:
        return None
    while True:
        time.sleep(POLL)
        later = stamps_of(folder)
        if later == now:
            return now
        now = later


def keep_building(
    folder: Path, out: Path, board: Board, store: Store, say: Callable[[str], None], stopped: Callable[[], bool],
    *, cures: bool = False,
) -> None:  # fmt: skip
    """Build now and after every change, until `stopped`. Faults of the spec go to the board and to `say`."""
    seen: Stamps = {"": (0, 0)}
    with Builder(out, store, cures=cures) as builder:
        while not stopped():
            changed = settled(folder, seen)
            if changed is None:
                time.sleep(POLL)
                continue
            seen = changed
            build_once(builder.answers(folder), board, say)


def build_once(answers: Iterable[Answer], board: Board, say: Callable[[str], None]) -> None:
    """The board shows each step of a build: the findings stand on the page before the solids are made."""
    started = time.perf_counter()
    board.building()
    for what, texts in answers:
        if what == PREVIEW:
            board.preview(texts[0])
        elif what == BUILT:
            board.built(Path(texts[0]))
            say(f"built in {time.perf_counter() - started:.1f} s")
        else:
            board.wrong(tuple(texts))
            say("\n".join(texts))
