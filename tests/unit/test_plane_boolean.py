"""Union, cut, intersection and offset: results that split, vanish, touch or coincide, with areas as school arithmetic."""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.errors import GeometryError
from platemaker.plane import (
    Arc,
    Line,
    Loop,
    Region,
    intersect,
    moved,
    offset,
    rotated,
    self_contact,
    simplified,
    subtract,
    unite,
)
from platemaker.plane._arrange import _windings
from platemaker.plane._consistency import add_up, agree_round_vertices
from platemaker.plane._pieces import Pieces, cut
from platemaker.plane._table import EdgeTable

AREA = 1e-7
"""mm2: boundaries may move by 1e-8 mm (TOUCH) over some 100 mm only where curves nearly coincide."""


def square(side: float, x: float = 0.0, y: float = 0.0, tag: str = "") -> Region:
    return Region(Loop.rectangle(side, side, centre=(x, y), tag=tag))


def disc(radius: float, x: float = 0.0, y: float = 0.0, tag: str = "") -> Region:
    return Region(Loop.circle((x, y), radius, tag))


def areas(regions: tuple[Region, ...]) -> list[float]:
    return sorted(round(region.area, 6) for region in regions)


def test_nothing_in_nothing_out() -> None:
    assert unite() == ()
    assert subtract([], square(1)) == ()
    assert subtract(square(4), square(10)) == ()
    assert intersect(square(4), square(4, 10)) == ()


def test_duplicates_change_nothing() -> None:
    [region] = unite(square(10), square(10), square(10))
    assert region.area == pytest.approx(100, abs=AREA)
    assert len(region.outer.edges) == 4
    assert subtract(square(10), square(10)) == ()
    [same] = intersect(disc(5), disc(5))
    assert same.outer.as_circle() is not None
    assert same.area == pytest.approx(math.pi * 25, abs=AREA)


def test_squares_that_share_a_side_become_one_without_a_seam() -> None:
    [region] = unite(square(10), square(10, 10))
    assert region.area == pytest.approx(200, abs=AREA)
    assert len(region.outer.edges) == 4


def test_squares_that_touch_in_a_corner_stay_apart() -> None:
    assert areas(unite(square(10), square(10, 10, 10))) == [100, 100]


def test_circles_that_touch_stay_apart() -> None:
    for angle in range(0, 360, 11):
        other = rotated(disc(3, 8), angle)
        both = unite(disc(5), other)
        assert areas(both) == [round(math.pi * 9, 6), round(math.pi * 25, 6)]
        assert intersect(disc(5), other) == ()
        [left] = subtract(disc(5), other)
        assert left.area == pytest.approx(math.pi * 25, abs=AREA)


def test_a_hole_touching_its_outline_from_inside_is_still_a_hole() -> None:
    [region] = subtract(disc(5), disc(3, 2))
    assert region.area == pytest.approx(math.pi * 16, abs=AREA)
    assert len(region.holes) == 1


def test_a_bar_cut_across_falls_in_two_and_a_ring_closes_round_a_hole() -> None:
    bar = Region(Loop.rectangle(30, 10, tag="bar"))
    two = subtract(bar, Region(Loop.circle((0, 0), 8, "saw")))
    # Half chord at y = 5: sqrt(64 - 25); area of the circle's middle part by the integral of the chord.
    half = math.sqrt(64 - 25)
    middle = 2 * (5 * half + 64 * math.asin(5 / 8))
    assert areas(two) == pytest.approx([(300 - middle) / 2] * 2, abs=1e-6)
    assert {edge.tag for edge in two[0].edges} == {"bar", "saw"}
    sides = [
        Region(Loop.rectangle(20, 2, centre=(0, y))) if flat else Region(Loop.rectangle(2, 20, centre=(y, 0)))
        for y in (-9, 9)
        for flat in (True, False)
    ]
    [ring] = unite(*sides)
    assert ring.area == pytest.approx(20**2 - 16**2, abs=AREA)
    assert len(ring.holes) == 1


def test_holes_clear_of_all_else_are_taken_as_they_are_among_some_that_meet() -> None:
    """A bar 60 x 20: three holes by themselves, two that overlap, a notch, a ring, one off the bar, one in its hole."""
    bar = Region.of(Loop.rectangle(60.0, 20.0), [Loop.rectangle(6.0, 6.0, centre=(0.0, 0.0))])
    alone = [disc(2.0, x, 0.0) for x in (-24.0, -16.0, 24.0)]
    lens = [disc(3.0, -8.0, 0.0), disc(1.0, -5.5, 0.0)]
    notch, ring = disc(3.0, 12.0, 10.0), Region.of(Loop.circle((18.0, 0.0), 3.0), [Loop.circle((18.0, 0.0), 1.0)])
    nothing = [disc(2.0, 100.0, 0.0), disc(1.0, 0.0, 0.0)]
    left = subtract(bar, *alone, *lens, notch, ring, *nothing)
    (island,) = (region for region in left if region.area < 10)
    (rest,) = (region for region in left if region is not island)
    outside = math.pi - _lens(3.0, 1.0, 2.5)
    taken = 36 + 3 * math.pi * 4 + math.pi * 9 + outside + math.pi * 9 / 2 + math.pi * 8
    assert island.area == pytest.approx(math.pi, abs=1e-9)
    assert rest.area == pytest.approx(1200 - taken - math.pi, abs=1e-9)
    assert len(rest.holes) == 1 + 3 + 1 + 1


def _lens(large: float, small: float, apart: float) -> float:
    """Area that two circles share: two segments, Bronstein, Taschenbuch der Mathematik, circle."""
    a = math.acos((large**2 + apart**2 - small**2) / (2 * large * apart))
    b = math.acos((small**2 + apart**2 - large**2) / (2 * small * apart))
    return large**2 * (a - math.sin(2 * a) / 2) + small**2 * (b - math.sin(2 * b) / 2)


def test_an_island_in_a_hole_is_a_region_of_its_own() -> None:
    ring = Region.of(Loop.circle((0, 0), 10), [Loop.circle((0, 0), 6)])
    both = unite(ring, disc(2))
    assert areas(both) == [round(4 * math.pi, 6), round(64 * math.pi, 6)]
    assert sum(len(region.holes) for region in both) == 1


def test_a_lens_has_the_area_of_two_segments() -> None:
    """Two circles of radius r at distance d: 2 r² acos(d / 2r) − d/2 sqrt(4 r² − d²)."""
    r, d = 10.0, 12.0
    [lens] = intersect(disc(r, tag="left"), disc(r, d, tag="right"))
    assert lens.area == pytest.approx(2 * r**2 * math.acos(d / 2 / r) - d / 2 * math.sqrt(4 * r**2 - d**2), abs=AREA)
    assert sorted(edge.tag for edge in lens.edges) == ["left", "right"]


def test_pieces_keep_the_tags_of_what_made_them() -> None:
    [plate] = subtract(square(20, tag="edge"), disc(4, tag="bore"), disc(4, 10, 10, tag="bite"))
    assert {edge.tag for edge in plate.outer.edges} == {"edge", "bite"}
    assert {edge.tag for hole in plate.holes for edge in hole.edges} == {"bore"}


def test_a_shared_side_is_named_after_the_part_that_keeps_it() -> None:
    [left] = subtract(square(20, tag="part"), Region(Loop.rectangle(20, 20, centre=(20, 0), tag="cut")))
    assert {edge.tag for edge in left.edges} == {"part"}


@pytest.mark.parametrize("distance", [0.5, 2.0, 7.0])
def test_an_offset_of_a_square_follows_steiner_and_comes_back(distance: float) -> None:
    [grown] = offset(square(10, tag="side"), distance)
    assert grown.area == pytest.approx(100 + 40 * distance + math.pi * distance**2, abs=AREA)
    assert grown.perimeter == pytest.approx(40 + math.tau * distance, abs=AREA)
    [back] = offset(grown, -distance)
    assert back.area == pytest.approx(100, abs=AREA)
    assert len(back.outer.edges) == 4


def test_an_offset_that_swallows_the_shape_is_empty() -> None:
    assert offset(square(10), -5) == ()
    assert offset(square(10), -6) == ()
    assert offset(disc(5), -5) == ()
    assert areas(offset(square(10), -4.999)) == [round(0.002**2, 6)]


def test_a_dumb_bell_falls_in_two() -> None:
    """Each half is a disc of radius 8, and reaches into the mouth of the bar up to arcs of radius 2 about its corners.

    With O the disc's centre, K a corner of the mouth and M where the two arcs meet on the axis, the reach on each side
    of the axis is the triangle OKM without the sector of radius 2 at K.
    """
    [bell] = unite(disc(10, -20), disc(10, 20), Region(Loop.rectangle(40, 3)))
    halves = offset(bell, -2)
    beta = math.asin(1.5 / 10)
    o_m = 10 * math.cos(beta) - math.sqrt(2**2 - 1.5**2)
    gamma = math.acos((10**2 + 2**2 - o_m**2) / (2 * 10 * 2))
    area = 8**2 / 2 * (math.tau - 2 * beta) + 2 * (o_m * 1.5 / 2 - 2**2 / 2 * gamma)
    assert [half.area for half in halves] == pytest.approx([area] * 2, abs=AREA)


def test_a_hole_closes_when_the_region_grows() -> None:
    ring = Region.of(Loop.circle((0, 0), 10), [Loop.circle((0, 0), 3)])
    [wider] = offset(ring, 2)
    assert wider.area == pytest.approx(math.pi * (144 - 1), abs=AREA)
    [full] = offset(ring, 3)
    assert full.holes == ()


def test_a_hollow_corner_is_rounded_only_on_the_outside_of_material() -> None:
    """An L grown by 1: Steiner's corners are five quarter discs; the hollow corner loses the 1 by 1 square."""
    shape = Region(Loop.rounded([(0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10)]))
    [grown] = offset(shape, 1)
    assert grown.area == pytest.approx(64 + 40 + 5 * math.pi / 4 - 1, abs=AREA)


def test_each_piece_may_have_its_own_distance() -> None:
    (x0, y0), (x1, y1) = (0, 0), (20, 10)
    loop = Loop(
        (
            Line((x0, y0), (x1, y0), "south"),
            Line((x1, y0), (x1, y1), "east"),
            Line((x1, y1), (x0, y1), "north"),
            Line((x0, y1), (x0, y0), "west"),
        )
    )
    [inner] = offset(Region(loop), {"south": -1, "east": -2, "north": -3, "west": -4})
    assert inner.area == pytest.approx((20 - 6) * (10 - 4), abs=AREA)
    assert inner.bounds == pytest.approx((4, 1, 18, 7), abs=AREA)
    assert [edge.tag for edge in inner.outer.edges if isinstance(edge, Line)].count("west") == 1
    # A strip above the north side and half a disc past each of its ends.
    [outer] = offset(Region(loop), {"north": 2.0})
    assert outer.area == pytest.approx(200 + 20 * 2 + math.pi * 2**2, abs=AREA)


def test_offsets_both_ways_at_once_are_refused() -> None:
    with pytest.raises(GeometryError, match=r"an offset goes one way, met distances from -1 to 2 mm"):
        offset(square(10, tag="a"), lambda edge: -1.0 if edge.start[0] > edge.end[0] else 2.0)


def test_simplified_merges_what_runs_on() -> None:
    half = Arc((5, 0), (-5, 0), (0, 0), 5, True)
    parts = Loop(
        (
            Line((-5, 0), (-1, 0)),
            Line((-1, 0), (3, 0)),
            Line((3, 0), (5, 0)),
            Arc((5, 0), half.point(0.3), (0, 0), 5, True),
            Arc(half.point(0.3), (-5, 0), (0, 0), 5, True, "named"),
        )
    )
    made = simplified(Region(parts))
    assert [type(edge).__name__ for edge in made.edges] == ["Line", "Arc", "Arc"]
    made = simplified(Region(parts), across_tags=True)
    assert [type(edge).__name__ for edge in made.edges] == ["Line", "Arc"]
    assert made.area == pytest.approx(parts.area, abs=AREA)


def test_simplified_drops_pieces_too_short_to_see() -> None:
    corner = Loop((Line((0, 0), (9, 0)), Line((9, 0), (9, 1e-9)), Line((9, 1e-9), (0, 5)), Line((0, 5), (0, 0))))
    assert len(simplified(Region(corner)).edges) == 3


def test_an_arc_with_rounded_ends_is_mended_and_one_far_off_its_circle_refused() -> None:
    """Coordinates to 1e-6 mm leave the ends of this arc 4e-7 mm off its circle."""
    arc = Arc((4.330127, 2.5), (-4.330127, 2.5), (0, 0), 5.0, True)
    cap = Region(Loop((arc, Line((-4.330127, 2.5), (4.330127, 2.5)))))
    [grown] = offset(cap, 1.0)
    assert grown.area == pytest.approx(cap.area + cap.perimeter + math.pi, abs=1e-5)
    message = r"an arc's end at \(4\.330000, 2\.500000\) is 0\.00011 mm off its circle"
    with pytest.raises(GeometryError, match=message):
        Loop((Arc((4.33, 2.5), (-4.33, 2.5), (0, 0), 5.0, True), Line((-4.33, 2.5), (4.33, 2.5))))


def test_an_arc_that_ends_where_it_begins_is_refused() -> None:
    with pytest.raises(GeometryError, match=r"an arc at \(5\.000000, 0\.000000\) begins where it ends"):
        Loop((Arc((5, 0), (5, 0), (0, 0), 5, True),))


def test_a_line_of_no_length_is_passed_over() -> None:
    loop = Loop((Line((0, 0), (9, 0)), Line((9, 0), (9, 0)), Line((9, 0), (9, 4)), Line((9, 4), (0, 0))))
    [grown] = offset(Region(loop), 1.0)
    assert grown.area == pytest.approx(18 + (9 + 4 + math.hypot(9, 4)) + math.pi, abs=AREA)


def test_islands_within_islands_find_their_outlines() -> None:
    rings = [Region.of(Loop.circle((0, 0), r + 1), [Loop.circle((0, 0), r)]) for r in range(2, 40, 3)]
    found = unite(*rings)
    assert len(found) == len(rings)
    for ring, made in zip(rings, found, strict=True):
        assert made.area == pytest.approx(ring.area, abs=AREA)
        assert len(made.holes) == 1


@pytest.mark.parametrize(
    "corners",
    [
        [(0, 0), (8, 0), (8, 5), (4, 0), (0, 5)],  # a corner on a side
        [(0, 0), (8, 0), (4, 0), (4, 5)],  # a spike
        [(0, 0), (4, 0), (8, 0), (8, 4), (4, 0), (0, 4)],  # a corner met twice
    ],
)
def test_a_loop_that_meets_itself_is_told(corners: list[tuple[float, float]]) -> None:
    edges = tuple(Line(p, corners[(k + 1) % len(corners)]) for k, p in enumerate(corners))
    assert self_contact(Loop(edges)) is not None


def test_made_loops_keep_clear_of_themselves() -> None:
    loops = [Loop.circle((3, 4), 5), Loop.slot(10, 4, angle=33), Loop.rectangle(20, 10, 5), square(3).outer]
    assert [self_contact(loop) for loop in loops] == [None] * 4
    a, b = math.radians(0.05), math.radians(-0.05)
    ends = (50 * math.cos(a), 50 * math.sin(a)), (50 * math.cos(b), 50 * math.sin(b))
    assert self_contact(Loop((Arc(ends[0], ends[1], (0, 0), 50, True), Line(ends[1], ends[0])))) is None


def test_far_from_the_origin_nothing_changes() -> None:
    near = subtract(square(20), disc(4, 10), disc(3, 0, 7))
    far = subtract(moved(square(20), 1e4, -1e4), moved(disc(4, 10), 1e4, -1e4), moved(disc(3, 0, 7), 1e4, -1e4))
    assert [len(r.edges) for r in near] == [len(r.edges) for r in far]
    # Products of 1e4 mm coordinates are rounded to 1e-8 mm2.
    assert sum(r.area for r in far) == pytest.approx(sum(r.area for r in near), abs=1e-6)


def two_squares() -> tuple[EdgeTable, Pieces]:
    """The pieces of two squares of 10 mm, the second moved by 5 mm."""
    table = EdgeTable.of([*square(10).edges, *square(10, 5, 5).edges])
    return table, cut(table, 1e-8)


def test_winding_numbers_that_do_not_agree_round_a_corner_are_refused() -> None:
    table, pieces = two_squares()
    left, right = _windings(table, pieces, 1e-8)
    agree_round_vertices(pieces, left, right)
    for row in range(len(left)):
        off = left.copy(), right.copy()
        off[0][row] += 1
        off[1][row] += 1
        with pytest.raises(GeometryError, match=r"winding numbers round \(-?\d+\.\d{6}, -?\d+\.\d{6}\) do not agree"):
            agree_round_vertices(pieces, *off)


def test_areas_that_do_not_add_up_are_refused() -> None:
    """10 by 10 twice with 5 by 5 in common: the union has 175 mm2, and what winds once and twice 200 in all."""
    table, pieces = two_squares()
    left, right = _windings(table, pieces, 1e-8)
    ways = np.where((left >= 1) & (right < 1), 1.0, np.where((right >= 1) & (left < 1), -1.0, 0.0))
    joined = unite(square(10), square(10, 5, 5))
    add_up(table, pieces, left - right, ways, joined, 1e-8)
    with pytest.raises(GeometryError, match="do not add up: 275 for 175 mm2"):
        add_up(table, pieces, left - right, ways, (*joined, square(10, 90)), 1e-8)
    steps = left - right
    steps[np.nonzero(left == 2)[0]] = 0
    with pytest.raises(GeometryError, match=r"do not add up: .* for 200 mm2"):
        add_up(table, pieces, steps, ways, joined, 1e-8)


def test_edges_of_which_no_regions_can_be_made_are_refused_with_the_reason(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = []

    def refused(_table: EdgeTable, _pieces: Pieces, touch: float) -> None:
        tried.append(touch)
        message = "two edges run side by side"
        raise GeometryError(message)

    monkeypatch.setattr("platemaker.plane._arrange._windings", refused)
    reason = "edges nearly coincide, and no regions can be made of them: two edges run side by side"
    with pytest.raises(GeometryError, match=reason):
        unite(square(10), square(10, 1e-8))
    assert max(tried) <= 5e-7
    assert len(set(tried)) > 3


@pytest.mark.parametrize("radius", [1.0, 10.0, 12.5, 25.0, 50.0])
@pytest.mark.parametrize("step", [1e-9, 9.999e-9, 1e-8, 1.0001e-8, 2e-8, 1e-7])
def test_a_circle_and_itself_moved_by_a_hair_is_one_circle(radius: float, step: float) -> None:
    for x, y in ((step, 0.0), (-step, 0.0), (0.0, step), (0.6 * step, 0.8 * step)):
        for at in ((0.0, 0.0), (1.0, -10.0), (0.0, 46.05)):
            a, b = disc(radius, *at), disc(radius, at[0] + x, at[1] + y)
            slack = 2e-7 * math.tau * radius
            assert sum(region.area for region in unite(a, b)) == pytest.approx(a.area, abs=slack)
            assert sum(region.area for region in intersect(a, b)) == pytest.approx(a.area, abs=slack)
            assert sum(region.area for region in subtract(a, b)) == pytest.approx(0, abs=slack)
