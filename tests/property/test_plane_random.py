"""Booleans and offsets of random figures, asked point by point against school formulas (tests/plane_oracle.py).

The oracle has no error of its own to speak of: each point is judged by closed distance formulas. Points nearer than
2e-7 mm to a boundary are not judged, for curves within TOUCH (1e-8) of one another may be taken as one; probes stand
1e-5 mm off the boundary, so a boundary more than that away from its place is seen.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest

from platemaker.plane import (
    Loop,
    Region,
    closest_pairs,
    intersect,
    measures,
    mirrored,
    moved,
    nearest,
    nearest_each,
    necks,
    offset,
    rotated,
    subtract,
    unite,
    wall,
)
from tests.plane_oracle import (
    Floats,
    agree,
    distance_to_boundary,
    distance_to_edge,
    inside,
    lattice_region,
    random_loop,
    random_region,
    signed_distance,
)


def boolean_case(seed: int) -> None:
    rng = random.Random(seed)
    a, b = random_region(rng), random_region(rng)
    # Degenerate partners: the figure itself, moved by whole numbers, mirrored.
    b = (a, moved(a, rng.choice([0, 1, 10]), rng.choice([0, 1])), mirrored(a), b, b)[seed % 5]

    def in_a(x: Floats, y: Floats) -> Floats:
        return signed_distance(a.edges, x, y)

    def in_b(x: Floats, y: Floats) -> Floats:
        return signed_distance(b.edges, x, y)

    both = [*a.edges, *b.edges]
    joined, cut, shared = unite(a, b), subtract(a, b), intersect(a, b)
    agree(rng, joined, both, lambda x, y: np.minimum(in_a(x, y), in_b(x, y)))
    agree(rng, cut, both, lambda x, y: np.maximum(in_a(x, y), -in_b(x, y)))
    agree(rng, shared, both, lambda x, y: np.maximum(in_a(x, y), in_b(x, y)))
    total = sum(r.area for r in joined) + sum(r.area for r in shared)
    # Areas of some 1000 mm2 with boundaries true to 1e-8 mm over some 200 mm.
    assert total == pytest.approx(a.area + b.area, abs=1e-5)
    assert sum(r.area for r in cut) + sum(r.area for r in shared) == pytest.approx(a.area, abs=1e-5)


def offset_case(seed: int) -> None:
    rng = random.Random(seed)
    a = random_region(rng)
    d = rng.choice([1e-3, 0.5, 1, 2, 3.3, 5, 10, 20])

    def in_a(x: Floats, y: Floats) -> Floats:
        return signed_distance(a.edges, x, y)

    agree(rng, offset(a, d), a.edges, lambda x, y: in_a(x, y) - d)
    agree(rng, offset(a, -d), a.edges, lambda x, y: in_a(x, y) + d)
    own = {edge: rng.choice([0.0, 0.5, 1.0, 3.0, 8.0]) for edge in a.edges}

    def beyond(x: Floats, y: Floats) -> Floats:
        """Least of distance less own distance over all pieces; above 0 beyond the reach of each."""
        each = [distance_to_edge(edge, x, y) - size for edge, size in own.items() if size]
        return np.min(each, axis=0) if each else np.full(np.shape(x), 1.0)

    agree(rng, offset(a, lambda edge: own[edge]), a.edges, lambda x, y: np.minimum(in_a(x, y), beyond(x, y)))
    agree(rng, offset(a, lambda edge: -own[edge]), a.edges, lambda x, y: np.maximum(in_a(x, y), -beyond(x, y)))


def coincidence_case(seed: int) -> None:
    """Figures that share sides, corners and tangents, or miss them by a hair between 1e-10 and 1e-6 mm.

    What misses by a hair may be taken as touching, so points within 2e-6 mm of a boundary are not judged here.
    """
    rng = random.Random(seed)
    turn, far = rng.choice([0, 0, 17, 45, 3.3]), rng.choice([0.0, 0.0, 1e4])
    hair = rng.choice([0.0, 0.0, 1e-6, 1e-7, 3e-8, 1e-8, 5e-9, 1e-9, 1e-10])
    figures = [
        moved(
            moved(rotated(lattice_region(rng), turn), far, -far / 3),
            rng.choice([-1, 0, 1, 0.7]) * hair,
            rng.choice([-1, 0, 1, 0.3]) * hair,
        )
        for _ in range(rng.randrange(2, 7))
    ]
    sources = [edge for region in figures for edge in region.edges]

    def each(x: Floats, y: Floats) -> list[Floats]:
        return [signed_distance(region.edges, x, y) for region in figures]

    joined = unite(*figures)
    agree(rng, joined, sources, lambda x, y: np.min(each(x, y), axis=0), unjudged=2e-6)
    cut = subtract(figures[0], *figures[1:])
    agree(rng, cut, sources, lambda x, y: np.maximum(each(x, y)[0], -np.min(each(x, y)[1:], axis=0)), unjudged=2e-6)
    shared = intersect(*figures[:2])
    agree(rng, shared, sources, lambda x, y: np.max(each(x, y)[:2], axis=0), unjudged=2e-6)
    d = rng.choice([0.5, 1.0, 2.0])
    for region in joined:
        for side in (d, -d):
            agree(
                rng,
                offset(region, side),
                region.edges,
                lambda x, y, region=region, side=side: signed_distance(region.edges, x, y) - side,
                unjudged=2e-6,
            )


def distance_case(seed: int) -> None:
    rng = random.Random(seed)
    a = random_loop(rng, (0, 0), 10)
    b = random_loop(rng, (rng.uniform(-30, 30), rng.uniform(-30, 30)), 10)
    way = nearest(a, b)
    # Upper bound: no pair of points on the two is nearer. The oracle takes points on one and is exact for the other.
    points = np.array([edge.point(share) for edge in a.edges for share in np.linspace(0, 1, 60)])
    sampled = distance_to_boundary(b.edges, points[:, 0], points[:, 1]).min()
    assert way.distance <= sampled + 1e-9
    # Lower bound: the sampled distance is off by no more than half the step between samples.
    assert sampled - way.distance <= max(edge.length for edge in a.edges) / 59 / 2 + 1e-9
    for place, figure in ((way.a, a), (way.b, b)):
        on = distance_to_boundary(figure.edges, np.array([place[0]]), np.array([place[1]]))[0]
        assert on == pytest.approx(0, abs=1e-9)
    assert math.dist(way.a, way.b) == pytest.approx(way.distance, abs=1e-12)
    apart = subtract(Region.of(a), Region.of(b))
    overlap = sum(r.area for r in intersect(Region.of(a), Region.of(b)))
    signed = wall(a, b).distance
    assert (signed < -1e-6) == (overlap > 1e-7) or abs(signed) < 1e-4
    assert bool(apart) or overlap == pytest.approx(Region.of(a).area)
    for change in (lambda s: moved(s, 3, -4), lambda s: rotated(s, 77), mirrored):
        assert wall(change(a), change(b)).distance == pytest.approx(signed, abs=1e-9)


def many_case(seed: int) -> None:
    rng = random.Random(seed)
    shapes = [
        Loop.circle((rng.uniform(0, 60), rng.uniform(0, 60)), rng.uniform(0.5, 6), f"c{k}")
        if rng.random() < 0.8
        else random_loop(rng, (rng.uniform(0, 60), rng.uniform(0, 60)), 5)
        for k in range(12)
    ]
    limit = rng.choice([-1.0, 0.0, 2.0, 10.0])
    walls = {(i, j): wall(shapes[i], shapes[j]).distance for j in range(12) for i in range(j)}
    found = closest_pairs(shapes, limit)
    assert [(i, j) for i, j, _ in found] == sorted(pair for pair, size in walls.items() if size < limit)
    for i, j, way in found:
        assert way.distance == pytest.approx(walls[i, j], abs=1e-12)
    for k, each in enumerate(nearest_each(shapes)):
        assert each is not None
        least = min(size for pair, size in walls.items() if k in pair)
        assert each[1].distance == pytest.approx(least, abs=1e-12)


def measures_case(seed: int) -> None:
    rng = random.Random(seed)
    a = random_region(rng)
    whole = measures(a)
    assert whole.area == pytest.approx(a.area, rel=1e-12)
    # Turned axes: Ixx + Iyy and Ixx Iyy - Ixy² do not change (Mohr's circle).
    turned = measures(moved(rotated(a, 33), 50, 60))
    assert turned.i_polar == pytest.approx(whole.i_polar, rel=1e-9)
    assert turned.i_xx * turned.i_yy - turned.i_xy**2 == pytest.approx(
        whole.i_xx * whole.i_yy - whole.i_xy**2, rel=1e-8
    )
    # Cut in two, the parts add up with Steiner's terms.
    parts = [*subtract(a, half := Region(Loop.rectangle(200, 100, centre=(0, 53)))), *intersect(a, half)]
    pieces = [measures(part) for part in parts]
    assert sum(p.area for p in pieces) == pytest.approx(whole.area, rel=1e-9)
    x, y = whole.centroid
    assert sum(p.i_xx + p.area * (p.centroid[1] - y) ** 2 for p in pieces) == pytest.approx(whole.i_xx, rel=1e-7)
    assert sum(p.i_yy + p.area * (p.centroid[0] - x) ** 2 for p in pieces) == pytest.approx(whole.i_yy, rel=1e-7)


def necks_case(seed: int) -> None:
    """Each neck is a way through material between two places of the boundary, and where a region shrunk by half the
    limit falls apart or its holes run together, there is a neck.
    """
    rng = random.Random(seed)
    whole = random_region(rng)
    bites = [
        Region.of(random_loop(rng, (rng.uniform(-20, 20), rng.uniform(-20, 20)), rng.uniform(2, 8)))
        for _ in range(rng.randrange(4))
    ]
    for region in subtract(whole, *bites):
        d = rng.choice([0.3, 0.7, 1.5, 3.0])
        found = necks(region, 2 * d)
        for neck in found:
            x, y = np.array([neck.a, neck.b, ((neck.a[0] + neck.b[0]) / 2, (neck.a[1] + neck.b[1]) / 2)]).T
            assert distance_to_boundary(region.edges, x[:2], y[:2]) == pytest.approx(0, abs=1e-9)
            assert inside(region.edges, x[2:], y[2:]).all()
            assert math.dist(neck.a, neck.b) == pytest.approx(neck.distance, abs=1e-12)
            assert neck.distance < 2 * d
        shrunk = offset(region, -d)
        if shrunk and (len(shrunk) > 1 or sum(len(r.holes) for r in shrunk) < len(region.holes)):
            assert found


CASES = [necks_case, coincidence_case, boolean_case, offset_case, distance_case, many_case, measures_case]


@pytest.mark.parametrize("case", CASES)
def test_random_figures(case: Callable[[int], None]) -> None:
    for seed in range(60):
        case(seed)


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_thousands_of_random_figures(case: Callable[[int], None]) -> None:
    for seed in range(1000, 3000):
        case(seed)
