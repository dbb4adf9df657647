"""Findings: their verdict and margin at every side of a limit, their order, and what is no number."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from platemaker.checks import Finding, Limit, Verdict, measured, not_checked, of_family
from platemaker.checks._finding import Sense, missing_share, worst_first
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


@pytest.mark.parametrize(
    ("sense", "value", "verdict", "required", "margin"),
    [
        (Sense.AT_LEAST, 1.75, Verdict.FAIL, 2.0, -0.25),
        (Sense.AT_LEAST, 2.0, Verdict.CAUTION, 4.0, -2.0),
        (Sense.AT_LEAST, 3.5, Verdict.CAUTION, 4.0, -0.5),
        (Sense.AT_LEAST, 4.0, Verdict.PASS, 2.0, 2.0),
        (Sense.AT_MOST, 4.25, Verdict.FAIL, 4.0, -0.25),
        (Sense.AT_MOST, 4.0, Verdict.CAUTION, 2.0, -2.0),
        (Sense.AT_MOST, 2.5, Verdict.CAUTION, 2.0, -0.5),
        (Sense.AT_MOST, 2.0, Verdict.PASS, 4.0, 2.0),
    ],
)
def test_a_value_between_its_limits_is_held_against_the_softer_one(
    sense: Sense, value: float, verdict: Verdict, required: float, margin: float
) -> None:
    """Limits 2 and 4, the harder one on the bad side; a value on a limit meets it."""
    hard, soft = (2.0, 4.0) if sense is Sense.AT_LEAST else (4.0, 2.0)
    found = measured("PM101", "wall", "lid", ["a"], value, Limit(hard, "mm", "the spec", caution=soft, sense=sense))
    assert (found.verdict, found.required, found.margin) == (verdict, required, margin)


@pytest.mark.parametrize(("off", "verdict"), [(-2e-6, Verdict.FAIL), (-0.5e-6, Verdict.PASS), (0.5e-6, Verdict.PASS)])
def test_a_value_within_a_millionth_of_its_limit_meets_it(off: float, verdict: Verdict) -> None:
    found = measured("PM101", "wall", "lid", ["a"], 3.0 + off, Limit(3.0, "mm", "the spec"))
    assert found.verdict is verdict
    soft = measured("PM101", "wall", "lid", ["a"], 3.0 + off, Limit(1.0, "mm", "the spec", caution=3.0))
    assert soft.verdict is (Verdict.CAUTION if verdict is Verdict.FAIL else verdict)


@pytest.mark.parametrize(
    ("value", "limit", "share"),
    [
        (1.0, 4.0, 0.75),  # 3 of 4 are missing
        (6.0, 4.0, -0.5),  # 2 of 4 to spare
        (-6.0, -4.0, 0.5),  # 2 below -4
        (4.0, 4.0, 0.0),
        (-1.0, 0.0, math.inf),
        (1.0, 0.0, -math.inf),
    ],
)
def test_what_is_missing_is_a_share_of_the_limit(value: float, limit: float, share: float) -> None:
    found = measured("PM101", "wall", "lid", ["a"], value, Limit(limit, "mm", "the spec"))
    assert missing_share(found) == share
    assert missing_share(not_checked("PM101", "wall", "lid", ["a"], "not known")) == 0.0


def test_the_worst_finding_stands_first() -> None:
    """A fail by 3 of 4, one by 1 of 2, a caution, one not checked, a pass with 1 of 4 to spare, one with 4 of 4."""

    def of(name: str, value: float, limit: float, soft: float | None = None) -> Finding:
        return measured("PM101", "wall", "lid", [name], value, Limit(limit, "mm", "the spec", caution=soft))

    order = [of("a", 1.0, 4.0), of("b", 1.0, 2.0), of("c", 3.0, 2.0, 4.0), not_checked("PM101", "wall", "lid", ["d"], ""),
             of("e", 5.0, 4.0), of("f", 8.0, 4.0)]  # fmt: skip
    assert worst_first(order[::-1]) == order


def test_findings_that_differ_by_rounding_alone_stand_in_the_order_of_their_names() -> None:
    limit = Limit(0.4, "mm", "common practice")
    late, early = (measured("PM101", "wall", part, ["a"], wide, limit) for part, wide in (("z", 0.3), ("b", 0.1 + 0.2)))
    assert late.margin != early.margin
    assert worst_first([late, early]) == worst_first([early, late]) == [early, late]
