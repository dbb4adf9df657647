"""`platemaker survey`: caliper readings to coordinates with their uncertainty; before that, a plan of what to read."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import DebugOption, JsonOption

if TYPE_CHECKING:
    from platemaker.survey import Survey

FileArgument = Annotated[Path, typer.Argument(help="A file of readings, such as log_top.readings.yaml.")]
OutOption = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Write picture, template in true size and answer to this folder, too."),
]
OntoOption = Annotated[
    Path | None,
    typer.Option("--onto", metavar="FILE", help="Place this survey's holes on those of another file of readings."),
]
PlanOption = Annotated[
    bool,
    typer.Option(
        "--plan", help="Plan the fewest readings: FILE has rough places, or a nominal pattern, and no readings."
    ),
]
CheckedOption = Annotated[
    float | None,
    typer.Option("--checked", metavar="MM", help="Of a plan: no misreading moves a hole farther unnoticed (0.5 mm)."),
]
InchOption = Annotated[bool, typer.Option("--inch", help="Show coordinates in inches.")]


def survey(
    file: FileArgument,
    out: OutOption = None,
    onto: OntoOption = None,
    plan: PlanOption = False,
    checked: CheckedOption = None,
    inch: InchOption = False,
    as_json: JsonOption = False,
    debug: DebugOption = False,
) -> None:
    """Turn caliper readings into coordinates, and point at the reading that is probably wrong.

    With --plan: list the fewest readings that hold and check every hole; --out then writes a sheet to fill in and a
    file of readings with empty places, which `platemaker watch FILE` follows as it is filled in.

    Exit codes: 0 the readings agree; 1 a reading is suspect; 2 the readings determine nothing, or the file is wrong.
    """
    console = Console.of(as_json, colour=False, debug=debug)
    with answering(console):
        if plan or checked is not None:
            _plan(file, out, checked, console)
            raise typer.Exit(Exit.PASS)
        from platemaker.report import render_survey, survey_json  # noqa: PLC0415 - help must not load the rooms
        from platemaker.survey import nominals  # noqa: PLC0415
        from platemaker.views import survey_svg  # noqa: PLC0415

        name, solved = _name(file), _solved(file, console)
        # A drawing guessed from readings of which one is wrong would be a wrong drawing.
        proposals = nominals(solved.pattern()) if len(solved.points) > 1 and not solved.suspects else ()
        answer, words = survey_json(solved, proposals, name), render_survey(solved, proposals, name, _unit(inch))
        if onto is not None:
            answer, words = _placed(answer, words, solved, _name(file), onto, _unit(inch))
        if out is not None:
            _write(out, {f"{name}_survey.svg": survey_svg(solved, name), f"{name}_survey.json": answer})
            _template(out, solved, name, _unit(inch))
        console.answer(answer if as_json else words)
        raise typer.Exit(Exit.FAIL if solved.suspects else Exit.PASS)


def _solved(file: Path, console: Console) -> Survey:
    """The survey in a file; while readings are still to be taken, what the next should be is said first."""
    from platemaker.errors import Location, SpecError, SurveyError  # noqa: PLC0415 - help must not load the rooms
    from platemaker.report import render_progress  # noqa: PLC0415
    from platemaker.survey import load_network, progress, solve  # noqa: PLC0415

    if file.name.endswith(".plan.yaml"):
        problem = "a plan of what to read, not readings"
        raise SpecError(problem, where=Location(_present(file).resolve()), allowed="a plan with --plan")
    network = load_network(_present(file))
    if not console.as_json and (so_far := progress(network)) is not None:
        console.answer(render_progress(so_far))
    try:
        return solve(network)
    except SurveyError as fault:
        left = len(network.waiting)
        message = f"{file.name}: {fault}" + (f"; {left} of its readings are not read yet" if left else "")
        raise SurveyError(message) from fault


def _plan(file: Path, out: Path | None, checked: float | None, console: Console) -> None:
    """Plan the readings of the holes in a file, and write the sheet and the file to fill in."""
    from platemaker.errors import OutputError, SpecError  # noqa: PLC0415 - help must not load the rooms
    from platemaker.parts import spots_of  # noqa: PLC0415
    from platemaker.report import plan_json, render_plan  # noqa: PLC0415
    from platemaker.survey import load_plan, plan_yaml  # noqa: PLC0415

    if checked is not None and not checked > 0:
        problem = f"--checked {checked:g} mm"
        raise SpecError(problem, allowed="above 0 mm")
    found = load_plan(_present(file), spots_of, *([checked] if checked is not None else []))
    name = _name(file).removesuffix(".plan")
    console.answer(plan_json(found) if console.as_json else render_plan(found))
    if out is not None:
        readings = out / f"{name}.readings.yaml"
        if readings.exists():
            message = f"{readings} exists: readings are never written over; take another folder"
            raise OutputError(message)
        _write(out, {readings.name: plan_yaml(found)})
        from platemaker.export import write_plan_sheet  # noqa: PLC0415

        with _writing(out):
            write_plan_sheet(found, out / f"{name}_plan.pdf")


def _template(out: Path, solved: Survey, name: str, unit: str) -> None:
    from platemaker.export import write_survey_template  # noqa: PLC0415 - help must not load the rooms

    with _writing(out):
        write_survey_template(solved, name, unit, out / f"{name}_template.pdf")


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
    text = json.dumps(record, indent=1, ensure_ascii=False) + "\n"
    return text, f"{words}\n{render_best_fit(fits, name, _name(onto), better, unit)}"


def _write(folder: Path, files: dict[str, str]) -> None:
    with _writing(folder):
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")


@contextmanager
def _writing(folder: Path) -> Iterator[None]:
    from platemaker.errors import OutputError  # noqa: PLC0415 - help must not load the rooms

    try:
        yield
    except OSError as fault:
        message = f"cannot write to {folder}: {fault.strerror}"
        raise OutputError(message) from fault
