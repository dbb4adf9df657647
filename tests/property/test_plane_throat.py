"""Throats of random chambers against the largest flow through a fine raster of them, which shares no arithmetic.

The throat is the area of a cut that exists, so it is never too small; a cheaper cut that was missed would show as a
raster that passes less than its own error explains. That error: lengths on 32 directions are true to 2 %; at each wall
where the throat ends, links that touch the wall are shut, which takes off up to one step of its length; and areas of
openings are counted in whole cells, wrong by a step times a tenth of their perimeter at the outside.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from platemaker.errors import GeometryError
from platemaker.plane import ChamberOpening, ChamberPiece, Throat, ThroatKind, mirrored, throat
from platemaker.plane._throat._walks import NegativeCycleError, Walk, _combined
from tests.chambers import Chamber, random_chamber
from tests.plane_oracle import inside
from tests.raster_flow import raster_throat

FEW, MANY = range(16), range(24, 324)


def throat_of(chamber: Chamber) -> Throat | None:
    """None where the search refuses: openings in too many parts, or with a part too small for a point."""
    pieces = [ChamberPiece(f"pocket {k}", region, depth) for k, (region, depth) in enumerate(chamber.pieces)]
    inflow = [ChamberOpening(f"in {k}", region) for k, region in enumerate(chamber.inflow)]
    outflow = [ChamberOpening(f"out {k}", region) for k, region in enumerate(chamber.outflow)]
    try:
        return throat(pieces, inflow, outflow)
    except GeometryError as fault:
        assert "parts that may be cut off" in str(fault) or "worth cutting off by itself" in str(fault)
        return None


def leaks(chamber: Chamber, step: float) -> bool:
    """Whether metal is thinner than the raster sees along half of an edge: just outside of it there is pocket again."""
    for region, _ in chamber.pieces:
        for edge in region.edges:
            thin = 0
            for share in np.linspace(0.02, 0.98, 25):
                (ax, ay), (x, y), (bx, by) = (edge.point(share + way) for way in (-0.01, 0.0, 0.01))
                long = np.hypot(bx - ax, by - ay)
                over = np.array([1e-4, step]) / long
                at = x + (by - ay) * over, y - (bx - ax) * over
                metal, beyond = sum(inside(one.edges, *at).astype(int) for one, _ in chamber.pieces)
                thin += metal == 0 and beyond > 0
            if thin > 12:
                return True
    return False


def agrees(seed: int, step: float) -> bool:
    """Whether it was compared, which needs a throat and walls that the raster sees.

    Fails where throat and raster differ by more than the raster's error.
    """
    chamber = random_chamber(seed)
    found = throat_of(chamber)
    if found is None or leaks(chamber, step):
        return False
    raster = raster_throat(chamber.pieces, chamber.inflow, chamber.outflow, step)
    deepest = max(depth for _, depth in chamber.pieces)
    ends = 2 * sum(part.kind is not ThroatKind.OPENING for part in found.parts) * deepest * step
    cells = 0.1 * step * sum(opening.perimeter for opening in (*chamber.inflow, *chamber.outflow))
    assert raster - 0.02 * raster - cells <= found.area <= raster + 0.02 * raster + ends + cells, seed
    return True


def test_throats_agree_with_the_largest_flow_through_a_raster() -> None:
    assert sum(agrees(seed, 0.5) for seed in FEW) > 0.85 * len(FEW)


def test_walks_that_together_cost_less_than_nothing_end_the_search() -> None:
    """Each of them costs something; round and round they would be cheaper each time."""
    one, other = Walk((1,), 2.0), Walk((2, 3), -3.0)
    assert _combined({(1,): one, (-1,): Walk((2, 3), -1.0)}, 2)[(1,)] == (2.0, (one,))
    with pytest.raises(NegativeCycleError) as fault:
        _combined({(1,): one, (-1,): other}, 2)
    assert sorted(fault.value.rows) == [1, 2, 3]
    assert throat_of(random_chamber(175)) is None, "once without an end"


@pytest.mark.slow
def test_300_throats_agree_with_the_largest_flow_through_a_fine_raster() -> None:
    assert sum(agrees(seed, 0.3) for seed in MANY) > 0.85 * len(MANY)


@pytest.mark.parametrize("seed", [2, 6, 15, 18])
def test_mirrored_and_turned_about_the_throat_is_the_same(seed: int) -> None:
    """What goes in may as well go out, and a mirror keeps every length."""
    chamber = random_chamber(seed)
    found = throat_of(chamber)
    back = throat_of(Chamber(chamber.pieces, chamber.outflow, chamber.inflow))
    pieces = tuple((mirrored(region, 0.0), depth) for region, depth in chamber.pieces)
    seen = throat_of(
        Chamber(
            pieces,
            tuple(mirrored(region, 0.0) for region in chamber.inflow),
            tuple(mirrored(region, 0.0) for region in chamber.outflow),
        )
    )
    assert found is not None
    assert back is not None
    assert seen is not None
    assert back.area == pytest.approx(found.area, rel=1e-3)
    assert seen.area == pytest.approx(found.area, rel=1e-3)


@pytest.mark.parametrize("seed", [2, 6, 15, 18])
def test_a_deeper_pocket_has_no_smaller_throat(seed: int) -> None:
    chamber = random_chamber(seed)
    areas = []
    for times in (0.5, 1.0, 2.0, 4.0):
        found = throat_of(
            Chamber(tuple((region, times * depth) for region, depth in chamber.pieces), chamber.inflow, chamber.outflow)
        )
        assert found is not None
        areas.append(found.area)
    assert all(later >= sooner * (1 - 1e-3) for sooner, later in pairwise(areas))
