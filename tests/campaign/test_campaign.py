"""Whatever a spec or a file of readings says, a command ends as it should: with an answer or a plain fault, in time.

What must hold: exit code 0, 1 or 2, no traceback, no warning, under 20 s and 1 GB, and what `check` accepts `build` makes.
`python -m pytest tests/campaign -m slow -n auto` runs the whole campaign, some hours of one processor.
"""

from __future__ import annotations

import resource
import signal
import time
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

import pytest

from tests.campaign.mutants import PROJECTS, READINGS, change, mutated
from tests.cli_runner import Answer, run

SECONDS = 20
GROWTH = 1 << 20
"""Most that the memory of the whole process may grow by, KiB: 1 GB."""
NORMAL, CHECKS, SURVEYS, BUILDS = 40, 10_000, 1_000, 300


@contextmanager
def watched() -> Iterator[None]:
    """Raises where a command takes longer than `SECONDS`, warns, or makes the process grow by more than `GROWTH`."""

    def late(_signal: int, _frame: FrameType | None) -> None:
        raise TimeoutError(f"longer than {SECONDS} s")

    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    old = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, SECONDS)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, old)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < GROWTH


def proper(answer: Answer) -> None:
    """The answer has one of the three codes that a user's file can give, and a fault says what it is."""
    assert answer.code in (0, 1, 2), answer.err
    assert "Traceback" not in answer.out + answer.err
    assert (answer.out + answer.err).strip()


def check_mutant(tmp_path: Path, seed: int) -> tuple[Path, Answer]:
    folder = mutated(PROJECTS[seed % len(PROJECTS)], tmp_path / "mutant", seed)
    with watched():
        answer = run("check", folder)
    proper(answer)
    return folder, answer


def survey_mutant(tmp_path: Path, seed: int) -> None:
    import random

    rng = random.Random(f"readings {seed}")
    file = tmp_path / "mutant.readings.yaml"
    file.write_bytes(READINGS[seed % len(READINGS)].read_bytes())
    for _ in range(rng.choice((1, 1, 2))):
        change(file, rng)
    with watched():
        proper(run("survey", file))


def build_mutant(tmp_path: Path, seed: int) -> None:
    folder, checked = check_mutant(tmp_path, seed)
    if checked.code == 2:
        return
    started = time.monotonic()
    built = run("build", folder, "--out", tmp_path / "out")
    assert built.code == checked.code, built.err
    assert time.monotonic() - started < 30 * SECONDS


@pytest.mark.parametrize("seed", range(NORMAL))
def test_check(tmp_path: Path, seed: int) -> None:
    check_mutant(tmp_path, seed)


@pytest.mark.parametrize("seed", range(NORMAL // 4))
def test_survey(tmp_path: Path, seed: int) -> None:
    survey_mutant(tmp_path, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(NORMAL, NORMAL + CHECKS))
def test_check_at_length(tmp_path: Path, seed: int) -> None:
    check_mutant(tmp_path, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(NORMAL, NORMAL + SURVEYS))
def test_survey_at_length(tmp_path: Path, seed: int) -> None:
    survey_mutant(tmp_path, seed)


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("seed", range(BUILDS))
def test_build_at_length(tmp_path: Path, seed: int) -> None:
    build_mutant(tmp_path, seed)
