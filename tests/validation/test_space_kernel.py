"""Separations of random figures against the solid kernel's exact extrema between the same solids.

The kernel (a B-rep modeller) computes the least distance of two shapes on its own surfaces; nothing of it is used in
platemaker.space. Its extrema stop near 1e-7 mm; 1e-4 mm is what is asked of the agreement. Where the kernel finds an
overlap (a distance of 0), the separation must not be positive.

Here and there the kernel misses an extremum on a cone's rim and gives too large a distance. Such a pair is let pass
only when the kernel itself says that both our points lie on its solids: then its own figure is not the least. Of 1000
pairs 12 needed that, all with a cone, 7 of them among the 100 of two cones; so one in ten is let pass where a cone
takes part, and none where there is no cone.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import pytest

from platemaker.plane import Arc, Loop, Region
from platemaker.space import Cone, Cylinder, Figure, Frame, Prism, Vec3, box, overlap_volume, separation

pytestmark = pytest.mark.kernel

ASKED = 1e-4


def _place(rng: random.Random, reach: float) -> Vec3:
    return rng.uniform(-reach, reach), rng.uniform(-reach, reach), rng.uniform(-reach, reach)


def _cylinder(rng: random.Random) -> Cylinder:
    start, end = _place(rng, 25), _place(rng, 25)
    return Cylinder(start, end, rng.uniform(0.5, 7))


def _cone(rng: random.Random) -> Cone:
    start, direction = _place(rng, 25), _place(rng, 1)
    if rng.random() < 0.5:
        return Cone.drill_point(start, direction, rng.uniform(2, 12), rng.choice((118.0, 135.0)))
    size = rng.uniform(2, 20) / math.hypot(*direction)
    end = (start[0] + direction[0] * size, start[1] + direction[1] * size, start[2] + direction[2] * size)
    return Cone(start, end, rng.uniform(0.5, 7), rng.uniform(0.5, 7))


def _outline(rng: random.Random, convex: bool) -> Region:
    if convex:
        loops = [
            Loop.rectangle(rng.uniform(4, 25), rng.uniform(4, 25), rng.uniform(0, 1.9)),
            Loop.slot(rng.uniform(10, 25), rng.uniform(2, 9), angle=rng.uniform(0, 180)),
            Loop.rounded([(0, 0), (14, 1), (9, 16)], rng.uniform(0, 2)),
        ]
        return Region.of(rng.choice(loops))
    corner = rng.choice((0.0, rng.uniform(0.5, 3)))
    arm = Loop.rounded([(0, 0), (30, 0), (30, 11), (12, 11), (12, 28), (0, 28)], corner)
    if rng.random() < 0.5:
        return Region.of(arm, [Loop.circle((6, 6), rng.uniform(1, 4))])
    return Region.of(arm)


def _prism(rng: random.Random) -> Prism:
    frame = Frame.from_normal(_place(rng, 25), _place(rng, 1))
    return Prism(_outline(rng, True), frame, rng.uniform(2, 20))


def _hollow(rng: random.Random) -> Prism:
    frame = Frame.from_normal(_place(rng, 25), _place(rng, 1))
    return Prism(_outline(rng, False), frame, rng.uniform(2, 20))


KINDS: dict[str, Callable[[random.Random], Figure]] = {
    "cylinder": _cylinder,
    "cone": _cone,
    "prism": _prism,
    "hollow": _hollow,
}
WAYS: list[Vec3] = [(1, 0, 0), (0, 1, 0), (0, 0, 1), (0, 0, -1), (1, 1, 0), (0, 1, 1), (3, 0, 4)]


def _aligned(rng: random.Random) -> Figure:
    """A figure on whole millimetres and few directions: parallel, coaxial, flush and touching pairs abound."""
    x, y, z = (float(rng.randrange(-12, 13)) for _ in range(3))
    way = rng.choice(WAYS)
    size = rng.choice((0.1, 1.0, 3.0, 10.0, 100.0)) / math.hypot(*way)
    end = (x + way[0] * size, y + way[1] * size, z + way[2] * size)
    kind = rng.choice(("cylinder", "cone", "prism", "hollow"))
    if kind == "cylinder":
        return Cylinder((x, y, z), end, rng.choice((0.05, 1.0, 2.0, 5.0)))
    if kind == "cone":
        return Cone((x, y, z), end, *rng.choice(((0.0, 3.0), (3.0, 0.0), (2.0, 4.0), (3.0, 3.0))))
    if kind == "prism":
        loops = [Loop.rectangle(6, 4), Loop.rectangle(12, 8, 2), Loop.slot(10, 4), Loop.circle((1, 0), 3.0)]
        region = Region.of(rng.choice(loops))
    else:
        arm = Loop.rounded([(0, 0), (20, 0), (20, 8), (8, 8), (8, 16), (0, 16)], rng.choice((0.0, 2.0)))
        region = Region.of(arm, [Loop.circle((4, 4), 3)] if rng.random() < 0.5 else [])
    return Prism(region, Frame.from_normal((x, y, z), way), rng.choice((1.0, 4.0, 10.0)))


PAIRS = [(a, b) for i, a in enumerate(KINDS) for b in list(KINDS)[i:]]


def _solid(figure: Figure) -> object:
    import cadquery as cq

    if isinstance(figure, Cylinder):
        return cq.Solid.makeCylinder(figure.radius, figure.length, cq.Vector(*figure.start), cq.Vector(*figure.axis))
    if isinstance(figure, Cone):
        start, axis = cq.Vector(*figure.start), cq.Vector(*figure.axis)
        if abs(figure.radius_start - figure.radius_end) < 1e-9:
            return cq.Solid.makeCylinder(figure.radius_start, figure.length, start, axis)
        return cq.Solid.makeCone(figure.radius_start, figure.radius_end, figure.length, start, axis)
    assert isinstance(figure, Prism)
    up = cq.Vector(*figure.frame.z_axis) * figure.height
    outer, *holes = [_wire(loop, figure.frame) for loop in figure.region.loops]
    return cq.Solid.extrudeLinear(outer, holes, up)


def _wire(loop: Loop, frame: Frame) -> object:
    import cadquery as cq

    def world(point: tuple[float, float]) -> object:
        return cq.Vector(*frame.to_world((*point, 0.0)))

    edges = []
    for edge in loop.edges:
        if isinstance(edge, Arc):
            edges.append(cq.Edge.makeThreePointArc(world(edge.start), world(edge.point(0.5)), world(edge.end)))
        else:
            edges.append(cq.Edge.makeLine(world(edge.start), world(edge.end)))
    return cq.Wire.assembleEdges(edges)


def _differs(a: Figure, b: Figure) -> bool:
    """Whether the kernel's distance is larger than ours and refuted by its own measure of our points.

    Any other disagreement beyond what is asked fails.
    """
    import cadquery as cq

    ours = separation(a, b)
    one, other = _solid(a), _solid(b)
    theirs = one.distance(other)  # type: ignore[attr-defined]
    if theirs <= 1e-6:
        assert ours.distance <= ASKED, f"the kernel finds an overlap\n{a}\n{b}"
        return False
    assert math.dist(ours.point_a, ours.point_b) == pytest.approx(ours.distance, abs=1e-7), f"{a}\n{b}"
    if theirs > ours.distance + ASKED:
        for solid, point in ((one, ours.point_a), (other, ours.point_b)):
            assert solid.distance(cq.Vertex.makeVertex(*point)) < 1e-6, f"{a}\n{b}"  # type: ignore[attr-defined]
        return True
    assert ours.distance == pytest.approx(theirs, abs=ASKED), f"{a}\n{b}"
    return False


def _run(pair: tuple[str, str], seed: str, count: int) -> None:
    rng = random.Random(f"{seed} {pair}")
    refuted = sum(_differs(KINDS[pair[0]](rng), KINDS[pair[1]](rng)) for _ in range(count))
    assert refuted <= (max(1, count // 10) if "cone" in pair else 0)


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_random_pairs_agree_with_the_kernel(pair: tuple[str, str]) -> None:
    _run(pair, "seed", 7)


@pytest.mark.slow
@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_a_thousand_random_pairs_agree_with_the_kernel(pair: tuple[str, str]) -> None:
    _run(pair, "slow seed", 100)


@pytest.mark.parametrize("seed", range(6))
def test_shared_volumes_agree_with_the_kernel(seed: int) -> None:
    """The kernel's common solid, by its own exact boundary integration; 0.1 % is the share of error asked for."""
    rng = random.Random(f"volume {seed}")
    block = box((-12, -9, -7), (14, 9, 11))
    for make in KINDS.values():
        figure = make(rng)
        common = _solid(block).intersect(_solid(figure)).Volume()  # type: ignore[attr-defined]
        shared = overlap_volume(block, figure)
        assert shared.volume == pytest.approx(common, rel=1e-3, abs=1e-3), figure
        assert abs(shared.volume - common) <= shared.error + 1e-5 * common, figure


def _run_aligned(seed: str, count: int) -> None:
    rng = random.Random(seed)
    refuted = sum(_differs(_aligned(rng), _aligned(rng)) for _ in range(count))
    # Cones take part in 7 of 16 pairs here.
    assert refuted <= max(1, count // 20)


def test_aligned_pairs_agree_with_the_kernel() -> None:
    _run_aligned("aligned", 60)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(5))
def test_a_thousand_aligned_pairs_agree_with_the_kernel(seed: int) -> None:
    _run_aligned(f"slow aligned {seed}", 200)
