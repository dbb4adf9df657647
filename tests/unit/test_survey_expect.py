"""What the next reading should be, in closed form: rough places to 2 mm, and each reading taken up by least squares.

Holes on a line move a span by their shift along it alone: with deviations a and b of its ends and s of the reading, what
is read lies within 3 sqrt(a^2 + b^2 + s^2) of what is expected.
"""

import math

import pytest

from platemaker.survey import Datum, Feature, FeatureKind, Network, Reading, ReadingKind, progress
from platemaker.survey._planning._expect import Expected
from platemaker.survey._records import Rough, SharedErrors

CENTRES, INSIDE, DIAMETER = ReadingKind.CENTRES, ReadingKind.INSIDE, ReadingKind.DIAMETER
SPAN = 8.0  # 2^2 + 2^2


def hole(name, at, diameter=None, nominal=None, sd=0.5, sigma=2.0):
    return Feature(name, FeatureKind.HOLE, diameter, sd, rough=Rough(at, sigma, nominal))


A, B, C = hole("A", (0.0, 0.0)), hole("B", (80.0, 0.0)), hole("C", (160.0, 0.0))


def found(features, readings=(), waiting=(), **more):
    """Readings as (kind, features, value, sigma), numbered in order; those that wait have no value."""
    taken = tuple(Reading(i, *one) for i, one in enumerate(readings, 1))
    late = tuple(
        Reading(i, kind, names, math.nan, sigma, instrument=instrument[0] if instrument else "")
        for i, (kind, names, sigma, *instrument) in enumerate(waiting, len(taken) + 1)
    )
    return progress(Network(tuple(features), taken, Datum("A", "B"), waiting=late, **more))


def expected(*args, **more):
    one = found(*args, **more).next
    return one.value, one.half


def test_a_first_span_from_rough_places():
    late = [(CENTRES, ("A", "B"), 0.3)]
    assert expected((A, B), waiting=late) == pytest.approx((80.0, 3 * math.sqrt(SPAN + 0.09)))
    rougher = hole("B", (80.0, 0.0), sigma=3.0)
    assert expected((A, rougher), waiting=late) == pytest.approx((80.0, 3 * math.sqrt(4 + 9 + 0.09)))


@pytest.mark.parametrize(("nominal", "value", "deviation"), [(8.5, 8.5, 0.5), (None, 8.0, 5.0)])
def test_a_diameter_before_it_is_read(nominal, value, deviation):
    """A nominal one is good to half a millimetre; of one unknown a hole of 8 mm within 15 is thought of."""
    holes = hole("A", (0, 0), nominal=nominal, sd=1.2), hole("B", (80, 0), 8.0)
    one = found(holes, waiting=[(INSIDE, ("A", "B"), 0.3)])
    assert (one.next.value, one.next.half) == pytest.approx((value, 3 * math.hypot(deviation, 1.2)))
    assert (one.taken, one.waiting, one.next.title, one.next.number) == (1, 2, "diameter of A", 0)


def test_near_sides_with_diameters_that_were_read():
    """Nominal 8.5 to 0.5 and read 8.9 to 0.5: 8.7, with a variance of 1 / 8; half of each counts in the span."""
    holes = [hole(name, at, 8.9, 8.5) for name, at in (("A", (0, 0)), ("B", (80, 0)))]
    half = 3 * math.sqrt(SPAN + 2 * (1 / 8) / 4 + 0.09)
    assert expected(holes, waiting=[(INSIDE, ("A", "B"), 0.3)]) == pytest.approx((80 - 8.7, half))
    far = expected(holes, waiting=[(ReadingKind.OUTSIDE, ("A", "B"), 0.3)])
    assert far == pytest.approx((80 + 8.7, half))


def test_a_reading_counts_for_those_after_it():
    """81 read for 80, both to sqrt(8): B moves by a quarter of 1 mm and keeps a variance of 4 - 4 x 4 / 16 = 3."""
    readings = [(CENTRES, ("A", "B"), 81.0, math.sqrt(8))]
    late = [(CENTRES, ("B", "C"), 0.3)]
    assert expected((A, B, C), readings, late) == pytest.approx((79.75, 3 * math.sqrt(3 + 4 + 0.09)), rel=1e-6)


@pytest.mark.parametrize(("off", "questioned"), [(8.4, 0), (-8.4, 0), (8.6, 1), (-8.6, 1)])
def test_a_reading_three_deviations_off_is_questioned(off, questioned):
    """3 sqrt(8 + 0.09) = 8.53 mm. What is in question counts for nothing."""
    one = found((A, B, C), [(CENTRES, ("A", "B"), 80 + off, 0.3)], [(CENTRES, ("B", "C"), 0.3)])
    assert len(one.questioned) == questioned
    assert (one.taken, one.waiting) == (1, 1)
    # Taken, B shifts by 4 / 8.09 of what is off, and B-C is shorter by that.
    assert one.next.value == pytest.approx(80.0 if questioned else 80.0 - off * 4 / 8.09, rel=1e-6)
    if questioned:
        assert (one.questioned[0].read, one.questioned[0].number) == (80 + off, 1)
        assert one.questioned[0].title == "1, A-B centres"


def test_an_angle_is_expected_in_degrees():
    """A corner of 60 and 80: an end turns it by 1 / 60 or 1 / 80 for each mm, and the middle by the hypotenuse,
    100 / 4800 = 1 / 48: with 2 mm at each sqrt(4 + 4) / 48 in all."""
    corner = hole("A", (80, 0)), hole("B", (0, 0)), hole("C", (0, 60))
    half = 3 * math.hypot(math.degrees(math.sqrt(8) / 48), 0.5)
    late = [(ReadingKind.ANGLE, ("A", "B", "C"), 0.5)]
    one = found(corner, waiting=late)
    assert (one.next.value, one.next.half) == pytest.approx((90.0, half))
    assert one.next.unit == "deg"
    for read, questioned in ((90 + 0.99 * half, 0), (90 + 1.01 * half, 1)):
        asked = found(corner, [(ReadingKind.ANGLE, ("A", "B", "C"), read, 0.5)]).questioned
        assert [one.read for one in asked] == [pytest.approx(read)] * questioned


def test_a_zero_of_the_caliper_counts_as_it_is_stated():
    """It shows 0.7 when it is closed, to 0.4: 80.7, and 0.16 more of variance."""
    own = (SharedErrors("mine", zero=(0.7, 0.4)),)
    half = 3 * math.sqrt(SPAN + 0.16 + 0.09)
    late = [(CENTRES, ("A", "B"), 0.3, "mine")]
    assert expected((A, B), waiting=late, instruments=own) == pytest.approx((80.7, half))
    assert found((A, B), waiting=late, instruments=own).taken == 0


def test_readings_are_expected_in_the_order_of_their_numbers():
    readings = (Reading(2, CENTRES, ("A", "B"), 80.0, 0.3),)
    late = (Reading(3, CENTRES, ("A", "C"), math.nan, 0.3), Reading(1, CENTRES, ("B", "C"), math.nan, 0.3))
    one = progress(Network((A, B, C), readings, Datum("A", "B"), waiting=late))
    assert (one.next.number, one.next.title, one.waiting, one.taken) == (1, "1, B-C centres", 2, 1)


def test_nothing_is_expected_of_edges_or_without_rough_places():
    edge = Feature("E", FeatureKind.EDGE)
    one = found((A, B, edge), waiting=[(ReadingKind.CENTRE_TO_EDGE, ("E", "A"), 0.3), (CENTRES, ("A", "B"), 0.3)])
    assert (one.next.title, one.waiting) == ("2, A-B centres", 2)
    assert found((A, Feature("B", FeatureKind.HOLE)), [(CENTRES, ("A", "B"), 80.0, 0.3)]) is None


def test_what_a_questioned_reading_was_probably_meant_as():
    """The near sides of two holes of 12 at 80 are 68: 92 are the far sides, 3.15 the centres in inches."""
    holes = [hole(name, at, 12.0, 12.0, sd=0.03, sigma=0.5) for name, at in (("A", (0, 0)), ("B", (80, 0)))]
    causes = [
        found(holes, [(INSIDE, ("A", "B"), value, 0.03)]).questioned[0].cause for value in (92.0, 68 / 25.4, 86.0, 75.0)
    ]
    inch = "2.67717 in is 68.00 mm"
    assert causes == ["as outside it would do", inch, "with two digits swapped it is 68 mm", ""]


@pytest.mark.parametrize(
    ("half", "unit", "inch", "span"),
    [
        (0.31, "mm", False, "71.5 ± 0.3 mm"),
        (0.1, "mm", False, "71.5 ± 0.1 mm"),
        (0.09, "mm", False, "71.45 ± 0.09 mm"),
        (0.004, "mm", False, "71.45 ± 0.01 mm"),
        (0.254, "mm", True, "2.813 ± 0.010 in"),
        (0.0508, "mm", True, "2.8130 ± 0.0020 in"),
        (0.01, "mm", True, "2.8130 ± 0.0010 in"),
        (0.4, "deg", True, "71.5 ± 0.4 deg"),
        (0.4, "deg", False, "71.5 ± 0.4 deg"),
    ],
)
def test_an_expected_span_in_words(half, unit, inch, span):
    """71.4502 mm are 2.813 in. Digits follow the half width; none is stated as better than 0.01 mm or 0.001 in."""
    one = Expected("A-B inside", 3, 2.813 * 25.4, half, unit, inch=inch)
    assert one.words == f"next A-B inside: expect {span}"
    read = Expected("A-B inside", 3, 2.813 * 25.4, half, unit, 76.2, "typed so", inch=inch)
    number = "3 in" if inch and unit == "mm" else f"76.2 {unit}"
    assert read.words == f"A-B inside reads {number}, {span} expected: typed so; read it again"


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
