"""`platemaker check`: the findings alone, without the solid kernel."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import (
    AllOption,
    ColourOption,
    DebugOption,
    FolderArgument,
    JsonOption,
    OnlyOption,
    SamplesOption,
)

AsBuiltOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--as-built", metavar="FILE", help="A first-article sheet, filled in: check what was cut. May be given often."
    ),
]


def check(
    folder: FolderArgument,
    only: OnlyOption = None,
    every: AllOption = False,
    samples: SamplesOption = None,
    as_built: AsBuiltOption = None,
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Check a project and list what to settle, worst first; writes nothing. With --all, every finding by itself."""
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker.fields import fields_kept, store_folder  # noqa: PLC0415 - help must not load the rooms
        from platemaker.project import load  # noqa: PLC0415
        from platemaker.report import render_items, render_table  # noqa: PLC0415

        store = None
        if fields_kept(store_folder()):
            from platemaker.export import default_store  # noqa: PLC0415 - only fields want the room of files

            store = default_store()
        done = load(folder).check(samples=samples, as_built=as_built or (), store=store).only(*only or ())
        if as_json:
            from platemaker.report import render_json  # noqa: PLC0415 - it reads page and pictures back

            about, fields = (done.stack, done.findings, done.meta({})), done.fields
            console.answer(render_json(*about, chambers=done.chambers, films=fields.films, flow=fields.flow))
        elif every:
            console.answer(render_table(done.findings, done.stack.unit, colour=console.colour))
        else:
            console.answer(render_items(done.items, done.findings, done.stack.unit, colour=console.colour))
        raise typer.Exit(Exit.PASS if done.passed else Exit.FAIL)
