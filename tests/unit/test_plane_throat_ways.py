"""Ways of a cut over a chamber's plan, and the walls that they end on: by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from platemaker.plane import Arc, ChamberOpening, ChamberPiece, Edge, Line, Loop, Region
from platemaker.plane._table import TOUCH, EdgeTable
from platemaker.plane._throat._cells import cells_of, lengths
from platemaker.plane._throat._plan import plan_of
from platemaker.plane._throat._rails import BranchCuts, Ground, Spots, part_of, sampled, walls_of
from platemaker.plane._throat._walls import Islands, _between, _distance, _in_front, feet, gaps, share_at
from platemaker.plane._throat._ways import backwards, bent, is_clear, priced, runs, through
from tests.chambers import STEP_UNDER_A_PORT


def table(*edges: Edge) -> EdgeTable:
    return EdgeTable.of(edges)


def chamber(islands: Sequence[Loop] = (), depth: float = 5.0, more: Sequence[Loop] = ()) -> Ground:
    """100 x 60 about the origin, a square port of 20 about (-30, 0), a round one of 20 about (30, 0), and others."""
    pocket = Region.of(Loop.rectangle(100, 60), islands)
    ins = ChamberOpening("A", Region(Loop.rectangle(20, 20, 0, (-30, 0))))
    outs = ChamberOpening("B", Region(Loop.circle((30, 0), 10)))
    others = [ChamberOpening("C", Region(loop)) for loop in more]
    plan = plan_of([ChamberPiece("pocket", pocket, depth)], [ins, *others], [outs], TOUCH)
    return Ground.of(plan, cells_of(plan))


def floats(*values: float) -> Any:
    return np.array(values, dtype=float)


def complexes(*values: complex) -> Any:
    return np.array(values, dtype=complex)


def rows(*values: int) -> Any:
    return np.array(values, dtype=np.intp)


def spots(ground: Ground, *places: complex) -> Spots:
    """Spots where the given places lie on stretches, each a node of its own."""
    stretch, share = [], []
    for place in places:
        row = int(np.abs(ground.plan.table.nearest(complexes(place)[:, None]) - place).argmin())
        stretch.append(row)
        share.append(float(share_at(ground.plan.table.take([row]), complexes(place))[0]))
    node = np.arange(len(places)) + ground.walls.count
    return ground.spots(rows(*stretch), floats(*share), node)


@pytest.mark.parametrize(
    ("end", "radius", "ccw", "centre", "sweep"),
    [
        (6 + 0j, 5.0, 1.0, 3 + 4j, 2 * math.asin(0.6)),  # 3-4-5
        (6 + 0j, 5.0, -1.0, 3 - 4j, -2 * math.asin(0.6)),
        (6j, 5.0, 1.0, -4 + 3j, 2 * math.asin(0.6)),
        (10 + 0j, 5.0, 1.0, 5 + 0j, math.pi),  # half a turn at most
        (12 + 0j, 5.0, -1.0, 6 + 0j, -math.pi),
    ],
)
def test_an_arc_of_the_depth_between_two_places(
    end: complex, radius: float, ccw: float, centre: complex, sweep: float
) -> None:
    found = bent(complexes(0), complexes(end), floats(radius), floats(ccw))
    assert found.centre[0] == pytest.approx(centre)
    assert found.sweep[0] == pytest.approx(sweep)
    assert (found.start[0], found.end[0], found.radius[0]) == (0, end, radius)
    back = backwards(found)
    assert (back.start[0], back.end[0], back.sweep[0]) == (end, 0, pytest.approx(-sweep))


POST = table(Line((0.0, -5.0), (0.0, 5.0)))


@pytest.mark.parametrize(
    ("way", "clear"),
    [
        (Line((-4.0, 1.0), (4.0, 1.0)), False),
        (Line((-4.0, 6.0), (4.0, 6.0)), True),  # past its end
        (Line((-4.0, 5.1), (4.0, 5.1)), True),
        (Line((-4.0, 0.0), (-0.5, 0.0)), True),  # stops before it
        (Line((-4.0, 0.0), (0.0, 0.0)), True),  # ends on it
        (Line((0.0, 0.0), (4.0, 0.0)), True),
        (Line((-4.0, 0.0), (0.0009, 0.0)), True),  # less than 1e-3 mm beyond
        (Line((-4.0, 0.0), (0.0011, 0.0)), False),
        (Line((0.0011, 0.0), (-4.0, 0.0)), False),
        (Line((-0.0009, 0.0), (4.0, 0.0)), True),
        (Line((-0.0011, 0.0), (4.0, 0.0)), False),
        # A way of 0.01 mm: a twentieth of it, 0.0005, counts as its end.
        (Line((-0.0004, 0.0), (0.0096, 0.0)), True),
        (Line((-0.0006, 0.0), (0.0094, 0.0)), False),
        (Line((0.0, -1.0), (0.0, 1.0)), False),  # along it
        (Arc((-3.0, 0.0), (3.0, 0.0), (0.0, 0.0), 3.0, False), False),  # over the top at (0, 3)
        (Arc((-6.0, 0.0), (6.0, 0.0), (0.0, 0.0), 6.0, False), True),  # over its end
        (Arc((-3.0, 0.0), (0.0, 3.0), (0.0, 0.0), 3.0, False), True),
        (Line((-4.0, -1.0), (4.0, -1.0)), False),
        (Line((1.0, 6.0), (3.0, -6.0)), True),
    ],
)
def test_a_way_is_clear_that_meets_no_stretch_between_its_ends(way: Edge, clear: bool) -> None:
    assert is_clear(table(way), POST).tolist() == [clear]
    both = table(Line((-9.0, 9.0), (9.0, 9.0)), way)
    assert is_clear(both, POST).tolist() == [True, clear]


@pytest.mark.parametrize(("y", "clear"), [(1.9, False), (2.1, True), (-2.1, True)])
def test_a_way_past_an_island_is_clear(y: float, clear: bool) -> None:
    island = EdgeTable.of(Loop.circle((0, 0), 2.0).edges)
    assert is_clear(table(Line((-9.0, y), (9.0, y))), island).tolist() == [clear]
    assert is_clear(table(Line((-9.0, y), (-8.0, y))), island).tolist() == [True]


def test_no_way_at_all_is_no_fault() -> None:
    assert is_clear(POST.take([]), POST).tolist() == []


@pytest.mark.parametrize(
    ("point", "apart"),
    [(3 + 4j, 4.0), (-3 + 4j, 5.0), (13 + 4j, 5.0), (5 - 2j, 2.0), (0j, 0.0)],
)
def test_how_far_a_point_lies_from_a_straight_way(point: complex, apart: float) -> None:
    """From 0 to 10 along x, either way round; and from a way of no length."""
    ends = complexes(0, 10), complexes(10, 0)
    assert _distance(*ends, point) == pytest.approx([apart, apart])
    assert _distance(complexes(0), complexes(0), point) == pytest.approx([abs(point)])
    # Nowhere near the origin: the same moved by 20 + 7i and turned a quarter.
    assert _distance(20 + 7j + 1j * ends[0], 20 + 7j + 1j * ends[1], 20 + 7j + 1j * point) == pytest.approx([apart] * 2)


def test_which_triangles_hold_a_point() -> None:
    corner = complexes(0), complexes(6), complexes(6j)
    for a, b, c in ((0, 1, 2), (1, 2, 0), (2, 1, 0)):
        held = [
            bool(_between(corner[a], corner[b], corner[c], complexes(z))[0]) for z in (1 + 1j, 4 + 4j, -1 + 1j, 1 - 1j)
        ]
        assert held == [True, False, False, False]
    assert _between(*corner, complexes(9 + 9j, 2 + 2j)).tolist() == [True]
    assert _between(*corner, complexes()).tolist() == [False]


def test_share_of_a_place_is_whole_at_both_ends() -> None:
    line = table(Line((0.0, 0.0), (10.0, 0.0)))
    for place, share in (
        (4 + 0j, 0.4),
        (1e-9 + 0j, 0.0),
        (10 - 1e-9 + 0j, 1.0),
        (1e-6 + 0j, 1e-7),
        (12 + 0j, 1.0),
        (-2 + 0j, 0.0),
    ):
        assert share_at(line, complexes(place))[0] == pytest.approx(share, abs=1e-15)
    quarter = table(Arc((5.0, 0.0), (0.0, 5.0), (0.0, 0.0), 5.0, True))
    assert share_at(quarter, complexes(5 * np.exp(1j * math.pi / 6)))[0] == pytest.approx(1 / 3)


def test_of_the_ways_in_one_direction_the_four_shortest_are_tried() -> None:
    """Six in one direction, two in another, from one spot; the same again from a second spot."""
    way = complexes(*[np.exp(0.1j)] * 6, *[np.exp(2j)] * 2, *[np.exp(0.1j)] * 5)
    size = floats(6, 5, 4, 3, 2, 1, 9, 8, 1, 2, 3, 4, 5)
    kept = _in_front(rows(*[0] * 8, *[1] * 5), way, size)
    assert kept.tolist() == [False, False, True, True, True, True, True, True, True, True, True, True, False]


def test_directions_are_fifteen_degrees_wide() -> None:
    """24 of them: five ways at 1 to 14 degrees are one direction, at 1 and 16 two; -179 and 179 are two."""
    for degrees, all_kept in (
        ((1, 4, 8, 11, 14), False),
        ((1, 4, 8, 11, 16), True),
        ((-179, 179, 178, 177, 176), True),
    ):
        way = np.exp(1j * np.radians(np.array(degrees, dtype=float)))
        assert bool(_in_front(rows(0, 0, 0, 0, 0), way, floats(1, 2, 3, 4, 5)).all()) is all_kept


TWO = (Loop.circle((0, 12), 3), Loop.circle((0, -10), 4))


def test_islands_are_the_round_walls_with_the_chamber_about_them() -> None:
    """A hole is an island; a round opening and a rectangle are none, nor is a pocket that is round itself."""
    ground = chamber(TWO)
    islands = Islands.of(ground.plan)
    assert sorted(zip(islands.centre.tolist(), islands.radius.tolist(), strict=True), key=lambda one: one[1]) == [
        (12j, 3.0), (-10j, 4.0),
    ]  # fmt: skip
    assert len(islands.others) == 4
    assert not islands.alike
    assert islands.one_depth
    halves = set(islands.halves.ravel().tolist())
    assert halves == {k for k in range(len(ground.plan.table)) if ground.plan.table.radius[k] in {3.0, 4.0}}
    round_pocket = Region(Loop.circle((0, 0), 50))
    ins, outs = (ChamberOpening("o", Region(Loop.circle((x, 0), 5))) for x in (-20, 20))
    plan = plan_of([ChamberPiece("pocket", round_pocket, 5.0)], [ins], [outs], TOUCH)
    assert len(Islands.of(plan).centre) == 0
    assert len(Islands.of(plan).others) == 2


def test_how_far_islands_are_apart_and_which_ways_pass_no_opening() -> None:
    """12 + 10 between the centres, less 3 and 4: 15. Openings count as the discs round their boxes, 14.14 each."""
    islands = Islands.of(chamber(TWO).plan)
    assert islands.apart[0, 1] == islands.apart[1, 0] == pytest.approx(15.0)
    assert np.isinf(islands.apart.diagonal()).all()
    centres, radii = islands.clear_of
    assert sorted(centres.tolist(), key=lambda z: z.real) == pytest.approx([-30, 30])
    assert radii == pytest.approx([10 * math.sqrt(2)] * 2)
    assert islands.safe[0, 1]
    beside = Islands.of(
        chamber((Loop.circle((-16.5, 20), 1), Loop.circle((-16.5, -20), 1), Loop.circle((0, 20), 1))).plan
    )
    order = sorted(range(3), key=lambda k: (beside.centre[k].real, beside.centre[k].imag))
    safe = beside.safe[np.ix_(order, order)]
    # x = -16.5 passes the inflow's disc, which reaches to -30 + 14.14 = -15.86; the others pass it 13.5 aside and more.
    assert not safe[0, 1]
    assert safe[1, 2]
    assert safe[0, 2]


def test_more_than_eight_islands_of_one_depth_are_compared() -> None:
    eight = [Loop.circle((x, 25), 1) for x in range(-20, 20, 5)]
    assert not Islands.of(chamber(eight).plan).alike
    nine = Islands.of(chamber([*eight, Loop.circle((0, -25), 1)]).plan)
    assert nine.alike
    first = int(np.abs(nine.centre - (-20 + 25j)).argmin())
    near = nine.centre[nine.near[first]]
    assert near.real.tolist() == [-15, -10, -5, 0, 5, 10, 15, 0]


def test_feet_are_the_nearest_points_of_walls_within_reach() -> None:
    """From (-40, 0) on the port's edge the wall at x = -50 is 10 away, the island of radius 4 about (0, -10) at
    hypot(40, 10) - 4 = 37.23, the other at hypot(40, 12) - 3 = 38.76, the walls above and below 30.
    """
    ground = chamber(TWO)
    islands = Islands.of(ground.plan)
    base = spots(ground, -40 + 0j)
    for reach, count in (
        (9.9, 0),
        (10.1, 1),
        (29.9, 1),
        (30.1, 3),
        (37.2, 3),
        (37.3, 4),
        (38.7, 4),
        (38.8, 5),
        (91.0, 6),
    ):
        rows_of, found = feet(ground, islands, base, reach)
        assert len(rows_of) == len(found) == count
    sizes = np.sort(np.abs(found.at + 40))
    assert sizes == pytest.approx([10, 30, 30, math.hypot(40, 10) - 4, math.hypot(40, 12) - 3, 90])
    # The foot on an island lies on the line to its centre.
    foot = found.at[np.abs(np.abs(found.at + 10j) - 4) < 1e-9]
    assert foot[0] == pytest.approx(-10j - 4 * (40 - 10j) / abs(40 - 10j))
    assert (found.node < ground.walls.count).all()


def test_gaps_between_walls_are_those_that_no_small_move_makes_shorter() -> None:
    """Islands 15 apart, and from each the four walls: from (0, 12), 15 up and 39 down, 47 to either side."""
    ground = chamber(TWO)
    islands = Islands.of(ground.plan)
    for reach, wanted in (
        (14.9, []),
        (16.1, [15, 15, 16]),  # island to island, (0, 12) to the wall above, (0, -10) to the one below
        (46.5, [15, 15, 16, 36, 39, 46, 46]),
        (47.5, [15, 15, 16, 36, 39, 46, 46, 47, 47]),
    ):
        a, b = gaps(ground, islands, reach)
        assert sorted(np.abs(a.at - b.at).tolist()) == pytest.approx(wanted)


def test_a_gap_between_straight_walls_ends_at_a_corner_that_juts_out() -> None:
    """A pocket with a tongue from above, 10 wide, down to y = 5: from its corners 35 straight down, and 45 aside."""
    corners = [(-50, -30), (50, -30), (50, 30), (5, 30), (5, 5), (-5, 5), (-5, 30), (-50, 30)]
    pocket = Region(Loop.rounded(corners))
    ins, outs = (ChamberOpening("o", Region(Loop.circle((x, 0), 5))) for x in (-30, 30))
    plan = plan_of([ChamberPiece("pocket", pocket, 5.0)], [ins], [outs], TOUCH)
    ground = Ground.of(plan, cells_of(plan))
    for reach, wanted in ((34.9, []), (44.0, [35, 35]), (46.0, [35, 35, 45, 45])):
        a, b = gaps(ground, Islands.of(plan), reach)
        chamber_side = a.at.imag < 29  # the two across the tongue itself, in metal, are no clear ways
        assert np.sort(np.abs(a.at - b.at)[chamber_side]) == pytest.approx(wanted)
        assert {z.imag for z in a.at[chamber_side]} <= {5.0}


def test_runs_cost_the_height_that_passes_and_nothing_along_the_edge_of_a_cell() -> None:
    """Between neighbouring spots of one edge: depth 5 times its length, both ways the same but for the cell's area.

    Round the whole square 80 x 5, less or more what lies in the cell: nothing, since along its edge there is none.
    """
    ground = chamber()
    every, pairs = sampled(ground, 5.0)
    ways = runs(ground, every, pairs)
    assert len(ways) == 2 * len(pairs)
    square = [k for k in range(len(ways)) if ground.plan.table.radius[ways.stretch[k]] == 0]
    assert ways.cost[square].sum() == pytest.approx(2 * 80 * 5)
    assert ways.cost == pytest.approx(5 * lengths(ways.curves))
    assert (ways.state == -1).all()
    half = len(pairs)
    assert (ways.tail[:half].tolist(), ways.head[:half].tolist()) == (
        ways.head[half:].tolist(),
        ways.tail[half:].tolist(),
    )
    assert (ways.turns[:half] + ways.turns[half:] == 0).all()
    assert ways.curves.start == pytest.approx(every.at[ways.tail])
    assert ways.curves.end == pytest.approx(every.at[ways.head])


def test_runs_along_a_step_under_a_port_cost_the_area_beside_them() -> None:
    """Depths of 5 and 4 meet at x = -30 under the middle of the port: 20 mm of step at 4 high, and 200 mm2 either side.

    With the port's base point on its left it wins 200, and loses as much the other way round.
    """
    plan = plan_of(*STEP_UNDER_A_PORT, TOUCH)
    ground = Ground.of(plan, cells_of(plan))
    every, pairs = sampled(ground, 4.0)
    ways = runs(ground, every, pairs)
    step = int(np.abs(plan.table.point(0.5) + 30).argmin())
    on = np.nonzero(ways.stretch == step)[0]
    half = len(on) // 2
    there, back = ways.cost[on[:half]].sum(), ways.cost[on[half:]].sum()
    assert there + back == pytest.approx(2 * 20 * 4)
    # All 400 mm2 are gathered in the base point: on its side a run wins or loses 400 - 200, on the other 200.
    assert abs(there - back) == pytest.approx(2 * 200)


@pytest.mark.parametrize("fine", [3.0, 7.0, 30.0])
def test_spots_along_edges_are_no_farther_apart_than_asked(fine: float) -> None:
    """A quarter turn has three spots at least, whatever its length: steps of 30 degrees."""
    ground = chamber()
    every, pairs = sampled(ground, fine)
    table = ground.plan.table
    arcs = table.radius[pairs[:, 2]] > 0
    tail, head = every.at[pairs[:, 0]], every.at[pairs[:, 1]]
    assert (np.abs(head - tail)[~arcs] <= fine + 1e-9).all()
    step = np.abs(np.angle((head - 30)[arcs] / (tail - 30)[arcs]))
    assert (step <= min(math.pi / 6, fine / 10) + 1e-9).all()
    assert np.abs(head - tail)[~arcs].sum() == pytest.approx(80)
    assert step.sum() == pytest.approx(2 * math.pi)


def test_where_an_arc_of_the_depth_touches_a_corner_there_is_a_spot() -> None:
    """Depth 5, a right angle: tan 45 degrees times 5 from each corner of the square port."""
    every, _ = sampled(chamber(), 9.0)
    for corner in (-40 - 10j, -20 - 10j, -20 + 10j, -40 + 10j):
        on_edges = every.at[np.abs(np.abs(every.at - corner) - 5) < 1e-9]
        assert len(on_edges) == 2


@pytest.mark.parametrize(
    ("places", "cost"),
    [
        ((-20 + 0j, 20 + 0j), 200.0),  # from port to port through the chamber: 40 x 5
        ((0 + 30j, 0 - 30j), 300.0),  # from wall to wall: 60 x 5
        ((-20 + 2j, 0 + 30j), 5 * math.hypot(20, 28)),
    ],
)
def test_a_level_way_costs_the_depth_times_its_length(places: tuple[complex, complex], cost: float) -> None:
    ground = chamber()
    every = spots(ground, *places)
    ways = through(ground, every, rows(0), rows(1), 400.0, all_of_them=True)
    assert ways.cost == pytest.approx([cost, cost])
    assert (ways.tail.tolist(), ways.head.tolist()) == ([0, 1], [1, 0])
    assert (ways.turns[0] + ways.turns[1] == 0).all()
    assert ways.curves.start.tolist() == pytest.approx([places[0], places[1]])
    none = through(ground, every, rows(0), rows(1), cost - 1e-6, all_of_them=True)
    assert len(none) == 0
    few = through(ground, every, rows(0), rows(1), cost + 1e-6, all_of_them=True)
    assert len(few) == 2


def test_a_way_through_an_island_or_through_metal_is_none() -> None:
    ground = chamber((Loop.circle((0, 0), 4),))
    every = spots(ground, -20 + 0j, 20 + 0j, -20 + 4.5j, 20 + 4.5j)
    assert len(through(ground, every, rows(0), rows(1), 1e9, all_of_them=True)) == 0
    assert len(through(ground, every, rows(2), rows(3), 1e9, all_of_them=True)) == 2


@pytest.mark.parametrize(("a", "b"), [(-20 - 7j, -23 - 10j), (-20 - 10j + 5j, -25 - 10j)])
@pytest.mark.parametrize("more", [[], [Loop.circle((0, 20), 5)], [Loop.circle((-40, 25), 3), Loop.circle((0, 20), 5)]])
def test_a_way_through_a_cell_bends_by_the_depth(a: complex, b: complex, more: list[Loop]) -> None:
    """Off the corner (-20, -10): of the two arcs of radius 5 between the places one has the cell on its hollow side.

    It costs 5 times its length, less the inflow's area on its left: with the corner on the left, the triangle and the
    segment between chord and arc. Round the corner along its edges it is nothing.
    """
    ground = chamber(more=more)
    every = spots(ground, a, b)
    ways = through(ground, every, rows(0), rows(1), 400.0, all_of_them=True)
    chord, legs = abs(b - a), abs(a - (-20 - 10j)) * abs(b - (-20 - 10j)) / 2
    angle = 2 * math.asin(chord / 10)
    bow = 25 * (angle - math.sin(angle)) / 2
    assert lengths(ways.curves) == pytest.approx([5 * angle] * len(ways))
    assert (np.abs(ways.curves.radius) == 5).all()
    corner_left = [k for k in range(len(ways)) if ways.tail[k] == 1]
    assert len(corner_left) == 1
    # From b, on the lower edge, to a, on the right one: the corner is on the right, so its area is lost.
    assert ways.cost[corner_left[0]] == pytest.approx(25 * angle + (legs - bow))


def test_priced_ways_are_the_same_forwards_and_back_outside_cells() -> None:
    ground = chamber()
    every = spots(ground, 0 + 30j, 0 - 30j)
    lines = EdgeTable.straight(every.at, every.at[::-1])
    state = ground.plan.states_at(complexes(0, 0))
    ways = priced(ground, every, rows(0, 1), rows(1, 0), lines, state)
    assert ways.cost == pytest.approx([300.0, 300.0])
    assert ways.state.tolist() == state.tolist()
    assert ways.stretch.tolist() == [-1, -1]


def test_part_of_curves_up_to_a_share() -> None:
    """40 % of a line of 10, and a third of a quarter of radius 6: 30 degrees."""
    curves = table(Line((0.0, 0.0), (10.0, 0.0)), Arc((6.0, 0.0), (0.0, 6.0), (0.0, 0.0), 6.0, True))
    found = part_of(curves, floats(0.4, 1 / 3))
    assert found.end == pytest.approx(complexes(4, 6 * np.exp(1j * math.pi / 6)))
    assert found.start == pytest.approx(curves.start)
    assert lengths(found) == pytest.approx([4, math.pi])


def test_a_closed_walk_s_whole_turns_show_what_it_goes_round() -> None:
    """Two base points; the cuts run from them to the left, off the line through both. A loop round one crosses its cut."""
    frame = BranchCuts(complexes(-10, 10), complex(-np.exp(1e-3j) * 20 / 20))
    ring = EdgeTable.of(Loop.circle((-10, 0), 3).edges)
    angles = frame.angles(np.concatenate([ring.start, ring.end[-1:]]))
    total = frame.whole_turns(ring, angles[:-1], angles[1:]).sum(axis=0)
    assert total.tolist() == [1, 0]
    both = EdgeTable.of(Loop.circle((0, 0), 30).reversed().edges)
    angles = frame.angles(np.concatenate([both.start, both.end[-1:]]))
    assert frame.whole_turns(both, angles[:-1], angles[1:]).sum(axis=0).tolist() == [-1, -1]


def test_cuts_run_from_the_first_base_point_towards_the_last() -> None:
    """Half way between them a place lies on the first one's cut, a thousandth of a radian off, and ahead of the last's."""
    ground = chamber()
    first, last = ground.frame.bases
    (angles,) = ground.frame.angles(complexes((first + last) / 2))
    assert abs(angles[0]) == pytest.approx(math.pi - 1e-3)
    assert abs(angles[1]) == pytest.approx(1e-3)
    assert {round(z.real, -1) for z in (first, last)} == {-30, 30}


def test_a_corner_is_one_spot_whichever_stretch_it_is_taken_from() -> None:
    """The end of the stretch that arrives and the beginning of the one that leaves: one wall, the same turns."""
    ground = chamber(TWO)
    plan = ground.plan
    walls = np.nonzero(plan.walls)[0]
    leaving = {int(plan.first[row]): int(row) for row in walls}
    after = rows(*[leaving[int(plan.last[row])] for row in walls])
    none = np.full(len(walls), -1)
    end, begin = ground.spots(walls, np.ones(len(walls)), none), ground.spots(after, np.zeros(len(walls)), none)
    assert end.at == pytest.approx(begin.at)
    assert end.node.tolist() == begin.node.tolist() == ground.walls.of[plan.last[walls]].tolist()
    assert end.turns.tolist() == begin.turns.tolist()
    assert (end.potential == begin.potential).all()


def test_walls_are_connected_and_those_round_openings_are_closed_ways() -> None:
    """The pocket's outline and two islands: three walls. The outline goes round both ports, an island round none."""
    ground = chamber(TWO)
    assert ground.walls.count == 3
    walls = walls_of(ground.plan, ground.frame)
    on = {complex(v): int(w) for v, w in zip(ground.plan.vertices, walls.of, strict=True)}
    outline = {on[z] for z in on if abs(z.real) == 50}
    assert len(outline) == 1
    assert {w for z, w in on.items() if abs(z + 30) < 15 or abs(z - 30) < 11} == {-1}
    assert set(walls.rounds) == {(wall, turns) for wall in outline for turns in ((1, 1), (-1, -1))}
