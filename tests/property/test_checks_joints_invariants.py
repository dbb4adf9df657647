"""Joints calculated in any place: turning and moving the whole stack, or a joint in its plates, changes no figure."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from platemaker.checks import Finding, Verdict
from platemaker.checks._sealing._joints import check_joints
from tests.design_stacks import stack_of

TEXT = """
project: any
design:
  boost: 0.7 bar
  friction: lubricated
  loads:
    box: {{mass: 20 kg, at: {at}, joints: [port]}}
    belt: {{force: 700 N, towards: {towards}, at: {at}, joints: [port]}}
bodies:
  log: {{material: A356-T6, envelope: {{box: [600, 600, 50]}}, place: {{at: {place}, turn: [0, 0, {turn:.9f}]}},
    joints: {{port: {{thread_depth: 22}}}}}}
joints:
  port:
    bolts: {{pattern: {{points: {{a: [-60, -45], b: [55, -50], c: [65, 40], d: [-50, 48]}}}}, thread: M8, length: 30}}
    opening: {{rectangle: [70, 40], corner_radius: 8, at: [3, -2]}}
    gasket: {{thickness: 0.8, land: 5}}
parts:
  plate: {{kind: plate, material: 6061-T6, thickness: 12, outline: {{circle: 220, at: {middle}}},
    below: {{port: {{holes: clear, at: {middle}, turn: {own:.9f}}}}}, opening: {{match: port}}}}
"""


def figures(
    folder: Path, turn: float, shift: tuple[float, float, float], own: float, middle: tuple[float, float]
) -> dict[str, tuple[float | None, Verdict]]:
    """The joint's figures when the log is turned and moved, and the joint lies turned in the plate's plan.

    Loads are given in the stack's frame, so they are turned and moved along.
    """
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def turned(x: float, y: float, z: float) -> list[float]:
        return [c * x - s * y, s * x + c * y, z]

    at = [p + q for p, q in zip(turned(90.0, 35.0, 180.0), (*shift[:2], shift[2] + 50.0), strict=True)]
    text = TEXT.format(
        at=at, towards=turned(-0.3, 1.0, 0.2), place=list(shift), turn=turn, own=own, middle=list(middle)
    )
    folder.mkdir()
    found: list[Finding] = list(check_joints(stack_of(folder, text)))
    return {one.id: (one.measured, one.verdict) for one in found}


def test_turning_and_moving_changes_nothing(tmp_path: Path) -> None:
    """Equal within 1e-6 of each figure: places are rounded to 1e-6 mm on entry."""
    plain = figures(tmp_path / "plain", 0.0, (0.0, 0.0, 0.0), 0.0, (0.0, 0.0))
    assert {key.split(":")[0] for key in plain} >= {"PM901", "PM902", "PM904", "PM908", "PM921", "PM923", "PM924"}
    random_places = random.Random(6)
    for number in range(6):
        turn, own = random_places.uniform(-180, 180), random_places.uniform(-180, 180)
        shift = tuple(random_places.uniform(-300, 300) for _ in range(3))
        middle = (random_places.uniform(-80, 80), random_places.uniform(-80, 80))
        other = figures(tmp_path / str(number), turn, shift, own, middle)
        assert other.keys() == plain.keys()
        for key, (value, verdict) in plain.items():
            assert other[key][1] == verdict, key
            assert other[key][0] == (value if value is None else pytest.approx(value, rel=1e-6, abs=1e-6)), key
