"""Runs the command line inside the test's process."""

from __future__ import annotations

from dataclasses import dataclass

from typer.testing import CliRunner

from platemaker.cli import app
from platemaker.solids import kernel


@dataclass(frozen=True)
class Answer:
    """What a command left: exit code, standard output, standard error."""

    code: int
    out: str
    err: str


def run(*arguments: object) -> Answer:
    """`platemaker ARGUMENTS`; an exception that reaches the top is raised again, not hidden in an exit code."""
    if arguments[0] == "build":
        kernel()  # once for all tests here: beside a loaded one no second process is started
    result = CliRunner().invoke(app, [str(one) for one in arguments])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Answer(result.exit_code, result.stdout, result.stderr)
