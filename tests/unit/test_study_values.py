"""Values of a sweep: ranges, lists, units, words, and what is refused."""

from __future__ import annotations

import pytest

from platemaker.errors import SpecError
from platemaker.study._values import choices_of


def values(text: str, *, words: bool = False) -> list[object]:
    return [choice.value for choice in choices_of(text, words=words)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3..5/0.5", [3, 3.5, 4, 4.5, 5]),
        ("3..4/0.3", [3, 3.3, 3.6, 3.9]),
        ("0.1..0.5/0.1", [0.1, 0.2, 0.3, 0.4, 0.5]),
        ("5..3/1", [5, 4, 3]),
        ("-1..1/1", [-1, 0, 1]),
        (" 3 .. 4 / 1 ", [3, 4]),
        ("4..4/1", [4]),
        ("3..8 mm/2.5", ["3 mm", "5.5 mm", "8 mm"]),
        ("3 mm..4 mm/0.5 mm", ["3 mm", "3.5 mm", "4 mm"]),
        ("1/4..1/2 in/1/8", ["1/4 in", "3/8 in", "1/2 in"]),
        ("1..1-1/4 in/1/8", ["1 in", "1-1/8 in", "1-1/4 in"]),
        ("0.1..0.2 kg/s/0.05", ["0.1 kg/s", "0.15 kg/s", "0.2 kg/s"]),
        ("0.8 bar, 12 psi", ["0.8 bar", "12 psi"]),
        ("5..6 N m/0.5", ["5 N m", "5.5 N m", "6 N m"]),
        ("5 lbf ft..6 lbf ft/1 lbf ft", ["5 lbf ft", "6 lbf ft"]),
        ("8,10,12.7,16", [8, 10, 12.7, 16]),
        ("8, 10, 12.7 mm", ["8 mm", "10 mm", "12.7 mm"]),
        ("6061-T6,7075-T6", ["6061-T6", "7075-T6"]),
        ("1/4 NPT, 3/8 NPT", ["1/4 NPT", "3/8 NPT"]),
        ("true,false", [True, False]),
    ],
)
def test_values(text: str, expected: list[object]) -> None:
    assert values(text) == expected
    assert [type(one) for one in values(text)] == [type(one) for one in expected]


def test_words_stay_words() -> None:
    assert values("8.8,10.9", words=True) == ["8.8", "10.9"]
    assert values("-8, -10", words=True) == ["-8", "-10"]


def test_numbers_for_an_axis() -> None:
    assert [choice.number for choice in choices_of("1/4..1/2 in/1/8")] == [0.25, 0.375, 0.5]
    assert [choice.unit for choice in choices_of("3..4 mm/1")] == ["mm", "mm"]
    assert [choice.number for choice in choices_of("6061-T6, 3/8 NPT, true")] == [None, None, None]


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        ("3..8", "not a range of values, met '3..8'; allowed: FROM..TO/STEP, FROM..TO UNIT/STEP, or values"),
        ("3..8/0", "a range that does not move, met '3..8/0'; allowed: a step above 0"),
        ("1/4..1/2/1/8", "not a range of values"),
        ("1/0..2 in/1", "division by zero, met '1/0..2 in/1'"),
        ("3..8 furlong/1", "'furlong' is no unit, met '3..8 furlong/1'"),
        ("3 in..8 mm/1", "a range in 'mm' with 'in' in it"),
        ("0..1/0.0001", "10001 values of one key, met '0..1/0.0001'; allowed: at most 2000"),
        ("3,,4", "an empty value in the list, met '3,,4'"),
        ("3,4,3.0", "a value is listed twice, met '3,4,3.0'; allowed: each value once"),
    ],
)
def test_refused(text: str, stated: str) -> None:
    with pytest.raises(SpecError) as fault:
        choices_of(text)
    assert str(fault.value).startswith(stated)
