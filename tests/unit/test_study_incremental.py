"""Variants one after another give what each of them gives by itself: nothing that a key touches is left as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from platemaker.checks import Finding, check_stack
from platemaker.remembered import forget
from platemaker.resolved import assemble
from platemaker.spec import read_folder, validate
from platemaker.study import Value, study, study_json, with_value

SPECS = Path("part_specs")
POCKET = ("parts", "blower_plate", "pocket")
CHANGES: list[tuple[tuple[str | int, ...], Value]] = [
    ((*POCKET, "wall"), 5.1), ((*POCKET, "cutter"), 10), ((*POCKET, "depth"), 11.5), ((*POCKET, "land"), 12.5),
    (("parts", "blower_plate", "thickness"), 26), (("parts", "lower_plate", "material"), "6082-T6"),
    ((*POCKET, "wall"), 5.1), (("design", "boost"), "0.7 bar"), ((*POCKET, "wall"), 5),
]  # fmt: skip


def found_with(path: tuple[str | int, ...], value: Value) -> tuple[Finding, ...]:
    folder = SPECS / "pump_engine"
    sources, data = read_folder(folder)
    return check_stack(assemble(validate(folder, sources, with_value(data, path, value))))


@pytest.mark.parametrize("changes", [CHANGES[-3:], pytest.param(CHANGES, marks=pytest.mark.slow)], ids=("few", "all"))
def test_each_variant_says_what_it_says_by_itself(changes: list[tuple[tuple[str | int, ...], Value]]) -> None:
    forget()
    in_turn = [repr(found_with(path, value)) for path, value in changes]
    assert len(set(in_turn)) >= len(changes) - 2  # they do differ
    for (path, value), seen in zip(changes, in_turn, strict=True):
        forget()
        assert repr(found_with(path, value)) == seen, (path, value)


def test_study_is_the_same_forgetful_or_not() -> None:
    folder, vary = SPECS / "standard_faces", ["adapter.thickness=8..14/1", "adapter.edge_break=0.5,1"]
    forget()
    first = study_json(study(folder, vary, cores=1))
    assert study_json(study(folder, vary, cores=1)) == first
    rows = []
    for thickness in range(8, 15):
        forget()
        rows.append(study(folder, [f"adapter.thickness={thickness}", "adapter.edge_break=0.5,1"], cores=1).rows)
    whole = study(folder, vary, cores=1).rows
    assert [(row.choices, row.fails, row.outcomes, row.least) for row in whole] == [
        (row.choices, row.fails, row.outcomes, row.least) for one in rows for row in one
    ]
