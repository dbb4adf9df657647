"""Why a check matters and how to fix what it finds, from its page in docs/checks, for the report."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files

from platemaker.records import Record


class CheckTexts(Record):
    """Two short texts of a check's page; both empty for a check without one."""

    why: str = ""
    fix: str = ""


def advice_of(check: str) -> CheckTexts:
    """What the page of a check says."""
    return _all().get(check, CheckTexts())


@cache
def _all() -> dict[str, CheckTexts]:
    text = files("platemaker.report").joinpath("data", "checks.json").read_text(encoding="utf-8")
    return {check: CheckTexts(**said) for check, said in json.loads(text).items()}
