"""An O-ring's groove all the way through a build: STEP, DXF and checks hold the same groove, redone by hand."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import Verdict
from platemaker.export import build
from platemaker.export._paper import about_of
from platemaker.export._sheet._drawing_sheet import drawing_pages
from platemaker.export._sheet._first_article import first_article
from platemaker.parts import Stack
from platemaker.records import replace
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
    assert "GROOVE_DP2.64_BELOW" in made.dxf.layers
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
    assert (least.measured, most.measured) == (pytest.approx(0.65 / 3.43), pytest.approx(1.09 / 3.63))
    assert only(pot, "PM927").measured == pytest.approx(math.pi * 3.63**2 / 4 / (2.54 * 4.57))
    assert only(pot, "PM929").measured == pytest.approx(104.82 / (104.72 - 0.71) - 1, abs=1e-7)
    corner = only(pot, "PM928")
    assert (corner.measured, corner.required) == (pytest.approx(12 + INNER, abs=2e-6), pytest.approx(3 * 3.53))
    assert {one.verdict for one in (least, most, corner)} == {Verdict.PASS}


def test_drawing_and_sheet_have_the_limits_that_the_check_takes(pot: Stack) -> None:
    """Section 3.53: 2.54 to 2.74 deep, 4.57 wide (face glands of the reference table); 0.2 wider is common practice."""
    [lid] = [part for part in pot.parts if part.name == "lid"]
    about = about_of(pot, lid, None)
    text = " ".join(one.text for page in drawing_pages(lid, about) for one in page.texts)
    for words in (
        "O-ring groove for AS568-242",
        "width 4.570 to 4.770",
        "2.540 to 2.740 from below",
        "its size ±0.1",
        "Ra 1.6 µm",
    ):
        assert words in text
    sheet = {one.id: one for one in first_article(lid, about)}
    depth, width = sheet["cut.lid_groove.depth"], sheet["cut.lid_groove.width"]
    wall = sheet["cut.lid_groove.x"]
    assert (wall.nominal, wall.tolerance) == (pytest.approx(90 + 2 * OUTER, abs=2e-6), (-0.1, 0.1))
    assert (depth.nominal, depth.tolerance) == (2.64, (-0.1, 0.1))
    assert (width.nominal, width.tolerance) == (pytest.approx(4.57, abs=1e-5), (0.0, 0.2))


def test_a_groove_read_deeper_than_its_limits_squeezes_less(pot: Stack, tmp_path: Path) -> None:
    """Cut 3.0 deep, the thinnest ring is squeezed by (3.43 - 3.0)/3.43, less 0.04 of the faces, 11.4 %: too little."""
    [lid] = [part for part in pot.parts if part.name == "lid"]
    deeper = replace(lid, cuts=tuple(replace(cut, depth=3.0) if cut.name == "lid_groove" else cut for cut in lid.cuts))
    stack = replace(pot, parts=tuple(deeper if part.name == "lid" else part for part in pot.parts))
    least = findings_of(stack, "PM926")[0]
    assert (least.measured, least.verdict) == (pytest.approx(0.39 / 3.43), Verdict.FAIL)
