"""`platemaker check`: the findings alone, without the solid kernel."""

from __future__ import annotations

import typer

from platemaker.cli._console import Console, answering
from platemaker.cli._options import (
    AllOption,
    ColourOption,
    DebugOption,
    FolderArgument,
    JsonOption,
    OnlyOption,
    SamplesOption,
)


def check(
    folder: FolderArgument,
    only: OnlyOption = None,
    every: AllOption = False,
    samples: SamplesOption = None,
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Check a project and list the findings, worst first; writes nothing."""
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker.cli._flow import checked, exit_of  # noqa: PLC0415 - help must not load the rooms
        from platemaker.report import render_json, render_table  # noqa: PLC0415

        done = checked(folder, samples).only(only)
        if as_json:
            console.answer(render_json(done.stack, done.findings, done.meta({})))
        else:
            console.answer(render_table(done.findings, done.stack.unit, colour=console.colour, passes=every))
        raise typer.Exit(exit_of(done.findings))
