"""Findings: what a value that is no number does to a verdict."""

from __future__ import annotations

import math

import pytest

from platemaker.checks import Limit, Verdict, measured


@pytest.mark.parametrize(("value", "limit"), [(math.nan, 3.0), (3.0, math.nan), (math.inf, math.inf)])
def test_what_is_no_number_passes_nothing(value: float, limit: float) -> None:
    found = measured("PM101", "wall", "lid", ["a", "b"], value, Limit(limit, "mm", "common practice, no source"))
    assert found.verdict is Verdict.NOT_CHECKED
