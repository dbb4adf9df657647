"""Every finding and every surveyed coordinate of the repository's projects, as they were when last looked at.

They notice change and prove nothing: a change of one must be meant. To renew them after a change that was meant: run
this file as a program from the project's root, then look at the difference.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import Finding
from platemaker.errors import PlatemakerError
from platemaker.project import load
from tests.campaign.mutants import PROJECTS, READINGS
from tests.cli_runner import run

HERE = Path(__file__).resolve().parent / "answers"
ROOT = Path(__file__).resolve().parents[2]
DRAWN = {"PM802"}


def rounded(value: Any) -> Any:
    """Numbers to five figures, or to a millionth where they are smaller: what any machine agrees on."""
    if isinstance(value, float):
        return float(f"{round(value, 6):.5g}") + 0.0
    if isinstance(value, list | tuple):
        return [rounded(each) for each in value]
    if isinstance(value, dict):
        return {key: rounded(each) for key, each in value.items()}
    return value


def line_of(found: Finding) -> str:
    numbers = (found.measured, found.required, found.margin)
    # What is read off random draws rounds to another last figure on another machine.
    inputs = [] if found.check in DRAWN else [each.value for each in found.inputs]
    return json.dumps([found.id, found.verdict.value, *rounded(numbers), rounded(inputs)])


def findings(folder: Path) -> str:
    try:
        found = load(folder).check().findings
    except PlatemakerError as fault:
        return f"{type(fault).__name__}\n"
    return "".join(f"{line_of(each)}\n" for each in found)


def answers(file: Path) -> str:
    return json.dumps(rounded(json.loads(run("survey", file, "--json").out)), indent=1) + "\n"


def name_of(path: Path) -> str:
    return "-".join(path.relative_to(ROOT).parts[1:])


GOLDEN = {
    **{f"{name_of(folder)}.jsonl": (findings, folder) for folder in PROJECTS},
    **{f"{name_of(file).removesuffix('.yaml')}.json": (answers, file) for file in READINGS if ".readings" in file.name},
}


@pytest.mark.parametrize("name", sorted(GOLDEN))
def test_answers_are_as_they_were_found_right(name: str) -> None:
    make, source = GOLDEN[name]
    assert make(source).splitlines() == (HERE / name).read_text(encoding="utf-8").splitlines()


if __name__ == "__main__":
    HERE.mkdir(exist_ok=True)
    for each, (made, read) in GOLDEN.items():
        (HERE / each).write_text(made(read), encoding="utf-8")
