"""Figures swept along a way: areas and extents by arithmetic, and a library of polygons beside them."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely.affinity import translate

from platemaker.plane import Arc, Line, Loop, Region, kept, subtract, swept

PI = math.pi


def polygon(region: Region) -> shapely.Polygon:
    """The region as a polygon with 256 chords to an arc."""

    def ring(loop: Loop) -> list[tuple[float, float]]:
        return [edge.point(i / 256) for edge in loop.edges for i in range(256 if isinstance(edge, Arc) else 1)]

    return shapely.Polygon(ring(region.outer), [ring(hole) for hole in region.holes])


def test_a_disc_swept_is_a_slot_and_what_is_kept_of_it_a_lens():
    disc = Region(Loop.circle((3.0, -2.0), 5.0))
    [slot] = swept(disc, (0.6, 0.8))
    assert slot.area == pytest.approx(PI * 25 + 10 * 1.0, rel=1e-12)
    [lens] = kept(disc, (0.6, 0.8))
    # Two circles of radius 5 whose middles are 1 apart: 2 r2 acos(d / 2r) - d / 2 sqrt(4 r2 - d2).
    assert lens.area == pytest.approx(50 * math.acos(0.1) - 0.5 * math.sqrt(99), rel=1e-12)


def test_corner_radii_stay():
    [wide] = swept(Region(Loop.rounded([(-20, -15), (20, -15), (20, 15), (-20, 15)], 5.0)), (0.4, 0.0))
    assert wide.bounds == pytest.approx((-20.2, -15, 20.2, 15))
    assert wide.area == pytest.approx(40.4 * 30 - 4 * 25 * (1 - PI / 4), rel=1e-12)
    assert {edge.radius for edge in wide.edges if isinstance(edge, Arc)} == {5.0}


def test_a_bump_gets_thinner_on_both_of_its_sides():
    """A pocket 40 x 20 round a half round bump of radius 4 at its lower wall: swept 0.2, the bump keeps a lens less."""
    bump = Loop((Line((20, 0), (20, 20)), Line((20, 20), (-20, 20)), Line((-20, 20), (-20, 0)), Line((-20, 0), (-4, 0)),
                 Arc((-4, 0), (4, 0), (0, 0), 4.0, False), Line((4, 0), (20, 0))))  # fmt: skip
    [wide] = swept(Region(bump), (0.2, 0.0))
    half_lens = (32 * math.acos(0.2 / 8) - 0.1 * math.sqrt(64 - 0.04)) / 2
    assert wide.area == pytest.approx(40.2 * 20 - half_lens, rel=1e-12)


def test_an_island_shrinks_and_goes_when_the_way_is_longer():
    ring = Region(Loop.circle((0, 0), 10.0), (Loop.circle((0, 0), 1.0).reversed(),))
    [one] = swept(ring, (0.5, 0.0))
    assert one.holes[0].area == pytest.approx(-(2 * math.acos(0.25) - 0.25 * math.sqrt(3.75)), rel=1e-12)
    [filled] = swept(ring, (2.5, 0.0))
    assert filled.holes == ()
    assert kept(Region(Loop.rectangle(2.0, 30.0)), (2.5, 0.0)) == ()


def test_no_way_changes_nothing():
    region = Region(Loop.slot(40, 10, angle=30.0))
    [same] = swept(region, (1e-6, 0.0))
    assert same.area == pytest.approx(region.area + 1e-6 * (region.bounds[3] - region.bounds[1]), rel=1e-12)


@pytest.mark.parametrize("way", [(0.3, 0.0), (0.0, 0.3), (-0.2, 0.25), (3.0, -1.0)])
@pytest.mark.parametrize("seed", range(4))
def test_against_polygons_moved_in_small_steps(way, seed):
    """Discs and bars cut from a plate. 256 chords to an arc hide less than 0.05 mm2."""
    plate = Region(Loop.rounded([(-30, -20), (30, -20), (30, 20), (-30, 20)], 6.0))
    holes = [Region(Loop.circle((-28 + 14 * i, 19 - 11 * ((i + seed) % 4)), 3.0 + 0.7 * seed)) for i in range(5)]
    found = subtract(plate, *holes)
    shape = shapely.union_all([polygon(one) for one in found])
    steps = [translate(shape, (i / 40 - 0.5) * way[0], (i / 40 - 0.5) * way[1]) for i in range(41)]
    union, common = shapely.union_all(steps), shapely.intersection_all(steps)
    size = math.hypot(*way)
    # Between two of 41 stops an edge leaves teeth as high as a step at most: the whole outline times half a step.
    teeth = shape.length * size / 40 / 2
    wide = sum(area.area for one in found for area in swept(one, way)) if len(found) == 1 else None
    narrow = sum(area.area for one in found for area in kept(one, way))
    if wide is not None:
        assert union.area - 0.05 <= wide <= union.area + teeth + 0.05
    assert common.area - teeth - 0.05 <= narrow <= common.area + 0.05
