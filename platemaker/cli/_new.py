"""`platemaker new`: a commented project folder that builds and passes as it is."""

from __future__ import annotations

import re
import shutil
import tempfile
from importlib import resources
from pathlib import Path
from typing import Annotated

import typer

from platemaker.cli._console import Console, answering
from platemaker.cli._options import DebugOption
from platemaker.cli._schema import schema_text
from platemaker.errors import OutputError, SpecError

SCHEMA_FILE = "platemaker.schema.json"
STARTER_NAME = "starter"
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,39}")


def new(
    name: Annotated[Path, typer.Argument(metavar="NAME", help="The folder to make; its last word names the project.")],
    debug: DebugOption = False,
) -> None:
    """Start a project: a small, commented spec that builds and passes as it is."""
    console = Console.of(as_json=False, colour=False, debug=debug)
    with answering(console):
        made = start_project(name)
        console.answer(f"Started {name}: " + ", ".join(path.name for path in made))
        console.answer(f"Next: platemaker check {name}")


def start_project(folder: Path) -> list[Path]:
    """Write the starter project to `folder`, whole or not at all, and list its files.

    Raises SpecError when the name is no project's name or is taken, OutputError when it cannot be written.
    """
    target = folder.absolute()
    _refuse(target)
    try:
        return _write(target)
    except OSError as cause:
        message = f"{folder} cannot be written: {cause.strerror or cause}"
        raise OutputError(message) from cause


def _refuse(target: Path) -> None:
    if not _NAME.fullmatch(target.name):
        problem = "not a name for a project"
        allowed = "a letter, then letters, digits or _; at most 40, ASCII only"
        raise SpecError(problem, met=target.name, allowed=allowed)
    if target.exists() or target.is_symlink():
        problem = f"{target} is there already and is left alone"
        raise SpecError(problem, allowed="a name that is free")
    if not target.parent.is_dir():
        problem = f"there is no folder {target.parent}"
        raise SpecError(problem, allowed="a name inside a folder that exists")


def _write(target: Path) -> list[Path]:
    beside = Path(tempfile.mkdtemp(prefix=f".{target.name}.new-", dir=target.parent))
    try:
        beside.chmod(0o755)
        for source in sorted(resources.files("platemaker.cli").joinpath("data", "starter").iterdir(), key=str):
            text = source.read_text(encoding="utf-8").replace(f"project: {STARTER_NAME}", f"project: {target.name}")
            (beside / source.name).write_text(text, encoding="utf-8", newline="\n")
        (beside / SCHEMA_FILE).write_text(schema_text(), encoding="utf-8", newline="\n")
        beside.rename(target)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return sorted(target.iterdir())
