"""Where answers of fields are kept, known without the room of files: `check` looks there only once there is one."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

MARK = "fields"


def store_folder() -> Path:
    """The folder of the store in the user's cache, by the XDG Base Directory Specification: a relative path is none."""
    given = Path(os.environ.get("XDG_CACHE_HOME", ""))
    base = given if given.is_absolute() else Path.home() / ".cache"
    return base / "platemaker"


def fields_kept(folder: Path) -> bool:
    """Whether the store in `folder` ever got the answer of a field."""
    return (folder / MARK).exists()


def mark_fields(folder: Path) -> None:
    """Note that a store has the answer of a field; one that cannot be written has none."""
    with contextlib.suppress(OSError):
        (folder / MARK).touch()
