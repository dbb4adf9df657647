"""`platemaker survey`: caliper readings to coordinates with their uncertainty."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import DebugOption, JsonOption

if TYPE_CHECKING:
    from platemaker.survey import Survey

FileArgument = Annotated[Path, typer.Argument(help="A file of readings, such as log_top.readings.yaml.")]
OutOption = Annotated[
    Path | None, typer.Option("--out", metavar="DIR", help="Write the picture and the answer to this folder, too.")
]
OntoOption = Annotated[
    Path | None,
    typer.Option("--onto", metavar="FILE", help="Place this survey's holes on those of another file of readings."),
]
InchOption = Annotated[bool, typer.Option("--inch", help="Show coordinates in inches.")]


def survey(
    file: FileArgument,
    out: OutOption = None,
    onto: OntoOption = None,
    inch: InchOption = False,
    as_json: JsonOption = False,
    debug: DebugOption = False,
) -> None:
    """Turn caliper readings into coordinates, and point at the reading that is probably wrong.

    Exit codes: 0 the readings agree; 1 a reading is suspect; 2 the readings determine nothing, or the file is wrong.
    """
    console = Console.of(as_json, colour=False, debug=debug)
    with answering(console):
        from platemaker.report import render_survey, survey_json  # noqa: PLC0415 - help must not load the rooms
        from platemaker.survey import nominals, solve_file  # noqa: PLC0415
        from platemaker.views import survey_svg  # noqa: PLC0415

        name, solved = _name(file), solve_file(_present(file))
        # A drawing guessed from readings of which one is wrong would be a wrong drawing.
        proposals = nominals(solved.pattern()) if len(solved.points) > 1 and not solved.suspects else ()
        answer, words = survey_json(solved, proposals, name), render_survey(solved, proposals, name, _unit(inch))
        if onto is not None:
            answer, words = _placed(answer, words, solved, _name(file), onto, _unit(inch))
        if out is not None:
            _write(out, {f"{name}_survey.svg": survey_svg(solved, name), f"{name}_survey.json": answer})
        console.answer(answer if as_json else words)
        raise typer.Exit(Exit.FAIL if solved.suspects else Exit.PASS)


def _unit(inch: bool) -> str:
    return "in" if inch else "mm"


def _name(file: Path) -> str:
    return file.name.removesuffix(".yaml").removesuffix(".readings")


def _present(file: Path) -> Path:
    from platemaker.errors import Location, SpecError  # noqa: PLC0415 - help must not load the rooms

    if not file.is_file():
        problem = "a folder, not a file of readings" if file.is_dir() else "no such file of readings"
        raise SpecError(problem, where=Location(file.resolve()))
    return file


def _placed(answer: str, words: str, solved: Survey, name: str, onto: Path, unit: str) -> tuple[str, str]:
    """The answer in JSON and in words, with the best placements on the other survey's holes."""
    from platemaker.report import best_fit_records, render_best_fit  # noqa: PLC0415 - help must not load the rooms
    from platemaker.survey import FitKind, best_fit, better_placed, surveyed_pattern  # noqa: PLC0415

    target = surveyed_pattern(_present(onto))
    fits = [best_fit(solved.pattern(), target, kind) for kind in FitKind]
    better = better_placed(solved.pattern(), target)
    placed_on = {
        "file": onto.name, "holes": list(target.names), "fits": best_fit_records(fits),
        "better": best_fit_records([better])[0] if better else None,
    }  # fmt: skip
    record = {**json.loads(answer), "placed_on": placed_on}
    told = json.dumps(record, indent=1, ensure_ascii=False) + "\n"
    return told, f"{words}\n{render_best_fit(fits, name, _name(onto), better, unit)}"


def _write(folder: Path, files: dict[str, str]) -> None:
    from platemaker.errors import OutputError  # noqa: PLC0415 - help must not load the rooms

    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
    except OSError as fault:
        message = f"cannot write to {folder}: {fault.strerror}"
        raise OutputError(message) from fault
