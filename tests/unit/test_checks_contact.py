"""Metal round a bolt where two faces meet: areas of circles in the plan, by hand.

Sources: cone of 30 degrees (Shigley, 9th ed., 8-5); face under an M8 cap screw 12.33 (ISO 4762); washer of M8 16 (ISO 7089).
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.checks._bolts._contact import check_contact
from tests.design_stacks import stack_of

PLATES = """
project: plates
joints:
  j: {bolts: {pattern: {points: {a: [-40, 0], b: [40, 0]}}, thread: M8, length: 25}, pressure: 0 bar}
parts:
  low: {kind: plate, material: S235, thickness: 30, outline: {rectangle: [160, 120]}, place: {at: [0, 0, 0]},
    above: {j: {holes: tapped, into: [well]}}, reliefs: {well: {at: [-40, 0], diameter: WIDE, depth: 4, side: above}}}
  up: {kind: plate, material: S235, thickness: 10, outline: {rectangle: [120, 100]}, below: {j: {holes: clear}}}
"""
FOOT = """
project: foot
parts:
  base: {kind: plate, material: S235, thickness: 30, outline: {rectangle: [200, 160]}, place: {at: [0, 0, 0]},
    pockets: {p: {shape: {rectangle: [WIDE, 100]}, depth: 5, side: above}},
    holes: {s: {at: [0, 0], tapped: M8, side: above, into: [p]}}}
  bracket: {kind: bracket, material: S235, width: 40, thickness: 8, legs: [60, 80], bends: [{angle: -90 deg, radius: 10}],
    holes: {c: {leg: 1, at: [20, 0], clear: M8, over: base.s, screw: {washers: true, length: 25}}}}
"""
RADIUS = 12.33 / 2 + 10 * math.tan(math.radians(30))
RING = math.pi / 4 * (12.33**2 - 9**2)


@pytest.mark.parametrize(("wide", "verdict"), [(12.0, Verdict.PASS), (22.5, Verdict.CAUTION), (40.0, Verdict.FAIL)])
def test_a_wide_relief_leaves_a_joints_bolt_nothing(tmp_path: Path, wide: float, verdict: Verdict) -> None:
    """The cone under 10 mm of plate is 11.9 mm wide all round: what the relief leaves of it, over the head's ring."""
    (found,) = check_contact(stack_of(tmp_path, PLATES.replace("WIDE", f"{wide}")))
    left = max(math.pi * (RADIUS**2 - wide**2 / 4), 0.0)
    assert (found.part, found.features, found.verdict) == ("low", ("j", "j_a"), verdict)
    assert found.measured == pytest.approx(left / RING, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(("wide", "verdict"), [(6.0, Verdict.PASS), (150.0, Verdict.FAIL)])
def test_a_brackets_foot_over_a_pocket(tmp_path: Path, wide: float, verdict: Verdict) -> None:
    """A slit of 6 leaves two segments of a circle, less what the thread takes past it; a pocket of 150 nothing."""
    (found,) = check_contact(stack_of(tmp_path, FOOT.replace("WIDE", f"{wide}")))
    assert (found.part, found.verdict) == ("base", verdict)
    r = 16 / 2 + 8 * math.tan(math.radians(30))

    def segments(radius: float, half: float) -> float:
        return 2 * (radius**2 * math.acos(half / radius) - half * math.sqrt(radius**2 - half**2))

    left = segments(r, wide / 2) - segments(8 / 2, wide / 2) if wide < r else 0.0
    assert found.measured == pytest.approx(left / (math.pi / 4 * (16**2 - 9**2)), rel=1e-6, abs=1e-12)
