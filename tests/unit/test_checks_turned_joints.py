"""What a joint's checks measure is the same however its frame lies in the parts that it joins."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.parts import Stack
from tests.design_stacks import findings_of, inputs, stack_of

TURNS = (0, 37, 45, 90, -120)


def turned(x: float, y: float, turn: float) -> str:
    """A place of the plate in a frame that lies in it at `turn` degrees."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return f"[{c * x + s * y:.6f}, {c * y - s * x:.6f}]"


def row_of_ports(folder: Path, turn: float) -> Stack:
    """Four openings in a row and ten bolts round them, on a plate that lies as ever while the joint's frame turns."""
    ports = "\n".join(
        f"      p{number}: {{circle: 44, at: {turned(x, 0, turn)}}}" for number, x in enumerate((-138, -46, 46, 138))
    )
    return stack_of(
        folder,
        f"""
project: trial
design: {{boost: 0.5 bar, backfire: 3 bar, temperature: 100 degC}}
bodies: {{head: {{material: A356-T6, joints: {{ports: {{face: above, holes: tapped, thread_depth: 24, turn: {turn}}}}}}}}}
joints:
  ports:
    bolts: {{pattern: {{rectangle: [368, 88], rows: [5, 2], turn: {-turn}}}, thread: M8, washers: true, length: 50}}
    openings:
{ports}
    gasket: {{thickness: 0.8, land: 6}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 30
    outline: {{rectangle: [410, 130]}}
    below: {{ports: {{holes: clear, turn: {turn}}}}}
""",
    )


@pytest.mark.parametrize("turn", TURNS)
def test_the_ring_of_bolts_round_several_openings(tmp_path: Path, turn: int) -> None:
    """368 mm over four spans; the bolts of the upper row are none that stand between openings."""
    [found] = [one for one in findings_of(row_of_ports(tmp_path, turn), "PM923") if one.measured is not None]
    assert inputs(found)["s"] == pytest.approx(92.0)


@pytest.mark.parametrize("turn", TURNS)
def test_a_plate_bends_over_the_box_along_its_openings(tmp_path: Path, turn: int) -> None:
    """Openings of 44 set out by half the land of 6: 50 wide over 276 + 50."""
    [found] = findings_of(row_of_ports(tmp_path, turn), "PM931")
    assert sorted((inputs(found)["a"], inputs(found)["b"])) == pytest.approx([50.0, 326.0])
