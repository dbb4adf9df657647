"""`platemaker seal`: the pressure under a joint's gasket, as a pressure film would show it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._flow import calculating, progress_on
from platemaker.cli._options import ColourOption, DebugOption, FolderArgument, FreshOption, JsonOption, OutOption

JointOption = Annotated[
    list[str] | None,
    typer.Option("--joint", metavar="NAME", help="This joint alone; may be given several times."),
]


def seal(
    folder: FolderArgument,
    joint: JointOption = None,
    fresh: FreshOption = False,
    out: OutOption = Path("exports"),
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Calculate the pressure between the faces of each joint, as a pressure film would show it, and where it leaks.

    Needs the finite-element library: pip install "platemaker[seal]". Pictures go to DIR/PROJECT-seal; check then
    takes its verdict from them. The exit code is 0 when every joint seals, 1 when one leaks or nothing says what it
    needs, 2 when the spec says too little for one, 3 when the library is missing or a contact does not converge.
    """
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker import project as room  # noqa: PLC0415 - help must not load the rooms
        from platemaker.errors import GeometryError  # noqa: PLC0415
        from platemaker.export import default_store  # noqa: PLC0415
        from platemaker.report import seal_json, seal_text, write_seal  # noqa: PLC0415

        project = room.load(folder)
        names = joint or room.sealed_joints(project.stack)
        if not names:
            message = "no film: no joint has bolts and an opening"
            raise GeometryError(message)
        found, store = [], default_store(fresh=fresh)
        for name in names:
            with calculating(console, "seal", "film", of=name):
                progress = progress_on(console, f"film of {name}")
                found.append(room.seal(project.stack, name, store=store, progress=progress))
        written = write_seal(found, out / f"{project.spec.model.project}-seal")
        if as_json:
            console.answer(json.dumps([seal_json(one) for one in found], indent=1, ensure_ascii=False))
        else:
            console.answer("\n\n".join(seal_text(one) for one in found))
            console.answer(f"numbers and pictures in {written}")
        raise typer.Exit(Exit.PASS if all(one.passed for one in found) else Exit.FAIL)
