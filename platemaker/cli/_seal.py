"""`platemaker seal`: the pressure under a joint's gasket, as a pressure film would show it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._flow import INTERRUPTED, calculating, progress_on
from platemaker.cli._options import ColourOption, DebugOption, FolderArgument, FreshOption, JsonOption, OutOption

if TYPE_CHECKING:
    from platemaker.errors import PlatemakerError
    from platemaker.export import Store
    from platemaker.fields import SealAnswer
    from platemaker.parts import Stack
    from platemaker.project import Project
    from platemaker.report import FilmCures

JointOption = Annotated[
    list[str] | None,
    typer.Option("--joint", metavar="NAME", help="This joint alone; may be given several times."),
]
CuresOption = Annotated[
    bool,
    typer.Option("--cures", help="Try a few changes on each joint's film: one more bolt, plate, pocket, other sheets."),
]


def seal(
    folder: FolderArgument,
    joint: JointOption = None,
    cures: CuresOption = False,
    fresh: FreshOption = False,
    out: OutOption = Path("exports"),
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Calculate the pressure between the faces of each joint, as a pressure film would show it, and where it leaks.

    Needs the finite-element library: pip install "platemaker[seal]". Pictures go to DIR/PROJECT-seal; check then
    takes its verdict from them. With --cures each change is calculated on the coarser mesh and checked, and Ctrl-C ends
    with those that are done. The exit code is 0 when every joint seals, 1 when one leaks or nothing says what it
    needs, 2 when the spec says too little for one, 3 when the library is missing or a contact does not converge; the
    other joints' films are given all the same.
    """
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker import project as room  # noqa: PLC0415 - help must not load the rooms
        from platemaker.errors import GeometryError  # noqa: PLC0415
        from platemaker.export import default_store  # noqa: PLC0415
        from platemaker.report import cures_text, seal_records, seal_text, write_seal  # noqa: PLC0415

        project = room.load(folder)
        names = joint or room.sealed_joints(project.stack)
        if not names:
            message = "no film: no joint has bolts and an opening"
            raise GeometryError(message)
        with calculating(console, "seal", "film"):
            found, faults = _films(console, project.stack, names, default_store(fresh=fresh))
            tried = _cures(console, project, found, default_store()) if cures else []
        written = write_seal(found, out / f"{project.spec.model.project}-seal", tried)
        if as_json:
            records = seal_records(found, tried)
            records += [{"joint": name, "fault": str(fault)} for name, fault in faults.items()]
            console.answer(json.dumps(records, indent=1, ensure_ascii=False))
        else:
            without = (f"{name}: {fault}" for name, fault in faults.items())
            console.answer("\n\n".join([*map(seal_text, found), *map(cures_text, tried), *without]))
            console.answer(f"numbers and pictures in {written}")
        if any(one.interrupted for one in tried):
            raise typer.Exit(INTERRUPTED)
        if faults:
            of_the_spec = all(isinstance(fault, GeometryError) for fault in faults.values())
            raise typer.Exit(Exit.SPEC if of_the_spec else Exit.FAULT)
        raise typer.Exit(Exit.PASS if all(one.passed for one in found) else Exit.FAIL)


def _cures(console: Console, project: Project, found: Sequence[SealAnswer], store: Store) -> list[FilmCures]:
    """Changes tried on each joint, until Ctrl-C."""
    from platemaker import project as room  # noqa: PLC0415 - help must not load the rooms

    tried: list[FilmCures] = []
    for one in found:
        tried.append(room.seal_cures(project.spec, one, lambda words: progress_on(console, words), store=store))
        if tried[-1].interrupted:
            break
    return tried


def _films(
    console: Console, stack: Stack, names: Sequence[str], store: Store
) -> tuple[list[SealAnswer], dict[str, PlatemakerError]]:
    """The films of joints by name, and why some have none. Raises the fault where no joint has one."""
    from platemaker import project as room  # noqa: PLC0415 - help must not load the rooms
    from platemaker.errors import GeometryError  # noqa: PLC0415
    from platemaker.fields import FlowError, has_library  # noqa: PLC0415

    found: list[SealAnswer] = []
    faults: dict[str, PlatemakerError] = {}
    for name in names:
        try:
            found.append(room.seal(stack, name, store=store, progress=progress_on(console, f"film of {name}")))
        except (FlowError, GeometryError) as fault:
            faults[name] = fault
            if not has_library():
                raise
    if not found:
        whole = "; ".join(f"{name}: {fault}" for name, fault in faults.items())
        raise (FlowError if any(isinstance(fault, FlowError) for fault in faults.values()) else GeometryError)(whole)
    return found, faults
