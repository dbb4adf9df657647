"""Separations that must not depend on the order or place of figures, and must shrink as bores grow.

All cases are seeded. Tolerances: gaps are exact to rounding, 1e-9 mm with coordinates near 100; depths of overlaps are
proved to Separation.error.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest

from platemaker.plane import Arc, Loop, Region
from platemaker.records import replace
from platemaker.space import (
    Cone,
    Cylinder,
    Disc,
    Figure,
    Frame,
    Prism,
    Segment,
    Vec3,
    bounding_box,
    closest_pairs,
    overlap_volume,
    rotation,
    separation,
)

EXACT = 1e-9


def _place(rng: random.Random, reach: float = 20.0) -> Vec3:
    return rng.uniform(-reach, reach), rng.uniform(-reach, reach), rng.uniform(-reach, reach)


def _cylinder(rng: random.Random) -> Cylinder:
    return Cylinder(_place(rng), _place(rng), rng.uniform(0.5, 6))


def _slanted(rng: random.Random) -> Cylinder:
    x, y = rng.uniform(-15, 15), rng.uniform(-15, 15)
    bore = Cylinder(
        (x, y, 0), (x + rng.uniform(-9, 9), y + rng.uniform(-9, 9), 12), rng.uniform(1, 5), (0, 0, 1), (0, 0, 1)
    )
    return bore.placed(rotation(_place(rng), (1, 2, 3), rng.uniform(0, 360)))


def _cone(rng: random.Random) -> Cone:
    return Cone(_place(rng), _place(rng), rng.choice((0.0, rng.uniform(0.5, 6))), rng.uniform(0.5, 6))


def _prism(rng: random.Random) -> Prism:
    loops = [
        Loop.rectangle(12, 7, 1.5),
        Loop.slot(15, 5),
        Loop.rounded([(0, 0), (11, 0), (4, 9)]),
        Loop.circle((2, 1), 4),
    ]
    return Prism(Region.of(rng.choice(loops)), Frame.from_normal(_place(rng), _place(rng)), rng.uniform(2, 15))


def _hollow(rng: random.Random) -> Prism:
    arm = Loop.rounded([(0, 0), (26, 0), (26, 9), (9, 9), (9, 24), (0, 24)], 1.5)
    region = Region.of(arm, [Loop.circle((4.5, 4.5), 2.5)])
    return Prism(region, Frame.from_normal(_place(rng), _place(rng)), rng.uniform(2, 12))


def _thin(rng: random.Random) -> Segment | Disc:
    if rng.random() < 0.5:
        return Segment(_place(rng), _place(rng))
    return Disc(_place(rng), _place(rng), rng.uniform(0.5, 7))


KINDS: list[Callable[[random.Random], Figure]] = [_cylinder, _slanted, _cone, _prism, _thin]
ALL = [*KINDS, _hollow]


def _pairs(seed: str, count: int, kinds: list[Callable[[random.Random], Figure]]) -> list[tuple[Figure, Figure]]:
    rng = random.Random(seed)
    return [(rng.choice(kinds)(rng), rng.choice(kinds)(rng)) for _ in range(count)]


def test_the_order_of_figures_does_not_matter() -> None:
    for a, b in _pairs("order", 150, ALL):
        one, other = separation(a, b), separation(b, a)
        assert other.distance == pytest.approx(one.distance, abs=EXACT + one.error + other.error), (a, b)


def test_rigid_motion_changes_nothing() -> None:
    rng = random.Random("motion")
    for a, b in _pairs("moved", 150, ALL):
        motion = rotation(_place(rng), _place(rng), rng.uniform(0, 360)).moved(_place(rng, rng.choice((10.0, 1000.0))))
        one, other = separation(a, b), separation(a.placed(motion), b.placed(motion))
        assert other.distance == pytest.approx(one.distance, abs=1e-8 + one.error + other.error), (a, b)
        if one.distance > 0.0:
            assert math.dist(other.point_a, other.point_b) == pytest.approx(one.distance, abs=1e-8)


def test_a_larger_bore_is_never_farther() -> None:
    rng = random.Random("grow")
    for a, b in _pairs("monotone", 120, ALL):
        bore = _cylinder(rng)
        larger = replace(bore, radius=bore.radius + rng.uniform(0.001, 3))
        for other in (a, b):
            before, after = separation(bore, other), separation(larger, other)
            assert after.distance <= before.distance + EXACT + before.error + after.error, (bore, other)


def test_a_plane_between_two_figures_proves_their_gap() -> None:
    """No surface point of A lies beyond the plane at its nearest point, none of B before its own: the gap is the least.

    The points are made here from the figures' own definition, 400 a figure.
    """
    rng = np.random.default_rng(7)
    seen = 0
    for a, b in _pairs("proof", 200, [_cylinder, _slanted, _cone, _prism]):
        found = separation(a, b)
        if found.distance <= 1e-6:
            continue
        seen += 1
        p, q = np.array(found.point_a), np.array(found.point_b)
        way = (q - p) / np.linalg.norm(q - p)
        assert np.linalg.norm(q - p) == pytest.approx(found.distance, abs=EXACT)
        assert float(np.max(_points(a, rng) @ way)) <= p @ way + EXACT
        assert float(np.min(_points(b, rng) @ way)) >= q @ way - EXACT
    assert seen > 100


def _points(figure: Figure, rng: np.random.Generator) -> np.ndarray:
    """Points of a convex figure's rims, where any direction reaches farthest."""
    angles = rng.uniform(0, math.tau, 200)
    if isinstance(figure, Prism):
        flat = [edge.point(share) for edge in figure.region.outer.edges for share in np.linspace(0, 1, 50)]
        return np.array([figure.frame.to_world((*p, z)) for p in flat for z in (0.0, figure.height)])
    assert isinstance(figure, Cylinder | Cone)
    axis = np.array(figure.axis)
    frame = Frame.from_normal((0, 0, 0), figure.axis)
    spokes = np.outer(np.cos(angles), frame.x_axis) + np.outer(np.sin(angles), frame.y_axis)
    if isinstance(figure, Cone):
        start, end = figure.radius_start * spokes, figure.radius_end * spokes
        return np.vstack([np.array(figure.start) + start, np.array(figure.end) + end])
    rims = []
    for centre, normal in ((figure.start, figure.start_normal), (figure.end, figure.end_normal)):
        n = axis if normal is None else np.array(normal)
        rim = figure.radius * spokes
        rims.append(np.array(centre) + rim - np.outer(rim @ n / (axis @ n), axis))
    return np.vstack(rims)


def test_moving_apart_by_the_depth_separates_and_by_less_does_not() -> None:
    seen = 0
    for a, b in _pairs("depth", 300, [_cylinder, _cone, _prism]):
        found = separation(a, b)
        if found.distance >= -1e-3:
            continue
        seen += 1
        shift = [q - p for p, q in zip(found.point_a, found.point_b, strict=True)]
        assert math.hypot(*shift) == pytest.approx(-found.distance, abs=1e-7)
        freed = a.moved((shift[0] * 1.0001, shift[1] * 1.0001, shift[2] * 1.0001))
        assert separation(freed, b).distance >= -1e-9
        held = a.moved((shift[0] * 0.99, shift[1] * 0.99, shift[2] * 0.99))
        assert separation(held, b).distance < 0.0
    assert seen > 40


def test_no_sampled_direction_frees_an_overlap_by_less() -> None:
    """Along each of 500 directions the least translation is the overlap of the two shadows, taken from rim points."""
    rng = np.random.default_rng(11)
    ways = rng.normal(size=(500, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    seen = 0
    for a, b in _pairs("shadows", 120, [_cylinder, _cone, _prism]):
        found = separation(a, b)
        if found.distance >= 0.0:
            continue
        seen += 1
        reach_a, reach_b = np.max(_points(a, rng) @ ways.T, axis=0), np.min(_points(b, rng) @ ways.T, axis=0)
        # 200 points on a rim of 6 mm miss its farthest by at most 6 · (1 - cos(largest gap / 2)), well below 0.1.
        assert float(np.min(reach_a - reach_b)) >= -found.distance - 0.1
    assert seen > 15


def test_an_overlap_has_a_volume_and_a_gap_has_none() -> None:
    for a, b in _pairs("volume", 40, [_cylinder, _prism, _hollow]):
        found, shared = separation(a, b), overlap_volume(a, b)
        if found.distance > 1e-6:
            assert shared.volume <= 1e-9
        elif found.distance < -0.05:
            # A ball of the depth's diameter fits where the depth is a ball's; the least translation is no less.
            assert shared.volume > 0.0


def test_boxes_hold_and_touch_their_figures() -> None:
    rng = np.random.default_rng(3)
    for a, _ in _pairs("boxes", 60, [_cylinder, _slanted, _cone, _prism, _hollow]):
        points = _points(a, rng)
        low, high = np.array(bounding_box(a)[:3]), np.array(bounding_box(a)[3:])
        assert np.all(points >= low - EXACT)
        assert np.all(points <= high + EXACT)
        # The largest gap among 200 seeded spokes stays below 0.2 rad: 6 mm · (1 - cos 0.1) = 0.03 mm.
        assert np.max(np.abs(np.concatenate([points.min(axis=0) - low, points.max(axis=0) - high]))) < 0.1


def test_the_pruned_search_finds_what_every_pair_does() -> None:
    rng = random.Random("many")
    figures = [rng.choice([_cylinder, _cone, _prism])(rng).moved(_place(rng, 60.0)) for _ in range(70)]
    limit = 5.0
    found = {(p.first, p.second): p.separation.distance for p in closest_pairs(figures, limit)}
    for i, a in enumerate(figures):
        for j in range(i + 1, len(figures)):
            distance = separation(a, figures[j]).distance
            assert ((i, j) in found) == (distance <= limit)
            if distance <= limit:
                assert found[i, j] == pytest.approx(distance, abs=EXACT)


def test_a_hollow_prism_agrees_with_the_pieces_it_is_made_of() -> None:
    """An L of two boxes: the least of the two distances, where all three are exact."""
    rng = random.Random("pieces")
    arm = Region.of(Loop.rounded([(0, 0), (30, 0), (30, 10), (10, 10), (10, 25), (0, 25)]))
    foot = Region.of(Loop.rounded([(0, 0), (30, 0), (30, 10), (0, 10)]))
    back = Region.of(Loop.rounded([(0, 0), (10, 0), (10, 25), (0, 25)]))
    assert not any(isinstance(edge, Arc) for edge in arm.edges)
    for _ in range(60):
        frame, height = Frame.from_normal(_place(rng), _place(rng)), rng.uniform(2, 9)
        other = rng.choice([_cylinder, _cone, _prism])(rng)
        whole = separation(Prism(arm, frame, height), other).distance
        parts = min(separation(Prism(part, frame, height), other).distance for part in (foot, back))
        if parts > 0.0:
            assert whole == pytest.approx(parts, abs=EXACT)
        else:
            assert whole <= 0.0


def test_figures_on_parallel_axes_agree_with_ones_tilted_by_nothing_much() -> None:
    """Parallel axes are measured in the plane, tilted ones face by face; 1e-8 rad moves no point by 1e-6 mm."""
    rng = random.Random("tilt")
    arm = Loop.rounded([(0, 0), (26, 0), (26, 9), (9, 9), (9, 24), (0, 24)], 1.5)
    region = Region.of(arm, [Loop.circle((4.5, 4.5), 3.5)])
    for _ in range(25):
        one = Prism(region, Frame.from_normal(_place(rng), _place(rng)), rng.uniform(4, 12))
        inner = Frame((rng.uniform(-20, 30), rng.uniform(-20, 30), rng.uniform(-14, 14)), (0.6, 0.8, 0), (0.8, -0.6, 0))
        others: list[Figure] = [
            Prism(region, inner.placed(one.frame), 6.0),
            Cylinder((4, 5, -8), (4, 5, rng.uniform(-6, 20)), 2.0).placed(one.frame),
        ]
        for other in others:
            tilted = other.placed(rotation(one.frame.origin, one.frame.x_axis, math.degrees(1e-8)))
            straight, leaning = separation(one, other), separation(one, tilted)
            assert leaning.distance == pytest.approx(straight.distance, abs=1e-6 + straight.error + leaning.error), (
                one,
                other,
            )
