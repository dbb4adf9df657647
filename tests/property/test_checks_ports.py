"""Steps between random rectangles against closed forms of intervals; seeded.

Step = area before less the overlap of both rectangles; widest = the farthest corner of the rectangle before from the
one after, by the distance of a point from a box.
"""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest

from platemaker.checks._ports._port_edges import Opened, PortStep, left_of
from platemaker.plane import Box, Loop, Region, rotated


def rectangle(source: random.Random) -> Region:
    centre = (source.uniform(-6, 6), source.uniform(-6, 6))
    return Region.of(Loop.rectangle(source.uniform(20, 60), source.uniform(20, 60), centre=centre))


def step(before: Region, after: Region) -> PortStep:
    return PortStep(Opened("a", (before,), 10.0, 0.0), Opened("b", (after,), 10.0, 0.0), left_of((before,), (after,)))


def overlap(a: Box, b: Box) -> float:
    return math.prod(max(0.0, min(a[i + 2], b[i + 2]) - max(a[i], b[i])) for i in (0, 1))


def off(x: float, y: float, box: Box) -> float:
    return math.hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3]))


@pytest.mark.parametrize("seed", range(40))
def test_rectangles(seed):
    source = random.Random(seed)
    before, after = rectangle(source), rectangle(source)
    found, a, b = step(before, after), before.bounds, after.bounds
    assert found.area == pytest.approx(before.area - overlap(a, b), abs=1e-9)
    widest = max(off(x, y, b) for x in (a[0], a[2]) for y in (a[1], a[3]))
    # The place is sought along an edge to 1e-4 mm, and a corner is looked at itself.
    assert found.widest[0] == pytest.approx(widest, abs=1e-6)


@pytest.mark.parametrize("seed", range(10))
def test_turning_both_changes_nothing(seed):
    source = random.Random(seed)
    before, after, turn = rectangle(source), rectangle(source), source.uniform(0, 360)
    straight, turned = step(before, after), step(rotated(before, turn), rotated(after, turn))
    assert turned.area == pytest.approx(straight.area, abs=1e-6)
    assert turned.edge == pytest.approx(straight.edge, abs=1e-6)
    assert turned.widest[0] == pytest.approx(straight.widest[0], abs=1e-5)


@pytest.mark.parametrize("seed", range(10))
def test_pushing_aside_is_never_better_than_the_least_found(seed):
    source = random.Random(seed)
    found = step(rectangle(source), rectangle(source))
    areas = [found.worst(by) for by in (0.0, 0.2, 0.5, 1.0)]
    assert all(later >= earlier - 1e-9 for earlier, later in pairwise(areas))
    assert areas[0] == pytest.approx(found.area)
