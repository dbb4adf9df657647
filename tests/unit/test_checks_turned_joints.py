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


@pytest.mark.parametrize("turn", [0, 37])
def test_a_bolt_in_the_corner_of_a_staircase_is_one_of_the_ring(tmp_path: Path, turn: int) -> None:
    """Three openings in an L. The bolt at (-15, 35) lies beside the line that goes round them: y - x is 50, the line's 23 √2.

    Each bolt is at most 75 from the next; without that one, two would be 127 apart.
    """
    spots = {"a": (-75, -75), "b": (0, -75), "c": (75, -75), "d": (75, 0), "e": (75, 75), "f": (20, 75),
             "g": (-15, 35), "h": (-75, -10)}  # fmt: skip
    points = ", ".join(f"{name}: {turned(*at, turn)}" for name, at in spots.items())
    ports = "\n".join(
        f"      {name}: {{circle: 40, at: {turned(*at, turn)}}}"
        for name, at in {"p": (-40, -40), "q": (40, -40), "r": (40, 40)}.items()
    )
    stack = stack_of(
        tmp_path,
        f"""
project: trial
design: {{boost: 0.5 bar}}
bodies: {{head: {{material: A356-T6, joints: {{ports: {{face: above, holes: tapped, thread_depth: 24, turn: {turn}}}}}}}}}
joints:
  ports:
    bolts: {{pattern: {{points: {{{points}}}}}, thread: M8, length: 40}}
    openings:
{ports}
    gasket: {{thickness: 0.8, land: 6}}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 20
    outline: {{rectangle: [180, 180]}}
    below: {{ports: {{holes: clear, turn: {turn}}}}}
""",
    )
    [found] = findings_of(stack, "PM933")
    assert inputs(found)["s"] == pytest.approx(75.0)
