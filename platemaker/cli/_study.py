"""`platemaker study`: one or two numbers of a spec varied, and what each variant gives."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import ColourOption, DebugOption, FolderArgument, JsonOption, OutOption
from platemaker.errors import SpecError

if TYPE_CHECKING:
    from platemaker.parts import Stack
    from platemaker.spec import ProjectSpec
    from platemaker.study import FieldOf, Study

INTERRUPTED = 130
"""How a command ends that Ctrl-C stopped: 128 and the number of the signal, as shells have it."""


class FlowVariants(StrEnum):
    """Which variants' field of the air is calculated."""

    FRONT = "front"
    ALL = "all"


VaryOption = Annotated[
    list[str],
    typer.Option(
        "--vary",
        metavar="KEY=VALUES",
        help="A key and its values, such as lid.pocket.wall=3..8/0.5, 3..8 mm/0.5, 8,10,12.7 or M6,M8; once or twice, "
        "to seek up to five times.",
    ),
]
ShowOption = Annotated[
    list[str] | None,
    typer.Option("--show", metavar="ID", help="Add the worst margin of a check, or of findings whose id begins so."),
]
PartOption = Annotated[
    str | None, typer.Option("--part", metavar="PART", help="The part that is looked at; by default the one varied.")
]
FigureOption = Annotated[
    str | None, typer.Option("--figure", metavar="NAME", help="Its pocket or opening; by default the first pocket.")
]
TradeOption = Annotated[
    str,
    typer.Option("--trade", metavar="A,B", help="The two outcomes of the front; name:up or name:down turns the aim."),
]
FlowOption = Annotated[
    FlowVariants | None,
    typer.Option(
        "--flow", help="Calculate the field of the air too, some minutes each: of variants on the front, or of all."
    ),
]
CoresOption = Annotated[
    int | None, typer.Option("--cores", min=1, max=256, metavar="N", help="Cores to use; by default as many as help.")
]


SeekOption = Annotated[
    str | None,
    typer.Option(
        "--seek", metavar="AIM", help='Search for it: "least mass", "most area", least or most of an outcome.'
    ),
]
KeepOption = Annotated[
    list[str] | None,
    typer.Option("--keep", metavar="RULE", help='What must hold: "no fails", "no cautions", "wall at least 5".'),
]
WriteOption = Annotated[
    bool, typer.Option("--apply", help="Write what was found into the YAML files; all else in them stays.")
]
NameOption = Annotated[str, typer.Option("--name", metavar="NAME", help="The study's folder: DIR/PROJECT-study-NAME.")]
OnOption = Annotated[
    str | None,
    typer.Option("--on", metavar="WHERE", help="Run variants through joblib: loky:N, or dask:HOST:PORT of a cluster."),
]


def study(
    folder: FolderArgument,
    vary: VaryOption,
    show: ShowOption = None,
    part: PartOption = None,
    figure: FigureOption = None,
    trade: TradeOption = "area,wall",
    flow: FlowOption = None,
    cores: CoresOption = None,
    seek: SeekOption = None,
    keep: KeepOption = None,
    write: WriteOption = False,
    name: NameOption = "",
    on: OnOption = None,
    out: OutOption = Path("exports"),
    as_json: JsonOption = False,
    colour: ColourOption = None,
    debug: DebugOption = False,
) -> None:
    """Vary one or two values of a spec and compare what comes of them; or seek the best of up to five.

    Table to the terminal; CSV, JSON and plots to DIR/PROJECT-study, -2, -3: earlier studies stay. Ctrl-C keeps the
    variants that are done. The exit code is 0 when a variant passes every check (of a search: when the
    one that it found does), 1 when each fails one, 2 when none can be made at all.
    """
    console = Console.of(as_json, colour, debug)
    with answering(console):
        from platemaker import study as room  # noqa: PLC0415 - help must not load the rooms

        _refuse_name(name)
        spec = _writable(folder, seek, vary) if write else None
        field = _field(console) if flow else None
        with bar("variants") as progress:
            done = room.study(
                folder,
                vary,
                shows=show or (),
                part=part,
                figure=figure,
                trade=trade,
                cores=cores,
                progress=progress,
                seek=seek,
                keeps=keep or (),
                spread=None if on is None else room.spread_over(on),
                field=field,
                every=flow is FlowVariants.ALL,
            )
        written = room.write_study(done, room.folder_of(done, out, name)) if done.rows else None
        if as_json:
            console.answer(room.study_json(done))
        else:
            console.answer(room.render_study(done, colour=console.colour))
            if written:
                console.answer(f"{'table and plots' if done.sound else 'table'} in {written}")
        if done.interrupted:
            raise typer.Exit(INTERRUPTED)
        if spec is not None and done.winner is not None:
            console.note(_written(spec, done))
        raise typer.Exit(_exit_of(done))


def _refuse_name(name: str) -> None:
    if not re.fullmatch(r"[A-Za-z0-9_-]*", name):
        problem = "not a name for a study's folder"
        raise SpecError(problem, met=name, allowed="letters, digits, - and _")


def _writable(folder: Path, seek: str | None, vary: list[str]) -> ProjectSpec:
    """The spec as it stands before the search, into which its winner is written, over the values that it states."""
    from platemaker.project import load  # noqa: PLC0415 - help must not load the rooms
    from platemaker.study import Keys, value_at  # noqa: PLC0415

    if seek is None:
        problem = "nothing to write: only what was sought has a winner"
        raise SpecError(problem, allowed="--apply with --seek")
    spec = load(folder).spec
    keys = Keys(spec.data)
    paths = {name: keys.find(name).path for name in (text.partition("=")[0] for text in vary)}
    for name, path in paths.items():
        if value_at(spec.data, path) is None:
            problem = "no value of it stands in the spec that could be written over"
            raise SpecError(problem, met=name, allowed="a value in the spec first, then --apply")
        if spec.sources.shared(path) != (path,):
            problem = "its value cannot be changed alone: an alias brings it in elsewhere too"
            raise SpecError(problem, where=spec.where(*path), allowed="a value of its own in place of the alias")
    return spec


def _written(spec: ProjectSpec, done: Study) -> str:
    """The winner's values written into the files where they differ, in words."""
    from platemaker.study import apply_values, value_at  # noqa: PLC0415 - help must not load the rooms

    pairs = zip(done.varies, done.winner.choices if done.winner else (), strict=True)
    changed = [(vary, choice) for vary, choice in pairs if value_at(spec.data, vary.key.path) != choice.value]
    apply_values(spec, [(vary.key.path, choice.value) for vary, choice in changed])
    words = ", ".join(f"{vary.key.text} {choice.text}" for vary, choice in changed)
    return f"written: {words}" if words else "the spec is as it was: it is the best"


def _field(console: Console) -> FieldOf:
    """What calculates the field of a variant, or takes it from the store. Ends the command where there is no solver."""
    from platemaker import project as room  # noqa: PLC0415 - only with --flow
    from platemaker.export import default_store  # noqa: PLC0415
    from platemaker.fields import MISSING, FlowError, has_solver  # noqa: PLC0415

    if not has_solver():
        console.answer(MISSING)
        raise typer.Exit(Exit.FAULT)
    store = default_store()

    def field(stack: Stack) -> tuple[float, float, float] | None:
        try:
            found = room.flow(stack, store=store)
        except FlowError as fault:
            console.note(str(fault))
            return None
        if found.field.stopped:
            raise KeyboardInterrupt
        if found.loss is None:
            return None
        value = found.loss / 1000
        return value, value * (1 - found.error), value * (1 + found.error)

    return field


def _exit_of(done: Study) -> Exit:
    if not done.sound:
        return Exit.SPEC
    if done.sought is not None:
        return Exit.PASS if done.winner and not done.winner.fails else Exit.FAIL
    return Exit.PASS if any(row.fails == 0 for row in done.sound) else Exit.FAIL


@contextmanager
def bar(label: str) -> Iterator[Callable[[int, int], None]]:
    """A bar of progress on standard error, where that is a terminal; it goes when the work is done."""
    if not sys.stderr.isatty():
        yield lambda _done, _asked: None
        return
    with typer.progressbar(length=1, label=label, file=sys.stderr, show_pos=True) as bar:

        def progress(done: int, asked: int) -> None:
            bar.length = asked
            bar.update(done - bar.pos)

        yield progress
