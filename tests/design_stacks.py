"""Stacks from a few lines of YAML, and findings by their check, for the tests of the design checks."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from platemaker.checks import Finding, check_stack
from platemaker.parts import Stack
from platemaker.resolved import assemble
from platemaker.spec import load_project

PLATE_ON_LOG = """
project: trial
bodies: {log: {joints: {top: {holes: tapped}}}}
joints:
  top:
    bolts: {pattern: {rectangle: [100, 60]}, thread: M8, washers: true}
    opening: {rectangle: [40, 24]}
    gasket: {thickness: 1, land: 4}
parts:
  base:
    kind: plate
    material: 6061-T6
    thickness: 12
    outline: {rectangle: [150, 90]}
"""
"""A plate on an existing body, its four bolts at (+-50, +-30); what it has for them follows."""
FOUR_SLOTS = """    slots:
      a: {slot: [19, 9], at: [-50, -30], adjusts: top}
      b: {slot: [19, 9], at: [50, -30], adjusts: top}
      c: {slot: [19, 9], at: [50, 30], adjusts: top}
      d: {slot: [19, 9], at: [-50, 30], adjusts: top}
"""
"""Slots in place of the holes: 10 mm of travel along X."""


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
    return {one.symbol: one.value for one in found.inputs}
