"""What others changed or added in a folder of ours: found by the manifest's hashes, and never destroyed."""

from __future__ import annotations

import hashlib
import itertools
import json
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from platemaker.parts import PackageFile

MANIFEST = f"{PackageFile.MANIFEST}.json"


def manifest_of(folder: Path) -> Mapping[str, Any]:
    """The manifest in a folder; empty where there is none that can be read."""
    try:
        content = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return content if isinstance(content, dict) else {}


def kept_folder(target: Path) -> Path:
    """Where what others changed in the folder `target` is kept: beside it."""
    return target.with_name(f"{target.name}.kept")


def changed_files(folder: Path) -> list[Path]:
    """Files and folders in `folder` that its manifest does not list with the bytes that they have now."""
    made = {file.get("name"): file.get("sha256") for file in manifest_of(folder).get("files", ())}
    return sorted(file for file in folder.iterdir() if file.name != MANIFEST and made.get(file.name, "") != _hash(file))


def _hash(file: Path) -> str | None:
    if file.is_symlink() or not file.is_file():
        return None
    return hashlib.sha256(file.read_bytes()).hexdigest()


def move_kept(file: Path, target: Path) -> None:
    """Move a file to where it is kept, under a name with a number where another one has its own."""
    kept = kept_folder(target)
    kept.mkdir(exist_ok=True)
    for number in itertools.count(1):
        there = kept / (file.name if number == 1 else f"{file.stem}.{number}{file.suffix}")
        if not there.exists() and not there.is_symlink():
            shutil.move(file, there)
            return
        if _hash(there) == _hash(file) is not None:
            return
