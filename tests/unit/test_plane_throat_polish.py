"""A cut's contacts moved to where they cost least: charts, the cheapest choice, Newton's rule, sides, by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import product
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from platemaker.plane import ChamberOpening, ChamberPiece, Loop, Region
from platemaker.plane._table import TOUCH
from platemaker.plane._throat import _polish
from platemaker.plane._throat._cells import lengths
from platemaker.plane._throat._charts import Charts, Leg, Rails, places, turned_back
from platemaker.plane._throat._contacts import Link, curves_of
from platemaker.plane._throat._plan import Plan, plan_of
from platemaker.plane._throat._polish import (
    FINEST,
    STENCIL,
    _across,
    _by_newton,
    _choice,
    _costs,
    _derivatives,
    _groups,
    _legs_between,
    _on_its_side,
    _trimmed,
    _vertices,
    _windowed,
)
from tests.chambers import STEP_UNDER_A_PORT


def chamber(depth: float = 5.0) -> Plan:
    """100 x 60 about the origin, a square port of 20 about (-30, 0), a round one of 20 about (30, 0)."""
    pocket = ChamberPiece("pocket", Region(Loop.rectangle(100, 60)), depth)
    ins = ChamberOpening("A", Region(Loop.rectangle(20, 20, 0, (-30, 0))))
    outs = ChamberOpening("B", Region(Loop.circle((30, 0), 10)))
    return plan_of([pocket], [ins], [outs], TOUCH)


PLAN = chamber()


def row_at(plan: Plan, middle: complex) -> int:
    """The stretch with such a middle."""
    return int(np.abs(plan.table.point(0.5) - middle).argmin())


BOTTOM, RIGHT, LEFT = row_at(PLAN, -30j), row_at(PLAN, 50 + 0j), row_at(PLAN, -50 + 0j)
"""Walls of the pocket; these run counter-clockwise."""


def floats(*values: float) -> Any:
    return np.array(values, dtype=float)


def rows(*values: int) -> Any:
    return np.array(values, dtype=np.intp)


@pytest.mark.parametrize(
    ("share", "reach", "onward", "legs"),
    [
        (0.5, 20.0, True, [Leg(BOTTOM, 0.5, 0.7)]),
        (0.5, 20.0, False, [Leg(BOTTOM, 0.5, 0.3)]),
        (0.5, 50.0, True, [Leg(BOTTOM, 0.5, 1.0)]),
        (0.5, 65.0, True, [Leg(BOTTOM, 0.5, 1.0), Leg(RIGHT, 0.0, 0.25)]),  # 15 of 60
        (0.5, 65.0, False, [Leg(BOTTOM, 0.5, 0.0), Leg(LEFT, 1.0, 0.75)]),
        (1.0, 15.0, True, [Leg(RIGHT, 0.0, 0.25)]),
        (0.0, 15.0, False, [Leg(LEFT, 1.0, 0.75)]),
        (0.5, 0.0, True, []),
    ],
)
def test_the_way_along_a_wall_goes_on_round_its_corners(
    share: float, reach: float, onward: bool, legs: list[Leg]
) -> None:
    found = Rails(PLAN).legs(BOTTOM, share, reach, onward=onward)
    assert [leg.stretch for leg in found] == [leg.stretch for leg in legs]
    for one, other in zip(found, legs, strict=True):
        assert (one.begin, one.end) == pytest.approx((other.begin, other.end))


def test_a_way_has_twelve_legs_at_most() -> None:
    """Three times round the pocket; at the end the rest is left out."""
    assert len(Rails(PLAN).legs(BOTTOM, 0.0, 1e6, onward=True)) == 12
    assert len(Rails(PLAN).legs(BOTTOM, 0.0, 959.0, onward=True)) == 12
    assert len(Rails(PLAN).legs(BOTTOM, 0.0, 161.0, onward=True)) == 3


def test_an_edge_goes_on_along_the_same_edge_and_not_along_a_wall() -> None:
    """The port's right side, 20 long, goes on along the port."""
    side = row_at(PLAN, -20 + 0j)
    up = PLAN.table.heading(0.5)[side].imag > 0
    (_, after) = Rails(PLAN).legs(side, 0.5, 15.0, onward=up)
    assert after.stretch == row_at(PLAN, -30 + 10j)
    assert abs(after.end - after.begin) == pytest.approx(0.25)
    end = curves_of(PLAN, [after]).end[0]
    assert end == pytest.approx(-25 + 10j)


def test_legs_the_other_way_round() -> None:
    legs = [Leg(1, 0.2, 0.7), Leg(4, 1.0, 0.9)]
    assert turned_back(legs) == [Leg(4, 0.9, 1.0), Leg(1, 0.7, 0.2)]


def chart(plan: Plan, row: int, share: float, reach: float) -> Charts:
    """One chart about a place of a stretch."""
    rails = Rails(plan)
    back = turned_back(rails.legs(row, share, reach, onward=False))
    return Charts.of(plan, [(back, rails.legs(row, share, reach, onward=True))], 0j)


def test_a_chart_counts_from_its_spot() -> None:
    """On the bottom wall, 10 mm from its right end, 30 to each side: 30 back, 10 on, and 20 up the right wall."""
    charts = chart(PLAN, BOTTOM, 0.9, 30.0)
    assert charts.begin == pytest.approx([-30, 0, 10])
    assert charts.size == pytest.approx([30, 10, 20])
    assert [float(side[0]) for side in charts.ends] == pytest.approx([-30, 30])
    assert charts.whole(0) == pytest.approx((30.0, 0.0))  # along a wall a cut goes for free
    here = places(charts, rows(0), floats(-30, -5, 0, 10, 25)[None])
    assert here.at[0] == pytest.approx(np.array([10 - 30j, 35 - 30j, 40 - 30j, 50 - 30j, 50 - 15j]))
    assert here.out[0] == pytest.approx(np.array([1, 1, 1, 1j, 1j]))
    assert here.into[0] == pytest.approx(np.array([1, 1, 1, 1, 1j]))
    assert charts.leg_at(rows(0), floats(-31, -30, -1e-9, 0, 9.9, 10, 29, 31)[None])[0].tolist() == [
        0,
        0,
        0,
        1,
        1,
        2,
        2,
        2,
    ]
    # The area between the way and the origin: 30 high over 10 mm, then 50 wide over 20 mm.
    assert here.swept[0] == pytest.approx([-450, -75, 0, 150, 150 + 375])
    assert (here.cost == 0).all()


def test_a_place_at_a_corner_is_come_to_along_the_leg_before() -> None:
    """70 mm from the spot, up the right wall: on along the top."""
    here = places(chart(PLAN, BOTTOM, 0.9, 90.0), rows(0), floats(10, 70)[None])
    assert here.at[0] == pytest.approx(np.array([50 - 30j, 50 + 30j]))
    assert here.into[0] == pytest.approx(np.array([1, 1j]))
    assert here.out[0] == pytest.approx(np.array([1j, -1]))


def test_a_run_along_an_edge_costs_the_depth() -> None:
    """Along the port's right side, 5 deep: 5 mm2 a mm, and less before the spot."""
    side = row_at(PLAN, -20 + 0j)
    charts = chart(PLAN, side, 0.5, 18.0)
    assert charts.begin == pytest.approx([-18, -10, 0, 10])
    assert charts.cost == pytest.approx([-90, -50, 0, 50])
    here = places(charts, rows(0), floats(-18, -3, 0, 4, 14)[None])
    assert here.cost[0] == pytest.approx([-90, -15, 0, 20, 70])
    assert charts.whole(0) == pytest.approx((18.0, 90.0))
    assert charts.states_about(0) == {int(PLAN.left[side]), int(PLAN.right[side])}
    assert charts.rims[:, 1].tolist() == [False] * 4
    assert charts.rims[:, -1].tolist() == [True] * 4


def test_two_charts_have_their_own_legs() -> None:
    rails = Rails(PLAN)
    ways = [
        (turned_back(rails.legs(row, 0.5, 60.0, onward=False)), rails.legs(row, 0.5, 60.0, onward=True))
        for row in (BOTTOM, RIGHT)
    ]
    charts = Charts.of(PLAN, ways, 0j)
    assert (charts.first.tolist(), charts.last.tolist()) == ([0, 4], [4, 8])
    assert charts.begin == pytest.approx([-60, -50, 0, 50, -60, -30, 0, 30])
    here = places(charts, rows(1, 0), floats(-40, 40)[None].repeat(2, axis=0))
    assert here.at.ravel() == pytest.approx(np.array([40 - 30j, 40 + 30j, -40 - 30j, 40 - 30j]))
    nearest = _vertices(charts, rows(0, 0, 1, 1), floats(47.0, 44.0, -27.0, 1.0), 4.0)
    assert nearest[:, 0] == pytest.approx([50.0, 44.0, -30.0, 0.0])


def test_legs_between_two_coordinates() -> None:
    """From 20 mm before the spot to 15 after it: of the bottom wall shares 0.7 to 0.9 and 0.9 to 1, then 5 mm of 60."""
    charts = chart(PLAN, BOTTOM, 0.9, 30.0)
    found = _legs_between(charts, 0, -20.0, 15.0)
    assert [leg.stretch for leg in found] == [BOTTOM, BOTTOM, RIGHT]
    assert [(leg.begin, leg.end) for leg in found] == [
        pytest.approx((0.7, 0.9)), pytest.approx((0.9, 1.0)), pytest.approx((0.0, 5 / 60)),
    ]  # fmt: skip
    assert _legs_between(charts, 0, 3.0, 3.0) == []
    assert lengths(curves_of(PLAN, _legs_between(charts, 0, 2.0, 7.0))) == pytest.approx([5.0])


@pytest.mark.parametrize(
    ("begin", "end", "wanted"),
    [
        (0.0, 0.0, 30.0),  # where they were
        (4.0, 0.0, 26.0),  # the first moved on
        (-4.0, 0.0, 34.0),  # and back
        (0.0, 3.0, 33.0),
        (2.0, -6.0, 22.0),
        (-3.0, 4.0, 37.0),
        (-5.0, -33.0, 2.0),  # the last moved before the spot of the first
        (33.0, 6.0, 3.0),  # the first moved beyond the spot of the last
    ],
)
def test_a_run_goes_from_its_first_contact_to_its_last(begin: float, end: float, wanted: float) -> None:
    """30 mm along the bottom wall from x = -15 to 15; each contact has a chart of its own."""
    rails = Rails(PLAN)

    def ways(share: float) -> tuple[list[Leg], list[Leg]]:
        return (
            turned_back(rails.legs(BOTTOM, share, 34.0, onward=False)), rails.legs(BOTTOM, share, 34.0, onward=True),
        )  # fmt: skip

    charts = Charts.of(PLAN, [ways(0.35), ways(0.65), ([], [Leg(BOTTOM, 0.35, 0.65)])], 0j)
    chain: Any = SimpleNamespace(runs={0: 2})
    links: Any = SimpleNamespace(length=floats(30.0, 0.0), chart=rows(0, 1))
    curves = curves_of(PLAN, _trimmed(chain, links, charts, floats(begin, end), 0))
    assert lengths(curves).sum() == pytest.approx(wanted)
    assert curves.start[0] == pytest.approx(-15 + begin - 30j)
    assert curves.end[-1] == pytest.approx(15 + end - 30j)
    assert curves.start[1:] == pytest.approx(curves.end[:-1])


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("closed", [False, True])
def test_the_cheapest_choice_is_the_least_of_all(seed: int, closed: bool) -> None:
    """Four contacts of three places: each of the 81 choices added up."""
    costs = np.random.default_rng(seed).integers(0, 1000, (4, 3, 3)).astype(float)
    first = seed % 4 if closed else 0
    if not closed:
        costs[-1] = 0.0  # a free link

    def total(choice: tuple[int, ...]) -> float:
        return float(sum(costs[k][choice[k], choice[(k + 1) % 4]] for k in range(4)))

    best = min((c for c in product(range(3), repeat=4) if not closed or c[first] == 0), key=total)
    assert tuple(_choice(costs, first, closed=closed).tolist()) == best


def two_charts(first: tuple[int, float], last: tuple[int, float], reach: float) -> Charts:
    rails = Rails(PLAN)
    return Charts.of(
        PLAN,
        [
            (turned_back(rails.legs(row, share, reach, onward=False)), rails.legs(row, share, reach, onward=True))
            for row, share in (first, last)
        ],
        3 - 4j,
    )


def coordinate(row: int, place: complex) -> float:
    """On a chart about the middle of a straight stretch, where a place on it lies."""
    return float(((place - PLAN.table.point(0.5)[row]) / PLAN.table.heading(0.5)[row]).real)


def test_what_ways_through_a_cell_cost() -> None:
    """From the port's lower edge, b off the corner (-20, -10), to its right one, a off it, along an arc of 5 mm.

    The corner on its right is lost: the triangle a b / 2 less the segment between chord and arc, beside 5 times the
    arc. All but for one number, which is the same for all of them. Where the arc would leave below the lower edge, or
    come to the right one from outside, there is none: it turns by half its angle off its chord at either end.
    """
    lower, right = row_at(PLAN, -30 - 10j), row_at(PLAN, -20 + 0j)
    charts = two_charts((lower, 0.5), (right, 0.5), 9.0)
    off = floats(1.2, 2.1, 3.3, 4.2, 4.8, 8.0)
    window = np.array([
        [coordinate(lower, -20 - 10j - b) for b in off], [coordinate(right, -20 - 10j + 1j * a) for a in off],
    ])  # fmt: skip
    state = PLAN.states_at(np.array([-30 + 0j]))
    cost = _across(charts, places(charts, rows(0, 1), window), rows(0), rows(1), state)[0]
    chord = np.hypot(off[:, None], off)
    angle = 2 * np.arcsin(np.minimum(chord / 10, 1.0))
    slope = np.arctan2(off, off[:, None])
    fits = (chord <= 10) & (slope > angle / 2) & (slope + angle / 2 < math.pi / 2)
    assert (np.isfinite(cost) == fits).all()
    assert 5 < fits.sum() < 30
    wanted = 25 * angle + off[:, None] * off / 2 - 25 * (angle - np.sin(angle)) / 2
    more = (cost - wanted)[fits]
    assert more == pytest.approx(np.full(len(more), more[0]), abs=1e-9)
    back = _across(charts, places(charts, rows(0, 1), window), rows(1), rows(0), state)[0]
    assert np.isfinite(back).sum() == (chord <= 10).sum()  # from right to below, bent the other way, all stay inside


def test_what_level_ways_cost() -> None:
    """5 times their length: from the port's right side to the wall below; not through the port."""
    right = row_at(PLAN, -20 + 0j)
    charts = two_charts((right, 0.5), (BOTTOM, 0.5), 60.0)
    ends = (-20 - 5j, -20 + 5j), (10 - 30j, -45 - 30j)
    window = np.array([[coordinate(row, z) for z in own] for row, own in zip((right, BOTTOM), ends, strict=True)])
    here = places(charts, rows(0, 1), window)
    cost = _across(charts, here, rows(0), rows(1), PLAN.states_at(np.array([0j])))[0]
    assert cost[:, 0] == pytest.approx([5 * math.hypot(30, 25), 5 * math.hypot(30, 35)])
    assert np.isinf(cost[:, 1]).all()
    assert np.isinf(_across(charts, here, rows(0), rows(1), rows(0))).all()


def links_of(kind: Link, charts: Charts, chart: tuple[int, int], walled: tuple[bool, bool] = (False, False)) -> Any:
    """One link between two contacts, which costs 30 and is 40 long where it is a run; the second is free."""
    none = rows()
    return SimpleNamespace(
        link=rows(kind, Link.FREE), chart=rows(*chart), length=floats(40.0, 0.0), cost=floats(30.0, 0.0),
        walled=np.array(walled), row=none, state=none,
    )  # fmt: skip


def test_what_links_along_stretches_cost() -> None:
    """On the port's right side a millimetre costs 5 mm2; along a wall none.

    Side by side: 5 times the way between, whichever is ahead. A run: its own 30, more or less what either end moves.
    From a wall ashore: from where the side meets it, the chart's spot, to the contact; to a wall: from the contact.
    """
    right = row_at(PLAN, -20 + 0j)
    charts = two_charts((right, 0.5), (right, 0.5), 9.0)
    window = np.array([floats(-6.0, 2.0), floats(1.0, 5.0)])
    near = _costs(links_of(Link.NEAR, charts, (0, 0)), charts, window)
    assert near[0] == pytest.approx(np.array([[35, 55], [5, 15]]))
    assert near[1] == pytest.approx(np.zeros((2, 2)))
    run = _costs(links_of(Link.RUN, charts, (0, 1)), charts, window)
    assert run[0] == pytest.approx(np.array([[65, 85], [25, 45]]))
    back = np.array([floats(8.0, 7.0), floats(-8.0, -32.9)])
    met = links_of(Link.RUN, charts, (0, 1))
    met.length[0] = 15.0
    assert np.isfinite(_costs(met, charts, back)[0]).tolist() == [[False, False], [True, False]]
    ashore = _costs(links_of(Link.ASHORE, charts, (0, 1), (True, False)), charts, window)
    assert ashore[0] == pytest.approx(np.array([[5, 25], [5, 25]]))
    landing = _costs(links_of(Link.ASHORE, charts, (0, 1), (False, True)), charts, window)
    assert landing[0] == pytest.approx(np.array([[30, 30], [10, 10]]))
    through = _costs(links_of(Link.THROUGH, charts, (0, 1)), charts, window)
    assert np.isinf(through[0]).all()


def test_a_run_along_a_step_under_a_port_takes_the_area_beside_it() -> None:
    """Depths of 5 and 4 meet at x = -30 under the port: 4 mm2 a mm, and the area that the way sweeps about the origin.

    Upwards it sweeps 30 / 2 clockwise, which an inflow port gains: 4 + 15 = 19 a mm; downwards 4 - 15.
    """
    plan = plan_of(*STEP_UNDER_A_PORT, TOUCH)
    step = row_at(plan, -30 + 0j)
    charts = chart(plan, step, 0.5, 8.0)
    up = plan.table.heading(0.5)[step].imag
    each = 4 + 15 * up
    assert charts.inner.tolist() == [-1, -1]
    assert charts.begin == pytest.approx([-8, 0])
    assert charts.cost == pytest.approx([-8 * each, 0])
    assert charts.whole(0) == pytest.approx((8, 8 * each))
    here = places(charts, rows(0), floats(-5, 3)[None])
    assert here.cost[0] == pytest.approx([-5 * each, 3 * each])
    assert charts.rims.tolist() == [[True, False, True]] * 2


def test_contacts_that_coincide_move_together() -> None:
    after = rows(1, 2, 3, 4, 0)
    for together, groups in (
        ([False] * 5, [0, 1, 2, 3, 4]),
        ([True, False, True, False, False], [0, 0, 1, 1, 2]),
        ([True, True, False, False, False], [0, 0, 0, 1, 2]),
        ([False, False, False, False, True], [0, 1, 2, 3, 0]),
    ):
        found = _groups(np.array(together), after).tolist()
        assert [found.index(g) for g in found] == [groups.index(g) for g in groups]
        assert max(found) == len(set(groups)) - 1


def stencil(cost: Callable[[float, float], float], here: float = 0.0, there: float = 0.0) -> Any:
    """What a link costs at three places of its contact and three of the next one's."""
    steps = (-STENCIL, 0.0, STENCIL)
    return np.array([[cost(here + a, there + b) for b in steps] for a in steps])


def test_slopes_and_bends_of_costs() -> None:
    """Of x and y first 3x + 5y + x^2 + 2xy + 4y^2, then of y and x 7y - x + 3y^2: x has slope 2, y has 12.

    Second derivatives: x twice 2, y twice 8 + 6, x and y 2. Together as one: 14 in slope, 2 + 14 + 2 x 2 in bend.
    """
    costs = np.array([
        stencil(lambda x, y: 3 * x + 5 * y + x * x + 2 * x * y + 4 * y * y), stencil(lambda y, x: 7 * y - x + 3 * y * y),
    ])  # fmt: skip
    slope, bend = _derivatives(costs, rows(0, 1), rows(1, 0))
    assert slope == pytest.approx([2.0, 12.0], abs=1e-9)
    assert bend.ravel() == pytest.approx([2.0, 2.0, 2.0, 14.0], abs=1e-6)
    slope, bend = _derivatives(costs, rows(0, 0), rows(1, 0))
    assert (slope[0], bend[0, 0]) == (pytest.approx(14.0, abs=1e-9), pytest.approx(20.0, abs=1e-6))


def strand(
    monkeypatch: pytest.MonkeyPatch,
    *costs: Callable[[float, float], float],
    link: tuple[Link, ...] = (),
    size: float = 20,
) -> tuple[Any, Any]:
    """Links with such costs, of contacts that move from -size / 2 to size / 2, each on a stretch of its own."""

    def of_window(links: Any, charts: Any, window: Any) -> Any:
        count = len(window)
        return np.array([
            [[cost(a, b) for b in window[(k + 1) % count]] for a in window[k]] for k, cost in enumerate(costs)
        ])  # fmt: skip

    count = len(costs)
    monkeypatch.setattr(_polish, "_costs", of_window)
    links = SimpleNamespace(link=rows(*(link or (Link.THROUGH,) * (count - 1) + (Link.FREE,))), chart=np.arange(count))
    charts = SimpleNamespace(
        begin=np.full(count, -size / 2), size=np.full(count, size), leg_at=lambda chart, u: np.arange(count)[:, None],
        ends=(np.full(count, -size / 2), np.full(count, size / 2)),
    )  # fmt: skip
    return links, charts


def free(a: float, b: float) -> float:
    return 0.0


def test_newton_s_rule_finds_the_least_of_a_bowl_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """(x - 0.5)^2 + (x - y)^2 + (y - 0.2)^2: 2x - y = 0.5 and 2y - x = 0.2, so x = 0.4 and y = 0.3."""
    links, charts = strand(monkeypatch, lambda x, y: (x - 0.5) ** 2 + (x - y) ** 2 + (y - 0.2) ** 2, free)
    u, done = _by_newton(links, charts, floats(0.0, 0.0))
    assert done
    assert u == pytest.approx([0.4, 0.3], abs=1e-6)


def test_newton_s_rule_moves_by_a_millimetre_at_most(monkeypatch: pytest.MonkeyPatch) -> None:
    """From 0 to 3.5: four steps, the last of half a millimetre, and a look; eight steps do not get to 8.5."""
    for least, reached, end in ((3.5, True, 3.5), (-3.5, True, -3.5), (8.5, False, 7.0)):
        links, charts = strand(monkeypatch, lambda x, y, at=least: (x - at) ** 2, free)
        u, done = _by_newton(links, charts, floats(0.0, 0.0))
        assert done is reached
        assert u[0] == pytest.approx(end, abs=1e-6)


def test_newton_s_rule_leaves_what_is_level_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A slope of 1e-7 whose bend is below a millionth of the steepest is rounding: y stays; a bend of 1e-3 counts."""
    for bend, end in ((1e-7, 0.0), (1e-3, 0.4)):
        links, charts = strand(monkeypatch, lambda x, y, b=bend: (x - 0.3) ** 2 + b * (y - 0.4) ** 2, free)
        u, _ = _by_newton(links, charts, floats(0.0, 0.0))
        assert u == pytest.approx([0.3, end], abs=1e-3)


@pytest.mark.parametrize(("bend", "end"), [(1.2e-6, 0.4), (0.8e-6, 0.0)])
def test_a_bend_of_less_than_a_millionth_is_level(monkeypatch: pytest.MonkeyPatch, bend: float, end: float) -> None:
    """However small the others are."""
    links, charts = strand(monkeypatch, lambda x, y: bend / 2 * (x - 0.4) ** 2, free)
    u, _ = _by_newton(links, charts, floats(0.0, 0.0))
    assert u[0] == pytest.approx(end, abs=1e-3)


def test_newton_s_rule_says_where_it_has_no_say(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beyond a stretch's end, 2 thousandths before it, the least is a corner; and costs without end are no slope."""
    links, charts = strand(monkeypatch, lambda x, y: (x - 0.4) ** 2 + (y - 9.0) ** 2, free, size=1.0)
    u, done = _by_newton(links, charts, floats(0.0, 0.0))
    assert not done
    assert u == pytest.approx([0.4, 0.5 - 2 * STENCIL], abs=1e-6)
    links, charts = strand(monkeypatch, lambda x, y: (x - 0.4) ** 2 if x < 0.01 else math.inf, free)
    u, done = _by_newton(links, charts, floats(0.0095, 0.0))
    assert (u.tolist(), done) == ([0.0095, 0.0], False)


def test_both_contacts_of_a_link_without_a_slope_are_held_and_no_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of four the second link has no cost beside where it is: the second and third contact stay, the others go to 0.5."""
    links, charts = strand(
        monkeypatch, lambda w, x: (w - 0.5) ** 2 + (x - 0.9) ** 2, lambda x, y: math.inf if x > 0 else 1.0,
        lambda y, z: (y - 0.9) ** 2 + (z - 0.5) ** 2, free,
    )  # fmt: skip
    u, done = _by_newton(links, charts, floats(0.0, 0.0, 0.0, 0.0))
    assert not done
    assert u == pytest.approx([0.5, 0.0, 0.0, 0.5], abs=1e-6)


def test_contacts_side_by_side_move_as_one_by_newton_s_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two on one chart at one place, drawn to 0.2 and to 0.6: both go to the middle."""
    links, charts = strand(
        monkeypatch, lambda x, y: (y - 0.2) ** 2, lambda y, z: 9.0, lambda z, x: (z - 0.6) ** 2, free,
        link=(Link.THROUGH, Link.NEAR, Link.THROUGH, Link.FREE),
    )  # fmt: skip
    u, done = _by_newton(links, charts, floats(0.1, 0.0, 0.0, 0.3))
    assert done
    assert u == pytest.approx([0.1, 0.4, 0.4, 0.3], abs=1e-6)


@pytest.mark.parametrize("closed", [False, True])
@pytest.mark.parametrize("end", [(3.21, -2.5), (10.0, 0.0), (-10.0, 4.0)])
def test_windows_close_in_on_the_least(monkeypatch: pytest.MonkeyPatch, closed: bool, end: tuple[float, float]) -> None:
    """|x - a| + 2 |y - b|: a kink that no rule of slopes finds, to the last window's width."""
    a, b = end
    link = (Link.THROUGH, Link.THROUGH) if closed else ()
    links, charts = strand(monkeypatch, lambda x, y: abs(x - a) + 2 * abs(y - b), free, link=link)
    monkeypatch.setattr(_polish, "_vertices", lambda charts, chart, u, wide: u[:, None])
    u, wide = _windowed(links, charts, floats(0.0, 0.0), 5.0, FINEST)
    assert u == pytest.approx([a, b], abs=2 * FINEST)
    assert wide < FINEST
    still, _ = _windowed(links, charts, floats(*end), 5.0, FINEST)
    assert still == pytest.approx(end, abs=1e-12)


def test_contacts_for_which_all_places_cost_the_same_stay(monkeypatch: pytest.MonkeyPatch) -> None:
    links, charts = strand(monkeypatch, lambda x, y: 7.0, free)
    monkeypatch.setattr(_polish, "_vertices", lambda charts, chart, u, wide: u[:, None] + 1.0)
    u, _ = _windowed(links, charts, floats(0.25, -0.75), 5.0, FINEST)
    assert u.tolist() == [0.25, -0.75]


@pytest.mark.parametrize(
    ("into", "out", "left_degrees", "right_degrees"),
    [
        (0, 0, (1, 90, 179), (-1, -90, -179)),  # straight on, to the right: the left is above
        (0, 90, (91, 135, 179), (-1, -90, -179, 1, 45, 89)),  # a left turn: less than half a turn is left
        (0, -90, (-89, 0, 90, 179), (-91, -135, -179)),  # a right turn
        (90, 90, (91, 180, -91), (89, 0, -89)),
    ],
)
def test_on_which_side_of_a_stretch_a_way_leaves(
    into: float, out: float, left_degrees: tuple[float, ...], right_degrees: tuple[float, ...]
) -> None:
    """State 1 lies left, state 2 right, state 3 nowhere."""

    def leaves(state: int, degrees: float, *, after: bool = False) -> bool:
        def unit(angle: float) -> Any:
            return np.array([[np.exp(1j * math.radians(angle))]])

        here: Any = SimpleNamespace(
            out=unit(out), into=unit(into), left=rows(1)[None], right=rows(2)[None], left_before=rows(1)[None],
            right_before=rows(2)[None],
        )  # fmt: skip
        awry = np.full((1, 1, 1), 1e-9)
        return bool(_on_its_side(here, rows(0), rows(state)[:, None], awry, unit(degrees)[None], after=after)[0, 0, 0])

    for after in (False, True):
        assert all(leaves(1, degrees, after=after) and not leaves(2, degrees, after=after) for degrees in left_degrees)
        assert all(leaves(2, degrees, after=after) and not leaves(1, degrees, after=after) for degrees in right_degrees)
        assert not any(leaves(3, degrees, after=after) for degrees in (*left_degrees, *right_degrees))
    assert leaves(1, out)
    assert leaves(2, out)
    assert leaves(1, into + 180)
    assert leaves(2, into + 180)
