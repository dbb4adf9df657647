"""A cure written into the spec's file: its values, all or none, and only where nothing else changed."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Sequence
from pathlib import Path

from platemaker.errors import Location, OutputError, SpecError
from platemaker.spec import ProjectSpec, ReadFile, load_yaml, read_text, rewritten
from platemaker.study._cures._advise import Proved
from platemaker.study._keys import KeyPath, Value


def apply_cure(spec: ProjectSpec, change: Proved) -> list[Location]:
    """Write a cure's values over the old ones, as `apply_values` does; where each stands."""
    apply_values(spec, [(path, value) for paths, value in change.changes for path in paths])
    return [spec.where(*paths[0]) for paths, _ in change.changes]


def apply_values(spec: ProjectSpec, values: Sequence[tuple[KeyPath, Value]]) -> None:
    """Write values over the old ones in their YAML files, with comments, layout and order kept.

    Raises SpecError where a file of the spec says something else than when it was checked, or where a value cannot
    be changed alone; OutputError for a file that cannot be written. Then nothing is changed.
    """
    for one in spec.sources.files:
        if load_yaml(one.file).data != one.data:
            problem = "the file changed meanwhile, so nothing is written"
            raise SpecError(problem, where=Location(one.file), allowed="the file as it was checked: ask again")
    changes: dict[Path, tuple[ReadFile, list[tuple[KeyPath, Value]]]] = {}
    for path, value in values:
        owner = spec.sources.owner.get((str(path[0]), str(path[1])), spec.sources.main)
        changes.setdefault(owner.file, (owner, []))[1].append((path, value))
    texts = {file: read_text(file) for file in changes}
    changed = {file: rewritten(owner, texts[file], *ones) for file, (owner, ones) in changes.items()}
    for file, text in changed.items():
        _write(file, texts[file], text)


def _write(file: Path, before: str, after: str) -> None:
    real = file.resolve()
    mode = stat.S_IMODE(real.stat().st_mode)
    if not mode & stat.S_IWUSR:
        message = f"{file.name} is write-protected, so nothing is written"
        raise OutputError(message)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{file.name}.", suffix=".new", dir=real.parent)
        beside = Path(name)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(after.encode())
            beside.chmod(mode)
            if read_text(file) != before:
                message = f"{file.name} was saved by another program just now, so nothing is written"
                raise OutputError(message)
            beside.replace(real)
        finally:
            beside.unlink(missing_ok=True)
    except OutputError:
        raise
    except OSError as cause:
        message = f"{file.name} cannot be written: {cause.strerror or cause}"
        raise OutputError(message) from cause
