"""The flow that commands share: folder to spec to stack to findings. Loaded on use; it loads no solid kernel."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from platemaker import __version__
from platemaker.checks import ChamberAccount, Finding, Verdict, chamber_accounts, check_stack
from platemaker.cli._console import Exit
from platemaker.errors import SpecError, nearest_word
from platemaker.parts import Stack
from platemaker.report import Meta
from platemaker.resolved import assemble
from platemaker.spec import ProjectSpec, load_project

READ = (".yaml", ".yml", ".csv", ".step", ".stp")
"""Endings of the files of a project's folder that its parts may depend on."""


@dataclass(frozen=True)
class Checked:
    """A project as far as `check` takes it."""

    spec: ProjectSpec
    stack: Stack
    findings: tuple[Finding, ...]
    chambers: tuple[ChamberAccount, ...] = ()

    def meta(self, volumes: Mapping[str, float]) -> Meta:
        """What the reports say of their making; `volumes` are those proved, mm3, by part."""
        return Meta(__version__, spec_hash(self.spec.folder), self.spec.model.project, volumes)

    def only(self, names: Collection[str] | None) -> Checked:
        """The same with the parts of these names alone, or all. Raises SpecError for a name that no part has."""
        if not names:
            return self
        known = [part.name for part in self.stack.parts]
        for name in names:
            if name not in known:
                problem = f"no part is called '{name}'"
                raise SpecError(problem, allowed=", ".join(known), nearest=nearest_word(name, known))
        parts = tuple(part for part in self.stack.parts if part.name in names)
        findings = tuple(finding for finding in self.findings if finding.part in names)
        chambers = tuple(chamber for chamber in self.chambers if chamber.part in names)
        return replace(self, stack=replace(self.stack, parts=parts), findings=findings, chambers=chambers)


def checked(folder: Path, samples: int | None = None, as_built: Collection[Path] = ()) -> Checked:
    """The project in `folder`, assembled and checked; `samples` as for `check_stack`. Raises SpecError, SpecErrors.

    With sheets of readings `as_built`, the parts are checked as they were cut, and the readings themselves.
    """
    spec = load_project(folder.resolve())
    stack = assemble(spec)
    if as_built:
        from platemaker.checks import check_as_built  # noqa: PLC0415 - only readings of finished parts need them
        from platemaker.parts import read_as_built  # noqa: PLC0415

        sheets = [read_as_built(path, stack) for path in as_built]
        return Checked(spec, stack, check_as_built(stack, sheets, samples))
    return Checked(spec, stack, check_stack(stack, samples), chamber_accounts(stack))


def exit_of(findings: Collection[Finding]) -> Exit:
    """FAIL when a finding fails; cautions and what was not checked let pass."""
    return Exit.FAIL if any(finding.verdict is Verdict.FAIL for finding in findings) else Exit.PASS


def spec_hash(folder: Path) -> str:
    """SHA-256 over the names and contents of a project's files."""
    digest = hashlib.sha256()
    for path in sorted(path for path in folder.iterdir() if path.suffix in READ and path.is_file()):
        content = path.read_bytes()
        digest.update(f"{path.name}\0{len(content)}\0".encode() + content)
    return digest.hexdigest()
