"""Errors that readings share, by hand: which readings have which, how they are said, how a file states them."""

import numpy as np
import pytest

from platemaker.survey import Feature, FeatureKind, Reading, SharedErrors
from platemaker.survey import ReadingKind as K
from platemaker.survey._adjustment._shared import (
    ErrorKind,
    SharedError,
    _error,
    _of_reading,
    half_short,
    jaws_of,
    of_feature,
)

FEATURES = {
    "A": Feature("A", FeatureKind.HOLE), "B": Feature("B", FeatureKind.HOLE), "S": Feature("S", FeatureKind.STUD),
    "left": Feature("left", FeatureKind.EDGE),
}  # fmt: skip
IN, OUT = ErrorKind.INSIDE, ErrorKind.OUTSIDE


@pytest.mark.parametrize(
    ("kind", "names", "jaws"),
    [
        (K.OUTSIDE, "A B", [("A", IN, 1.0), ("B", IN, 1.0)]),
        (K.INSIDE, "A B", [("A", OUT, -1.0), ("B", OUT, -1.0)]),
        (K.SAME_SIDE, "A B", [("A", IN, 1.0), ("B", OUT, -1.0)]),
        (K.SAME_SIDE, "S B", [("B", OUT, -1.0)]),
        (K.CENTRES, "A B", []),
        (K.DIAMETER, "A", [("A", IN, 2.0)]),
        (K.DIAMETER, "S", []),
        (K.HOLE_TO_EDGE, "left A", [("A", OUT, -1.0)]),
        (K.FAR_TO_EDGE, "left A", [("A", IN, 1.0)]),
        (K.CENTRE_TO_EDGE, "left A", []),
    ],
)
def test_which_jaw_stands_in_which_hole(kind, names, jaws):
    """Between the far sides both inside jaws press outwards; between the near sides both outside jaws."""
    reading = Reading(1, kind, tuple(names.split()), 50.0, 0.05, instrument="mine")
    assert jaws_of(reading, FEATURES) == jaws
    lengths = [("mine", ErrorKind.ZERO), ("mine", ErrorKind.SCALE)]
    assert _of_reading(reading, FEATURES) == lengths + [("mine", jaw) for _, jaw, _ in jaws]


@pytest.mark.parametrize("kind", [K.ANGLE, K.STRAIGHT, K.SQUARE, K.PARALLEL])
def test_angles_and_statements_share_no_error_of_length(kind):
    assert _of_reading(Reading(1, kind, ("A", "B", "S"), 90.0, 0.1, instrument="mine"), FEATURES) == []


def test_a_diameter_of_a_hole_is_read_with_inside_jaws():
    lengths = [("mine", ErrorKind.ZERO), ("mine", ErrorKind.SCALE)]
    assert of_feature(Feature("A", FeatureKind.HOLE)) == []
    assert of_feature(Feature("A", FeatureKind.HOLE, 8.0, instrument="mine")) == [*lengths, ("mine", IN)]
    assert of_feature(Feature("S", FeatureKind.STUD, 8.0, instrument="mine")) == lengths


@pytest.mark.parametrize(
    ("kind", "value", "sigma", "words"),
    [
        (ErrorKind.SCALE, 0.05, 0.012, "+0.50 mm a metre (sd 0.12)"),  # mm on 100 mm
        (ErrorKind.SCALE, -0.05, 0.0, "-0.50 mm a metre (sd 0.00)"),
        (ErrorKind.SHEAR, -0.012, 0.003, "-1.2 % (sd 0.3)"),
        (ErrorKind.ZERO, 0.0234, 0.0101, "+0.023 mm (sd 0.010)"),
        (ErrorKind.INSIDE, 1.44, 0.24, "1.20 mm wide (sd 0.10)"),  # 0.24 / (2 x 1.2)
        (ErrorKind.OUTSIDE, 0.01, 0.09, "0.10 mm wide (sd 0.30)"),  # the root of 0.09, not 0.45
        (ErrorKind.INSIDE, -0.5, 0.04, "0.00 mm wide (sd 0.20)"),
    ],
)
def test_a_shared_error_is_said_as_it_is_measured(kind, value, sigma, words):
    assert SharedError("mine", kind, 0.0, 1.0).words(value, sigma) == words


def test_a_stated_error_in_the_unit_of_its_unknown():
    given = SharedErrors("mine", zero=(0.2, 0.01), scale=(0.5, 0.1), inside=(1.0, 0.0), outside=(0.0, 0.2))
    assert _error(given, ErrorKind.ZERO) == SharedError("mine", ErrorKind.ZERO, 0.2, 0.01)
    assert _error(given, ErrorKind.SCALE) == SharedError(
        "mine", ErrorKind.SCALE, pytest.approx(0.05), pytest.approx(0.01)
    )
    assert _error(given, IN) == SharedError("mine", IN, 1.0, 1e-3)  # stated as certain
    assert _error(given, OUT) == SharedError("mine", OUT, 0.0, 0.2)
    assert _error(SharedErrors("mine"), ErrorKind.ZERO) is None


def test_a_flat_touches_a_hole_short_of_its_side():
    """A flat of 6 in a hole of 10: half of it is 3 off the axis, 4 deep: 1 short (3-4-5)."""
    short, by_diameter, by_square = half_short(np.array([10.0]), np.array([36.0]))
    # d/dD (D - sqrt(D^2 - q)) / 2 = (1 - 10 / 8) / 2; d/dq = 1 / (4 sqrt(D^2 - q)) = 1 / 32.
    assert (short[0], by_diameter[0], by_square[0]) == pytest.approx((1.0, -0.125, 1 / 32))
    # Flats wider than the hole: no less than half the diameter is left of the root.
    assert half_short(np.array([10.0]), np.array([400.0]))[0][0] == pytest.approx((10 - 5) / 2)
