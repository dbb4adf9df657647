"""Random plates: the solid is valid and holds what plane geometry says, wherever the plate stands."""

from __future__ import annotations

import math
import random
from itertools import pairwise
from pathlib import Path

import pytest

from platemaker.export import prove_dxf, prove_step, write_dxf, write_step
from platemaker.parts import Hole, Part
from platemaker.plane import Loop, Region
from platemaker.records import replace
from platemaker.solids import prove, solid_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel


def random_plate(seed: int) -> tuple[Part, float]:
    """A plate with holes of three kinds in the cells of a grid, and its volume by arithmetic."""
    dice = random.Random(seed)
    thick, pitch, columns, rows = dice.uniform(8, 30), 25.0, dice.randint(2, 4), dice.randint(2, 4)
    radius = dice.uniform(0, 10)
    width, height = columns * pitch, rows * pitch
    volume = (width * height - (4 - math.pi) * radius**2) * thick
    cuts: list[Hole] = []
    for column in range(columns):
        for row in range(rows):
            at = (
                (column + 0.5) * pitch - width / 2 + dice.uniform(-3, 3),
                (row + 0.5) * pitch - height / 2 + dice.uniform(-3, 3),
            )
            name, kind = f"h{column}_{row}", dice.choice(["drill", "counterbore", "blind", "none"])
            size = dice.uniform(2, 7)
            if kind == "drill":
                cuts.append(sample.drilled(name, at, size, thick))
                volume -= math.pi / 4 * size**2 * thick
            elif kind == "counterbore":
                deep = dice.uniform(1, thick - 2)
                cuts.append(sample.counterbored(name, at, 2 * size, deep, size, thick))
                volume -= math.pi / 4 * size**2 * (4 * deep + thick - deep)
            elif kind == "blind":
                deep = dice.uniform(1, thick - 4)
                cuts.append(sample.tapped_blind(name, at, thick, deep, deep / 2))
                volume -= math.pi * 3.4**2 * (deep + 3.4 / math.tan(math.radians(59)) / 3)
    return sample.plate("random", Loop.rectangle(width, height, radius), thick, *cuts), volume


@pytest.mark.parametrize("seed", range(12))
def test_random_plates_hold_what_arithmetic_says(seed: int, tmp_path: Path) -> None:
    part, volume = random_plate(seed)
    solid = solid_of(part)
    proof = prove(part, solid)
    assert proof.volume == pytest.approx(volume, rel=1e-9)
    write_dxf(part, tmp_path / "part.dxf")
    prove_dxf(part, tmp_path / "part.dxf")
    write_step(part, solid, tmp_path / "part.step")
    prove_step(part, proof, tmp_path / "part.step")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 400))
def test_many_random_plates_hold_what_arithmetic_says(seed: int) -> None:
    part, volume = random_plate(seed)
    assert prove(part, solid_of(part)).volume == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_turning_and_moving_a_plate_changes_no_volume(seed: int) -> None:
    part, volume = random_plate(seed)
    dice = random.Random(seed)
    angle, by = dice.uniform(0, math.tau), (dice.uniform(-500, 500), dice.uniform(-500, 500))

    def turn(x: float, y: float) -> tuple[float, float]:
        return (
            x * math.cos(angle) - y * math.sin(angle) + by[0],
            x * math.sin(angle) + y * math.cos(angle) + by[1],
        )

    x0, y0, x1, y1 = part.stock.region.bounds  # type: ignore[union-attr]
    corners = [turn(*p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    arcs = [edge.radius for edge in part.stock.region.outer.edges if hasattr(edge, "radius")]  # type: ignore[union-attr]
    stock = replace(part.stock, region=Region.of(Loop.rounded(corners, arcs[0] if arcs else 0.0)))  # type: ignore[type-var]
    cuts = tuple(replace(hole, at=(*turn(hole.at[0], hole.at[1]), hole.at[2])) for hole in part.holes)
    moved = replace(part, stock=stock, cuts=cuts)
    assert prove(moved, solid_of(moved)).volume == pytest.approx(volume, rel=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_a_hole_more_never_raises_the_volume(seed: int) -> None:
    part, _ = random_plate(seed)
    volumes = [solid_of(replace(part, cuts=part.cuts[:count])).Volume() for count in range(0, len(part.cuts) + 1, 2)]
    assert all(later < earlier for earlier, later in pairwise(volumes))
