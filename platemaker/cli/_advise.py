"""`platemaker advise`: what to change so that the checks pass, and the change made."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import ColourOption, DebugOption, FolderArgument, JsonOption
from platemaker.cli._study import INTERRUPTED, bar
from platemaker.errors import OutputError, SpecError

if TYPE_CHECKING:
    from platemaker.project import Checked
    from platemaker.study import Advice, Proved

ApplyOption = Annotated[
    int | None,
    typer.Option("--apply", min=1, metavar="N", help="Write cure number N into its YAML file; all else in it stays."),
]
PageOption = Annotated[
    Path | None,
    typer.Option("--page", metavar="FILE", help="Also write a report with the cures: FILE ends in .html or .md."),
]


def advise(
    folder: FolderArgument,
    number: ApplyOption = None,
    page: PageOption = None,
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Find what to change so that each fail and caution goes: which key, from what to what. Writes nothing by itself.

    Each cure is proved by a whole check and says what else it clears and worsens. An item takes up to 30 checks; Ctrl-C
    ends with what there is. The exit code is that of `check`, of the spec as it stands.
    """
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker import study as room  # noqa: PLC0415 - help must not load the rooms
        from platemaker.checks import chamber_accounts  # noqa: PLC0415
        from platemaker.project import Checked, load  # noqa: PLC0415

        _refuse(page)
        spec = load(folder).spec
        with bar("items") as progress:
            found = room.advise(spec, progress=progress)
        chosen = _chosen(found, number)
        done = Checked(spec, (), found.checks.stack, found.checks.findings, chamber_accounts(found.checks.stack))
        console.answer(_report(done, found, ".json" if as_json else "", console))
        if page is not None:
            _write(page, _report(done, found, page.suffix, console))
        if found.interrupted:
            console.note("interrupted: not every item was searched, and the spec is as it was")
            raise typer.Exit(INTERRUPTED)
        if chosen is not None:
            for where, (_, was, to) in zip(room.apply_cure(spec, chosen), chosen.cure.changes, strict=True):
                console.note(f"{where} from {was} to {to}: written")
        raise typer.Exit(Exit.PASS if (chosen.passes if chosen else done.passed) else Exit.FAIL)


def _chosen(found: Advice, number: int | None) -> Proved | None:
    if number is None or found.interrupted:
        return None
    if number > len(found.numbered):
        problem = f"there is no cure {number}"
        raise SpecError(problem, allowed=f"1 to {len(found.numbered)}" if found.numbered else "none: no cure was found")
    return found.numbered[number - 1]


def _report(done: Checked, found: Advice, form: str, console: Console) -> str:
    """Items with their cures: a table for the terminal, or a report as the ending of its file says."""
    from platemaker import report  # noqa: PLC0415 - help must not load the rooms

    about, items = (done.stack, done.findings, done.meta({})), report.items_of(done.stack, done.findings, found.cures)
    if form == ".json":
        return report.render_json(*about, chambers=done.chambers, items=items)
    if form == ".html":
        return report.render_html(*about, items=items)
    if form == ".md":
        return report.render_markdown(*about, items=items)
    return report.render_items(items, done.findings, done.stack.unit, colour=console.colour, only_unsettled=True)


def _refuse(page: Path | None) -> None:
    if page is not None and page.suffix not in (".html", ".md"):
        problem = f"'{page.name}' is no report"
        raise SpecError(problem, allowed="a file that ends in .html or .md")


def _write(page: Path, text: str) -> None:
    try:
        page.write_text(text, encoding="utf-8", newline="\n")
    except OSError as cause:
        message = f"{page} cannot be written: {cause.strerror or cause}"
        raise OutputError(message) from cause
