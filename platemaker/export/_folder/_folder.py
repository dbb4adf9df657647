"""The output folder: written beside its place, swapped in whole, or not at all."""

from __future__ import annotations

import hashlib
import json
import shutil
from contextlib import ExitStack
from pathlib import Path
from types import TracebackType
from typing import Self

from platemaker.errors import OutputError, PlatemakerError
from platemaker.export._folder._changed import MANIFEST, changed_files, manifest_of, move_kept
from platemaker.export._folder._unfinished import unfinished
from platemaker.export._names import safe_name
from platemaker.export._reading._read_back import ReadBack
from platemaker.records import Record, asdict, field, replace

MADE_BY = "platemaker exports"
"""What the manifest says of itself: only a folder whose manifest says so is ever replaced."""


class Made(Record):
    """A file of the folder: its name, what it is, and from which part and place in the spec it was made.

    `read_back` is what was measured when the file was opened again, and agreed; empty for files that are not.
    """

    name: str
    what: str
    part: str = ""
    key: str = ""
    read_back: ReadBack = field(default_factory=dict)


class FolderFiles:
    """The files of a folder, each announced before it is written under the path that it gets."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._made: list[Made] = []

    def aside(self) -> FolderFiles:
        """More files of the same folder, which are listed when they are joined."""
        return FolderFiles(self.folder)

    def join(self, files: FolderFiles) -> None:
        """List files that were written aside. Raises OutputError for a name that is taken."""
        for made in files.made:
            self._add(made)

    def path(self, stem: str, suffix: str, what: str, *, part: str = "", key: str = "") -> Path:
        """Where to write `stem` + `suffix`, listed in the manifest. Raises OutputError for an unsafe or taken name."""
        name = safe_name(stem) + "." + safe_name(suffix.removeprefix("."))
        self._add(Made(name, what, part, key))
        return self.folder / name

    def _add(self, made: Made) -> None:
        if made.name == MANIFEST or any(one.name == made.name for one in self._made):
            message = f"two files of the output would be called '{made.name}'"
            raise OutputError(message)
        self._made.append(made)

    def read_back(self, path: Path, record: ReadBack) -> None:
        """Note in the manifest what was read back of a file of this folder."""
        self._made = [replace(made, read_back=record) if made.name == path.name else made for made in self._made]

    @property
    def folder(self) -> Path:
        """The folder being filled."""
        if self._folder is None:
            message = "the output folder is not open"
            raise OutputError(message)
        return self._folder

    @property
    def made(self) -> tuple[Made, ...]:
        """The files announced so far."""
        return tuple(self._made)


class OutputFolder(FolderFiles):
    """A folder that appears all at once.

    Used in a `with` block: files are written under `path(...)`; when the block ends well the manifest is added and the
    folder takes the place of the one before it. When it ends in an error the files are dropped and the folder before
    stays as it was. A folder that holds files but no manifest of ours is never replaced. What was changed or added in
    the folder before, such as a sheet that was filled in, goes to `NAME.kept` beside it. Faults of the file system
    raise OutputError.
    """

    def __init__(self, target: Path) -> None:
        super().__init__()
        self.target = Path(target).resolve()
        self._old = self.target.with_name(f".{self.target.name}.old")
        self._held = ExitStack()

    def __enter__(self) -> Self:
        try:
            self.target.parent.mkdir(parents=True, exist_ok=True)
            self._recover()
            self._refuse_foreign()
            self._folder = self._held.enter_context(unfinished(self.target))
        except OutputError:
            raise
        except OSError as cause:
            raise self._cannot(cause) from cause
        return self

    @property
    def to_keep(self) -> tuple[str, ...]:
        """Names in the folder before that were changed or added there since it was made."""
        return tuple(file.name for file in changed_files(self.target)) if self.target.is_dir() else ()

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            if fault is None:
                self._write_manifest()
                self._swap()
        except OSError as cause:
            self._drop()
            if isinstance(cause, OutputError):
                raise
            raise self._cannot(cause) from cause
        self._drop()
        if isinstance(fault, OSError) and not isinstance(fault, PlatemakerError):
            raise self._cannot(fault) from fault

    def _write_manifest(self) -> None:
        files = []
        for made in sorted(self._made, key=lambda it: it.name):
            file = self.folder / made.name
            if not file.is_file():
                message = f"'{made.name}' was announced but not written"
                raise OutputError(message)
            data = file.read_bytes()
            stated = asdict(made)
            record = stated.pop("read_back")
            stated |= {"read_back": record} if record else {}
            files.append({**stated, "size": len(data), "sha256": hashlib.sha256(data).hexdigest()})
        text = json.dumps({"made_by": MADE_BY, "files": files}, indent=2, ensure_ascii=True) + "\n"
        (self.folder / MANIFEST).write_text(text, encoding="ascii", newline="\n")

    def _swap(self) -> None:
        """Old aside, new in, old away: whenever it stops, one whole folder is there or is put back by the next run."""
        self._refuse_foreign()
        if self.target.exists():
            self.target.rename(self._old)
        try:
            self.folder.rename(self.target)
        except OSError:
            if self._old.exists():
                self._old.rename(self.target)
            raise
        if self._old.exists():
            self._clear(self._old)

    def _clear(self, folder: Path) -> None:
        """Take a folder of ours away, all but what others changed or added in it."""
        for file in changed_files(folder):
            move_kept(file, self.target)
        shutil.rmtree(folder)

    def _recover(self) -> None:
        """Put back what a run that was killed between its two renames had set aside."""
        if not self._old.exists() or not _is_ours(self._old):
            return
        if self.target.exists():
            self._clear(self._old)
        else:
            self._old.rename(self.target)

    def _refuse_foreign(self) -> None:
        if not self.target.exists():
            return
        if not self.target.is_dir():
            message = f"{self.target} is a file; the exports need a folder of that name"
            raise OutputError(message)
        if any(self.target.iterdir()) and not _is_ours(self.target):
            message = f"{self.target} holds files but no {MANIFEST} of ours; it is left alone: name another folder"
            raise OutputError(message)

    def _drop(self) -> None:
        self._held.close()
        self._folder = None

    def _cannot(self, cause: OSError) -> OutputError:
        reason = cause.strerror or str(cause)
        return OutputError(f"the output folder {self.target} cannot be written: {reason}; the one before is untouched")


def _is_ours(folder: Path) -> bool:
    return manifest_of(folder).get("made_by") == MADE_BY
