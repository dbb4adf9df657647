"""Gasket spans between bolts: which bolts are neighbours, how much a span bows, and what pressure is left on it."""

from __future__ import annotations

import math

import pytest

from platemaker.catalog import gasket_values
from platemaker.checks._finding import Sense
from platemaker.checks._sealing._strips import Strip, neighbours, recovery, widest
from platemaker.formulas import Worked, gasket_seating_width, worked
from platemaker.records import replace

FORMULA = worked(gasket_seating_width, N=10.0).formula


def of(result: float) -> Worked[float]:
    return Worked(FORMULA, (), result)


STRIP = Strip(80.0, ("a", "b"), of(40.0), of(0.05), of(300.0), of(180.0), 12.0, of(6.0))
"""80 mm between bolts, 40 MPa of modulus; 300 N/mm at a bolt, 180 midway, on 6 mm of seating width."""


def test_a_ring_of_bolts_has_a_span_for_each_bolt() -> None:
    """A rectangle of 60 by 80, given crosswise: two spans of 60, two of 80, and no diagonal of 100."""
    spots = {"a": (0.0, 0.0), "c": (60.0, 80.0), "b": (60.0, 0.0), "d": (0.0, 80.0)}
    found = neighbours(spots, (30.0, 40.0))
    assert found == [("a", "b", 60.0), ("b", "c", 80.0), ("c", "d", 60.0), ("d", "a", 80.0)]


def test_the_ring_goes_round_the_point_given() -> None:
    """Round (5, 40), inside the rectangle at its left, the order is the same; round (100, 40), outside, it is not."""
    spots = {"a": (0.0, 0.0), "b": (60.0, 0.0), "c": (60.0, 80.0), "d": (0.0, 80.0)}
    assert [pair[:2] for pair in neighbours(spots, (5.0, 40.0))] == [("a", "b"), ("b", "c"), ("c", "d"), ("d", "a")]
    # Seen from (100, 40): d at atan2(40, -100) = 158.2 degrees, c at 135, b at -135, a at -158.2.
    assert [pair[:2] for pair in neighbours(spots, (100.0, 40.0))] == [("a", "b"), ("b", "c"), ("c", "d"), ("d", "a")]
    # Seen from (30, 200): a at atan2(-200, -30) = -98.5, b at -81.5, c at -76.0, d at -104.0.
    assert [pair[:2] for pair in neighbours(spots, (30.0, 200.0))] == [("d", "a"), ("a", "b"), ("b", "c"), ("c", "d")]


def test_two_bolts_have_one_span_and_one_bolt_has_none() -> None:
    assert neighbours({"a": (0.0, 0.0), "b": (3.0, 4.0)}, (0.0, 0.0)) == [("a", "b", 5.0)]
    assert neighbours({"a": (0.0, 0.0)}, (1.0, 0.0)) == []
    assert len(neighbours({"a": (0.0, 0.0), "b": (3.0, 4.0), "c": (3.0, 0.0)}, (2.0, 1.0))) == 3


def test_what_a_span_bows_and_what_is_left_on_it() -> None:
    assert STRIP.bow == pytest.approx(3.0)  # (300 - 180) / 40
    assert STRIP.seated == pytest.approx(30.0)  # 180 / 6
    assert STRIP.left(60.0) == pytest.approx(10.0)  # (180 - 60) / (2 * 6)


def test_the_widest_span_is_the_first_of_those_alike() -> None:
    same = replace(STRIP, spacing=80.0 + 1e-9, spots=("b", "c"))
    wide, narrow = (replace(STRIP, spacing=s) for s in (81.0, 79.0))
    assert widest([STRIP, same, narrow]) is STRIP
    assert widest([STRIP, wide, narrow]) is wide


def test_a_sheet_springs_back_a_share_of_what_it_was_squeezed_by() -> None:
    """1.5 mm squeezed by 10 %, of which half comes back: 0.075 mm; a caution from half of that, and no more is good."""
    values = replace(gasket_values("graphite", 0.8), test_stress=34.0, compressibility=0.1, recovery=0.5)
    limit = recovery(values, 1.5, "the clause")
    assert (limit.fail, limit.caution) == pytest.approx((0.075, 0.0375))
    assert limit.sense is Sense.AT_MOST
    assert math.isclose(values.modulus, 340.0)  # 34 / 0.1
