"""Bought pieces as figures: M8 x 30 hexagon screw with nut and washers through two plates, by ISO 4014, 4032 and 7089.

Across flats 13, so 13 x 2/sqrt 3 across corners and 13^2 x sqrt 3/2 of area; head 5.3 high, nut 6.8 at most.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.checks import ItemKind, hardware
from platemaker.space import Cylinder, Prism
from tests.plates import stack_of

PLATES = """
project: pair
parts:
  base:
    {kind: plate, material: S235, thickness: 8, outline: {rectangle: [60, 40]}, place: {at: [0, 0, 0]},
     holes: {under: {at: [10, 5], clear: M8}}}
  lid:
    {kind: plate, material: S235, thickness: 6, outline: {rectangle: [60, 40]}, place: {at: [0, 0, 8]},
     holes: {over: {at: [10, 5], clear: M8, side: above, screw: {head: hex, length: 30}}}}
"""


def test_a_screw_with_its_nut(tmp_path: Path) -> None:
    (screw,) = hardware(stack_of(tmp_path, PLATES))
    assert (screw.name, screw.kind, screw.on) == ("lid.over", ItemKind.BOLT, "lid")
    head, shank, nut = screw.figures
    assert isinstance(shank, Cylinder)
    for hexagon, height, low in ((head, 5.3, 14.0), (nut, 6.8, -6.8)):
        assert isinstance(hexagon, Prism)
        assert hexagon.region.area == pytest.approx(13**2 * math.sqrt(3) / 2)
        assert hexagon.height == pytest.approx(height)
        ends = [hexagon.frame.to_world((0.0, 0.0, z))[2] for z in (0.0, hexagon.height)]
        assert min(ends) == pytest.approx(low)
    assert sorted((shank.start[2], shank.end[2])) == pytest.approx([-16, 14])
