"""Where a project comes from: a folder that exists, or a new one with a commented spec that builds and passes."""

from __future__ import annotations

import re
import shutil
import tempfile
from importlib import resources
from pathlib import Path

from platemaker.errors import OutputError, SpecError
from platemaker.project._project import Project
from platemaker.spec import load_project, schema_text

SCHEMA_FILE = "platemaker.schema.json"
STARTER_NAME = "starter"
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,39}")


def load(folder: str | Path) -> Project:
    """The project in `folder`, which holds its project.yaml.

    Raises SpecError, or SpecErrors for several faults, naming file, line and key of whatever is wrong in the spec.

    >>> load("part_specs/standard_faces").value("adapter.material")
    '6061-T6'
    >>> load("part_specs/standard_face")
    Traceback (most recent call last):
    platemaker.errors.SpecError: standard_face: no such project folder; did you mean 'standard_faces'?
    """
    return Project(load_project(Path(folder).resolve()))


def new(folder: str | Path) -> Project:
    """Start a project: write a small, commented spec to `folder`, whole or not at all, and load it.

    Raises SpecError when the last word of `folder` is taken or cannot name a project, OutputError when it cannot be
    written.

    >>> from tempfile import mkdtemp
    >>> new(Path(mkdtemp()) / "lid").check().passed
    True
    """
    target = Path(folder).absolute()
    _refuse(target)
    try:
        _write(target)
    except OSError as cause:
        message = f"{folder} cannot be written: {cause.strerror or cause}"
        raise OutputError(message) from cause
    return load(target)


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


def _write(target: Path) -> None:
    beside = Path(tempfile.mkdtemp(prefix=f".{target.name}.new-", dir=target.parent))
    try:
        beside.chmod(0o755)
        for source in sorted(resources.files("platemaker.project").joinpath("data", "starter").iterdir(), key=str):
            text = source.read_text(encoding="utf-8").replace(f"project: {STARTER_NAME}", f"project: {target.name}")
            (beside / source.name).write_text(text, encoding="utf-8", newline="\n")
        (beside / SCHEMA_FILE).write_text(schema_text(), encoding="utf-8", newline="\n")
        beside.rename(target)
    finally:
        shutil.rmtree(beside, ignore_errors=True)
