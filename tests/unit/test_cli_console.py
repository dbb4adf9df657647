"""How commands end: exit codes, faults in one line or in JSON, no trace unless asked for, no colour where unwanted."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.errors import Location, OutputError, ProofError, SpecError, SpecErrors
from tests.cli_runner import run
from tests.package_tree import ROOT

FAULT = SpecError(
    "unknown key",
    where=Location(Path("/jobs/lid/project.yaml"), 7, "parts.lid.thicknes"),
    allowed="material, thickness",
    nearest="thickness",
)


def ended(fault: BaseException, console: Console | None = None) -> int:
    """The exit code with which a command ends that meets `fault`."""
    with pytest.raises(typer.Exit) as end, answering(console or Console()):
        raise fault
    return end.value.exit_code


def test_spec_errors_are_told_one_a_line_on_standard_error(capsys: pytest.CaptureFixture[str]) -> None:
    other = SpecError("out of range", where=Location(Path("plates.yaml"), 2, "parts.lid.thickness"), met=-1)
    assert ended(SpecErrors([FAULT, other])) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err == (
        "project.yaml:7: parts.lid.thicknes: unknown key; allowed: material, thickness; did you mean 'thickness'?\n"
        "plates.yaml:2: parts.lid.thickness: out of range, met -1\n"
    )


def test_spec_errors_in_json_are_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    assert ended(SpecErrors([FAULT]), Console(as_json=True)) == 2
    out, err = capsys.readouterr()
    assert err == ""
    assert json.loads(out) == {
        "error": "spec",
        "faults": [
            {
                "message": str(FAULT),
                "file": "/jobs/lid/project.yaml",
                "line": 7,
                "key": "parts.lid.thicknes",
                "problem": "unknown key",
                "met": None,
                "allowed": "material, thickness",
                "nearest": "thickness",
            }
        ],
    }


def test_what_json_cannot_hold_is_told_as_text(capsys: pytest.CaptureFixture[str]) -> None:
    ended(SpecError("odd", met=float("inf")), Console(as_json=True))
    ended(SpecError("odd", met=[1, 2]), Console(as_json=True))
    first, second = capsys.readouterr().out.split("\n}\n")[:2]
    assert json.loads(first + "}", parse_constant=pytest.fail)["faults"][0]["met"] == "inf"
    assert json.loads(second + "}")["faults"][0]["met"] == "[1, 2]"


def test_an_output_that_cannot_be_written_ends_in_3_with_its_own_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert ended(OutputError("the output folder /x cannot be written: read-only")) == 3
    assert capsys.readouterr().err == "the output folder /x cannot be written: read-only\n"


def test_a_fault_of_ours_is_one_plain_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert ended(KeyError("bolts\nand nuts")) == 3
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert err.startswith(r"platemaker is at fault, not your spec: KeyError: 'bolts\nand nuts' [test_cli_console.py:")
    assert err.endswith("]. Please report this line together with the spec.\n")


def test_a_proof_that_fails_is_a_fault_of_ours(capsys: pytest.CaptureFixture[str]) -> None:
    assert ended(ProofError("lid: volume 10 mm3, expected 11 mm3")) == 3
    assert "platemaker is at fault, not your spec: lid: volume 10 mm3, expected 11 mm3" in capsys.readouterr().err


def test_debug_shows_the_trace_before_the_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert ended(KeyError("x"), Console(debug=True)) == 3
    err = capsys.readouterr().err
    assert err.startswith("Traceback (most recent call last):")
    assert "platemaker is at fault" in err.splitlines()[-1]


def test_a_missing_system_library_is_named_with_its_package(capsys: pytest.CaptureFixture[str]) -> None:
    assert ended(ImportError("libGL.so.1: cannot open shared object file: No such file or directory")) == 3
    assert capsys.readouterr().err == (
        "the solid kernel needs a system library that is missing: libGL.so.1; on Debian: apt-get install libgl1\n"
    )


def test_an_interrupt_is_not_swallowed() -> None:
    with pytest.raises(KeyboardInterrupt), answering(Console()):
        raise KeyboardInterrupt


def test_an_exit_passes_through() -> None:
    assert ended(typer.Exit(1)) == 1


def test_letters_that_steer_a_terminal_are_replaced(capsys: pytest.CaptureFixture[str]) -> None:
    Console().note("part \x1b[31mred\x07\r\u202e ö 板")
    assert capsys.readouterr().err == "part ?[31mred??? ö 板\n"


class Terminal:
    """Standard output that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("wish", "environment", "coloured"),
    [
        (None, {}, True),
        (None, {"NO_COLOR": "1"}, False),
        (None, {"NO_COLOR": ""}, True),
        (None, {"TERM": "dumb"}, False),
        (False, {}, False),
        (True, {"NO_COLOR": "1"}, True),
    ],
)
def test_colour_on_a_terminal(
    monkeypatch: pytest.MonkeyPatch, wish: bool | None, environment: dict[str, str], coloured: bool
) -> None:
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert Console.of(as_json=False, colour=wish, debug=False).colour is coloured
    assert Console.of(as_json=True, colour=wish, debug=False).colour is False


def test_no_colour_where_there_is_no_terminal() -> None:
    assert Console.of(as_json=False, colour=None, debug=False).colour is False


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["chek", "x"], "No such command 'chek'"),
        (["check"], "Missing argument"),
        (["check", "x", "--onyl", "y"], "No such option"),
    ],
)
def test_a_wrong_command_line_ends_in_2(arguments: list[str], said: str) -> None:
    answer = run(*arguments)
    assert answer.code == 2
    assert said in answer.err


def test_help_lists_the_commands_and_the_exit_codes() -> None:
    answer = run("--help")
    assert answer.code == 0
    for command in ("new", "check", "build", "schema"):
        assert f"\n  {command} " in answer.out
    assert "Exit codes: 0 every check passes" in answer.out
    assert max(map(len, answer.out.splitlines())) <= 80


def test_version_is_the_packages(monkeypatch: pytest.MonkeyPatch) -> None:
    from platemaker import __version__

    assert run("--version").out == f"platemaker {__version__}\n"


def test_exit_codes_are_those_of_the_readme() -> None:
    rows = [
        line.split("|")[1].strip()
        for line in (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
        if line.startswith(("| 0 |", "| 1 |", "| 2 |", "| 3 |"))
    ]
    assert [int(row) for row in rows] == [Exit.PASS, Exit.FAIL, Exit.SPEC, Exit.FAULT]


def test_a_reader_that_has_gone_away_is_no_fault() -> None:
    """As in `platemaker schema | true`."""
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "platemaker.cli", "schema"],
            cwd=ROOT, stdout=writer, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
    finally:
        os.close(writer)
    assert (done.returncode, done.stderr) == (Exit.PIPE_CLOSED, b"")


def test_letters_that_the_locale_lacks_do_not_end_the_run(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "platemaker.cli", "check", tmp_path / "ö"],
        cwd=ROOT, capture_output=True, check=False, env={"PYTHONIOENCODING": "ascii", "PATH": ""},
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == b"\\xf6: no such project folder\n"


def shell(words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """A command line of the shell in which `platemaker` runs as a process of its own."""
    line = words.replace("platemaker", f"{sys.executable} -m platemaker.cli")
    # Buffered, as for a user: what could not be written would be tried again as Python ends.
    plain = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    return subprocess.run(["/bin/sh", "-c", line], cwd=folder, env=plain, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("words", ["check starter", "check starter --json", "schema", "--help", "--version"])
def test_an_answer_that_cannot_be_written_ends_in_one_line(words: str) -> None:
    folder = ROOT / "platemaker" / "project" / "data"
    full = shell(f"platemaker {words} >/dev/full", folder)
    assert (full.returncode, full.stderr) == (3, "the answer cannot be written: No space left on device\n")
    closed = shell(f"platemaker {words} >&- 2>&-", folder)
    assert closed.returncode == 0
    assert shell(f"platemaker {words} >/dev/full 2>&1", folder).returncode == 3


LOADING = """
import builtins, sys
load = builtins.__import__
def interrupted(name, *rest):
    if name == "typer":
        raise KeyboardInterrupt
    return load(name, *rest)
builtins.__import__ = interrupted
from platemaker.cli import main
main()
"""


def test_a_command_that_is_ended_from_outside_puts_away_what_it_has_started() -> None:
    started = """
import time
from platemaker.cli import _app, main

def run():
    try:
        print("started", flush=True)
        time.sleep(60)
    finally:
        print("put away", flush=True)

_app.command_line = lambda _: run
main()
"""
    process = subprocess.Popen([sys.executable, "-c", started], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    assert process.stdout.readline() == "started\n"
    process.terminate()
    out, _ = process.communicate(timeout=60)
    assert (out, process.returncode) == ("put away\n", 130)


def test_ctrl_c_while_the_command_loads_leaves_no_trace() -> None:
    done = subprocess.run([sys.executable, "-c", LOADING], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


@pytest.mark.parametrize("command", ["build", "watch", "study"])
def test_an_empty_name_for_the_output_is_refused(command: str, tmp_path: Path) -> None:
    answer = run(command, tmp_path, "--out", "")
    assert answer.code == 2
    assert "'--out': an empty name; allowed: a folder, such as exports" in answer.err
