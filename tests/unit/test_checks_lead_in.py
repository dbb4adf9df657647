"""Lead-in chamfers of the frozen project's injector O-rings, on the check and on the drawing.

Rings of AS568: -203 is 3.53 +- 0.10 thick, -110 is 2.62 +- 0.08; all else is arithmetic, written out beside the number.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.export._paper import lead_in_notes
from platemaker.project import load
from platemaker.resolved import lead_ins_of
from tests.frozen_demo import changed_findings

SPECS = Path(__file__).parents[2] / "part_specs"
RAIL_END = {"diameter": 13.2, "length": 9, "o_ring": "AS568-203", "groove": 7.9, "groove_width": 4.6}
BOSS_END = {"diameter": 13.7, "length": 16, "o_ring": "-110", "groove": 9.9, "groove_width": 3.6}


def lead_ins(folder: Path, seat: dict[str, float]) -> dict[tuple[str, ...], tuple[Verdict, float | None]]:
    """The findings by their features."""
    changes = {
        "parts.fuel_rail.cross_bore.seat": seat,
        "parts.fuel_rail.injector.rail_end": RAIL_END,
        "parts.fuel_rail.injector.boss_end": BOSS_END,
    }
    return {
        one.features: (one.verdict, one.measured) for one in changed_findings(folder, changes) if one.check == "PM722"
    }


def test_the_groove_lies_below_the_lead_in(tmp_path: Path) -> None:
    """Over the ring 7.9 + 2 x 3.63 = 15.16: a chamfer to 15.2, (15.2 - 13.5)/2/tan 20 = 2.335 long; 7 - 2.335 = 4.665."""
    found = lead_ins(tmp_path, {"diameter": 13.5, "depth": 7})
    verdict, left = found["rail_end", "length"]
    assert left == pytest.approx(7 - 0.85 / math.tan(math.radians(20)))
    assert verdict is Verdict.PASS


def test_a_shallow_bore_has_no_room_for_the_groove(tmp_path: Path) -> None:
    """6.9 - 2.335 = 4.565, below the groove's 4.6."""
    assert lead_ins(tmp_path, {"diameter": 13.5, "depth": 6.9})["rail_end", "length"][0] is Verdict.FAIL


def test_the_drawing_asks_for_the_chamfer_that_the_check_takes() -> None:
    stack = load(SPECS / "pump_engine").stack
    [rail] = lead_in_notes(stack, stack.part("fuel_rail"))
    assert rail.startswith("Bores D take O-rings: lead-in to ⌀15.2, 20° to the axis (2.34 long)")
    [boss] = lead_in_notes(stack, stack.part("injector_bosses"))
    # 9.9 + 2 x 2.70 = 15.3; (15.3 - 14)/2/tan 20 = 1.786.
    assert "lead-in at the counterbore's floor to ⌀15.3, 20° to the axis (1.79 long)" in boss
    assert list(lead_in_notes(stack, stack.part("lower_plate"))) == []


def test_of_some_parts_alone_the_lead_ins_are_those_of_the_ones_that_are_there() -> None:
    stack = load(SPECS / "pump_engine").stack
    [row] = stack.rows
    every = {one.end for one in lead_ins_of(stack, row)}
    for left_out, ends in ((row.rail, every - {"rail_end"}), (row.bosses, every - {"boss_end"})):
        some = replace(stack, parts=tuple(part for part in stack.parts if part.name != left_out))
        assert {one.end for one in lead_ins_of(some, row)} == ends
    assert list(lead_ins_of(replace(stack, parts=()), row)) == []
