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
    assert found.note.startswith("worst bolt c, with pull as stated")


def test_the_shear_of_each_bolt(tmp_path: Path) -> None:
    """Turning moment 30 x -200 - 20 x 300 = -12 000 N.mm over 13 600 mm2: bolt c carries (161.8, -75.5) N."""
    turn = -12_000 / 13_600
    found = only(odd(tmp_path), "PM908")
    expected = math.hypot(100 - turn * 70, -200 / 3 + turn * 10)
    assert float(inputs(found)["shear at the bolt"]) == pytest.approx(expected)
    assert expected == pytest.approx(178.5, abs=0.05)
    assert found.note.startswith("worst bolt c")
