"""Booleans and offsets against an independent polygon library (shapely 2, GEOS), on dense polygons.

Stated bound: an arc of length L and radius r drawn as chords of angle φ hides at most L r (1 − cos(φ/2)) of area. With
360 chords a turn that is 3.8e-5 r L; the bound is summed over the arcs of both figures.
The library's own buffer is not used: it simplifies its input by up to 1 % of the distance. Offsets are made as the
union of the figure with the dense outline of everything within the distance of each chord.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely.geometry import Polygon

from platemaker.plane import Arc, intersect, moved, offset, subtract, unite
from tests.plane_oracle import CHORDS, dense_polygon, hidden_by_chords, random_region


@pytest.mark.parametrize("seed", range(20))
def test_booleans(seed: int) -> None:
    rng = random.Random(seed)
    a, b = random_region(rng), moved(random_region(rng), rng.uniform(-10, 10), rng.uniform(-10, 10))
    dense_a, dense_b = dense_polygon(a), dense_polygon(b)
    for ours, theirs in (
        (unite(a, b), dense_a.union(dense_b)),
        (subtract(a, b), dense_a.difference(dense_b)),
        (intersect(a, b), dense_a.intersection(dense_b)),
    ):
        area = sum(region.area for region in ours)
        assert area == pytest.approx(theirs.area, abs=hidden_by_chords([*a.edges, *b.edges]))


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("distance", [1.0, 4.0])
def test_offsets(seed: int, distance: float) -> None:
    region = random_region(random.Random(seed))
    dense = dense_polygon(region)
    rings = [dense.exterior, *dense.interiors]
    within = shapely.union_all([capsule(p, q, distance) for ring in rings for p, q in chords(ring)])
    radii = [edge.radius for edge in region.edges if isinstance(edge, Arc)]
    # The chords stand off the arcs, and the capsules' ends off their circles, by at most this; so do the offsets.
    stand_off = (max(radii, default=0.0) + distance) * (1 - math.cos(math.pi / CHORDS))
    for ours, theirs in (
        (offset(region, distance), dense.union(within)),
        (offset(region, -distance), dense.difference(within)),
    ):
        bound = (sum(r.perimeter for r in ours) + theirs.length) * stand_off + 1e-6
        assert sum(r.area for r in ours) == pytest.approx(theirs.area, abs=bound)


def chords(ring: shapely.LinearRing) -> Iterable[tuple[np.ndarray, np.ndarray]]:
    corners = np.asarray(ring.coords)
    return pairwise(corners)


def capsule(p: np.ndarray, q: np.ndarray, distance: float) -> Polygon:
    """Everything within a distance of the chord from p to q, its round ends as dense polygons."""
    angle = math.atan2(q[1] - p[1], q[0] - p[0])
    turn = np.linspace(-math.pi / 2, math.pi / 2, CHORDS // 2 + 1)
    ends = [(q, angle + turn), (p, angle + math.pi + turn)]
    return Polygon([(c[0] + distance * math.cos(t), c[1] + distance * math.sin(t)) for c, turns in ends for t in turns])
