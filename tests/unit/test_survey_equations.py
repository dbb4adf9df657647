"""What each kind of reading would read of places that are given, by hand, and its slopes against differences.

A triangle of 80 x 60 with holes of 8, 10 and 12 mm; edges at x = -20 and x = 110, which faces the other way, and at
y = -15. A turned frame moves every place and no reading.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, SharedErrors
from platemaker.survey import ReadingKind as K
from platemaker.survey._adjustment._equations import Equations

AT = {"A": (0.0, 0.0), "B": (80.0, 0.0), "C": (80.0, 60.0)}
WIDE = {"A": 8.0, "B": 10.0, "C": 12.0}
EDGES = {"left": (0.0, -20.0), "right": (math.pi, -110.0), "front": (math.pi / 2, -15.0)}
"""Angle of the normal and offset n.p."""
READ = [
    (K.CENTRES, "A B", 80.0),
    (K.INSIDE, "A B", 80 - 4 - 5),
    (K.OUTSIDE, "A C", 100 + 4 + 6),
    (K.SAME_SIDE, "A B", 80 + 4 - 5),
    (K.HOLE_TO_EDGE, "left A", 20 - 4),
    (K.FAR_TO_EDGE, "right C", 110 - 80 + 6),
    (K.CENTRE_TO_EDGE, "front C", 60 + 15),
    (K.DEPTH, "front B", 15 - 5),
    (K.EDGE_TO_EDGE, "left right", 130.0),
    (K.ANGLE, "A B C", 90.0),
    (K.ANGLE, "B A C", math.degrees(math.atan2(60, 80))),
    (K.ANGLE, "left front", 90.0),
    (K.SQUARE, "front right", 90.0),
    (K.DIAMETER, "B", 10.0),
]


def equations(*readings: tuple[K, str, float], instrument: str = "") -> Equations:
    features = [Feature(name, FeatureKind.HOLE) for name in AT] + [Feature(name, FeatureKind.EDGE) for name in EDGES]
    taken = tuple(
        Reading(number, kind, tuple(names.split()), value, 0.05, instrument=instrument)
        for number, (kind, names, value) in enumerate(readings, start=1)
    )
    mine = SharedErrors("mine", zero=(0.2, 0.01), scale=(0.5, 0.1))
    return Equations(Network(tuple(features), taken, Datum("A", "B", left=("C",)), instruments=(mine,)))


def unknowns(found: Equations, turn: float = 0.0, shift: tuple[float, float] = (0.0, 0.0)) -> np.ndarray:
    layout, (c, s) = found.layout, (math.cos(turn), math.sin(turn))
    u = np.zeros(layout.size)
    for name, (x, y) in AT.items():
        u[layout.x(name) : layout.x(name) + 2] = c * x - s * y + shift[0], s * x + c * y + shift[1]
    for name in layout.sized:
        u[layout.diameter(name)] = WIDE[name]
    for name, (angle, offset) in EDGES.items():
        turned = angle + turn
        u[layout.angle(name)] = turned
        u[layout.angle(name) + 1] = offset + shift[0] * math.cos(turned) + shift[1] * math.sin(turned)
    for one in layout.shared:
        column = layout.error(one.instrument, one.kind)
        assert column is not None
        u[column] = one.mean
    return u


@pytest.mark.parametrize(("turn", "shift"), [(0.0, (0.0, 0.0)), (0.7, (30.0, -12.0)), (-2.5, (-5.0, 40.0))])
def test_what_every_kind_reads(turn, shift):
    found = equations(*READ)
    computed, _ = found.evaluate(unknowns(found, turn, shift))
    for row, observation in enumerate(found.observations):
        if observation.reading is not None:
            factor, _ = observation.shown
            value = 0.0 if found.values[row] == 0.0 else observation.reading.value  # edges across are parallel as well
            assert computed[row] * factor == pytest.approx(value, abs=1e-9), observation.reading.title


def test_a_row_sags_by_its_middles_distance():
    """B off the line from A to C: 80 x 60 / 100, to its right."""
    found = equations((K.STRAIGHT, "A B C", 0.0))
    assert found.evaluate(unknowns(found))[0] == pytest.approx([-48.0])


def test_zero_and_scale_of_an_instrument():
    """60 mm with 0.5 mm a metre too much and 0.2 mm on top."""
    found = equations((K.CENTRES, "B C", 60.23), instrument="mine")
    assert found.evaluate(unknowns(found))[0][0] == pytest.approx(60 * 1.0005 + 0.2)


@pytest.mark.parametrize("instrument", ["", "mine"])
def test_slopes_are_those_of_what_is_read(instrument):
    """Central differences of 1e-5; but for edges that are square or parallel, whose branches are equally near."""
    some = [one for one in READ if one[1] not in ("left front", "front right")]
    found = equations(*some, (K.ANGLE, "left front", 80.0), (K.STRAIGHT, "A B C", 0.0), instrument=instrument)
    at = unknowns(found, 0.7, (30.0, -12.0)) + np.random.default_rng(2).uniform(-0.02, 0.02, found.layout.size)
    _, slopes = found.evaluate(at)
    step = 1e-5 * np.eye(len(at))
    parallel = [
        bool(one.reading and one.reading.kind is K.EDGE_TO_EDGE and not one.value) for one in found.observations
    ]
    own = ~np.array(parallel)
    for column in range(len(at)):
        ahead, behind = (found.evaluate(at + way)[0] for way in (step[column], -step[column]))
        assert slopes[own, column] == pytest.approx((ahead - behind)[own] / 2e-5, abs=2e-6)
