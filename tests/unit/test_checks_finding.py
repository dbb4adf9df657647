"""Findings: what a value that is no number does to a verdict."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from platemaker.checks import Finding, Limit, Verdict, measured, not_checked, of_family
from platemaker.errors import OutOfRange
from platemaker.parts import Stack
from tests.design_stacks import stack_of
from tests.plates import note_of


@pytest.mark.parametrize(("value", "limit"), [(math.nan, 3.0), (3.0, math.nan), (math.inf, math.inf)])
def test_what_is_no_number_passes_nothing(value: float, limit: float) -> None:
    found = measured("PM101", "wall", "lid", ["a", "b"], value, Limit(limit, "mm", "common practice, no source"))
    assert found.verdict is Verdict.NOT_CHECKED


def test_a_size_outside_of_a_formula_keeps_the_other_findings_and_fails(tmp_path: Path) -> None:
    def check_levers(stack: Stack) -> Iterator[Finding]:
        yield not_checked("PM719", "a check before", stack.name, ("lid",), "not known")
        message = "arm = -3 mm"
        raise OutOfRange(message)

    lid = "{kind: plate, material: 6061-T6, thickness: 10, outline: {rectangle: [100, 80]}}"
    before, stopped = of_family(check_levers, stack_of(tmp_path, f"project: cover\nparts: {{lid: {lid}}}\n"))
    assert before.check == "PM719"
    assert (stopped.check, stopped.features, stopped.verdict) == ("PM002", ("levers",), Verdict.FAIL)
    assert "arm = -3 mm" in note_of(stopped)
