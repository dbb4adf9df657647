"""Errors that readings share, by hand: which readings have which, how they are said, how a file states them."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from platemaker.errors import SpecError
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
from platemaker.survey._planning._expect import Expected
from platemaker.survey._reading._own_instruments import _InstrumentReader
from platemaker.units import LengthUnit

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


READER = _InstrumentReader(SimpleNamespace(where=lambda keys: None), "mine", LengthUnit.MM)


@pytest.mark.parametrize(
    ("flat", "sd", "pair"),
    [
        ("2 mm", "0.2 mm", (4.0, 0.8)),  # 2 f s
        ("2 mm", None, (4.0, 0.4)),  # measured to 0.1
        ("0 mm", "0.2 mm", (0.0, 0.04)),  # s^2
        (None, "0.2 mm", (0.0, 0.04)),
        ("0 mm", None, (0.0, 0.0)),
        (None, None, (7.0, 8.0)),  # those of the instrument that it is like
        ("10 mm", "0.1 mm", (100.0, 2.0)),
        ("0.05 mm", "0.2 mm", (0.0025, 0.04)),
    ],
)
def test_a_flat_of_own_jaws_is_kept_as_its_square(flat, sd, pair):
    assert READER._flat(flat, sd, "inside_flat", (7.0, 8.0)) == pytest.approx(pair)


@pytest.mark.parametrize(
    ("flat", "sd", "message"),
    [
        ("10.1 mm", None, "0 to 10 mm"),
        ("-0.1 mm", None, "0 to 10 mm"),
        ("1 mm", "0 mm", "above 0 mm"),
        ("1 mm", "-1 mm", "above 0 mm"),
    ],
)
def test_flats_that_no_jaw_has_are_refused(flat, sd, message):
    with pytest.raises(SpecError, match=message):
        READER._flat(flat, sd, "inside_flat", (7.0, 8.0))


@pytest.mark.parametrize(
    ("value", "sd", "pair"),
    [
        ("0.1 mm", "0.02 mm", (0.1, 0.02)),
        ("-0.1 mm", None, (-0.1, 0.0)),
        (None, "0.02 mm", (0.0, 0.02)),
        (None, None, (7.0, 8.0)),
    ],
)
def test_zero_and_scale_of_an_own_instrument(value, sd, pair):
    assert READER._pair(value, sd, "zero", (7.0, 8.0)) == pytest.approx(pair)


def test_a_deviation_of_nothing_is_refused():
    with pytest.raises(SpecError, match="above 0 mm"):
        READER._pair("0.1 mm", "0 mm", "zero", (0.0, 0.0))


@pytest.mark.parametrize(
    ("half", "read", "inch", "unit", "words"),
    [
        (0.1, None, False, "mm", "next A-B: expect 50.8 ± 0.1 mm"),
        (0.094, None, False, "mm", "next A-B: expect 50.80 ± 0.09 mm"),
        (0.001, None, False, "mm", "next A-B: expect 50.80 ± 0.01 mm"),
        (0.254, None, True, "mm", "next A-B: expect 2.000 ± 0.010 in"),
        (0.0508, None, True, "mm", "next A-B: expect 2.0000 ± 0.0020 in"),
        (0.001, None, True, "mm", "next A-B: expect 2.0000 ± 0.0010 in"),
        (0.5, None, True, "deg", "next A-B: expect 50.8 ± 0.5 deg"),
        (0.5, 25.4, False, "mm", "A-B reads 25.4 mm, 50.8 ± 0.5 mm expected; read it again"),
        (0.5, 25.4, True, "mm", "A-B reads 1 in, 2.000 ± 0.020 in expected; read it again"),
    ],
)
def test_what_a_reading_should_be_is_said_to_the_digits_it_is_known(half, read, inch, unit, words):
    found = Expected("A-B", 1, 50.8, half, unit, read, inch=inch)
    assert found.words == words
    assert math.isfinite(found.half)
