"""Booleans of figures that nearly coincide, moved, turned or scaled by 1e-12 to 1e-5 mm, against what cannot depend on it.

Three oracles, none of them the package's own arithmetic:

- closed form: the lens of two circles, Weisstein, "Circle-Circle Intersection", MathWorld, equation 14, in the shape of
  two segments r² (θ − sin θ) / 2 so that thin lenses keep their digits;
- a bound: when no point of a figure moves by more than h, no area made of the figure and its copies can differ from that
  of the figure (or from 0) by more than h times the perimeter, for each copy;
- point by point, school formulas (tests/plane_oracle.py) and, for the area, dense polygons (shapely, GEOS), whose chords
  hide at most L r (1 − cos(π / chords)) of an arc of length L and radius r.

Curves within 4e-7 mm (the largest measure of touching) may be taken as one, so areas may be off by HAIR times the
perimeters, and points within 2e-6 mm of a boundary are not judged.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest
import shapely

from platemaker.plane import Arc, Line, Loop, Region, intersect, moved, rotated, subtract, unite
from tests.plane_oracle import agree, dense_polygon, hidden_by_chords, signed_distance

HAIR = 5e-7
"""mm: what may be taken as touching, and a little more."""

SHARES = (1.0, 0.1, 10.0, 0.01, 3.0, 0.3, 40.0, 2.0, 0.5, 4.0)
"""Multiples of 1e-8 mm at which the arrangement changes its mind about what touches."""


def area(regions: Sequence[Region]) -> float:
    return sum(region.area for region in regions)


def hair(rng: random.Random) -> float:
    """A distance between 1e-12 and 1e-5 mm; half the time at, or a hair beside, a measure of touching."""
    if rng.random() < 0.5:
        return rng.choice(SHARES) * 1e-8 * (1 + rng.choice([0, 0, 1e-9, -1e-9, 1e-7, -1e-7, 1e-3, -1e-3]))
    return 10 ** rng.uniform(-12, -5)


def circle_of_arcs(centre: tuple[float, float], radius: float, angles: Sequence[float]) -> Loop:
    at = [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]
    return Loop(tuple(Arc(p, at[(k + 1) % len(at)], centre, radius, True) for k, p in enumerate(at)))


def figure(rng: random.Random) -> Region:
    """A circle of two, three or four arcs, rectangle, rounded rectangle, slot, ring or rounded frame."""
    x, y = rng.choice([0.0, 0.0, 3.0, 17.3, 1000.1]), rng.choice([0.0, 0.0, 4.0, -8.1])
    s = rng.choice([1.0, 5.0, 6.35, 20.0, 100.0, rng.uniform(0.5, 200)])
    kind, turn = rng.randrange(8), rng.uniform(0, math.tau)
    shapes: list[Callable[[], Region]] = [
        lambda: Region(Loop.circle((x, y), s)),
        lambda: Region(circle_of_arcs((x, y), s, [turn, turn + 2, turn + 3.5])),
        lambda: Region(circle_of_arcs((x, y), s, [turn + k * math.pi / 2 for k in range(4)])),
        lambda: Region(Loop.rectangle(2 * s, s, 0, (x, y))),
        lambda: Region(Loop.rectangle(2 * s, s, s / 4, (x, y))),
        lambda: Region(Loop.slot(2 * s, s, (x, y), rng.choice([0, 30, 45, 90, 101]))),
        lambda: Region.of(Loop.circle((x, y), s), [Loop.circle((x, y), s / 2)]),
        lambda: Region.of(Loop.rectangle(2 * s, 2 * s, s / 3, (x, y)), [Loop.slot(s, s / 2, (x, y))]),
    ]
    made = shapes[kind]()
    return rotated(made, rng.choice([17, 33, 45, 90, rng.uniform(0, 360)])) if rng.random() < 0.3 else made


def scaled(region: Region, factor: float, about: tuple[float, float]) -> Region:
    def at(p: tuple[float, float]) -> tuple[float, float]:
        return about[0] + factor * (p[0] - about[0]), about[1] + factor * (p[1] - about[1])

    def piece(e: Line | Arc) -> Line | Arc:
        if isinstance(e, Line):
            return Line(at(e.start), at(e.end), e.tag)
        return Arc(at(e.start), at(e.end), at(e.centre), factor * e.radius, e.ccw, e.tag)

    outer, *holes = (Loop(tuple(piece(e) for e in loop.edges)) for loop in region.loops)
    return Region(outer, tuple(holes))


def nudged(rng: random.Random, region: Region, h: float) -> tuple[Region, float]:
    """The region moved, turned or scaled by about h, mm, and a bound of how far any point of it went."""
    x0, y0, x1, y1 = region.bounds
    middle, size = ((x0 + x1) / 2, (y0 + y1) / 2), math.hypot(x1 - x0, y1 - y0)
    way = rng.choice([0, math.pi / 2, math.pi, math.pi / 4, rng.uniform(0, math.tau)])
    dx, dy = h * math.cos(way), h * math.sin(way)
    kind = rng.randrange(5)
    if kind <= 1:
        return moved(region, dx, dy), h
    if kind == 2:
        return scaled(region, 1 + rng.choice([1, -1]) * h / size, rng.choice([middle, (x0, y0)])), h
    if kind == 3:
        return rotated(region, math.degrees(h / size), rng.choice([middle, (x0, y0)])), h
    share = rng.uniform(-2, 2)
    return moved(scaled(region, 1 + share * h / size, (x0, y0)), rng.choice([0, -h, dx]), rng.choice([0, h, dy])), 4 * h


def copies_case(seed: int) -> None:
    """A figure and one to four copies of itself: all that they make is the figure, or nothing."""
    rng = random.Random(seed)
    a = figure(rng)
    h = hair(rng)
    copies, moves = zip(
        *(nudged(rng, a, h if rng.random() < 0.6 else hair(rng)) for _ in range(rng.choice([1, 1, 1, 2, 3, 4]))),
        strict=True,
    )
    far = sum(moves) + 1e-12 * max(map(abs, a.bounds))  # coordinates are rounded
    slack = a.perimeter * (far + HAIR * len(copies))
    assert area(unite(a, *copies)) == pytest.approx(a.area, abs=slack)
    assert area(intersect(a, *copies)) == pytest.approx(a.area, abs=slack)
    assert area(subtract(a, *copies)) == pytest.approx(0, abs=slack)
    assert area(subtract(copies[0], a, *copies[1:])) == pytest.approx(0, abs=slack)
    grid = [moved(a, 3 * k * math.dist(a.bounds[:2], a.bounds[2:]), 0) for k in range(3)]
    assert area(subtract(grid, copies[0])) == pytest.approx(2 * a.area, abs=3 * slack)


def lens(r: float, s: float, d: float) -> float:
    """Area common to two circles of radii r and s at distance d."""
    if d >= r + s:
        return 0.0
    if d <= abs(r - s):
        return math.pi * min(r, s) ** 2
    # Half the chord by Heron's formula; from it the half angle of each segment, past a right angle where its centre is
    # on the far side of the chord.
    half = math.sqrt((r + s + d) * (r + s - d) * (d + r - s) * (d - r + s)) / (2 * d)
    total = 0.0
    for own, other in ((r, s), (s, r)):
        theta = 2 * math.atan2(half, (d * d + (own - other) * (own + other)) / (2 * d))
        total += own * own * (theta - math.sin(theta)) / 2
    return total


def circles_case(seed: int) -> None:
    """Two circles anywhere, most of them nearly tangent from outside or inside, or nearly concentric: areas of lenses."""
    rng = random.Random(seed)
    r = rng.choice([1.0, 2.5, 5.0, 10.0, 12.5, 50.0, rng.uniform(0.5, 100)])
    s = rng.choice([r, r + hair(rng), r - hair(rng), r * rng.uniform(0.1, 1)])
    sign = rng.choice([1, -1])
    d = rng.choice([r + s + sign * hair(rng), abs(r - s) + sign * hair(rng), hair(rng), rng.uniform(0, 1.2) * (r + s)])
    d, way = max(d, 0.0), rng.choice([0, math.pi, math.pi / 2, rng.uniform(0, math.tau)])
    x, y = rng.choice([0.0, 1.0, 33.3, rng.uniform(-100, 100)]), rng.choice([0.0, -10.0, rng.uniform(-100, 100)])
    a = Region(Loop.circle((x, y), r))
    b = Region(Loop.circle((x + d * math.cos(way), y + d * math.sin(way)), s))
    d = math.dist((x, y), (x + d * math.cos(way), y + d * math.sin(way)))
    common, slack = lens(r, s, d), HAIR * math.tau * (r + s)
    assert area(intersect(a, b)) == pytest.approx(common, abs=slack)
    assert area(unite(a, b)) == pytest.approx(math.pi * (r * r + s * s) - common, abs=slack)
    assert area(subtract(a, b)) == pytest.approx(math.pi * r * r - common, abs=slack)


def neighbours(rng: random.Random) -> list[Region]:
    """Figures that share sides, ends, arcs or points with a first one, but for a hair."""
    w, h, r = rng.choice([8.0, 10.0, 24.0]), rng.choice([4.0, 6.0]), rng.choice([1.0, 1.5, 2.0])

    def off() -> float:
        return rng.choice([0, 1, -1]) * hair(rng)

    side = (w + rng.choice([w, h])) / 2
    shapes = [
        Region(Loop.rectangle(w, h)),
        Region(Loop.rectangle(w, h, r)),
        Region(Loop.rectangle(rng.choice([w, h]) + off(), rng.choice([h, h / 2]), 0, (side + off(), off()))),
        Region(Loop.slot(w, h)),
        Region(Loop.slot(w + off(), h + off(), (off(), rng.choice([0, h]) + off()))),
        Region(Loop.circle(((w - h) / 2 + off(), off()), h / 2 + off())),
        Region(Loop.circle((w / 2 - r + off(), h / 2 - r + off()), r + off())),
        Region(Loop.circle((off(), h / 2 + rng.choice([r, -r]) + off()), r)),
        Region.of(Loop.rectangle(w + 4, h + 4, r), [Loop.rectangle(w + off(), h + off(), rng.choice([0, r / 2]))]),
        Region.of(
            Loop.circle((off(), off()), w), [Loop.circle((0, 0), w - r), Loop.circle((w - r / 2 + off(), 0), 0.3)]
        ),
        Region(Loop.rounded([(-w / 2, h / 2 + off()), (w / 2 + off(), h / 2), (0, 3 * h)])),
        Region(Loop.rounded([(off(), off()), (w / 2, off()), (w / 2 + off(), h / 2)])),
    ]
    turn = rng.choice([0, 0, 17, 45, 90])
    return [rotated(one, turn) for one in rng.sample(shapes, rng.randrange(2, 7))]


def neighbours_case(seed: int) -> None:
    """Several figures that share boundaries but for a hair, point by point and in area."""
    rng = random.Random(seed)
    figures = neighbours(rng)
    sources = [edge for region in figures for edge in region.edges]
    first, *others = figures

    def each(x: Any, y: Any) -> Any:
        return np.array([signed_distance(region.edges, x, y) for region in figures])

    polygons = [dense_polygon(region) for region in figures]
    slack = sum(hidden_by_chords(region.edges) + 1e-5 * region.perimeter for region in figures)
    for made, wanted, theirs in (
        (unite(*figures), lambda x, y: each(x, y).min(axis=0), shapely.union_all(polygons)),
        (
            subtract(first, *others),
            lambda x, y: np.maximum(each(x, y)[0], -each(x, y)[1:].min(axis=0)),
            polygons[0].difference(shapely.union_all(polygons[1:])),
        ),
        (intersect(*figures), lambda x, y: each(x, y).max(axis=0), shapely.intersection_all(polygons)),
    ):
        agree(rng, made, sources, wanted, unjudged=2e-5)
        assert area(made) == pytest.approx(theirs.area, abs=slack)


CASES = {"copies": copies_case, "circles": circles_case, "neighbours": neighbours_case}


@pytest.mark.parametrize(("kind", "count"), [("copies", 200), ("circles", 400), ("neighbours", 40)])
def test_figures_that_nearly_coincide(kind: str, count: int) -> None:
    for seed in range(count):
        CASES[kind](seed)


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "count"), [("copies", 20_000), ("circles", 40_000), ("neighbours", 3_000)])
def test_thousands_of_figures_that_nearly_coincide(kind: str, count: int) -> None:
    for seed in range(1000, 1000 + count):
        CASES[kind](seed)
