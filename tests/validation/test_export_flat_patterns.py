"""Flat patterns against the folded solid and the handbook.

Machinery's Handbook, 31st ed., p. 1421: the straight length of a 90 degree bend in soft steel and aluminium is
0.64 T + 1.57 R. Theory: a bend of angle A (radians), width w and inside radius R holds A w T (R + T/2); its flat blank,
as long as the line at K T from the inside, holds A w T (R + K T). They differ by A w T^2 (1/2 - K) and by nothing else.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from platemaker.export import read_dxf, write_dxf
from platemaker.parts import Bend, Kind, Part, StripStock, flat_pattern
from platemaker.records import replace
from platemaker.solids import solid_of, volume_of
from tests import sample_parts as sample

pytestmark = pytest.mark.kernel

K = 0.64 / (math.pi / 2)
"""The handbook's 0.64 T over the arc of 90 degrees; its 1.57 is pi/2 to three figures."""


def strip(width: float, thickness: float, legs: tuple[float, ...], *bends: Bend) -> Part:
    return replace(sample.bent_bracket(), stock=StripStock(width, thickness, legs, bends), cuts=(), kind=Kind.BRACKET)


CASES = {
    "square": sample.bent_bracket(),
    "open": strip(30.0, 3.0, (50.0, 45.0), Bend(60.0, 4.0)),
    "sharp": strip(20.0, 4.0, (70.0, 60.0), Bend(120.0, 8.0)),
    "joggle": strip(40.0, 5.0, (60.0, 50.0, 45.0), Bend(45.0, 6.0), Bend(-45.0, 10.0)),
}


@pytest.mark.parametrize("part", CASES.values(), ids=list(CASES))
def test_folded_and_flat_hold_as_much_but_for_the_allowance(part: Part, tmp_path: Path) -> None:
    """The folded solid by the kernel, the flat one by the areas that its DXF reads back."""
    stock = part.stock
    assert isinstance(stock, StripStock)
    folded = volume_of(solid_of(part))
    write_dxf(part, tmp_path / "flat.dxf")
    read = read_dxf(tmp_path / "flat.dxf")
    holes = sum(math.pi / 4 * size**2 for _, _, size in read.circles)
    flat = (sum(read.loop_areas) - holes) * stock.thickness
    due = sum(math.radians(abs(b.angle)) * stock.width * stock.thickness**2 * (0.5 - K) for b in stock.bends)
    assert due > 1.0, "the allowance matters"
    # The blank's length is on the grid of 1e-6 mm, which times width and thickness is some 2e-4 mm3.
    assert folded - flat == pytest.approx(due, abs=2e-3)


def test_the_blank_is_as_long_as_the_handbook_says() -> None:
    """Legs of 60 and 40 to the sharp outside corner, T = R = 5: straight parts of 50 and 30 between them."""
    bent = flat_pattern(sample.bent_bracket())
    assert bent is not None
    x0, _, x1, _ = bent.part.stock.region.bounds  # type: ignore[union-attr]
    # 1.57 for pi/2 is 0.0008 short in each mm of R.
    assert x1 - x0 == pytest.approx(50 + 30 + 0.64 * 5 + 1.57 * 5, abs=0.0008 * 5)


def test_holes_keep_their_distance_from_the_ends_of_the_blank() -> None:
    """7 mm holes 20 from the first leg's end and 40 - 28 = 12 from the second's."""
    bent = flat_pattern(sample.bent_bracket())
    assert bent is not None
    x0, _, x1, _ = bent.part.stock.region.bounds  # type: ignore[union-attr]
    first, second = (hole.centre[0] for hole in bent.part.holes)
    assert (first - x0, x1 - second) == (pytest.approx(20.0, abs=2e-6), pytest.approx(12.0, abs=2e-6))
