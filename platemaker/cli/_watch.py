"""`platemaker watch`: builds a project whenever it is saved and shows it live, or follows a file of readings."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, answering
from platemaker.cli._options import ColourOption, CuresOption, DebugOption, FreshOption, OutOption

PortOption = Annotated[
    int, typer.Option("--port", min=0, max=65535, metavar="N", help="Port on 127.0.0.1; 0 takes any that is free.")
]


WatchedArgument = Annotated[
    Path, typer.Argument(help="The project's folder, which holds its project.yaml; or a file of readings.")
]


def watch(
    folder: WatchedArgument,
    out: OutOption = Path("exports"),
    port: PortOption = 8700,
    fresh: FreshOption = False,
    cures: CuresOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Build a project each time one of its files is saved, and show the report live on http://127.0.0.1:PORT/.

    Of a file of readings: say each time it is saved what the next reading should be, and question one that cannot be.

    A fault in the spec stands on the page with its file and line, above the last good report. Only this machine is
    answered, and only with files of the export folder. Ctrl-C ends it.
    """
    console = Console.of(False, colour, debug)
    with answering(console):
        if folder.is_file():
            from platemaker.cli._watch_readings import follow  # noqa: PLC0415 - help must not load the rooms

            with suppress(KeyboardInterrupt):
                follow(folder, console.answer, lambda: False)
            return
        from platemaker.cli._board import Board  # noqa: PLC0415 - help must not load the rooms
        from platemaker.cli._serve import serving  # noqa: PLC0415
        from platemaker.cli._watching import keep_building  # noqa: PLC0415
        from platemaker.export import default_store  # noqa: PLC0415

        board = Board(folder.resolve().name)
        with serving(board, port) as server:
            console.answer(f"{server.address} shows {folder}; Ctrl-C ends it")
            try:
                keep_building(folder, out, board, default_store(fresh=fresh), console.note, lambda: False, cures=cures)
            except KeyboardInterrupt:
                console.note("ended")
