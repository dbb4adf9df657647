"""Releases: packages filed under their revision with the spec that they were built from, and what changed since."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from platemaker.errors import OutputError, SpecError, SpecErrors, nearest_word
from platemaker.project._checked import READ, Checked
from platemaker.records import Record

SPEC = "spec"
"""The folder of a release that holds the files of its spec."""
MOST = 12
"""Changes that a drawing lists."""


class Since(Record):
    """What changed since a release: lines as (owner, thing, how). `release` is empty where there is none before."""

    release: str = ""
    lines: tuple[tuple[str, str, str], ...] = ()

    def of_part(self, part: str) -> tuple[str, ...]:
        """The changes of one part for its drawing, in words; of very many the first, and how many more there are."""
        own = [how if what == part else f"{what}: {how}" for owner, what, how in self.lines if owner == part]
        more = [f"{len(own) - MOST} more changes: see the cover"] if len(own) > MOST else []
        return (*own[:MOST], *more)


def releases_folder(out: Path, project: str) -> Path:
    """Where the releases of a project are filed, beside its exports."""
    return out / f"{project}.releases"


def changes_since(done: Checked, out: Path) -> Since:
    """What changed since the last revision of the spec's list that was released, from the spec filed with it."""
    filed = releases_folder(out, done.stack.name)
    names = [one.name for one in done.stack.drafting.revisions if (filed / one.name / SPEC).is_dir()]
    if not names:
        return Since()
    from platemaker.study import changed_things, compared, snapshot_of, snapshot_of_folder  # noqa: PLC0415

    try:
        before = snapshot_of_folder(filed / names[-1] / SPEC)
    except (SpecError, SpecErrors):
        name = done.stack.name
        return Since(names[-1], ((name, name, "not compared: the spec filed with it is not read"),))
    found = changed_things(compared(before, snapshot_of(done.stack, done.findings, done.spec)))
    # Of a build of some parts the others are not gone: they were not asked for.
    shown = [one for one in found if one.owner in done.chosen or not done.chosen]
    return Since(names[-1], tuple((one.owner, one.name, one.words) for one in shown))


def refuse_release(done: Checked, out: Path, revision: str) -> None:
    """Raise SpecError for a revision that is not the spec's present one, OutputError for what cannot be released."""
    names = [one.name for one in done.stack.drafting.revisions]
    if not names or names[-1] != revision:
        problem = "not the last of the spec's `drawing.revisions`, which title blocks state"
        allowed = names[-1] if names else "a revision, its date and what changed, in `drawing.revisions`"
        where = done.spec.where("drawing", "revisions") if names else None
        raise SpecError(problem, where=where, met=revision, allowed=allowed, nearest=nearest_word(revision, names[-1:]))
    if done.chosen or done.changes:
        message = "a release is of the whole project as its files state it, not of some parts"
        raise OutputError(message)
    if not done.passed:
        message = f"revision {revision} is not released: a check fails"
        raise OutputError(message)
    folder = releases_folder(out, done.stack.name) / revision
    if folder.exists():
        message = f"revision {revision} is released already, in {folder}, and is left as it is"
        raise OutputError(message)


def file_release(done: Checked, package: Path, out: Path, revision: str) -> Path:
    """Copy a package and its spec to the folder of its revision, whole or not at all."""
    filed = releases_folder(out, done.stack.name)
    target = filed / revision
    try:
        filed.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{revision}.new-", dir=filed))
        try:
            beside.chmod(0o755)
            shutil.copytree(package, beside, dirs_exist_ok=True)
            (beside / SPEC).mkdir()
            for file in sorted(done.spec.folder.iterdir()):
                if file.suffix in READ and file.is_file():
                    shutil.copyfile(file, beside / SPEC / file.name)
            beside.rename(target)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
    except OSError as cause:
        message = f"the release cannot be filed in {target}: {cause.strerror or cause}"
        raise OutputError(message) from cause
    return target
