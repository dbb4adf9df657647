"""Joints and designs thrown together at random: either the spec is refused, or every check answers with real numbers."""

from __future__ import annotations

import math
import random
from collections import Counter
from pathlib import Path

import pytest

from platemaker.checks import check_stack
from platemaker.errors import PlatemakerError
from platemaker.export import write_bolt_list, write_torque_table
from tests.design_stacks import stack_of

METALS = ["6061-T6", "A36", "grey cast iron", "'304'", "brass", "A356-T6"]
SHEETS = ["paper gasket", "fibre gasket", "cork-rubber", "nitrile rubber", "graphite", "copper", "PTFE"]
PATTERNS = [
    "{circle: 120, count: 1}", "{circle: 120, count: 5}", "{rectangle: [120, 90], rows: [3, 2]}", "{row: [-60, 0, 60]}",
    "{points: {a: [-60, 0]}}",
]  # fmt: skip
PORTS = [
    "{circle: 1}", "{circle: 60}", "{circle: 140}", "{rectangle: [70, 40]}", "{rectangle: [70, 40], corner_radius: 8}",
    "{slot: [60, 20]}", "{loop: [[-30, -20], [30, -20], [30, 20], [0, 0], [-30, 20]]}", "{circle: 20, at: [25, 10]}",
]  # fmt: skip
PRESSURES = ["boost: 0.5 bar", "boost: 900 bar", "backfire: 3 bar", "boost: 1 bar, vacuum: 1 bar, preload_share: 0.01"]
CUTS = [
    "", ", opening: {match: lid}", ", opening: {match: lid, mouth_radius: 2}", ", opening: {match: lid, mouth_chamfer: 2}", ", opening: {shape: {circle: 30}}",
    ", pocket: {shape: {rectangle: [90, 60], corner_radius: 8}, depth: 2, side: below}",
]  # fmt: skip
AIR = ["", ", air: {mass_flow: 1e-6 kg/s}", ", air: {mass_flow: 5 kg/s, bends: [{angle: 90}], towards: above}"]


def drawn(pick: random.Random) -> str:
    """A project of one plate on one body, with a pressed boss beside it."""
    seals = [
        "",
        f"gasket: {{thickness: {pick.choice([0.1, 0.8, 3, 9])}, land: {pick.choice([1, 20])}, "
        f"material: {pick.choice(SHEETS)}}}",
        f"seal: {{o_ring: AS568-{pick.choice(['044', '150', '240', '250', '360'])}}}",
    ]
    load = (
        f", loads: {{w: {{{pick.choice(['mass: 20 kg', 'force: 900 kN', 'force: -3 kN'])}, "
        f"at: [{pick.randint(-300, 300)}, {pick.randint(-300, 300)}, 50], towards: [1, 2, 3], joints: [lid]}}}}"
    )
    thread = pick.choice(["M4", "M6", "M8", "M10x1.25", "M20", "1/4-20", "3/8-16"])
    strength = pick.choice(["8.8", "12.9", "A2-70", "grade 5"])
    length = pick.choice(["", ", length: 5", ", length: 35", ", torque: 900 N.m"])
    holes = pick.choice(
        ["holes: tapped, thread_depth: 2", "holes: tapped, thread_depth: 40", "holes: tapped", "holes: clear"]
    )
    return f"""
project: any
design: {{{pick.choice(PRESSURES)}, friction: {pick.choice(["plain", "black", "waxed", "zinc"])}{pick.choice(AIR)}
  {pick.choice(["", load])}, temperature: {pick.choice([-40, 20, 400])} degC}}
bodies:
  pot: {{material: {pick.choice(METALS)}, envelope: {{box: [200, 200, 50]}}, joints: {{lid: {{{holes}}}}}}}
joints:
  lid:
    bolts: {{pattern: {pick.choice(PATTERNS)}, thread: {thread}, class: {strength}, head: {pick.choice(["socket", "hex"])},
      washers: {pick.choice(["true", "false"])}{length}}}
    opening: {pick.choice(PORTS)}
    {pick.choice(seals)}
  spots: {{spots: {{points: {{only: [0, 0]}}}}}}
parts:
  plate: {{kind: plate, material: {pick.choice(METALS)}, thickness: {pick.choice([3, 8, 12, 25, 60])},
    outline: {{rectangle: [190, 180]}},
    below: {{lid: {{holes: {pick.choice(["clear", "counterbored"])}, at: [3, 0], turn: 30}}}}{pick.choice(CUTS)}}}
  boss: {{kind: boss_row, joint: spots, material: {pick.choice(METALS)}, angle: {pick.choice([45, 90])} deg,
    fit: {pick.choice(["{hole: H7, shaft: p6}", "{hole: H7, shaft: g6}", "{interference: [0.01, 0.9]}"])},
    boss: {{outside_diameter: 24, length: 30, bore: {pick.choice([1, 12, 23.9])}}},
    casting: {{material: {pick.choice(METALS)}, flat: {{rectangle: [90, 60]}}, thickness: 20, bore: 24}}}}
"""


def answered(folder: Path, text: str) -> bool:
    """Whether the spec was taken; its findings are then held to be real and stated apart."""
    try:
        stack = stack_of(folder, text)
    except PlatemakerError:
        return False
    findings = check_stack(stack)
    write_bolt_list(stack, folder / "bolts.csv")
    write_torque_table(stack, folder / "torques.csv")
    assert [name for name, count in Counter(found.id for found in findings).items() if count > 1] == [], text
    for found in findings:
        numbers = [found.measured, found.required, found.margin]
        numbers += [one.value for one in found.inputs if isinstance(one.value, float)]
        assert all(number is None or math.isfinite(number) for number in numbers), (found, text)
    return True


def test_a_few_thrown_together(tmp_path: Path) -> None:
    pick = random.Random(1)
    taken = sum(answered(tmp_path, drawn(pick)) for _ in range(15))
    assert taken >= 5


@pytest.mark.slow
def test_many_thrown_together(tmp_path: Path) -> None:
    pick = random.Random(2)
    taken = sum(answered(tmp_path, drawn(pick)) for _ in range(400))
    assert taken >= 200
