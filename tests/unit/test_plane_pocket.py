"""Opened-out pockets: the hard cases by name, with areas as school arithmetic."""

from __future__ import annotations

import math

import pytest

from platemaker.errors import GeometryError
from platemaker.plane import (
    CUTTER,
    Arc,
    Circle,
    DropReason,
    LimiterKind,
    Line,
    Loop,
    OpenedPocket,
    Point,
    Region,
    Spared,
    gain_by_moving,
    limiters,
    open_out,
    wall,
)

AREA = 1e-6
CORNER = 4 - math.pi
"""Area, in squares of the radius, that four rounded corners take from a rectangle."""


def plate(width: float = 100.0, height: float = 60.0, corner: float = 0.0) -> Region:
    return Region(Loop.rectangle(width, height, corner, tag="edge"))


def bolt(name: str, at: Point, radius: float = 4.0, wall_size: float = 3.0) -> Spared:
    return Spared(name, Circle(at, radius), wall_size)


def tags(pocket: OpenedPocket) -> set[str]:
    return {edge.tag for region in pocket.regions for edge in region.edges}


def test_an_empty_plate_gives_a_rectangle_with_the_cutters_corners() -> None:
    pocket = open_out(plate(), cutter_radius=5, land=6)
    assert pocket.area == pytest.approx(88 * 48 - CORNER * 25, abs=AREA)
    [region] = pocket.regions
    arcs = [edge for edge in region.edges if isinstance(edge, Arc)]
    assert [arc.radius for arc in arcs] == pytest.approx([5] * 4)
    assert {arc.tag for arc in arcs} == {CUTTER}
    assert {edge.tag for edge in region.edges if isinstance(edge, Line)} == {"edge"}


def test_a_bolt_in_the_middle_is_an_island() -> None:
    pocket = open_out(plate(), cutter_radius=5, spared=[bolt("b", (0, 0))], land=6)
    [region] = pocket.regions
    [hole] = region.holes
    circle = hole.as_circle()
    assert circle is not None
    assert circle.radius == pytest.approx(7)
    assert pocket.area == pytest.approx(88 * 48 - CORNER * 25 - math.pi * 49, abs=AREA)


def test_a_bolt_at_the_outlines_corner() -> None:
    pocket = open_out(plate(), cutter_radius=5, spared=[bolt("b", (-50, -30))], land=2)
    [region] = pocket.regions
    way = wall(Circle((-50, -30), 4), region)
    assert way.distance == pytest.approx(3, abs=1e-9)
    assert tags(pocket) == {"edge", "b", CUTTER}


def test_two_holes_exactly_a_cutter_apart_close_the_passage_and_a_hair_more_opens_it() -> None:
    """Bolts of radius 4 and wall 3 across a channel: 2 (4 + 3) + 10 between centres lets a 10 mm cutter by."""
    for gap, joined in ((0.0, False), (-0.001, False), (0.001, True)):
        apart = 2 * (4 + 3) + 10 + gap
        bolts = [bolt("low", (0, -apart / 2)), bolt("high", (0, apart / 2))]
        pocket = open_out(plate(100, 40), cutter_radius=5, spared=bolts, start=(-40.0, 0.0))
        assert bool(pocket.dropped) != joined
        right = max(region.bounds[2] for region in pocket.regions)
        assert (right > 40) == joined


def test_tangent_circles_make_one_wall() -> None:
    """Walls of two bolts that touch at the plate's middle, 14 mm apart: islands that meet, no sliver between."""
    pocket = open_out(plate(), cutter_radius=5, spared=[bolt("a", (-7, 0)), bolt("b", (7, 0))])
    [region] = pocket.regions
    [island] = region.holes
    # The cutter leaves a fillet of radius 5 between the two: its centre is 12 mm from both bolts' centres.
    assert {edge.tag for edge in island.edges} == {"a", "b", CUTTER}
    height = math.sqrt(12**2 - 7**2)
    fillet = [edge for edge in island.edges if edge.tag == CUTTER]
    assert sorted(arc.centre[1] for arc in fillet if isinstance(arc, Arc)) == pytest.approx([-height, height])
    kite = 7 * height
    angle_at_bolt, angle_at_cutter = math.acos(7 / 12), math.asin(7 / 12)
    web = 2 * (kite - 49 * angle_at_bolt - 25 * angle_at_cutter)
    assert -island.area == pytest.approx(2 * math.pi * 49 + web, abs=AREA)


def test_a_pocket_that_pinches_into_three_keeps_the_part_of_its_start() -> None:
    bolts = [bolt(f"b{k}{side}", (x, side * 12)) for k, x in enumerate((-30, 30)) for side in (-1, 1)]
    every = open_out(plate(160, 40), cutter_radius=8, spared=bolts)
    assert len(every.regions) == 3
    middle = open_out(plate(160, 40), cutter_radius=8, spared=bolts, start=(0.0, 0.0))
    [region] = middle.regions
    assert region.bounds[0] > -30
    assert len(middle.dropped) == 2
    assert {drop.reason for drop in middle.dropped} == {DropReason.NOT_JOINED}
    assert middle.area + sum(drop.area for drop in middle.dropped) == pytest.approx(every.area, abs=AREA)


def test_all_area_lost_is_an_ordinary_answer() -> None:
    pocket = open_out(plate(), cutter_radius=5, land=25)
    assert (pocket.regions, pocket.milled, pocket.centre, pocket.dropped, pocket.area) == ((), (), (), (), 0.0)
    assert open_out(plate(), cutter_radius=5, spared=[bolt("b", (0, 0), 80)]).regions == ()
    assert limiters(pocket) == ()


def test_duplicate_holes_change_nothing() -> None:
    one = open_out(plate(), cutter_radius=5, spared=[bolt("a", (0, 0))], land=6)
    two = open_out(plate(), cutter_radius=5, spared=[bolt("a", (0, 0)), bolt("b", (0, 0))], land=6)
    assert two.area == pytest.approx(one.area, abs=AREA)
    assert tags(two) == tags(one)


def test_an_arc_of_nearly_a_whole_turn_bounds_a_pocket() -> None:
    a, b = math.radians(0.05), math.radians(-0.05)
    ends = (50 * math.cos(a), 50 * math.sin(a)), (50 * math.cos(b), 50 * math.sin(b))
    loop = Loop((Arc(ends[0], ends[1], (0, 0), 50, True, "rim"), Line(ends[1], ends[0], "flat")))
    pocket = open_out(Region(loop), cutter_radius=5, land=2)
    # The flat is 0.02 mm inside the rim and the land from it 2 mm wide: nearly the whole disc of 48 mm is left.
    assert pocket.area == pytest.approx(math.pi * 48**2, rel=1e-4)
    assert pocket.area < math.pi * 48**2
    assert tags(pocket) == {"rim", "flat", CUTTER}


def test_an_opening_becomes_part_of_the_pocket_and_keeps_its_own_outline_where_it_is_larger() -> None:
    opening = Region(Loop.rectangle(30, 80, tag="opening"))
    pocket = open_out(plate(), cutter_radius=5, land=6, start=opening)
    [region] = pocket.regions
    milled = 88 * 48 - CORNER * 25
    assert pocket.area == pytest.approx(milled + 30 * (80 - 48), abs=AREA)
    assert tags(pocket) == {"edge", "opening", CUTTER}
    costs = {limiter.name: limiter.cost for limiter in limiters(pocket)}
    assert costs[CUTTER] == pytest.approx(CORNER * 25, abs=AREA)
    assert costs["opening"] == 0
    assert region.bounds == pytest.approx((-44, -40, 44, 40))


def test_an_opening_that_the_cutter_cannot_leave_stays_as_it_is() -> None:
    opening = Region(Loop.circle((0, 0), 8, "opening"))
    ring = [bolt(f"b{k}", (18 * math.cos(k * math.pi / 4), 18 * math.sin(k * math.pi / 4))) for k in range(8)]
    pocket = open_out(plate(120, 120), cutter_radius=5, spared=ring, start=opening)
    [region] = pocket.regions
    assert region.holes == ()
    assert region.bounds[2] < 18
    assert len(pocket.dropped) == 1


def test_each_piece_of_the_bounds_may_have_its_own_land() -> None:
    corners = [(-50, -30), (50, -30), (50, 30), (-50, 30)]
    names = ["south", "east", "north", "west"]
    lines = tuple(Line(corners[k], corners[(k + 1) % 4], names[k]) for k in range(4))
    pocket = open_out(Region(Loop(lines)), cutter_radius=5, land={"south": 2.0, "north": 4.0, "east": 6.0, "west": 8.0})
    assert pocket.area == pytest.approx((100 - 14) * (60 - 6) - CORNER * 25, abs=AREA)


def test_a_keep_clear_shape_and_a_gasket_line_are_spared() -> None:
    clear = Spared("clear", Loop.rectangle(20, 10, centre=(50, 0)), 2.0)
    line = Spared("gasket", Line((-50, 0), (-30, 0)), 4.0)
    pocket = open_out(plate(), cutter_radius=5, spared=[clear, line])
    [region] = pocket.regions
    assert wall(Loop.rectangle(20, 10, centre=(50, 0)), region).distance == pytest.approx(2.0, abs=1e-9)
    assert {"clear", "gasket"} < tags(pocket)


def test_limiters_tell_what_each_limit_costs() -> None:
    pocket = open_out(plate(), cutter_radius=5, spared=[bolt("b", (0, 0))], land=6)
    found = {limiter.name: limiter for limiter in limiters(pocket)}
    assert set(found) == {"b", "edge", CUTTER}
    assert found["b"].cost == pytest.approx(math.pi * 49, abs=AREA)
    assert found["b"].length == pytest.approx(math.tau * 7, abs=AREA)
    assert found["edge"].cost == pytest.approx(100 * 60 - 88 * 48, abs=AREA)
    assert found["edge"].length == pytest.approx(2 * (88 + 48) - 8 * 5, abs=AREA)
    assert found[CUTTER].cost == pytest.approx(CORNER * 25, abs=AREA)
    assert [found[name].kind for name in ("b", "edge", CUTTER)] == [
        LimiterKind.SPARED,
        LimiterKind.LAND,
        LimiterKind.CUTTER,
    ]


def test_moving_a_bolt_out_of_the_pocket_gains_its_island() -> None:
    pocket = open_out(plate(), cutter_radius=5, spared=[bolt("b", (0, 0))], land=6)
    assert gain_by_moving(pocket, "b", 3, 4) == pytest.approx(0, abs=AREA)
    assert gain_by_moving(pocket, "b", 60, 0) == pytest.approx(math.pi * 49, abs=AREA)
    with pytest.raises(GeometryError, match="the pocket spares nothing named 'c'; it spares b"):
        gain_by_moving(pocket, "c", 1, 0)


def test_sizes_below_nothing_are_refused() -> None:
    with pytest.raises(GeometryError, match="a cutter's radius must not be below 0 mm, met -1"):
        open_out(plate(), cutter_radius=-1)
    with pytest.raises(GeometryError, match="the wall round b must not be below 0 mm, met -2"):
        open_out(plate(), cutter_radius=1, spared=[bolt("b", (0, 0), wall_size=-2)])
    with pytest.raises(GeometryError, match="the land along 'edge' must not be below 0 mm, met -3"):
        open_out(plate(), cutter_radius=1, land=-3)


def test_coordinates_of_ten_metres() -> None:
    x, y = 1e4, -1e4
    bounds = Region(Loop.rectangle(100, 60, centre=(x, y), tag="edge"))
    pocket = open_out(bounds, cutter_radius=5, spared=[bolt("b", (x, y))], land=6, start=(x + 30, y))
    assert pocket.area == pytest.approx(88 * 48 - CORNER * 25 - math.pi * 49, abs=AREA)
    assert {edge.tag for edge in pocket.regions[0].holes[0].edges} == {"b"}


def test_five_hundred_bolts() -> None:
    bolts = [bolt(f"b{k}", (20.0 * (k % 25) - 240, 20.0 * (k // 25) - 190), 3, 2) for k in range(500)]
    pocket = open_out(plate(520, 420), cutter_radius=4, spared=bolts, land=5)
    [region] = pocket.regions
    assert len(region.holes) == 500
    assert pocket.area == pytest.approx(510 * 410 - CORNER * 16 - 500 * math.pi * 25, abs=1e-5)
