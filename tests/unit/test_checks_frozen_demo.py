"""Changes of the frozen project, each of which would hurt somebody and none of which may pass."""

from __future__ import annotations

from pathlib import Path

from platemaker.checks import Verdict
from tests.frozen_demo import changed_findings


def test_as_it_is(tmp_path: Path) -> None:
    """Its heads press too hard on aluminium at 110 degC, which nothing looked at when it was frozen; no more than that."""
    assert {one.check for one in changed_findings(tmp_path, {}) if one.verdict is Verdict.FAIL} <= {"PM904"}
