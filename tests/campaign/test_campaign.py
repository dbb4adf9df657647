"""Whatever a spec or a file of readings says, a command ends as it should: with an answer or a plain fault, in time.

What must hold: exit code 0, 1 or 2, no traceback, no warning, under 20 s of the processor and 1 GB; what `check` accepts
`build` makes, the same bytes twice, and files that other libraries open.
`python -m pytest tests/campaign -m slow -n auto` runs the whole campaign, some hours of one processor.
"""

from __future__ import annotations

import random
import resource
import signal
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

import pytest

from tests.campaign.mutants import PROJECTS, READINGS, change, keys_of, mutated
from tests.campaign.outputs import OPENED, opened
from tests.cli_runner import Answer, run

SECONDS = 20
GROWTH = 1 << 20
"""Most that the memory of the whole process may grow by, KiB: 1 GB."""
NORMAL, CHECKS, SURVEYS, BUILDS, OTHERS = 40, 10_000, 1_000, 300, 200
SLOW_ONCE = [1240]
"""A slot under a plenum, halved: looked for a throat for 40 s."""


@contextmanager
def watched(seconds: float = SECONDS) -> Iterator[None]:
    """Raises where a command takes longer than `seconds` of the processor, warns, or grows by more than `GROWTH`."""

    def late(_signal: int, _frame: FrameType | None) -> None:
        raise TimeoutError(f"longer than {seconds} s")

    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    old = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, old)
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
    digests = []
    for out in (tmp_path / "once", tmp_path / "again"):
        with watched(30 * SECONDS):
            built = run("build", folder, "--fresh", "--out", out)
        assert built.code == checked.code, built.err
        digests.append(opened(out))
    assert digests[0] == digests[1]


def study_mutant(tmp_path: Path, seed: int) -> None:
    """A study of a number of a changed spec, over values from nonsense to ordinary."""
    folder = mutated(PROJECTS[seed % len(PROJECTS)], tmp_path / "mutant", seed)
    rng = random.Random(f"study {seed}")
    key, value = rng.choice(keys_of(folder) or [("lid.thickness", 10.0)])
    values = rng.choice(
        (f"{0.9 * value:g},{1.1 * value:g}", f"{value:g}..{2 * value + 1:g}/{abs(value) / 2 + 0.5:g}", "0,-1", "x")
    )
    with watched(10 * SECONDS):
        proper(run("study", folder, "--vary", f"{key}={values}", "--cores", 1, "--out", tmp_path / "out"))


def compare_mutant(tmp_path: Path, seed: int) -> None:
    source = PROJECTS[seed % len(PROJECTS)]
    with watched(3 * SECONDS):
        proper(run("compare", source, mutated(source, tmp_path / "mutant", seed)))


def advise_mutant(tmp_path: Path, seed: int) -> None:
    """Cures of a changed spec; an item may take thirty checks."""
    folder, checked = check_mutant(tmp_path, seed)
    with watched(60 * SECONDS):
        advised = run("advise", folder)
    proper(advised)
    assert advised.code == checked.code, advised.err


@pytest.mark.parametrize("suffix", sorted(OPENED.keys() - {".step"}))
def test_half_a_file_does_not_open(tmp_path: Path, suffix: str) -> None:
    (tmp_path / f"half{suffix}").write_bytes(b'{"<p>a,b\n<\xff')
    with pytest.raises(Exception, match=r".") as fault:
        opened(tmp_path)
    assert fault.value.__notes__ == [f"in half{suffix}"]


@pytest.mark.parametrize("seed", [*range(NORMAL), *SLOW_ONCE])
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


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(OTHERS))
@pytest.mark.parametrize("command", [study_mutant, compare_mutant, advise_mutant])
def test_other_commands_at_length(tmp_path: Path, command: Callable[[Path, int], None], seed: int) -> None:
    command(tmp_path, seed)


@pytest.mark.parametrize("command", [study_mutant, compare_mutant])
def test_other_commands(tmp_path: Path, command: Callable[[Path, int], None]) -> None:
    command(tmp_path, OTHERS)
