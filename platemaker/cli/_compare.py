"""`platemaker compare`: what differs between two projects."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import ColourOption, DebugOption, JsonOption

BeforeArgument = Annotated[
    Path, typer.Argument(metavar="A", help="A project's folder, a release's, a package's, or a report.json.")
]
AfterArgument = Annotated[Path, typer.Argument(metavar="B", help="The other one.")]
AllOption = Annotated[bool, typer.Option("--all", help="List the margins of findings that do not differ too.")]


def compare(
    before: BeforeArgument,
    after: AfterArgument,
    every: AllOption = False,
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Compare two projects: what moved, changed size, appeared, vanished, and the margins of the checks.

    The exit code is 0 when nothing differs, 1 when something does, 2 when a spec is wrong. A report holds holes and
    findings only; two folders are compared in everything.
    """
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker import study as room  # noqa: PLC0415 - help must not load the rooms

        found = room.compare(before, after)
        console.answer(room.comparison_json(found) if as_json else room.render_comparison(found, every=every))
        raise typer.Exit(Exit.FAIL if found.differences else Exit.PASS)
