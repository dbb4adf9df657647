"""What commands say and how they end: answers on standard output, progress and faults on standard error."""

from __future__ import annotations

import io
import json
import math
import os
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from enum import IntEnum
from pathlib import Path
from typing import TextIO

import typer

from platemaker.errors import (
    CatalogError,
    GeometryError,
    OutOfRange,
    OutputError,
    PlatemakerError,
    SpecError,
    SpecErrors,
    SurveyError,
    UnitError,
    UnmadeError,
)
from platemaker.records import Record

SPEC_FAULTS = (SpecError, UnitError, OutOfRange, CatalogError, GeometryError, SurveyError)
"""Errors that the writer of a spec can fix."""


class Exit(IntEnum):
    """How a command ends."""

    PASS = 0
    FAIL = 1
    SPEC = 2
    FAULT = 3
    PIPE_CLOSED = 141


class Console(Record):
    """How to speak: in JSON or in words, coloured or plain, with or without the trace of a fault."""

    as_json: bool = False
    colour: bool = False
    debug: bool = False

    @classmethod
    def of(cls, as_json: bool, colour: bool | None, debug: bool) -> Console:
        """From the options; without a wish, colour is for terminals only and never where NO_COLOR is set."""
        if colour is None:
            colour = sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
        _widen(sys.stdout, encoding="utf-8" if as_json else None)
        _widen(sys.stderr)
        return cls(as_json, colour and not as_json, debug)

    def answer(self, text: str) -> None:
        """Print the answer that was asked for, as it stands. Ends the command where it cannot be written."""
        with written_or_ended():
            sys.stdout.write(text if text.endswith("\n") else text + "\n")
            sys.stdout.flush()

    def note(self, text: str) -> None:
        """Print a line of progress or of fault; letters that could steer a terminal are replaced."""
        try:
            sys.stderr.write("".join(one if one.isprintable() or one == "\n" else "?" for one in text) + "\n")
            sys.stderr.flush()
        except OSError:
            _silence(sys.stderr)  # nobody listens


def open_streams() -> None:
    """Standard output and error, where whoever starts the command has closed them, lead nowhere."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115 - open to the end


@contextmanager
def written_or_ended() -> Iterator[None]:
    """An answer that cannot be written ends the command with one line, and nothing more is said."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as fault:
        _silence(sys.stdout)
        Console().note(f"the answer cannot be written: {fault.strerror or fault}")
        raise typer.Exit(Exit.FAULT) from None


@contextmanager
def answering(console: Console) -> Iterator[None]:
    """Turns what goes wrong inside into lines of text, or JSON, and the exit code. No trace unless asked for."""
    try:
        yield
    except typer.Exit:
        raise
    except BrokenPipeError:
        _silence(sys.stdout)
        raise typer.Exit(Exit.PIPE_CLOSED) from None
    except SPEC_FAULTS as fault:
        _tell(console, fault, "spec")
        raise typer.Exit(Exit.SPEC) from None
    except UnmadeError as fault:
        _tell(console, fault, "unmade")
        raise typer.Exit(Exit.FAIL) from None
    except OutputError as fault:
        _tell(console, fault, "output")
        raise typer.Exit(Exit.FAULT) from None
    except Exception as fault:  # noqa: BLE001 - the last line of defence: every fault ends in one plain line
        _tell(console, fault, "internal")
        raise typer.Exit(Exit.FAULT) from None


@contextmanager
def report_errors(wrong: Callable[[Sequence[str]], None]) -> Iterator[None]:
    """Gives what goes wrong inside to `wrong`, a text a fault, and goes on after it."""
    try:
        yield
    except SpecErrors as fault:
        wrong([str(one) for one in fault.faults])
    except PlatemakerError as fault:
        wrong([str(fault)])
    except Exception as fault:  # noqa: BLE001 - a fault of the program's own must not end what waits for the next change
        wrong([_plea(fault)])


def _tell(console: Console, fault: Exception, kind: str) -> None:
    if console.debug:
        console.note("".join(traceback.format_exception(fault)).rstrip())
    if console.as_json:
        faults = fault.faults if isinstance(fault, SpecErrors) else (fault,)
        stated = {"error": kind, "faults": [_record(one, kind) for one in faults]}
        console.answer(json.dumps(stated, indent=1, ensure_ascii=False))
    elif kind == "internal":
        console.note(_plea(fault))
    else:
        console.note(str(fault))


def _record(fault: Exception, kind: str) -> dict[str, object]:
    if not isinstance(fault, SpecError):
        return {"message": _plea(fault) if kind == "internal" else str(fault)}
    where = fault.where
    return {
        "message": fault.message(),
        "file": str(where.file) if where else None,
        "line": where.line if where else None,
        "key": where.key if where else None,
        "problem": fault.problem,
        "met": _plain(fault.met),
        "allowed": fault.allowed,
        "nearest": fault.nearest,
    }


def _plain(met: object) -> str | float | None:
    """`met` as JSON can hold it: it has no infinity, no set, no path."""
    if isinstance(met, float) and not math.isfinite(met):
        return str(met)
    return met if isinstance(met, str | int | float | None) else repr(met)


def _plea(fault: Exception) -> str:
    if isinstance(fault, ImportError) and "cannot open shared object file" in str(fault):
        library = str(fault).partition(":")[0]
        hint = "; on Debian: apt-get install libgl1" if library.startswith("libGL.") else ""
        return f"the solid kernel needs a system library that is missing: {library}{hint}"
    what = str(fault) if isinstance(fault, PlatemakerError) else f"{type(fault).__name__}: {fault}"
    what = " ".join(what.split())
    frames = traceback.extract_tb(fault.__traceback__)
    place = f" [{Path(frames[-1].filename).name}:{frames[-1].lineno}]" if frames else ""
    return f"platemaker is at fault, not your spec: {what}{place}. Please report this line together with the spec."


def _widen(stream: TextIO, encoding: str | None = None) -> None:
    """Letters that the terminal's encoding lacks are printed as escapes instead of ending the run."""
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(encoding=encoding or stream.encoding, errors="backslashreplace")


def _silence(stream: TextIO) -> None:
    """The reader has gone: what is still buffered goes nowhere, so that Python does not complain on its way out."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
