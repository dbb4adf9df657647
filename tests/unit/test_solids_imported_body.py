"""Bodies from STEP files against exact figures: by hand, and against the space room's own closed formulas."""

from __future__ import annotations

import math
import random

import cadquery as cq
import pytest

from platemaker.plane import Loop, Region
from platemaker.solids import ImportedBody
from platemaker.space import Cylinder, Frame, Prism, Vec3, box, separation

pytestmark = pytest.mark.kernel


def block(low: Vec3, high: Vec3) -> cq.Shape:
    size = [b - a for a, b in zip(low, high, strict=True)]
    return cq.Solid.makeBox(*size, cq.Vector(*low))


def test_a_gap_is_measured_with_its_points() -> None:
    """Nearest corners 3 by 4 mm apart."""
    body = ImportedBody.of(block((0, 0, 0), (10, 10, 10)))
    found = body.separation(box((13, 14, 0), (20, 20, 10)))
    assert found.distance == pytest.approx(5.0, abs=1e-12)
    assert found.point_a[:2] == pytest.approx((10, 10))
    assert found.point_b[:2] == pytest.approx((13, 14))


def test_what_touches_is_nothing_apart() -> None:
    body = ImportedBody.of(block((0, 0, 0), (10, 10, 10)))
    for other in (box((10, 2, 2), (20, 5, 5)), Cylinder((12, 5, 0), (12, 5, 10), 2.0)):
        assert body.separation(other).distance == pytest.approx(0.0, abs=1e-9)
        assert body.apart(other) is not None
        assert body.shared_volume(other) == pytest.approx(0.0, abs=1e-6)


def test_convex_bodies_overlap_by_the_shift_that_parts_them() -> None:
    """A pin of 6 mm stands 4 mm deep in a block's top: 4 mm up; 3 mm inside its side: 1 mm of it, and 5 mm aside."""
    body = ImportedBody.of(block((0, 0, 0), (40, 40, 40)))
    assert body.separation(Cylinder((20, 20, 36), (20, 20, 60), 3.0)).distance == pytest.approx(-4.0, abs=1e-6)
    assert body.separation(Cylinder((42, 20, -50), (42, 20, 90), 3.0)).distance == pytest.approx(-1.0, abs=1e-6)


def test_one_inside_the_other_overlaps() -> None:
    body, pin = ImportedBody.of(block((0, 0, 0), (40, 40, 40))), Cylinder((20, 20, 15), (20, 20, 25), 3.0)
    assert body.apart(pin) is None
    assert body.separation(pin).distance == pytest.approx(-23.0, abs=1e-6)  # 20 to the side, and its radius
    assert body.shared_volume(pin) == pytest.approx(math.pi * 90, rel=1e-9)
    small = ImportedBody.of(block((19, 19, 19), (21, 21, 21)))
    assert small.apart(box((0, 0, 0), (40, 40, 40))) is None
    hollow = ImportedBody.of(block((0, 0, 0), (40, 40, 40)).cut(block((5, 5, 5), (35, 35, 35))))
    assert hollow.separation(pin).distance == pytest.approx(35 - 25, abs=1e-9)


def test_a_body_that_is_not_convex_overlaps_by_the_width_of_what_is_shared() -> None:
    """A wall of 8 mm on a floor, and a bar of 24 mm through it: 8 mm. A round bar whose axis lies in its edge: its radius."""
    body = ImportedBody.of(block((-50, -50, -10), (50, 50, 0)).fuse(block((-50, 0, 0), (50, 8, 50))).clean())
    assert body.separation(Cylinder((0, -40, 25), (0, 40, 25), 12.0)).distance == pytest.approx(-8.0, abs=1e-6)
    half = math.sqrt(0.5)
    up = Cylinder((0, -20 * half, 50 - 20 * half), (0, 20 * half, 50 + 20 * half), 8.0)
    assert body.separation(up).distance == pytest.approx(-8.0, abs=1e-6)


def test_a_body_that_has_moved_is_measured_where_it_stands() -> None:
    body = ImportedBody.of(block((0, 0, 0), (10, 10, 10))).moved((5, 0, 0)).moved((0, 1, 0))
    assert body.box == pytest.approx((5, 1, 0, 15, 11, 10))
    found = body.separation(box((18, 0, 0), (20, 20, 10)))
    assert (found.distance, found.point_a[0], found.point_b[0]) == pytest.approx((3.0, 15.0, 18.0))
    other = ImportedBody.of(block((0, 0, 0), (10, 10, 10)))
    assert body.separation(other.moved((17, 0, 0))).distance == pytest.approx(2.0)
    assert body.separation(other.moved((12, 0, 0))).distance == pytest.approx(-3.0, abs=1e-6)
    assert body.holds((14.9, 5, 5))
    assert not body.holds((4, 5, 5))


def turned(rng: random.Random) -> Frame:
    axes = [[rng.gauss(0, 1) for _ in range(3)] for _ in range(2)]
    frame = Frame.from_normal((0, 0, 0), tuple(axes[0]), tuple(axes[1]))  # type: ignore[arg-type]
    return frame.moved(tuple(rng.uniform(-22, 22) for _ in range(3)))  # type: ignore[arg-type]


def figure(rng: random.Random) -> Cylinder | Prism:
    """A prism, or a cylinder that now and then has a slanted end."""
    if rng.random() < 0.5:
        region = Region.of(Loop.rectangle(rng.uniform(4, 20), rng.uniform(4, 20), corner_radius=rng.choice((0.0, 1.5))))
        return Prism(region, turned(rng), rng.uniform(2, 20))
    slope = (rng.uniform(-0.5, 0.5), rng.uniform(-0.5, 0.5), 1.0) if rng.random() < 0.5 else None
    return Cylinder((0, 0, 0), (0, 0, rng.uniform(12, 25)), rng.uniform(2, 8), None, slope).placed(turned(rng))


@pytest.mark.parametrize("seed", range(40))
def test_random_figures_are_as_far_from_a_box_as_the_closed_formulas_say(seed: int) -> None:
    """The space room knows no kernel. Both distances and depths: to 1e-6 mm, the kernel's extrema stop near 1e-7."""
    rng = random.Random(seed)
    high = rng.uniform(5, 20), rng.uniform(5, 20), rng.uniform(5, 20)
    other = figure(rng)
    found = ImportedBody.of(block((0, 0, 0), high)).separation(other)
    assert found.distance == pytest.approx(separation(box((0, 0, 0), high), other).distance, abs=1e-6)
