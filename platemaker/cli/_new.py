"""`platemaker new`: a commented project folder that builds and passes as it is."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, answering
from platemaker.cli._options import DebugOption


def new(
    name: Annotated[Path, typer.Argument(metavar="NAME", help="The folder to make; its last word names the project.")],
    debug: DebugOption = False,
) -> None:
    """Start a project: a small, commented spec that builds and passes as it is."""
    console = Console.of(as_json=False, colour=False, debug=debug)
    with answering(console):
        from platemaker import project  # noqa: PLC0415 - help must not load the rooms

        made = project.new(name).spec.folder
        console.answer(f"Started {name}: " + ", ".join(sorted(path.name for path in made.iterdir())))
        console.answer(f"Next: platemaker check {name}")
