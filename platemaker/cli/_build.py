"""`platemaker build`: every part made, proved, written and read back, with the reports beside it."""

from __future__ import annotations

from pathlib import Path

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import (
    ColourOption,
    CuresOption,
    DebugOption,
    FolderArgument,
    FreshOption,
    JsonOption,
    OnlyOption,
    OutOption,
    ReleaseOption,
    SheetOption,
    ShopOption,
)


def build(
    folder: FolderArgument,
    out: OutOption = Path("exports"),
    only: OnlyOption = None,
    sheet: SheetOption = None,
    shops: ShopOption = None,
    release: ReleaseOption = None,
    fresh: FreshOption = False,
    cures: CuresOption = False,
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Build a project: check it, then write its cut files and reports to DIR/PROJECT.

    With --only the files go to DIR/PROJECT-PART instead, so that the last full build stays whole. What did not change
    since a build before is taken from the store in the user's cache folder.
    """
    console = Console.of(as_json, colour, debug)
    from platemaker.export import SolidProcess  # noqa: PLC0415 - help must not load the rooms

    with answering(console), SolidProcess() as solids:
        if fresh:
            solids.start()  # the store gives nothing: the kernel loads there while the rooms load here
        from platemaker.project import load  # noqa: PLC0415 - help must not load the rooms
        from platemaker.report import draft_json, render_items  # noqa: PLC0415

        def progress(part: str, number: int, total: int) -> None:
            console.note(f"[{number}/{total}] {part}")

        project = load(folder)
        from platemaker.export import Shop, default_store, nested, sheet_size  # noqa: PLC0415 - once the spec is right
        from platemaker.project import build_files  # noqa: PLC0415

        kept = default_store(fresh=fresh)
        solids.ask(project.stack, project.spec.folder, kept, only or ())
        whole = project.check(store=default_store())  # what was calculated is none of what a build makes
        done = (whole.with_cures() if cures else whole).only(*only or ())

        nesting = nested(done.stack.parts, *sheet_size(sheet, done.stack.unit)) if sheet else None
        result = build_files(done, out, progress, kept, nesting, [Shop(one) for one in shops or ()], release, solids)
        for paper in result.papers:
            if not paper.template:
                console.note(f"{paper.part}: no template in true size, the part is too large")
        for name, reason in nesting.left_out if nesting else ():
            console.note(f"on no sheet: {name}: {reason}")
        for name in result.kept:
            console.note(f"{name} was changed since it was written: kept in {result.folder}.kept")
        if as_json:
            about, fields = (done.stack, done.findings, done.meta(result.volumes)), done.fields
            stated = draft_json(*about, chambers=done.chambers, films=fields.films, flow=fields.flow, items=done.items)
            console.answer(stated(result.files))
        else:
            console.answer(render_items(done.items, done.findings, done.stack.unit, colour=console.colour))
            console.answer(f"{len(result.files)} files and their manifest in {result.folder}")
        raise typer.Exit(Exit.PASS if done.passed else Exit.FAIL)
