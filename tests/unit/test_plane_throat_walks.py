"""The cheapest closed walks of ways, and sets of them, on small networks added up by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from platemaker.errors import GeometryError
from platemaker.plane._throat import _walks
from platemaker.plane._throat._walks import NegativeCycleError, Walk, _combined, _led, _WalkSearch, cheapest


def search(*ways: tuple[int, int, float, tuple[int, ...]]) -> _WalkSearch:
    """Ways from node to node, with their cost and class."""
    tail, head, cost, classes = zip(*ways, strict=True)
    return _WalkSearch(np.array(tail), np.array(head), np.array(cost, dtype=float), np.array(classes))


RING = (
    (10, 20, 1.0, (0,)), (20, 30, 2.0, (0,)), (30, 10, 4.0, (1,)),  # round once: 7
    (20, 10, 1.0, (0,)), (30, 20, 2.0, (0,)), (10, 30, 4.0, (-1,)),  # and back
)  # fmt: skip


def found(walks: list[tuple[tuple[int, ...], list[int], float]]) -> dict[tuple[int, ...], tuple[list[int], float]]:
    """The cheapest walk of each class: its ways in rising order, and its cost."""
    best: dict[tuple[int, ...], tuple[list[int], float]] = {}
    for kind, path, cost in walks:
        best.setdefault(kind, (sorted(path), cost))
    return best


def test_a_ring_is_closed_both_ways_round() -> None:
    """Twice round it takes more ways than there are nodes: the search keeps on until nothing becomes cheaper."""
    walks = search(*RING).closed(100.0)
    assert found(walks) == {(1,): ([0, 1, 2], 7.0), (-1,): ([3, 4, 5], 7.0)}
    for kind, path, _ in walks:
        nodes = [RING[way][:2] for way in path]
        assert all(one[1] == other[0] for one, other in zip(nodes, nodes[1:] + nodes[:1], strict=True)), kind


@pytest.mark.parametrize(("extra", "cost", "path"), [(5.5, 6.5, [0, 6]), (6.5, 7.0, [0, 1, 2]), (0.1, 1.1, [0, 6])])
def test_a_short_cut_is_taken_where_it_is_cheaper(extra: float, cost: float, path: list[int]) -> None:
    """From 20 straight back to 10, round the base point: 1 and the short cut, against 7."""
    best = found(search(*RING, (20, 10, extra, (1,))).closed(100.0))
    assert best[1,] == (path, pytest.approx(cost))
    assert best[-1,] == ([3, 4, 5], 7.0)


def test_a_way_from_a_node_to_itself_is_a_walk() -> None:
    assert found(search(*RING, (20, 20, 3.0, (1,))).closed(100.0))[1,] == ([6], 3.0)


@pytest.mark.parametrize(("most", "count"), [(7.5, 2), (6.5, 0)])
def test_walks_that_cost_more_than_the_bound_are_left_out(most: float, count: int) -> None:
    assert len(found(search(*RING).closed(most))) == count


def test_a_walk_cheaper_by_rounding_is_no_cheaper() -> None:
    """The first found is kept unless another saves 1e-6 mm2."""
    for saved, last in ((0.5e-6, 2), (2e-6, 6)):
        ways = (*RING, (30, 10, 4.0 - saved, (1,)))
        path, cost = found(search(*ways).closed(100.0))[1,]
        assert cost == pytest.approx(7.0, abs=3e-6)
        assert last in path or saved < 1e-6


def test_walks_about_two_of_three_base_points() -> None:
    """A ring about the first, 7; about the second, 9; through their common node about both, 16; and one straight, 12."""
    ways = (
        (0, 1, 3.0, (1, 0)), (1, 0, 4.0, (0, 0)), (0, 2, 4.0, (0, 1)), (2, 0, 5.0, (0, 0)), (0, 0, 12.0, (1, 1)),
    )  # fmt: skip
    best = found(search(*ways).closed(100.0))
    assert best == {(1, 0): ([0, 1], 7.0), (0, 1): ([2, 3], 9.0), (1, 1): ([4], 12.0)}


def test_a_walk_that_costs_less_than_nothing_is_refused_with_its_ways() -> None:
    """From 10 to 20 for 1, and back for -1.5, round nothing."""
    with pytest.raises(NegativeCycleError) as fault:
        search(*RING, (20, 10, -1.5, (0,))).closed(100.0)
    assert sorted(fault.value.rows) == [0, 6]
    assert search(*RING, (20, 10, -0.9, (0,))).closed(100.0)


@pytest.mark.parametrize(("share", "refused"), [(1.0, False), (0.9, True)])
def test_a_search_that_would_take_too_long_is_refused(
    monkeypatch: pytest.MonkeyPatch, share: float, refused: bool
) -> None:
    """One node is on every walk round the base point; four sheets of six ways: 24."""
    monkeypatch.setattr(_walks, "MOST_WORK", 24 * share)
    if refused:
        with pytest.raises(GeometryError, match="fall into too many parts"):
            search(*RING).closed(100.0)
    else:
        assert len(found(search(*RING).closed(100.0))) == 2


def test_a_search_in_small_portions_finds_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    ways = (*RING, (50, 60, 1.0, (1,)), (60, 50, 1.0, (0,)), (50, 60, 1.5, (-1,)))
    whole = found(search(*ways).closed(100.0))
    monkeypatch.setattr(_walks, "AT_ONCE", 1)
    assert found(search(*ways).closed(100.0)) == whole
    assert whole == {(1,): ([6, 7], 2.0), (-1,): ([7, 8], 2.5)}


def walk(cost: float, *rows: int) -> Walk:
    return Walk(rows, cost)


def test_sets_of_walks_are_added_up() -> None:
    """About the first of three base points for 3, about the second for 4; about both the two together, 7, not 8."""
    walks = {(1, 0): walk(3.0, 1), (0, 1): walk(4.0, 2), (1, 1): walk(8.0, 3), (-1, 0): walk(5.0, 4)}
    sets = _combined(walks, 3)
    costs = {state: cost for state, (cost, _) in sets.items()}
    assert costs == {
        (0, 0): 0.0, (1, 0): 3.0, (0, 1): 4.0, (1, 1): 7.0, (-1, 0): 5.0, (-1, 1): 9.0,
    }  # fmt: skip
    assert sorted(one.rows for one in sets[1, 1][1]) == [(1,), (2,)]
    assert [one.rows for one in sets[-1, 0][1]] == [(4,)]


def test_a_cheaper_walk_about_both_is_taken() -> None:
    sets = _combined({(1, 0): walk(3.0, 1), (0, 1): walk(4.0, 2), (1, 1): walk(6.5, 3)}, 3)
    assert sets[1, 1] == (6.5, (walk(6.5, 3),))


def test_walks_that_together_go_round_nothing_and_cost_less_than_nothing_are_refused() -> None:
    """There for 3, back for -4."""
    with pytest.raises(NegativeCycleError) as fault:
        _combined({(1,): walk(3.0, 1, 2), (-1,): walk(-4.0, 3)}, 2)
    assert sorted(fault.value.rows) == [1, 2, 3]
    assert _combined({(1,): walk(3.0, 1, 2), (-1,): walk(-2.5, 3)}, 2)[-1,][0] == -2.5


def test_what_led_to_a_state() -> None:
    first, last = walk(1.0, 1), walk(2.0, 2)
    before = {(1, 0): ((0, 0), first), (1, 1): ((1, 0), last)}
    assert _led(before, (1, 1), (0, 0)) == ((0, 0), (first, last))
    assert _led(before, (1, 1), (1, 0)) == ((1, 0), (last,))
    assert _led(before, (0, 0), (0, 0)) == ((0, 0), ())


def network(
    *ways: tuple[int, int, float, tuple[int, ...]], areas: tuple[float, float] = (50.0, 40.0), rounds: Any = ()
) -> tuple[Any, Any, Any]:
    """An inflow and an outflow cell of such areas, and ways with their turns about the base point of each."""
    cells = [
        SimpleNamespace(sign=sign, masses=[area], bases=1, area=area) for sign, area in zip((-1, 1), areas, strict=True)
    ]
    tail, head, cost, turns = zip(*ways, strict=True)
    tails, heads = np.array(tail), np.array(head)
    ground = SimpleNamespace(cells=cells, walls=SimpleNamespace(rounds=rounds))
    table = SimpleNamespace(tail=tails, head=heads, cost=np.array(cost, dtype=float), turns=np.array(turns))
    return ground, SimpleNamespace(node=np.arange(100)), table


def about(first: float, last: float) -> list[tuple[int, int, float, tuple[int, int]]]:
    """A ring round the inflow alone at such a cost, and one round the outflow alone, either way round."""
    return [
        (0, 1, first / 2, (1, 0)), (1, 0, first / 2, (0, 0)), (2, 3, last / 2, (0, -1)), (3, 2, last / 2, (0, 0)),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("first", "last", "area", "inside", "ways"),
    [
        (30.0, 36.0, 30.0, (True, False), [(0, 1)]),  # round the inflow
        (38.0, 36.0, 36.0, (True, False), [(2, 3)]),  # round the outflow
        (60.0, 70.0, 40.0, None, []),  # the whole outflow opening is the least
    ],
)
def test_the_least_cut_goes_round_an_opening_or_takes_it(
    first: float, last: float, area: float, inside: tuple[bool, bool] | None, ways: list[tuple[int, ...]]
) -> None:
    """The inflow opening has 50 mm2, the outflow 40."""
    cut = cheapest(*network(*about(first, last)), 100.0)
    assert cut.area == pytest.approx(area)
    assert [tuple(sorted(one.rows)) for one in cut.walks] == ways
    if inside:
        assert cut.inside == inside
    else:
        assert cut.inside[0] is cut.inside[1] is True


def test_a_way_that_costs_as_much_as_the_bound_is_left_out() -> None:
    ways = about(38.0, 60.0)
    assert cheapest(*network(*ways), 39.0).area == pytest.approx(38.0)
    assert cheapest(*network(*ways), 19.0).area == pytest.approx(40.0)


def test_of_walks_that_cost_the_same_the_one_of_fewest_ways_is_taken() -> None:
    """One way for 30 and two of 15."""
    ways = [*about(30.0, 60.0), (0, 0, 30.0, (1, 0))]
    cut = cheapest(*network(*ways), 100.0)
    assert [one.rows for one in cut.walks] == [(4,)]
    assert cut.area == 30.0


def test_a_wall_that_goes_round_an_opening_parts_it_for_nothing() -> None:
    """A free walk once round the inflow; one round both parts nothing."""
    assert cheapest(*network(*about(30.0, 36.0), rounds=[(0, (1, 0))]), 100.0).area == 0.0
    assert cheapest(*network(*about(30.0, 36.0), rounds=[(0, (1, 1))]), 100.0).area == pytest.approx(30.0)
    cut = cheapest(*network(*about(30.0, 36.0), rounds=[(0, (0, 1))]), 100.0)
    assert (cut.area, cut.inside) == (0.0, (True, False))


def test_a_free_walk_is_not_put_off_by_one_that_costs() -> None:
    """Of one class: the wall for nothing, and a ring for 30."""
    cut = cheapest(*network(*about(30.0, 36.0), rounds=[(7, (1, 0)), (8, (-1, 0))]), 100.0)
    assert [one.rows for one in cut.walks] == [()]
