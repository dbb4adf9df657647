"""Lead-in chamfers of the frozen project's injector O-rings, on the check and on the drawing.

Rings of AS568: -203 is 3.53 +- 0.10 thick, -110 is 2.62 +- 0.08; all else is arithmetic, written out beside the number.
"""

from __future__ import annotations

import math
import shutil
from pathlib import Path

import ezdxf
import pytest

from platemaker.checks import Verdict, check_stack
from platemaker.export import write_dxf
from platemaker.export._lists._holes import hole_table_text
from platemaker.export._paper import lead_in_notes
from platemaker.export._reading._read_dxf import prove_dxf
from platemaker.export._sheet._drawing_words import Numbers, call_out_lines
from platemaker.parts import Stack, lead_ins_of
from platemaker.project import load
from platemaker.records import replace
from platemaker.resolved import expected_volume
from platemaker.solids import solid_of
from tests.frozen_demo import changed_findings, changed_stack

SPECS = Path(__file__).parents[2] / "part_specs"
RAIL_END = {"diameter": 13.2, "length": 9, "o_ring": "AS568-203", "groove": 7.9, "groove_width": 4.6}
BOSS_END = {"diameter": 13.7, "length": 16, "o_ring": "-110", "groove": 9.9, "groove_width": 3.6}


def lead_ins(folder: Path, seat: dict[str, float]) -> dict[tuple[str, ...], tuple[Verdict, float | None]]:
    """The findings by their features."""
    found = changed_findings(folder, changes(seat))
    return {one.features: (one.verdict, one.measured) for one in found if one.check == "PM722"}


def changes(seat: dict[str, float]) -> dict[str, object]:
    return {
        "parts.fuel_rail.cross_bore.seat": seat,
        "parts.fuel_rail.injector.rail_end": RAIL_END,
        "parts.fuel_rail.injector.boss_end": BOSS_END,
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


def test_in_a_round_bar_the_cylinder_begins_where_the_rim_is_whole(tmp_path: Path) -> None:
    """Bar of 40: the rim of 15.2 is whole 20 - sqrt(20^2 - 7.6^2) = 1.500 down, that of 13.5 20 - sqrt(20^2 - 6.75^2)."""
    rows = []
    for name, stock in (("bar", [40, 40]), ("round", 40)):
        edits = {**changes({"diameter": 13.5, "depth": 7}), "parts.fuel_rail.stock": {name: stock}}
        found = changed_findings(tmp_path / name, edits)
        rows.append({(one.check, one.features): one for one in found if one.check in ("PM707", "PM722")})
    flat, turned = rows
    ring, reach = ("PM722", ("rail_end", "length")), ("PM707", ("injectors_1", "injector"))
    assert turned[ring].measured == pytest.approx(
        7 - (20 - math.sqrt(400 - 7.6**2)) - 0.85 / math.tan(math.radians(20))
    )
    assert (flat[ring].verdict, turned[ring].verdict) == (Verdict.PASS, Verdict.FAIL)
    lost = (flat[reach].measured or 0) - (turned[reach].measured or 0)
    assert lost == pytest.approx(20 - math.sqrt(400 - 6.75**2))


def test_the_drawing_asks_for_the_chamfer_that_the_check_takes() -> None:
    stack = load(SPECS / "pump_engine").stack
    [rail] = lead_in_notes(stack, stack.part("fuel_rail"))
    assert rail.startswith("Bores D take O-rings: ⌵ is the lead-in, no edge left at its ends; cylinder Ra 1.6 µm")
    said = call_outs(stack, "fuel_rail", "injectors_1")
    assert said == ["⌀8 bored ↧22.23", "⌴⌀13.5 ↧7", "⌵⌀15.2 × 40°"]
    # 9.9 + 2 x 2.70 = 15.3; (15.3 - 14)/2/tan 20 = 1.786 below the counterbore's floor at 5.
    assert call_outs(stack, "injector_bosses", "bore")[1] == "⌵⌀15.3 × 40° ↧6.79"
    assert list(lead_in_notes(stack, stack.part("lower_plate"))) == []


def call_outs(stack: Stack, part: str, hole: str) -> list[str]:
    [found] = [one for one in stack.part(part).holes if one.name == hole]
    return call_out_lines(found, Numbers("mm"))


def frustum(wide: float, narrow: float, length: float) -> float:
    return math.pi / 12 * length * (wide**2 + wide * narrow + narrow**2)


@pytest.mark.kernel
def test_the_lead_in_is_cut_in_the_solid_and_drawn_in_the_files(tmp_path: Path) -> None:
    """What a boss without ring data has more is what the cone takes beside the bore of 14: 15.3 to 14 at 20 degrees."""
    folder = tmp_path / "pump_engine"
    shutil.copytree(SPECS / "pump_engine", folder)
    cone = load(folder).stack.part("injector_bosses")
    fuel = folder / "fuel.yaml"
    fuel.write_text(fuel.read_text(encoding="utf-8").replace(", groove: 9.9", ""), encoding="utf-8")
    plain = load(folder).stack.part("injector_bosses")
    length = 0.65 / math.tan(math.radians(20))
    more = frustum(15.3, 14, length) - math.pi / 4 * 14**2 * length
    measured = [solid_of(part).Volume() for part in (plain, cone)]
    assert measured[0] - measured[1] == pytest.approx(more, abs=1e-3)
    assert expected_volume(cone) == pytest.approx(measured[1], abs=1e-3)
    write_dxf(cone, tmp_path / "boss.dxf")
    prove_dxf(cone, tmp_path / "boss.dxf")
    drawn = {
        one.dxf.layer: 2 * one.dxf.radius for one in ezdxf.readfile(tmp_path / "boss.dxf").modelspace().query("CIRCLE")
    }
    assert drawn["CSINK_15.3_A40.0_ABOVE"] == pytest.approx(15.3)
    rows = [row for row in hole_table_text(cone).splitlines() if "countersink 40 deg" in row]
    assert len(rows) == 1
    assert ",15.300,6.786," in rows[0]


def test_the_walls_see_the_cone() -> None:
    """From the wide end of the rail's chamfer, 15.2, to the sides of the bar of 25.4: 5.1; of the bore alone 5.95."""
    stack = load(SPECS / "pump_engine").stack
    found = {
        one.features: one.measured for one in check_stack(stack) if one.check == "PM110" and one.part == "fuel_rail"
    }
    assert found["injectors_1 countersink", "outline"] == pytest.approx((25.4 - 15.2) / 2)


def test_a_chamfer_without_room_is_not_cut(tmp_path: Path) -> None:
    """2.335 long in a bore 2.3 deep: the check fails, the note asks for it with its sizes, the solid stays as it is."""
    found = lead_ins(tmp_path, {"diameter": 13.5, "depth": 2.3})
    assert found["rail_end", "length"] == (
        Verdict.FAIL,
        pytest.approx(2.3 - 0.85 / math.tan(math.radians(20)), abs=1e-6),
    )
    stack = changed_stack(tmp_path / "again", changes({"diameter": 13.5, "depth": 2.3}))
    assert not any(step.angle for hole in stack.part("fuel_rail").holes if hole.joint for step in hole.bored)
    [note] = lead_in_notes(stack, stack.part("fuel_rail"))
    assert "lead-in to ⌀15.2, 20° to the axis (2.34 long)" in note


def test_of_some_parts_alone_the_lead_ins_are_those_of_the_ones_that_are_there() -> None:
    stack = load(SPECS / "pump_engine").stack
    [row] = stack.rows
    every = {one.end for one in lead_ins_of(stack.parts, row)}
    for left_out, ends in ((row.rail, every - {"rail_end"}), (row.bosses, every - {"boss_end"})):
        some = replace(stack, parts=tuple(part for part in stack.parts if part.name != left_out))
        assert {one.end for one in lead_ins_of(some.parts, row)} == ends
    assert list(lead_ins_of((), row)) == []
