"""The plan of a chamber and the cells under its openings: states, sides and areas by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from platemaker.errors import GeometryError
from platemaker.plane import Arc, ChamberOpening, ChamberPiece, Line, Loop, Place, Region, place_of
from platemaker.plane._table import TOUCH, EdgeTable
from platemaker.plane._throat._cells import (
    cells_of,
    depths_inside,
    inner_point,
    lengths,
    outline_of,
    under_chords,
    with_base,
)
from platemaker.plane._throat._plan import Plan, State, plan_of


def rectangle(x: float, y: float, wide: float, high: float) -> Region:
    return Region(Loop.rectangle(wide, high, 0, (x, y)))


def circle(x: float, y: float, radius: float) -> Region:
    return Region(Loop.circle((x, y), radius))


def plan(pieces: Sequence[ChamberPiece], inflow: Sequence[Region], outflow: Sequence[Region]) -> Plan:
    ins, outs = ([ChamberOpening("o", region) for region in regions] for regions in (inflow, outflow))
    return plan_of(pieces, ins, outs, TOUCH)


POCKET = ChamberPiece("pocket", rectangle(0, 0, 100, 60), 5.0, 1.0)
SIMPLE = plan([POCKET], [rectangle(-30, 0, 20, 20)], [circle(30, 0, 10)])
"""A pocket 100 x 60 x 5 with a square port of 20 and a round one of 20."""

SOLID, LEVEL = State(0.0, 0.0), State(1.0, 6.0)
IN, OUT = State(1.0, 6.0, inflow=True), State(1.0, 6.0, outflow=True)


def at(plan: Plan, *points: complex) -> list[State]:
    return [plan.states[row] for row in plan.states_at(np.array(points))]


def sides(plan: Plan, point: complex) -> tuple[int, State, State, float, int]:
    """Of the stretch whose middle is nearest to a point: its row, the states left and right, height, and figure."""
    row = int(np.abs(plan.table.point(0.5) - point).argmin())
    left, right = (plan.states[side[row]] for side in (plan.left, plan.right))
    return row, left, right, float(plan.passes[row]), int(plan.figure[row])


def test_states_say_what_lies_where() -> None:
    assert SIMPLE.states[0] == SOLID
    assert set(SIMPLE.states) == {SOLID, LEVEL, IN, OUT}
    assert at(SIMPLE, -30 + 0j, 30 + 0j, 0j, -30 + 10.01j, 30 + 9.99j) == [IN, OUT, LEVEL, LEVEL, OUT]
    assert [(state.depth, state.sign) for state in (SOLID, LEVEL, IN, OUT)] == [(0, 0), (5, 0), (5, -1), (5, 1)]
    assert State(1.0, 6.0, inflow=True, outflow=True).sign == 0
    assert SIMPLE.depths.tolist() == [state.depth for state in SIMPLE.states]
    assert SIMPLE.signs.tolist() == [state.sign for state in SIMPLE.states]


@pytest.mark.parametrize(
    ("point", "left", "right", "height", "figure"),
    [
        (0 - 30j, LEVEL, SOLID, 0.0, 0),  # a wall: the chamber on its left, nothing passes
        (-50 + 0j, LEVEL, SOLID, 0.0, 0),
        (-30 - 10j, IN, LEVEL, 5.0, 1),  # an edge of the inflow port: all of the depth passes
        (-20 + 0j, IN, LEVEL, 5.0, 1),
        (30 + 10j, OUT, LEVEL, 5.0, 2),
    ],
)
def test_each_stretch_has_its_sides(point: complex, left: State, right: State, height: float, figure: int) -> None:
    _, *found, passes, of = sides(SIMPLE, point)
    assert (passes, of) == (height, figure)
    assert found == [left, right] if height == 0 else set(found) == {left, right}
    assert SIMPLE.walls.sum() == 4
    assert (SIMPLE.pieces, SIMPLE.inflows) == (1, 1)


def test_stretches_run_with_the_chamber_on_their_left_and_arcs_keep_their_sweep() -> None:
    """Four sides of 100 and 60 mm, four of 20, and two half turns of radius 10."""
    table = SIMPLE.table
    assert sorted(lengths(table).tolist()) == pytest.approx([20] * 4 + [10 * math.pi] * 2 + [60] * 2 + [100] * 2)
    for row in range(len(table)):
        middle, beside = table.point(0.5)[row], 0.01j * table.heading(0.5)[row]
        assert at(SIMPLE, middle + beside) == [SIMPLE.states[SIMPLE.left[row]]]
    assert np.abs(table.sweep[table.arcs]) == pytest.approx([math.pi, math.pi])
    assert not table.sweep[~table.arcs].any()
    assert SIMPLE.vertices[SIMPLE.first] == pytest.approx(table.start)
    assert SIMPLE.vertices[SIMPLE.last] == pytest.approx(table.end)


@pytest.mark.parametrize("first", [True, False])
def test_walls_of_islands_run_against_them(first: bool) -> None:
    """An island of radius 4: its wall is run clockwise, however the hole was given."""
    hole = Loop.circle((0, 0), 4.0)
    region = Region(POCKET.region.outer, (hole.reversed(),)) if first else Region.of(POCKET.region.outer, [hole])
    found = plan([ChamberPiece("pocket", region, 5.0)], [rectangle(-30, 0, 20, 20)], [circle(30, 0, 10)])
    rows = [row for row in range(len(found.table)) if found.table.radius[row] == 4.0]
    assert found.table.sweep[rows] == pytest.approx([-math.pi, -math.pi])
    assert found.walls[rows].all()


@pytest.mark.parametrize(
    ("depth", "level", "passes"),
    [
        (3.0, 1.0, 3.0),  # from 1 to 4: all of it
        (3.0, 4.0, 1.0),  # from 4 to 7 beside 0 to 5
        (9.0, -2.0, 5.0),  # taller both ways: what the first has
        (3.0, -1.0, 2.0),
        (3.0, 6.0, 0.0),  # above it: nothing
    ],
)
def test_a_step_passes_what_both_heights_have(depth: float, level: float, passes: float) -> None:
    """From 0 to 5 on the left of x = 0, and beside it from `level` up by `depth`."""
    pieces = [
        ChamberPiece("a", rectangle(-20, 0, 40, 20), 5.0),
        ChamberPiece("b", rectangle(20, 0, 40, 20), depth, level),
    ]
    found = plan(pieces, [circle(-20, 0, 4)], [circle(20, 0, 4)])
    row, left, right, height, figure = sides(found, 0j)
    assert height == passes
    assert {left, right} == {State(0.0, 5.0), State(level, level + depth)}
    assert not found.walls[row]
    assert figure in {0, 1}
    assert at(found, 60 + 0j, 20 + 9j) == [SOLID, State(level, level + depth)]


def test_pieces_over_one_another_are_as_high_as_both() -> None:
    """0 to 5 and 4 to 7 over one another from x = -2 to 2: 0 to 7 there."""
    pieces = [ChamberPiece("b", rectangle(19, 0, 42, 20), 3.0, 4.0), ChamberPiece("a", rectangle(-19, 0, 42, 20), 5.0)]
    found = plan(pieces, [circle(-20, 0, 4)], [circle(20, 0, 4)])
    assert at(found, 0j, -5 + 5j, 5 + 5j) == [State(0.0, 7.0), State(0.0, 5.0), State(4.0, 7.0)]
    assert [sides(found, x + 0j)[3] for x in (-2, 2)] == [5.0, 3.0]


@pytest.mark.parametrize(("gap", "refused"), [(0.5e-6, False), (1.5e-6, True)])
def test_metal_between_two_pieces_is_refused(gap: float, refused: bool) -> None:
    """0 to 5, and from 5 + gap up over it: from a micrometre on there is metal between."""
    over = ChamberPiece("upper", rectangle(0, 0, 20, 20), 3.0, 6.0 + gap)
    if refused:
        with pytest.raises(GeometryError, match="pieces 'pocket' and 'upper' of a chamber lie over one another"):
            plan([over, POCKET], [circle(-30, 0, 4)], [circle(30, 0, 4)])
    else:
        assert State(1.0, 9.0) in plan([over, POCKET], [circle(-30, 0, 4)], [circle(30, 0, 4)]).states


@pytest.mark.parametrize(("count", "refused"), [(58, False), (59, True)])
def test_a_chamber_has_sixty_figures_at_most(count: int, refused: bool) -> None:
    """With the pocket and one outflow opening 58 inflow openings are 60 figures."""
    ins = [circle(-30, 0, 4)] * count
    if refused:
        with pytest.raises(GeometryError, match="at most 60 pieces and openings"):
            plan([POCKET], ins, [circle(30, 0, 4)])
    else:
        assert at(plan([POCKET], ins, [circle(30, 0, 4)]), -30 + 0j, 30 + 0j) == [IN, OUT]


def test_an_edge_that_lies_on_a_wall_or_a_step_belongs_to_one_figure() -> None:
    """The inflow's left side is the pocket's wall; its right side is where two pieces of two depths meet."""
    pieces = [ChamberPiece("a", rectangle(-10, 0, 20, 20), 5.0), ChamberPiece("b", rectangle(20, 0, 40, 20), 4.0)]
    found = plan(pieces, [rectangle(-10, 0, 20, 10)], [circle(20, 0, 4)])
    assert sides(found, -20 + 0j)[1:] == (State(0.0, 5.0, inflow=True), SOLID, 0.0, 0)
    assert sides(found, 0j)[3:] == (4.0, 2)
    assert sides(found, 0 + 7.5j)[3:] == (4.0, 1)


def test_a_cell_is_as_large_as_its_opening_and_its_form_comes_to_nothing_round_it() -> None:
    """20 x 20 and pi 10 squared. Round any small loop inside, the form is the area less the mass of a base point."""
    inflow, outflow = cells_of(SIMPLE)
    assert (inflow.sign, inflow.bases, inflow.area) == (-1, 1, pytest.approx(400.0))
    assert (outflow.sign, outflow.bases, outflow.area) == (1, 1, pytest.approx(100 * math.pi))
    for cell in (inflow, outflow):
        outline = outline_of(SIMPLE, cell)
        assert cell.form(outline).sum() == pytest.approx(0.0, abs=1e-9)
        assert cell.masses.tolist() == [cell.area]
        base = complex(cell.places[0])
        assert at(SIMPLE, base) == [IN if cell.sign < 0 else OUT]
        about = EdgeTable.of(Loop.circle((base.real, base.imag), 0.5).edges)
        assert cell.form(about).sum() == pytest.approx(math.pi / 4 - cell.area)
        away = EdgeTable.of(Loop.circle((0.0, 20.0), 3.0).edges)
        assert cell.form(away).sum() == pytest.approx(9 * math.pi)
        on = ~np.isnan(cell.potential)
        assert set(np.nonzero(on)[0].tolist()) == set(cell.rings[0].rows.tolist())


def test_a_cell_s_potential_rises_by_its_form_from_vertex_to_vertex() -> None:
    for cell in cells_of(SIMPLE):
        (ring,) = cell.rings
        rows, known = ring.rows, dict[int, float]()
        rise = cell.form(SIMPLE.table.take(rows))
        for vertices, values in ((SIMPLE.first, cell.potential[rows]), (SIMPLE.last, cell.potential[rows] + rise)):
            for vertex, value in zip(vertices[rows].tolist(), values.tolist(), strict=True):
                assert known.setdefault(vertex, value) == pytest.approx(value, abs=1e-9)
        assert 0.0 in known.values()


def test_a_ring_shaped_cell_gives_its_hole_back() -> None:
    """Radius 10 less an island of radius 4: 84 pi; base points in the ring and in its hole, of 84 pi and of 16 pi."""
    region = Region.of(POCKET.region.outer, [Loop.circle((-30, 0), 4)])
    found = plan([ChamberPiece("pocket", region, 5.0)], [circle(-30, 0, 10)], [circle(30, 0, 10)])
    cell = cells_of(found)[0]
    assert cell.area == pytest.approx(84 * math.pi)
    assert (len(cell.rings), cell.bases) == (2, 1)
    assert cell.masses == pytest.approx([84 * math.pi, 16 * math.pi])
    assert abs(cell.places[1] + 30) < 3  # well inside
    assert 4 < abs(cell.places[0] + 30) < 10
    for ring in cell.rings:
        assert (ring.ways * cell.form(found.table.take(ring.rows))).sum() == pytest.approx(0.0, abs=1e-9)


def test_one_more_base_point_shares_the_area_out() -> None:
    """400 in two points; round both it is nothing again, round the new one alone its 200 are missing."""
    inflow = cells_of(SIMPLE)[0]
    more = with_base(SIMPLE, inflow, -22 + 8j)
    assert (more.bases, more.area) == (2, inflow.area)
    assert more.masses == pytest.approx([200.0, 200.0])
    assert more.places.tolist() == [inflow.places[0], -22 + 8j]
    assert more.form(outline_of(SIMPLE, more)).sum() == pytest.approx(0.0, abs=1e-9)
    assert more.form(EdgeTable.of(Loop.circle((-22, 8), 0.1).edges)).sum() == pytest.approx(math.pi / 100 - 200)


def test_two_openings_are_two_cells_and_one_inside_the_other_is_one() -> None:
    """Two squares of 10 apart, 100 each; two that overlap by half, 150 together."""
    two = plan([POCKET], [rectangle(-35, 0, 10, 10), rectangle(-20, 0, 10, 10)], [circle(30, 0, 10)])
    assert [cell.area for cell in cells_of(two)] == pytest.approx([100, 100, 100 * math.pi])
    one = plan([POCKET], [rectangle(-35, 0, 10, 10), rectangle(-30, 0, 10, 10)], [circle(30, 0, 10)])
    assert [cell.area for cell in cells_of(one)] == pytest.approx([150, 100 * math.pi])


@pytest.mark.parametrize("corners", [[(-37, -3), (-23, -3), (-23, 3)], [(-36, -6), (-24, 0), (-36, 6)]])
def test_the_point_in_an_island_s_hole_is_inside_it(corners: list[tuple[float, float]]) -> None:
    """Whichever way its edges run: the area that the island takes out of an opening is gathered there."""
    hole = Loop.rounded(corners)
    region = Region.of(POCKET.region.outer, [hole])
    cell = cells_of(plan([ChamberPiece("pocket", region, 5.0)], [circle(-30, 0, 10)], [circle(30, 0, 10)]))[0]
    assert cell.masses == pytest.approx([100 * math.pi - hole.area, hole.area])
    assert place_of((cell.places[1].real, cell.places[1].imag), hole) is Place.INSIDE


def test_an_island_in_one_of_several_openings_is_its_own() -> None:
    """Inflow openings of 0.64, of 100 pi with an island of 16 pi, and of 600 mm2: the island is in the second."""
    region = Region.of(POCKET.region.outer, [Loop.circle((-20, 0), 4)])
    ins = [rectangle(-45, 0, 0.8, 0.8), circle(-20, 0, 10), rectangle(0, 20, 60, 10)]
    cells = cells_of(plan([ChamberPiece("pocket", region, 5.0)], ins, [circle(30, -5, 10)]))
    assert [(len(cell.rings), cell.area) for cell in cells] == [
        (1, pytest.approx(0.64)), (2, pytest.approx(84 * math.pi)), (1, pytest.approx(600)), (1, pytest.approx(100 * math.pi)),
    ]  # fmt: skip


def test_where_openings_of_both_sides_lie_over_one_another_off_the_chamber_is_solid() -> None:
    """Beyond the wall at x = 50 both openings hang out; no stretch of the chamber is there."""
    found = plan([POCKET], [rectangle(45, 20, 20, 4)], [rectangle(55, 20, 6, 4)])
    assert at(found, 55 + 20j, 47 + 20j) == [SOLID, IN]


def test_points_of_a_grid_lie_one_in_each_field() -> None:
    """Nine by nine over a box of 36 x 18 from (2, 5): fields of 4 x 2, and how deep each point lies inside."""
    depths, points = depths_inside(EdgeTable.of(rectangle(20, 14, 36, 18).edges), 9)
    fields = {(int((z.real - 2) // 4), int((z.imag - 5) // 2)) for z in points}
    assert fields == set(np.ndindex(9, 9))
    for depth, z in zip(depths, points, strict=True):
        assert depth == pytest.approx(min(z.real - 2, 38 - z.real, z.imag - 5, 23 - z.imag))


def test_what_both_sides_openings_share_is_no_cell() -> None:
    """Inflow 20 x 20, outflow the right half of it and as much beside: 200 each are left."""
    found = plan([POCKET], [rectangle(-30, 0, 20, 20)], [rectangle(-20, 0, 20, 20)])
    assert [(cell.sign, cell.area) for cell in cells_of(found)] == [(-1, pytest.approx(200)), (1, pytest.approx(200))]
    assert at(found, -25 + 0j) == [State(1.0, 6.0, inflow=True, outflow=True)]


def test_area_that_a_way_sweeps_and_its_length() -> None:
    """About (1, 1): a line from (4, 1) to (1, 5) sweeps 3 x 4 / 2; a quarter of radius 2 about (1, 1) a quarter disc.

    A half turn clockwise about (6, 1) from (8, 1) to (4, 1): the ends in line with the origin, half a disc taken away.
    """
    table = EdgeTable.of(
        [
            Line((4.0, 1.0), (1.0, 5.0)),
            Arc((3.0, 1.0), (1.0, 3.0), (1.0, 1.0), 2.0, True),
            Arc((8.0, 1.0), (4.0, 1.0), (6.0, 1.0), 2.0, False),
        ]
    )
    assert under_chords(table, 1 + 1j) == pytest.approx([6.0, math.pi, -2 * math.pi])
    assert lengths(table) == pytest.approx([5.0, math.pi, 2 * math.pi])


@pytest.mark.parametrize(
    "region", [rectangle(0, 0, 40, 30), Region.of(Loop.circle((5, 5), 9), [Loop.circle((5, 5), 8)])]
)
def test_a_point_inside_is_well_inside(region: Region) -> None:
    """Deeper than a quarter of what the deepest has: 15 mm of the rectangle, 0.5 mm of the ring."""
    point = inner_point(EdgeTable.of(region.edges))
    if region.holes:
        assert 8.1 < abs(point - (5 + 5j)) < 8.9
    else:
        assert abs(point.real) < 16
        assert abs(point.imag) < 11


def test_a_thin_loop_has_a_point_inside() -> None:
    """Longer than the grid is fine: 100 long and 0.02 wide, aslant, all of it between two points of the grid."""
    way = complex(math.cos(0.5), math.sin(0.5))
    corners = [way * z for z in (0j, 100 + 0j, 100 + 0.02j, 0.02j)]
    thin = Loop.rounded([(z.real, z.imag) for z in corners])
    back = inner_point(EdgeTable.of(thin.edges)) / way
    assert 0 < back.real < 100
    assert 0.002 < back.imag < 0.018
