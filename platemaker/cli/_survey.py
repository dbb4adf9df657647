"""`platemaker survey`: caliper readings to coordinates with their uncertainty."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, Exit, answering
from platemaker.cli._options import DebugOption, JsonOption

FileArgument = Annotated[Path, typer.Argument(help="A file of readings, such as log_top.readings.yaml.")]
OutOption = Annotated[
    Path | None, typer.Option("--out", metavar="DIR", help="Write the picture and the answer to this folder, too.")
]
InchOption = Annotated[bool, typer.Option("--inch", help="Show coordinates in inches.")]


def survey(
    file: FileArgument,
    out: OutOption = None,
    inch: InchOption = False,
    as_json: JsonOption = False,
    debug: DebugOption = False,
) -> None:
    """Turn caliper readings into coordinates, and point at the reading that is probably wrong.

    Exit codes: 0 the readings agree; 1 a reading is suspect; 2 the readings determine nothing, or the file is wrong.
    """
    console = Console.of(as_json, colour=False, debug=debug)
    with answering(console):
        from platemaker.errors import Location, SpecError  # noqa: PLC0415 - help must not load the rooms
        from platemaker.report import render_survey, survey_json  # noqa: PLC0415
        from platemaker.survey import INCH_STEPS, MM_STEPS, nominals, solve_file  # noqa: PLC0415
        from platemaker.views import survey_svg  # noqa: PLC0415

        if not file.is_file():
            problem = "no such file of readings"
            raise SpecError(problem, where=Location(file))
        solved = solve_file(file)
        name = file.name.removesuffix(".yaml").removesuffix(".readings")
        proposals = nominals(solved.pattern(), INCH_STEPS if inch else MM_STEPS) if len(solved.points) > 1 else ()
        answer = survey_json(solved, proposals, name)
        if out is not None:
            _write(out, {f"{name}_survey.svg": survey_svg(solved, name), f"{name}_survey.json": answer})
        console.answer(answer if as_json else render_survey(solved, proposals, name, "in" if inch else "mm"))
        raise typer.Exit(Exit.FAIL if solved.suspects else Exit.PASS)


def _write(folder: Path, files: dict[str, str]) -> None:
    from platemaker.errors import OutputError  # noqa: PLC0415 - help must not load the rooms

    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
    except OSError as fault:
        message = f"cannot write to {folder}: {fault.strerror}"
        raise OutputError(message) from fault
