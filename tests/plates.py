"""Small projects for tests: a plate from a few lines of YAML, checked as a user's would be."""

from __future__ import annotations

from pathlib import Path

from platemaker.checks import Finding, check_stack
from platemaker.parts import Stack
from platemaker.report import worded
from platemaker.resolved import assemble
from platemaker.spec import load_project

HEAD = """
project: trial
parts:
  lid:
    kind: plate
    material: 6061-T6
"""


def stack_of(folder: Path, text: str) -> Stack:
    """The stack of a project.yaml that holds `text`."""
    (folder / "project.yaml").write_text(text, encoding="utf-8")
    return assemble(load_project(folder))


def lid_of(folder: Path, body: str) -> Stack:
    """The stack of one plate called `lid`; `body` is its YAML, indented by four blanks."""
    return stack_of(folder, HEAD + body)


def found(stack: Stack, check: str, *features: str) -> Finding:
    """The one finding of a check whose features are those given, in any order."""
    wanted = sorted(features)
    hits = [one for one in check_stack(stack) if one.check == check and sorted(one.features) == wanted]
    if len(hits) != 1:
        seen = sorted({one.features for one in check_stack(stack) if one.check == check})
        message = f"{len(hits)} findings {check} about {wanted}; seen {seen}"
        raise AssertionError(message)
    return hits[0]


def note_of(finding: Finding) -> str:
    """What a finding says besides its numbers, as a metric report prints it."""
    return worded(finding.note).metric
