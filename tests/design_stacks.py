"""Stacks from a few lines of YAML, and findings by their check, for the tests of the design checks."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from platemaker.checks import Finding, check_stack
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.spec import load_project


def stack_of(folder: Path, text: str) -> Stack:
    """The stack of a project written in `text`."""
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return assemble(load_project(folder))


def by_check(findings: Iterable[Finding], check: str) -> list[Finding]:
    """The findings of one check, in the order of their ids."""
    return sorted((found for found in findings if found.check == check), key=lambda found: found.id)


def findings_of(stack: Stack, check: str) -> list[Finding]:
    """The findings of one check of a whole stack."""
    return by_check(check_stack(stack), check)


def only(stack: Stack, check: str) -> Finding:
    """The one finding of a check."""
    [found] = findings_of(stack, check)
    return found


def inputs(found: Finding) -> dict[str, float | str]:
    """A finding's inputs by symbol."""
    return {symbol: value for symbol, value, _ in found.inputs}
