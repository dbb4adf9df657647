"""An O-ring's groove all the way through a build: STEP, DXF and checks hold the same groove, redone by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.export import build
from platemaker.parts import Stack
from tests.design_stacks import findings_of, only, stack_of

POT = """
project: pot
design: {boost: 1 bar, friction: waxed}
bodies:
  pot: {material: A356-T6, envelope: {box: [200, 200, 50]}, joints: {lid: {thread_depth: 24}}}
joints:
  lid:
    bolts: {pattern: {rectangle: [124, 96]}, thread: M8, length: 30}
    opening: {rectangle: [90, 60], corner_radius: 12}
    seal: {o_ring: AS568-242}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 15
    outline: {rectangle: [150, 122]}
    below: {lid: {holes: clear}}
    opening: {match: lid}
"""
# AS568-242: 101.19 by 3.53; face gland 2.64 deep, 4.57 wide. Round the port, 2 (66 + 36) + 24 pi long, the line at
# distance s is 2 pi s longer and holds pi s^2 more (Steiner).
PORT = 204 + 24 * math.pi
OUTER = (math.pi * (101.19 + 3.53) - PORT) / (2 * math.pi) + 3.53 / 2
INNER = OUTER - 4.57


def held(distance: float) -> float:
    """Area inside the line at a distance from the port, mm2."""
    return 90 * 60 - (4 - math.pi) * 12**2 + PORT * distance + math.pi * distance**2


@pytest.fixture
def pot(tmp_path: Path) -> Stack:
    return stack_of(tmp_path, POT)


@pytest.mark.kernel
def test_step_and_dxf_hold_the_groove(pot: Stack, tmp_path: Path) -> None:
    [made] = build(pot, tmp_path / "out", spec_folder=tmp_path).parts
    bolts = 4 * math.pi / 4 * 9**2
    volume = (150 * 122 - bolts - held(0)) * 15 - (held(OUTER) - held(INNER)) * 2.64
    # Places are kept to 1e-6 mm, and the groove's walls are some 650 mm2: 1e-3 mm3 in 200 000.
    assert made.step is not None
    assert [item.volume for item in made.step.items] == [pytest.approx(volume, abs=2e-3)]
    assert made.dxf is not None
    assert "GROOVE_D2.64_BELOW" in made.dxf.layers
    loops = sorted(made.dxf.loop_areas)
    assert loops == pytest.approx([held(0), held(INNER), held(OUTER), 150 * 122], abs=1e-3)


def test_walls_and_floors_see_the_groove(pot: Stack) -> None:
    """To the port, to the lid's edge at 75, and under the floor."""
    walls = {one.features: one for one in findings_of(pot, "PM110")}
    inside = walls["opening", "lid_groove groove"]
    edge, floor = walls["lid_groove groove", "outline"], walls["lid_groove groove", "face above"]
    assert inside.measured == pytest.approx(INNER, abs=2e-6)
    assert edge.measured == pytest.approx(75 - 45 - OUTER, abs=2e-6)
    assert floor.measured == pytest.approx(15 - 2.64, abs=1e-9)


def test_squeeze_fill_stretch_and_corner(pot: Stack) -> None:
    least, most = findings_of(pot, "PM926")
    assert (least.measured, most.measured) == (pytest.approx(0.79 / 3.43), pytest.approx(0.99 / 3.63))
    assert only(pot, "PM927").measured == pytest.approx(math.pi * 3.63**2 / 4 / (2.64 * 4.57))
    assert only(pot, "PM929").measured == pytest.approx(104.72 / (104.72 - 0.71) - 1, abs=1e-7)
    corner = only(pot, "PM928")
    assert (corner.measured, corner.required) == (pytest.approx(12 + INNER, abs=2e-6), pytest.approx(3 * 3.53))
    assert {one.verdict for one in (least, most, corner)} == {Verdict.PASS}
