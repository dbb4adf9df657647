"""Gaskets cut from their joints: holes with relief, an opening set back, an outline that ends where a body does."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.export import read_dxf, write_dxf
from platemaker.parts import Kind, Part, PlateStock
from tests.design_stacks import stack_of

POT = """
project: pot
bodies:
  pot: {material: A356-T6, envelope: {box: [120, 140, 50]}, joints: {lid: {thread_depth: 24}}}
joints:
  lid:
    bolts: {pattern: {rectangle: [90, 100]}, thread: M8, length: 30}
    opening: {rectangle: [50, 40], corner_radius: 6}
    gasket: {thickness: 0.8, land: 5 OVERHANG}
parts:
  lid:
    kind: plate
    material: 6061-T6
    thickness: 15
    outline: {rectangle: [160, 130]}
    below: {lid: {holes: clear, at: [10, 5]}}
"""


def gasket(folder: Path, overhang: str = "") -> Part:
    part = stack_of(folder, POT.replace("OVERHANG", overhang)).part("lid_gasket")
    assert part.kind is Kind.GASKET
    return part


def test_its_bolt_holes_have_relief(tmp_path: Path) -> None:
    """M8 clears in 9 (ISO 273, medium); the gasket's hole is 1 mm larger, on the joint's own places."""
    holes = gasket(tmp_path).holes
    assert {hole.diameter for hole in holes} == {10.0}
    assert {hole.centre for hole in holes} == {(x, y) for x in (-45, 45) for y in (-50, 50)}


@pytest.mark.parametrize(("overhang", "back"), [("", 0.0), (", overhang: 2", 2.0)])
def test_its_opening_is_set_back_from_the_port(tmp_path: Path, overhang: str, back: float) -> None:
    """A rectangle of 50 by 40 with corners of 6, set back all round: corners grow with it."""
    [opening] = gasket(tmp_path, overhang).profiles
    x0, y0, x1, y1 = opening.regions[0].bounds
    assert (x0, y0, x1, y1) == pytest.approx((-25 - back, -20 - back, 25 + back, 20 + back))
    area = (50 + 2 * back) * (40 + 2 * back) - (4 - math.pi) * (6 + back) ** 2
    assert opening.regions[0].area == pytest.approx(area, rel=1e-12)


def test_it_ends_where_the_body_ends(tmp_path: Path) -> None:
    """The lid reaches from -90 to 70 by -70 to 60 in the joint's frame, the pot from -60 to 60 by -70 to 70."""
    stock = gasket(tmp_path).stock
    assert isinstance(stock, PlateStock)
    assert stock.region.bounds == pytest.approx((-60, -70, 60, 60))
    assert stock.thickness == 0.8


def test_its_dxf_holds_outline_opening_and_holes(tmp_path: Path) -> None:
    part = gasket(tmp_path, ", overhang: 2")
    write_dxf(part, tmp_path / "lid_gasket.dxf")
    read = read_dxf(tmp_path / "lid_gasket.dxf")
    assert sorted(read.loop_areas) == pytest.approx([54 * 44 - (4 - math.pi) * 64, 120 * 130])
    assert sorted(circle[2] for circle in read.circles) == [10.0] * 4
