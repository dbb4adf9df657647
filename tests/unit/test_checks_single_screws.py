"""Screws of no joint, heads over slots, and loads that hang: what each of them really sees.

Sources: arithmetic beside each number; d_w of M8 hexagons 11.63 mm (ISO 4014); g 9.80665 m/s2; strength that 6061-T6 and
M6 bolts keep at heat from the catalog's table, whose evidence stands there.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.catalog import strength_at_heat
from platemaker.checks import Verdict, check_stack
from tests.design_stacks import inputs, only, stack_of

HANGER = """
project: hang
design: {friction: oiled, preload_share: 0.6, loads: {weight: {mass: 2000 kg, at: [0, 0, Z], joints: [j]}}}
bodies:
  beam: {material: S235, envelope: {box: [200, 200, 50]}, place: {at: [0, 0, 20.8]},
    joints: {j: {face: below, holes: tapped, thread_depth: 20}}}
joints:
  j: {bolts: {pattern: {rectangle: [80, 80]}, thread: M8, head: hex}, opening: {circle: 30},
    gasket: {thickness: 0.8, land: 5}}
parts:
  hanger: {kind: plate, material: S235, thickness: 20, outline: {rectangle: [140, 140]}, place: {at: [0, 0, 0]},
    above: {j: {holes: clear}}, opening: {match: j, cutter: 10}}
"""
SLOTS = """
project: slots
design: {friction: oiled, preload_share: 0.5}
joints:
  j: {bolts: {pattern: {points: {a: [-40, 0], b: [40, 0]}}, thread: M8, head: hex}, pressure: 0 bar}
parts:
  base: {kind: plate, material: 6061-T6, thickness: 30, outline: {rectangle: [160, 100]}, place: {at: [0, 0, 0]},
    above: {j: {holes: tapped, thread_depth: 18}}}
  top: {kind: plate, material: S235, thickness: 12, outline: {rectangle: [160, 100]}, below: {j: {holes: none}},
    slots: {s: {slot: [20, 9], at: [-40, 0], adjusts: j}, t: {slot: [20, 9], at: [40, 0], adjusts: j}}}
"""
SCREW = """
project: hot
design: {friction: oiled, preload_share: 0.5, temperature: HEAT degC}
parts:
  base: {kind: plate, material: 6061-T6, thickness: 20, outline: {rectangle: [100, 60]}, place: {at: [0, 0, 0]},
    holes: {a: {at: [10, 5], SORT: M6, depth: 15}}}
  top: {kind: plate, material: S235, thickness: 10, outline: {rectangle: [100, 60]}, place: {at: [0, 0, 20]},
    holes: {c: {at: [10, 5], clear: M6}}}
"""


def test_what_hangs_pulls_its_bolts(tmp_path: Path) -> None:
    """2 t under a beam: a quarter of 19.6 kN on each of four bolts, more than what is left of their preload takes."""
    found = only(stack_of(tmp_path, HANGER.replace("Z", "-100")), "PM901")
    assert found.verdict is Verdict.FAIL
    assert inputs(found)["pull on the joint"] == pytest.approx(2000 * 9.80665)


def test_a_head_over_a_slot_bears_on_two_segments(tmp_path: Path) -> None:
    """A circle of 11.63 less a band of 9: two segments of together 2 (r2 acos(h/r) - h sqrt(r2 - h2)) = 13.2 mm2."""
    r, h = 11.63 / 2, 4.5
    left = 2 * (r**2 * math.acos(h / r) - h * math.sqrt(r**2 - h**2))
    assert left == pytest.approx(13.2, abs=0.1)
    found = only(stack_of(tmp_path, SLOTS), "PM904")
    assert (found.verdict, found.measured) == (Verdict.FAIL, pytest.approx(float(inputs(found)["F"]) / left))


@pytest.mark.parametrize(("heat", "verdict"), [("60", Verdict.PASS), ("200", Verdict.CAUTION), ("310", Verdict.FAIL)])
def test_heat_of_a_single_screw(tmp_path: Path, heat: str, verdict: Verdict) -> None:
    """Caution above 150 degC, fail above 300."""
    stack = stack_of(tmp_path, SCREW.replace("HEAT", heat).replace("SORT", "tapped"))
    (found,) = [one for one in check_stack(stack, samples=50) if one.check == "PM918" and one.part == "top"]
    assert (found.verdict, found.measured) == (verdict, pytest.approx(float(heat)))


@pytest.mark.parametrize(("sort", "check"), [("tapped", "PM905"), ("insert", "PM985")])
def test_aluminium_round_a_thread_softens(tmp_path: Path, sort: str, check: str) -> None:
    """At 175 degC the metal holds as much less as its yield strength is less, in a thread and round an insert."""
    cold, hot = (
        only(stack_of(folder, SCREW.replace("HEAT", heat).replace("SORT", sort)), check)
        for heat, folder in (("20", tmp_path / "cold"), ("175", tmp_path / "hot"))
        if folder.mkdir() is None
    )
    row = strength_at_heat("6061-T6", 175 + 273.15)
    assert row is not None
    assert row.yield_share < 0.7
    assert (hot.measured or 0.0) / (cold.measured or 1.0) == pytest.approx(row.yield_share, rel=0.02)
