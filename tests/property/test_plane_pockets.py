"""Opened-out pockets of random plates, against school formulas point by point and a dense grid for the area.

Distances of the oracle are closed formulas. The wall holds within 1e-6 mm as promised; a point is judged in or out of
the largest pocket within the same 1e-6 mm.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from functools import lru_cache

import numpy as np
import pytest
from scipy.ndimage import distance_transform_edt, label

from platemaker.plane import (
    Arc,
    Edge,
    OpenedPocket,
    Region,
    Spared,
    limiters,
    mirrored,
    moved,
    open_out,
    rotated,
    self_contact,
)
from tests.plane_oracle import Floats, distance_to_boundary, inside, probes, random_plate, room, signed_distance

PROMISE = 1e-6


def edges_of(regions: tuple[Region, ...]) -> list[Edge]:
    return [edge for region in regions for edge in region.edges]


@lru_cache(maxsize=256)
def made(seed: int) -> tuple[Region, list[Spared], float, float, OpenedPocket]:
    """A random plate with its pocket; several checks ask for the same one."""
    bounds, spared, radius, land = random_plate(random.Random(seed))
    return bounds, spared, radius, land, open_out(bounds, cutter_radius=radius, spared=spared, land=land)


def on_outline(edges: list[Edge]) -> tuple[Floats, Floats]:
    points = np.array([edge.point(share) for edge in edges for share in (0, 0.1, 0.37, 0.5, 0.8)])
    return points[:, 0], points[:, 1]


def keeps_its_walls(seed: int) -> None:
    bounds, spared, radius, land, pocket = made(seed)
    if not pocket.regions:
        return
    x, y = on_outline(edges_of(pocket.regions))
    assert room(bounds, spared, land, x, y).min() >= -PROMISE
    x, y = on_outline(edges_of(pocket.centre))
    assert room(bounds, spared, land, x, y).min() >= radius - PROMISE


def is_the_largest(seed: int) -> None:
    """Wherever a centre may be, the whole cutter is in the pocket; and each point of it is in reach of such a centre."""
    rng = random.Random(-seed)
    bounds, spared, radius, land, pocket = made(seed)
    outline = edges_of(pocket.regions)
    x, y = probes(rng, [*bounds.edges, *outline], count=300)
    free = room(bounds, spared, land, x, y) - radius > PROMISE
    if not outline:
        assert not free.any()
        return
    assert (signed_distance(outline, x[free], y[free]) <= -radius + PROMISE).all()
    within = inside(outline, x, y) & (distance_to_boundary(outline, x, y) > PROMISE)
    assert (signed_distance(edges_of(pocket.centre), x[within], y[within]) <= radius + PROMISE).all()


def agrees_with_a_grid(seed: int) -> None:
    """Area between two counts of grid cells that are certain to hold less, and more, than the pocket.

    A centre in a cell is within half a diagonal of the cell's own; so cells in reach less half a diagonal of strictly
    allowed cell centres are all pocket, and every point of the pocket lies in a cell that is in reach and one diagonal
    of a cell centre that is allowed within half a diagonal.
    """
    bounds, spared, radius, land, pocket = made(seed)
    x0, y0, x1, y1 = bounds.bounds
    step = max(x1 - x0, y1 - y0) / 400
    half = step / math.sqrt(2)
    x, y = np.meshgrid(np.arange(x0 - step, x1 + 2 * step, step), np.arange(y0 - step, y1 + 2 * step, step))
    free = room(bounds, spared, land, x, y) - radius
    low = high = 0.0
    if (free >= 0).any():
        low = step**2 * np.count_nonzero(distance_transform_edt(free < 0) * step <= radius - half)
    if (free >= -half).any():
        high = step**2 * np.count_nonzero(distance_transform_edt(free < -half) * step <= radius + 2 * half)
    assert low <= pocket.area + PROMISE
    assert pocket.area <= high + PROMISE


def keeps_what_the_start_reaches(seed: int) -> None:
    """Connected on a grid for certain is kept; not even perhaps connected on it is dropped.

    Between neighbouring cells that are allowed by half a step the way is free; and along any free way each point lies
    in a cell that is allowed within half a diagonal, and such cells touch at a side or corner.
    """
    bounds, spared, radius, land, _ = made(seed)
    x0, y0, x1, y1 = bounds.bounds
    step = max(x1 - x0, y1 - y0) / 150
    x, y = np.meshgrid(np.arange(x0, x1 + step, step), np.arange(y0, y1 + step, step))
    free = room(bounds, spared, land, x, y) - radius
    spot = np.unravel_index(free.argmax(), free.shape)
    if free[spot] < step:
        return
    start = (float(x[spot]), float(y[spot]))
    pocket = open_out(bounds, cutter_radius=radius, spared=spared, land=land, start=start)
    certain, _ = label(free >= step / 2)
    perhaps, _ = label(free >= -step / math.sqrt(2), structure=np.ones((3, 3)))
    kept = edges_of(pocket.centre)
    here = certain == certain[spot]
    assert signed_distance(kept, x[here], y[here]).max() <= PROMISE
    inner = signed_distance(kept, x, y) < -PROMISE
    # A point that is a radius from two parts at once starts both.
    near_start = np.hypot(x - start[0], y - start[1]) <= radius + PROMISE
    parts = np.unique(np.append(perhaps[near_start & (free >= -step)], perhaps[spot]))
    assert np.isin(perhaps[inner], parts).all()


def has_no_tight_corner(seed: int) -> None:
    _, _, radius, _, pocket = made(seed)
    for region in pocket.regions:
        for loop in region.loops:
            for edge, after in zip(loop.edges, (*loop.edges[1:], loop.edges[0]), strict=True):
                assert edge.end == after.start
                if isinstance(edge, Arc) and edge.ccw:
                    assert edge.radius >= radius - PROMISE
                (ax, ay), (bx, by) = edge.tangent(1), after.tangent(0)
                turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
                # A left turn is an inside corner. Doubling back is the end of a wall of no width, or a touch.
                # Curves that meet within TOUCH at radius 1 may differ in direction by sqrt(2e-8).
                assert turn < 2e-4 or turn > math.pi - 2e-4


def does_not_cross_itself(seed: int) -> None:
    """No loop meets itself, and no piece comes on another between its ends."""
    regions = made(seed)[-1].regions
    assert all(self_contact(loop) is None for region in regions for loop in region.loops)
    edges = edges_of(regions)
    for k, edge in enumerate(edges):
        x, y = (np.array([edge.point(s)[axis] for s in (0.09, 0.31, 0.5, 0.77)]) for axis in (0, 1))
        others = edges[:k] + edges[k + 1 :]
        assert distance_to_boundary(others, x, y).min() > 0


def opens_no_further(seed: int) -> None:
    _, spared, radius, _, pocket = made(seed)
    for region in pocket.regions:
        again = open_out(region, cutter_radius=radius, spared=spared)
        assert len(again.regions) == 1
        assert again.area == pytest.approx(region.area, abs=PROMISE * max(1.0, region.perimeter))


def is_monotone(seed: int) -> None:
    rng = random.Random(-seed)
    bounds, spared, radius, land, pocket = made(seed)
    slack = PROMISE * max(1.0, pocket.area)
    thinner = [Spared(s.name, s.shape, max(0.0, s.wall - 0.5)) for s in spared]
    assert open_out(bounds, cutter_radius=radius, spared=thinner, land=land).area >= pocket.area - slack
    assert open_out(bounds, cutter_radius=radius, spared=spared, land=land / 2).area >= pocket.area - slack
    assert open_out(bounds, cutter_radius=radius / 2, spared=spared, land=land).area >= pocket.area - slack
    if spared:
        left_out = rng.choice(spared)
        fewer = [s for s in spared if s is not left_out]
        assert open_out(bounds, cutter_radius=radius, spared=fewer, land=land).area >= pocket.area - slack


def moves_with_the_plate(seed: int) -> None:
    rng = random.Random(-seed)
    bounds, spared, radius, land, pocket = made(seed)
    angle = rng.choice([30.0, 90.0, 17.3])
    carried = [Spared(s.name, moved(rotated(mirrored(s.shape), angle), 1e4, -3e3), s.wall) for s in spared]
    plate = moved(rotated(mirrored(bounds), angle), 1e4, -3e3)
    again = open_out(plate, cutter_radius=radius, spared=carried, land=land)
    assert len(again.regions) == len(pocket.regions)
    assert again.area == pytest.approx(pocket.area, abs=PROMISE * max(1.0, pocket.area))


def names_every_piece(seed: int) -> None:
    bounds, spared, _, _, pocket = made(seed)
    known = {"cutter"} | {s.name for s in spared} | {edge.tag for edge in bounds.edges}
    outline = edges_of(pocket.regions)
    assert {edge.tag for edge in outline} <= known
    by_name = {s.name: s for s in spared}
    for edge in outline:
        if edge.tag in by_name:
            x, y = on_outline([edge])
            item = by_name[edge.tag]
            apart = room(bounds, [item], -1e6, x, y)
            assert np.abs(apart).max() <= PROMISE, "a piece lies just at the wall of what it is named for"


CHECKS = [
    keeps_its_walls,
    is_the_largest,
    has_no_tight_corner,
    does_not_cross_itself,
    opens_no_further,
    is_monotone,
    moves_with_the_plate,
    names_every_piece,
]


GRID_CHECKS = [agrees_with_a_grid, keeps_what_the_start_reaches]


@pytest.mark.parametrize("check", CHECKS)
def test_random_plates(check: Callable[[int], None]) -> None:
    for seed in range(200):
        check(seed)


def test_random_plates_on_a_grid() -> None:
    for seed in range(6):
        agrees_with_a_grid(seed)
        keeps_what_the_start_reaches(seed)


@pytest.mark.slow
@pytest.mark.parametrize("check", [*CHECKS, *GRID_CHECKS])
def test_thousands_of_random_plates(check: Callable[[int], None]) -> None:
    for seed in range(1000, 1200 if check in GRID_CHECKS else 3000):
        check(seed)


def test_the_cost_of_each_limit_is_not_below_nothing() -> None:
    for seed in range(8):
        pocket = made(seed)[-1]
        found = limiters(pocket)
        assert all(limiter.cost >= -PROMISE * max(1.0, pocket.area) for limiter in found)
        outline = sum(region.perimeter for region in pocket.regions)
        assert sum(limiter.length for limiter in found) == pytest.approx(outline, rel=1e-9)
