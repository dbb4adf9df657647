"""`platemaker flow`: the field of the air through the stack, and what it loses."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import ColourOption, DebugOption, FolderArgument, FreshOption, JsonOption, OutOption

INTERRUPTED = 130
"""How a command ends that Ctrl-C stopped: 128 and the number of the signal, as shells have it."""
FineOption = Annotated[
    bool, typer.Option("--fine", help="Four times as many cells; says first how long that takes, about.")
]
RanksOption = Annotated[
    int, typer.Option("--ranks", min=1, max=1024, metavar="N", help="Processes of the solver, by MPI; 1 without it.")
]
CaseOption = Annotated[
    Path | None,
    typer.Option("--case", metavar="DIR", help="Only write the solver's case, with a script `run`, to a new folder."),
]


def flow(
    folder: FolderArgument,
    fine: FineOption = False,
    ranks: RanksOption = 1,
    case: CaseOption = None,
    fresh: FreshOption = False,
    out: OutOption = Path("exports"),
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Calculate the field of the air through the stack, beside the loss that check calculates.

    Runs a finite-volume solver, which is looked for on PATH (Debian package openfoam); with --case it is not needed.
    Numbers and picture go to DIR/PROJECT-flow. The exit code is 0 when the field converged, 1 when it did not, 2 when
    the spec has no air passage, 3 when the solver is missing or stops, or a file cannot be written.
    """
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker import project as room  # noqa: PLC0415 - help must not load the rooms
        from platemaker.export import default_store  # noqa: PLC0415
        from platemaker.fields import has_solver, seconds_of  # noqa: PLC0415
        from platemaker.report import flow_json, flow_text, write_flow  # noqa: PLC0415

        project = room.load(folder)
        if case is not None:
            cells = room.write_flow_case(project.stack, case, fine=fine, ranks=ranks)
            said = f"case of {cells} cells in {case}: sh {case}/run {ranks}"
            console.answer(json.dumps({"case": str(case), "cells": cells}) if as_json else said)
            return
        asked = room.flow_case(project.stack, fine=fine)
        if has_solver(ranks):
            minutes = seconds_of(asked.case, ranks) / 60
            console.note(f"field: about {minutes:.0f} min where the cores have nothing else to do")
        with calculating(console, "flow", "field"):
            found = room.flow(
                project.stack,
                fine=fine,
                ranks=ranks,
                store=default_store(fresh=fresh),
                progress=progress_on(console, "field"),
            )
        written = write_flow(found, out / f"{project.spec.model.project}-flow")
        if as_json:
            console.answer(json.dumps(flow_json(found), indent=1, ensure_ascii=False))
        else:
            console.answer(flow_text(found))
            console.answer(f"numbers and picture in {written}")
        if found.field.stopped:
            raise typer.Exit(INTERRUPTED)
        raise typer.Exit(Exit.PASS if found.field.converged else Exit.FAIL)


@contextmanager
def calculating(console: Console, command: str, what: str, of: str = "") -> Iterator[None]:
    """Ends the command where a field cannot be calculated, in the fault's words, and at Ctrl-C."""
    from platemaker.fields import FlowError  # noqa: PLC0415 - help must not load the rooms

    try:
        yield
    except FlowError as fault:
        words = f"{of}: {fault}" if of else str(fault)
        console.answer(json.dumps({"error": command, "faults": [{"message": words}]}) if console.as_json else words)
        raise typer.Exit(Exit.FAULT) from None
    except KeyboardInterrupt:
        console.note(f"stopped: no {what}")
        raise typer.Exit(INTERRUPTED) from None


def progress_on(console: Console, what: str) -> Callable[[float, float | None], None]:
    """Says every tenth of the way how long it still takes; on a terminal all the time, on one line."""
    said = [-1]

    def progress(share: float, left: float | None) -> None:
        words = f"{what}: {share:4.0%}" + (f", {left:.0f} s left" if left is not None else "")
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{words}        " + ("\n" if share >= 1 else ""))
            sys.stderr.flush()
        elif int(share * 10) > said[0]:
            said[0] = int(share * 10)
            console.note(words)

    return progress
