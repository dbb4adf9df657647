"""What the checks find of a project."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import TypeAlias

from platemaker import __version__
from platemaker.checks import ChamberAccount, Finding, Verdict, least_metal
from platemaker.errors import unknown_name
from platemaker.fields import FlowAnswer, SealAnswer
from platemaker.parts import Stack
from platemaker.records import Record, field, replace
from platemaker.report import Cure, Item, Meta, items_of
from platemaker.spec import ProjectSpec, dotted

READ = (".yaml", ".yml", ".csv", ".step", ".stp")
"""Endings of the files of a project's folder that its parts may depend on."""
Changes: TypeAlias = tuple[tuple[tuple[str | int, ...], str | int | float | bool], ...]
"""Values that differ from the spec's files, each behind the path of its key."""


class Fields(Record):
    """What the store has for exactly this state: the films of its joints, by name, and the field of its air.

    None is calculated for it.
    """

    films: Mapping[str, SealAnswer] = field(default_factory=dict)
    flow: FlowAnswer | None = None

    @property
    def said(self) -> dict[str, object]:
        """All that it says, for a fingerprint."""
        return {
            **{name: (one.field, one.cures) for name, one in self.films.items()},
            "": self.flow.field if self.flow else None,
        }


class Checked(Record):
    """The findings of a project, worst first. `chosen` are the parts that were asked for; none stands for all.

    `cures` are those of its items by the id of the worst finding; None where none were looked for. `fields` are what
    the findings took in place of first estimates.

    >>> from platemaker.project import load
    >>> done = load("part_specs/standard_faces").with_value("adapter.thickness", 8).check()
    >>> done.passed, any(finding.part == "adapter" for finding in done.of(Verdict.FAIL))
    (False, True)
    """

    spec: ProjectSpec
    changes: Changes
    stack: Stack
    findings: tuple[Finding, ...]
    chambers: tuple[ChamberAccount, ...] = ()
    chosen: tuple[str, ...] = ()
    cures: Mapping[str, tuple[Cure, ...]] | None = None
    fields: Fields = field(default_factory=Fields)

    @property
    def passed(self) -> bool:
        """Whether no check fails. Cautions are allowed, and "not checked" is not a pass: see `of`."""
        return not self.of(Verdict.FAIL)

    def of(self, verdict: Verdict) -> tuple[Finding, ...]:
        """The findings of one verdict, the worst first."""
        return tuple(finding for finding in self.findings if finding.verdict is Verdict(verdict))

    def least_metal(self, part: str) -> Finding | None:
        """The finding of a part's thinnest wall or floor; None where the part has none. Raises SpecError for no part.

        >>> from platemaker.project import load
        >>> found = load("part_specs/standard_faces").check().least_metal("adapter")  # a counterbore, 6.4 mm into 12 mm
        >>> found.title, round(found.measured, 3)
        ('shoulder under the head', 5.6)
        """
        self._known(part)
        return least_metal(part, self.findings)

    def only(self, *names: str) -> Checked:
        """The same with the parts of these names alone. Raises SpecError for a name that no part has."""
        for name in names:
            self._known(name)
        if not names:
            return self
        films = self.fields.films
        return replace(
            self,
            stack=replace(self.stack, parts=tuple(part for part in self.stack.parts if part.name in names)),
            findings=tuple(finding for finding in self.findings if finding.part in names),
            chambers=tuple(chamber for chamber in self.chambers if chamber.part in names),
            chosen=tuple(sorted(set(names))),
            fields=replace(self.fields, films={name: one for name, one in films.items() if one.holds_any(names)}),
        )

    def with_cures(self) -> Checked:
        """The same with what to change so that each fail and caution goes, for the reports; it takes many checks.

        >>> from platemaker.project import load
        >>> done = load("part_specs/standard_faces").check().with_cures()
        >>> len(done.cures) == sum(item.verdict in ("fail", "caution") for item in done.items)
        True
        """
        from platemaker.study import advise  # noqa: PLC0415 - `check` has no need of it

        return replace(self, cures=advise(self.spec).cures)

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """The findings put together by their causes, worst first, with their cures where these were looked for."""
        return items_of(self.stack, self.findings, self.cures)

    def meta(self, volumes: Mapping[str, float]) -> Meta:
        """What the reports say of their making; `volumes` are those proved, mm3, by part."""
        named = _title(self.spec.model.project, self.changes)
        return Meta(__version__, _sha256(self.spec.folder, self.changes), named, volumes)

    def _known(self, name: str) -> None:
        known = [part.name for part in self.stack.parts]
        if name not in known:
            raise unknown_name(name, known, "part")


def _title(project: str, changes: Changes) -> str:
    """The name of the project, and what was changed since it was read."""
    changed = ", ".join(f"{dotted(path)} = {value}" for path, value in changes)
    return f"{project} with {changed}" if changes else project


def _sha256(folder: Path, changes: Changes) -> str:
    """The hash of the names and contents of the project's files, and of what was changed since they were read."""
    digest = hashlib.sha256()
    for path in sorted(path for path in folder.iterdir() if path.suffix in READ and path.is_file()):
        content = path.read_bytes()
        digest.update(f"{path.name}\0{len(content)}\0".encode() + content)
    if changes:
        digest.update(repr(changes).encode())
    return digest.hexdigest()
