"""Variants on one core or several. What is done when the run is interrupted is kept."""

from __future__ import annotations

import math
import multiprocessing
import signal
import time
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import closing
from typing import TypeAlias

from platemaker.export import usable_cores
from platemaker.study._values import Choice
from platemaker.study._variant import Setup, VariantRow, run_variant, run_variants

Progress: TypeAlias = Callable[[int, int], None]
"""Called at the start and after every few variants: how many are done, of how many."""

Spread: TypeAlias = Callable[[Setup, Sequence["Numbered"]], Generator[list[VariantRow], None, None]]
"""What runs variants on other machines: rows come in any order."""

WORTH_STARTING = 4.0
"""Seconds of work left below which other processes, which take about one to start, are not started."""
CHUNK_SECONDS = 0.5
"""Work sent to a process at a time: long against sending it, short against the wait after an interrupt."""


Numbered: TypeAlias = tuple[int, tuple[Choice, ...]]
"""A variant: its number and its values."""


def run_all(
    setup: Setup, variants: Sequence[Numbered], *, cores: int | None, progress: Progress, spread: Spread | None = None
) -> tuple[tuple[VariantRow, ...], bool]:
    """Every variant's row by its number, and whether the run was interrupted before the end.

    `cores` None: as many as there are, once the first variants show that it is worth it. `spread` runs them elsewhere.
    """
    rows: list[VariantRow] = []
    interrupted = False
    try:
        progress(0, len(variants))
        with closing(spread(setup, variants) if spread else _chunks(setup, list(variants), cores)) as chunks:
            for done in chunks:
                rows += done
                progress(len(rows), len(variants))
    except KeyboardInterrupt:
        interrupted = len(rows) < len(variants)
    return tuple(sorted(rows, key=lambda row: row.number)), interrupted


def _chunks(setup: Setup, variants: list[Numbered], cores: int | None) -> Generator[list[VariantRow], None, None]:
    started = time.perf_counter()
    workers = min(usable_cores() if cores is None else cores, len(variants))
    for place, (number, choices) in enumerate(variants):
        each = max((time.perf_counter() - started) / place, 1e-6) if place else 0.0
        left = variants[place:]
        if workers > 1 and (each * len(left) > WORTH_STARTING or (cores is not None and place)):
            size = max(1, min(int(CHUNK_SECONDS / each), math.ceil(len(left) / (4 * workers))))
            yield from _pooled(setup, [left[at : at + size] for at in range(0, len(left), size)], workers)
            return
        yield [run_variant(setup, number, choices)]


def _pooled(setup: Setup, chunks: list[list[Numbered]], workers: int) -> Iterator[list[VariantRow]]:
    # Fresh processes work alike on every system; forked ones would inherit whatever the caller has open.
    fresh = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(min(workers, len(chunks)), mp_context=fresh, initializer=_leave_interrupts)
    lost: list[Numbered] = []
    try:
        sent = {pool.submit(run_variants, setup, chunk): chunk for chunk in chunks}
        for future in as_completed(sent):
            try:
                yield future.result()
            except BrokenProcessPool:  # one was killed, for want of memory say, and the others with it
                lost += sent[future]
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
    for number, choices in sorted(lost, key=lambda one: one[0]):
        yield [run_variant(setup, number, choices)]


def _leave_interrupts() -> None:
    """Ctrl-C reaches every process of a terminal; only the first one answers it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
