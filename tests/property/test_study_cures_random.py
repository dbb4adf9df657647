"""Forty changes drawn at random that make a check fail, eight of each kind, and how many of them find a cure."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.report import items_of
from platemaker.spec import load_project
from platemaker.study import advise
from tests.cure_mutations import EACH, KINDS, mutations

WANTED = 36


@pytest.mark.slow
@pytest.mark.parametrize(("seed", "keys"), [(1, 1), (11, 1), (201, 2)])
def test_failing_changes_find_a_cure(seed: int, keys: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Cured is a change of one key, or two, all of whose failing items have a cure, proved by a whole check."""
    lost, cured, spent = [], 0, []
    for mutation, folder in mutations(seed, tmp_path, keys=keys):
        found = advise(load_project(folder))
        items = [one for one in items_of(found.checks.stack, found.checks.findings) if one.verdict is Verdict.FAIL]
        spent += [found.spent[item.identity] for item in items]
        missing = [item.worst.id for item in items if not found.proved[item.identity]]
        cured += not missing
        changed = "; ".join(f"{key} = {value}" for key, value in ((mutation.key, mutation.value), *mutation.also))
        lost += [f"{changed}: {', '.join(missing)}"] if missing else []
    with capsys.disabled():
        checks = f"{sorted(spent)[len(spent) // 2]:g} whole checks an item in the middle, {max(spent):g} at most"
        sys.stdout.write(
            f"\nseed {seed}, {keys} at once: {cured} of {EACH * len(KINDS)} cured, {checks}\n"
            + "".join(f"  {one}\n" for one in lost)
        )
    assert max(spent) <= 30
    assert cured >= WANTED
