"""The order in which a spec lists its parts, joints and cuts says nothing: the findings are the same."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from platemaker.checks import check_stack
from platemaker.resolved import assemble
from platemaker.spec import read_folder, validate

ROOT = Path(__file__).resolve().parents[2]
FREE = ("parts", "joints", "above", "below", "holes", "pockets", "openings", "marks", "loads")
"""Keys whose entries may stand in any order; the first body carries the stack, and a belt passes pulleys in turn."""


def shuffled(value: Any, rng: random.Random, key: str = "") -> Any:
    if not isinstance(value, dict):
        return value
    entries = [(name, shuffled(one, rng, name)) for name, one in value.items()]
    if key in FREE:
        rng.shuffle(entries)
    return dict(entries)


def findings_of(folder: Path, seed: int | None) -> Counter[tuple[Any, ...]]:
    """Check, verdict and rounded value of every finding. A touching pair is filed under either part, so by neither."""
    sources, data = read_folder(folder)
    if seed is not None:
        data = shuffled(data, random.Random(seed))
    found = check_stack(assemble(validate(folder, sources, data)))
    return Counter(
        (one.check, one.verdict, None if one.measured is None else round(one.measured, 6) + 0.0) for one in found
    )


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("project", ["part_specs/pump_engine", "part_specs/four_ports", "tests/frozen/pump_engine"])
def test_the_order_of_keys_changes_no_finding(project: str, seed: int) -> None:
    assert findings_of(ROOT / project, seed) == findings_of(ROOT / project, None)
