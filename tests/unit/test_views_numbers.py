"""Numbers for a reader: no minus before zero, and what is counted has no decimals."""

from __future__ import annotations

import re

import pytest

from platemaker.checks import Limit, Sense, measured
from platemaker.views import finding_numbers, shown
from tests.package_tree import modules


@pytest.mark.parametrize("unit", ["mm", "mm2", "mm3", "MPa"])
def test_what_rounds_to_nothing_has_no_minus(unit: str) -> None:
    text = shown(-1e-9, unit)
    assert text.metric == f"0.000 {unit}"
    assert not text.inch.startswith("-")
    assert shown(-0.0006, unit).metric.startswith("-0.001")


def test_a_count_has_no_decimals() -> None:
    limit = Limit(0.0, "cautions", "common practice, no source", caution=1.0)
    stale = finding_numbers(measured("PM001", "acceptance", "trial", ["PM101"], 0.0, limit))
    assert (stale.measured.metric, stale.required.metric) == ("0 cautions", "at least 1 cautions")
    odd = measured("PM521", "sizes", "trial", ["lid"], 2.0, Limit(0.0, "sizes", "", sense=Sense.AT_MOST))
    assert finding_numbers(odd).measured.metric == "2 sizes"


def test_every_signed_number_drops_the_minus_of_zero() -> None:
    """`+.3f` gives -0.000 for a small negative value, `+z.3f` gives +0.000 (the Python language, format strings)."""
    signed = re.compile(r":[<>^]?\+\d*\.")
    assert [f"{one.name}: {met[0]}" for one in modules() for met in signed.finditer(one.text)] == []
