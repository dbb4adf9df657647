"""An instrument described in a survey file: its own errors in mm and mm2, and what is refused, by hand."""

from types import SimpleNamespace

import pytest

from platemaker.errors import SpecError
from platemaker.survey._reading._instruments import Instrument
from platemaker.survey._reading._models import InstrumentModel
from platemaker.survey._reading._own_instruments import own_instruments
from platemaker.units import LengthUnit


def read(units=LengthUnit.MM, **body):
    loaded = SimpleNamespace(where=lambda keys: None)
    model = InstrumentModel.model_validate({"like": "digital caliper", **body}, context={"units": units.value})
    return own_instruments(loaded, {"mine": model}, units)["mine"]


@pytest.mark.parametrize(
    ("stated", "square", "deviation"),
    [
        # f^2 changes by 2 f s where f changes by s; where 2 f is less than s, by s^2.
        ({"inside_flat": 0.8, "inside_flat_sd": 0.05}, 0.64, 0.08),
        ({"inside_flat": 0.8}, 0.64, 0.16),  # to the usual 0.1 mm
        ({"inside_flat": 0}, 0.0, 0.0),
        ({"inside_flat": 0, "inside_flat_sd": 0.3}, 0.0, 0.09),
        ({"inside_flat_sd": 0.3}, 0.0, 0.09),
        ({"inside_flat": 0.1, "inside_flat_sd": 0.3}, 0.01, 0.09),  # 2 x 0.1 x 0.3 = 0.06 is less
        ({"inside_flat": 0.2, "inside_flat_sd": 0.3}, 0.04, 0.12),
        ({"inside_flat": 10}, 100.0, 2.0),
        ({"inside_flat": "10 mm", "inside_flat_sd": "0.1 mm"}, 100.0, 2.0),
        ({"inside_flat": "2 mm", "inside_flat_sd": "0.2 mm"}, 4.0, 0.8),
        ({"inside_flat": "2 mm"}, 4.0, 0.4),
        ({"inside_flat": "0 mm", "inside_flat_sd": "0.2 mm"}, 0.0, 0.04),
        ({"inside_flat_sd": "0.2 mm"}, 0.0, 0.04),
        ({"inside_flat": "0.05 mm", "inside_flat_sd": "0.2 mm"}, 0.0025, 0.04),
    ],
)
@pytest.mark.parametrize("jaws", ["inside", "outside"])
def test_a_flat_counts_by_its_square(jaws, stated, square, deviation):
    """A wrong square moves every hole read with these jaws."""
    found = read(**{key.replace("inside", jaws): value for key, value in stated.items()})
    assert getattr(found, jaws) == pytest.approx((square, deviation))
    other = "outside" if jaws == "inside" else "inside"
    assert getattr(found, other) == pytest.approx((0.0, 0.2**0.5))  # flats of 0 to 1 mm: the mean of f^4 is 1 / 5


@pytest.mark.parametrize("error", ["zero", "scale"])
@pytest.mark.parametrize(
    ("value", "sd", "pair"),
    [
        (None, None, (0.0, 0.0)),
        (-0.02, None, (-0.02, 0.0)),
        (0.02, 0.005, (0.02, 0.005)),
        (None, 0.01, (0.0, 0.01)),
        ("0.002 in", "0.001 in", (0.0508, 0.0254)),
        ("0.1 mm", "0.02 mm", (0.1, 0.02)),
        ("-0.1 mm", None, (-0.1, 0.0)),
        (None, "0.02 mm", (0.0, 0.02)),
    ],
)
def test_a_zero_and_a_scale_are_as_stated(error, value, sd, pair):
    stated = {key: one for key, one in ((error, value), (f"{error}_sd", sd)) if one is not None}
    found = read(**stated)
    assert getattr(found, error) == pytest.approx(pair)
    assert getattr(found, "scale" if error == "zero" else "zero") == (0.0, 0.0)


def test_numbers_without_a_unit_are_the_files():
    assert read(LengthUnit.INCH, zero=0.01, zero_sd=0.002).zero == pytest.approx((0.254, 0.0508))
    assert read(LengthUnit.INCH, inside_flat=0.02, inside_flat_sd=0.01).inside == pytest.approx((0.508**2, 0.258064))


def test_the_rest_is_that_of_the_instrument_that_it_is_like():
    found = read(like="steel rule", zero=0.2)
    assert (found.name, found.unit, found.resolution, found.zero) == ("mine", "mm", 0.5, (0.2, 0.0))


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ({"inside_flat": 10.1}, r"instrument mine: inside_flat.*10\.1.*allowed: 0 to 10 mm"),
        ({"outside_flat": -0.1}, r"instrument mine: outside_flat.*-0\.1.*allowed: 0 to 10 mm"),
        ({"inside_flat": 1, "inside_flat_sd": 0}, r"inside_flat_sd.*allowed: above 0 mm"),
        ({"outside_flat_sd": -1}, r"outside_flat_sd.*allowed: above 0 mm"),
        ({"inside_flat": "-0.1 mm"}, r"inside_flat.*allowed: 0 to 10 mm"),
        ({"inside_flat": "1 mm", "inside_flat_sd": "-1 mm"}, r"inside_flat_sd.*allowed: above 0 mm"),
        ({"zero": "0.1 mm", "zero_sd": "0 mm"}, r"zero_sd.*allowed: above 0 mm"),
        ({"zero_sd": 0}, r"zero_sd.*allowed: above 0 mm"),
        ({"scale_sd": -0.1}, r"scale_sd.*allowed: above 0 mm"),
        ({"like": "digital calliper"}, r"unknown instrument 'digital calliper'.*did you mean 'digital caliper'"),
        ({"like": "plain protractor", "zero": 1}, r"a plain protractor has no shared errors that are counted"),
    ],
)
def test_what_no_instrument_is(body, words):
    with pytest.raises(SpecError, match=r"(?s)" + words):
        read(**body)


def test_a_protractor_under_another_name_is_one():
    assert read(like="plain protractor").unit == "deg"


@pytest.mark.parametrize(("repeats", "variance"), [(1, 0.06**2 / 12 + 0.04**2), (4, 0.06**2 / 12 + 0.02**2)])
def test_rounding_to_a_scale_does_not_average_out_and_setting_does(repeats, variance):
    """Uniform over a step of 0.06: variance 0.0036 / 12 = 0.0003; setting 0.04, of the mean of four 0.02."""
    assert Instrument("mine", 0.06, 0.04).sigma(repeats) ** 2 == pytest.approx(variance)
    assert Instrument("mine", 0.01, 0.04).read_to(0.06).sigma(repeats) ** 2 == pytest.approx(variance)
