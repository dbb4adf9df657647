"""Folders that are being filled: each held by the build that fills it, swept by the next one when that was killed."""

from __future__ import annotations

import contextlib
import glob
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

try:
    import fcntl
except ImportError:  # where the system has no such locks, nothing is swept
    fcntl = None  # type: ignore[assignment]


@contextlib.contextmanager
def unfinished(beside: Path) -> Iterator[Path]:
    """A new folder beside `beside`, held until the block ends and taken away if it is still there then.

    What killed builds left there is taken away first; a folder that another build holds is left alone.
    """
    prefix = f".{beside.name}.new-"
    for left in beside.parent.glob(f"{glob.escape(prefix)}*"):
        if (lock := _hold(left)) is not None:
            shutil.rmtree(left, ignore_errors=True)
            os.close(lock)
    folder, lock = _made(beside.parent, prefix)
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        if lock is not None:
            os.close(lock)


def _made(where: Path, prefix: str) -> tuple[Path, int | None]:
    """A new folder and its lock: another build may sweep it in the moment before it is held, then the next is tried."""
    while True:
        folder = Path(tempfile.mkdtemp(prefix=prefix, dir=where))
        lock = _hold(folder)
        if folder.exists():
            folder.chmod(0o755)
            return folder, lock


def _hold(folder: Path) -> int | None:
    """An open handle that holds the folder until it is closed or its process ends; None where another one does."""
    if fcntl is None:
        return None
    handle = None
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        if handle is not None:
            os.close(handle)
        return None
    return handle
