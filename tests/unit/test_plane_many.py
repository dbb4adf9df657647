"""Many at once: the tree of boxes and the windings by runs, against each compared with each."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest

from platemaker.plane import Circle, Line, Loop, Region, closest_pairs, nearest_each, subtract
from platemaker.plane._boxes import near_boxes
from platemaker.plane._offset import offset_edges
from platemaker.plane._table import EdgeTable
from platemaker.plane._winding import turned, winding
from tests.plane_oracle import inside, random_loop

LAYOUTS: dict[str, Callable[[int], tuple[float, float]]] = {
    "field": lambda k: (20.0 * (k % 40), 20.0 * (k // 40)),
    "column": lambda k: (0.0, 20.0 * k),
    "row": lambda k: (20.0 * k, 0.0),
    "slanted row": lambda k: (13.0 * k, 7.0 * k),
    "one place": lambda k: (0.0, 0.0),
}


def boxes(layout: str, count: int, rng: random.Random) -> list[np.ndarray]:
    """Boxes 2 to 24 wide and high, one in ten of them 400 long."""
    at = np.array([LAYOUTS[layout](k) for k in rng.sample(range(count), count)])
    sizes = np.array([[rng.choice([2.0, 24.0] if k % 10 else [400.0]), rng.choice([2.0, 24.0])] for k in range(count)])
    return [*(at - sizes / 2).T, *(at + sizes / 2).T]


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize(("count", "other"), [(700, 700), (1, 160_000), (1_700, 90), (0, 5), (3, 0)])
def test_near_boxes_are_those_that_are_found_by_looking_at_each(layout: str, count: int, other: int) -> None:
    if layout == "one place" and other > 700:
        pytest.skip("every box is near every other")
    rng = random.Random(count)
    a = boxes(layout, count, rng) if count else [np.zeros(0)] * 4
    b = boxes(layout, other, rng) if other else [np.zeros(0)] * 4
    for reach in (0.0, 6.0):
        i, j = near_boxes(a, b, reach)
        wanted = [
            (m, n)
            for m in range(count)
            for n in np.nonzero(
                (a[0][m] - reach <= b[2])
                & (b[0] - reach <= a[2][m])
                & (a[1][m] - reach <= b[3])
                & (b[1] - reach <= a[3][m])
            )[0].tolist()
        ]
        assert list(zip(i.tolist(), j.tolist(), strict=True)) == wanted


def test_windings_by_runs_are_those_of_each_edge() -> None:
    """Loops forwards, backwards and several times over, raw curves of offsets, a saw of 1,000 teeth."""
    rng = random.Random(3)
    edges = []
    for _ in range(40):
        region = Region.of(random_loop(rng, (rng.uniform(-200, 200), rng.uniform(-200, 200)), rng.uniform(2, 60)))
        pieces = list(offset_edges(region, rng.choice([3.0, -3.0]))) if rng.random() < 0.5 else list(region.edges)
        turned_about = rng.choice([pieces, [e.reversed() for e in pieces], [e.reversed() for e in reversed(pieces)]])
        edges += turned_about * rng.choice([1, 1, 3])
    teeth = [(80 * (1 + 0.3 * (k % 2)), math.tau * k / 1000) for k in range(1000)]
    corners = [(r * math.cos(t), r * math.sin(t)) for r, t in teeth]
    edges += [Line(p, corners[(k + 1) % 1000]) for k, p in enumerate(corners)]
    table = EdgeTable.of(edges)
    points = [complex(rng.uniform(-250, 250), rng.uniform(-250, 250)) for _ in range(500)]
    points += [complex(*e.point(0.3)) + 1e-6j * complex(*e.tangent(0.3)) for e in edges[::3]]
    at = np.array(points)
    each = np.rint(turned(table, at[:, None]).sum(axis=1) / math.tau)
    assert (winding(table, at) == each).all()
    assert set(each.tolist()) >= {-1.0, 0.0, 1.0, 2.0}


def test_a_plate_keeps_every_one_of_two_thousand_holes() -> None:
    """Areas as arithmetic; inside and outside by the school's ray at the middle and the rim of each hole."""
    at = [(12.0 * (k % 50), 12.0 * (k // 50)) for k in range(2000)]
    blank = Region(Loop.rectangle(620, 500, 3, (300, 240)))
    [plate] = subtract(blank, *(Region(Loop.circle(c, 2.5, f"h{k}")) for k, c in enumerate(at)))
    assert plate.area == pytest.approx(blank.area - 2000 * math.pi * 2.5**2, abs=1e-5)
    assert len(plate.holes) == 2000
    assert {hole.edges[0].tag for hole in plate.holes} == {f"h{k}" for k in range(2000)}
    x, y = np.array([(c[0] + dx, c[1]) for c in at[::97] for dx in (0, 2.4999, 2.5001, 6)]).T
    assert inside(plate.edges, x, y).tolist() == [False, False, True, True] * len(at[::97])


def test_nested_rings_by_the_hundred_find_their_outlines() -> None:
    rings = [Region.of(Loop.circle((0, 0), r + 0.5), [Loop.circle((0, 0), r)]) for r in range(1, 301)]
    found = subtract(rings, Region(Loop.rectangle(0.1, 0.1, centre=(900, 0))))
    assert len(found) == 300
    assert sum(region.area for region in found) == pytest.approx(sum(ring.area for ring in rings), abs=1e-6)


@pytest.mark.parametrize("layout", ["field", "column", "row", "slanted row"])
def test_walls_among_a_thousand_holes_are_centre_distance_less_radii(layout: str) -> None:
    rng = random.Random(5)
    holes = [Circle(LAYOUTS[layout](k), rng.uniform(2, 6)) for k in rng.sample(range(1000), 1000)]
    x, y = np.array([hole.centre for hole in holes]).T
    radius = np.array([hole.radius for hole in holes])
    size = np.hypot(x[:, None] - x, y[:, None] - y) - radius[:, None] - radius
    np.fill_diagonal(size, np.inf)
    found = {(i, j): way.distance for i, j, way in closest_pairs(holes, 10.0)}
    wanted = [(i, j) for i, j in zip(*np.nonzero(size < 10.0), strict=True) if i < j]
    assert sorted(found) == wanted
    assert list(found.values()) == pytest.approx([size[pair] for pair in wanted], abs=1e-12)
    nearest = [each[1].distance for each in nearest_each(holes) if each is not None]
    assert nearest == pytest.approx(size.min(axis=1).tolist(), abs=1e-12)
