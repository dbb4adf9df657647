"""One joint without any symmetry, loaded along all axes: which bolt, which sign, which end of the preload.

Three M8 at a (-60, -40), b (50, -30) and c (10, 70), whose middle is (0, 0): S_xx = 6200, S_yy = 7400, S_xy = 1600 mm2.
The load (300, -200, 500) N acts at (30, 20, 40) over the face and in no other way.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.parts import Stack
from tests.design_stacks import inputs, only, stack_of
from tests.plates import note_of

PROJECT = """
project: odd
design:
  friction: lubricated
  preload_share: 0.6
  loads: {pull: {force: LOAD N, towards: [3, -2, 5], at: [30, 20, 40], joints: [lid], one_way: true}}
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {lid: {thread_depth: 18}}}
joints:
  lid:
    bolts: {pattern: {points: {a: [-60, -40], b: [50, -30], c: [10, 70]}}, thread: M8, length: 25}
    opening: {circle: 40}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [160, 180]}, below: {lid: {holes: clear}}}
"""
FORCE = math.sqrt(300**2 + 200**2 + 500**2)


def odd(folder: Path, load: float = FORCE) -> Stack:
    return stack_of(folder, PROJECT.replace("LOAD", repr(load)))


def test_the_pull_of_each_bolt(tmp_path: Path) -> None:
    """Sum T y = 20 x 500 - 40 x -200 = 18 000, sum T x = 30 x 500 - 40 x 300 = 3000 N.mm.

    Tilts: a = (3000 x 7400 - 18 000 x 1600)/D, b = (18 000 x 6200 - 3000 x 1600)/D, D = 6200 x 7400 - 1600^2. Bolt c is
    pulled most: 500/3 + 10 a + 70 b = 337.7 N.
    """
    determinant = 6200 * 7400 - 1600**2
    a, b = (3000 * 7400 - 18_000 * 1600) / determinant, (18_000 * 6200 - 3000 * 1600) / determinant
    found = only(odd(tmp_path), "PM901")
    assert float(inputs(found)["P"]) == pytest.approx(500 / 3 + 10 * a + 70 * b)
    assert 500 / 3 + 10 * a + 70 * b == pytest.approx(337.7, abs=0.05)
    assert note_of(found).startswith("worst bolt c, with pull as stated")


def test_the_shear_of_each_bolt(tmp_path: Path) -> None:
    """Turning moment 30 x -200 - 20 x 300 = -12 000 N.mm over 13 600 mm2: bolt c carries (161.8, -75.5) N."""
    turn = -12_000 / 13_600
    found = only(odd(tmp_path), "PM908")
    expected = math.hypot(100 - turn * 70, -200 / 3 + turn * 10)
    assert float(inputs(found)["shear at the bolt"]) == pytest.approx(expected)
    assert expected == pytest.approx(178.5, abs=0.05)
    assert note_of(found).startswith("worst bolt c")


PROOF = 36.6 * 580
"""Proof load of M8 class 8.8, ISO 898-1, N. Aimed at 0.6 of it; a torque wrench on lubricated threads scatters by 25 %."""


def test_the_high_end_strips_threads(tmp_path: Path) -> None:
    """A load of 1 mN leaves the tightened high end alone: 1.25 x 0.6 x 21 228 = 15 921 N at both threads and the head."""
    stack = odd(tmp_path, 0.001)
    high = 1.25 * 0.6 * PROOF
    assert high == pytest.approx(15_921, abs=0.5)
    for check in ("PM905", "PM906"):
        found = only(stack, check)
        seen = inputs(found)
        assert float(seen["largest tensile load"]) == pytest.approx(high, rel=1e-6)
        assert found.measured == pytest.approx(float(seen["A"]) * float(seen["tau"]) / high, rel=1e-6)
    assert float(inputs(only(stack, "PM904"))["F"]) == pytest.approx(high, rel=1e-6)


def test_the_low_end_holds_sideways(tmp_path: Path) -> None:
    """0.75 x 0.6 of proof, less 10 um of embedding (thread, seat, one face) and 40 K of cold over 12 + 4 mm.

    6061 grows 23.6, A356 21.4, the bolt 11.7 um/m K: (12 x 11.9 + 4 x 9.7)e-6 x 40 = 7.26 um. Springs from the finding.
    """
    stack = odd(tmp_path)
    found = only(stack, "PM908")
    seen = inputs(only(stack, "PM912"))
    spring = 1 / (1 / float(seen["k_b"]) + 1 / float(seen["k_m springing back"]))
    low = 0.75 * 0.6 * PROOF - (0.010 + 40 * (12 * 11.9e-6 + 4 * 9.7e-6)) * spring
    assert float(inputs(found)["F_i"]) == pytest.approx(low)
    clamp = low - (1 - float(inputs(found)["C"])) * float(inputs(found)["pull at the bolt"])
    assert found.measured == pytest.approx(0.15 * clamp / float(inputs(found)["shear at the bolt"]))


ASIDE = """
project: aside
design:
  boost: 10 bar
  friction: waxed
  loads: {pull: {force: 2 kN, towards: [0, 0, 1], at: [-60, 0, 0], joints: [lid], one_way: true}}
bodies:
  pot: {material: A356-T6, envelope: {box: [400, 200, 50]}, joints: {lid: {thread_depth: 18}}}
joints:
  lid:
    bolts: {pattern: {rectangle: [120, 90]}, thread: M8, length: 25}
    opening: {circle: 40, at: [120, 0]}
parts:
  lid: {kind: plate, material: 6061-T6, thickness: 12, outline: {rectangle: [320, 130]}, below: {lid: {holes: clear}}}
"""


def test_loads_act_without_the_pressure_too(tmp_path: Path) -> None:
    """The port lies 120 mm to one side: pressed, it takes pull off the bolts at x = -60, at which the load pulls.

    1 MPa on a circle of 40 is 1257 N: 314 - 1257 x 120 x 60/(4 x 60^2) = -314 N there, 943 N at x = 60. The load alone gives
    500 + 2000 x 60 x 60/(4 x 60^2) = 1000 N at x = -60 and nothing at 60: without pressure 1000, with it 686 and 943.
    """
    found = only(stack_of(tmp_path, ASIDE), "PM901")
    assert float(inputs(found)["P"]) == pytest.approx(1000.0)
    assert "with no pressure, pull as stated" in note_of(found)
