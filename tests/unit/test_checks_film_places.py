"""Where on a film a figure is read: the cell of a leak, how far it is open there, and how far it bows from its bolts."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any, cast

import pytest

from platemaker.checks import Finding
from platemaker.checks._sealing._film import TIGHT, _at, _bow, _lift, _value
from platemaker.fields import FilmCase, SealAnswer
from platemaker.fields._seal._records import FilmMesh, SealField
from platemaker.records import replace

CLOSED = (0.20, 0.18, 0.10, 0.16, 0.12)
LAND = (0, 1, 3, 4, 5)
"""Two rows of three cells of 2 mm from (10, 20): middles at X 11, 13, 15 and Y 21, 23. The third is no land."""


def case(at: tuple[float, float] | None, closure: tuple[float, ...] = CLOSED) -> FilmCase:
    return FilmCase("settled", "", 0.1, 3.0, (), at, 1.0, 0.0, 0.0, (), (), (1.0,) * len(closure), closure)


@dataclass
class Answer:
    """What is read of an answer: its mesh, its bolts, and those that a leak passes by."""

    by: tuple[str, ...] = ("a", "b")

    @property
    def field(self) -> SealField:
        mesh = FilmMesh(4.0, 6, 18, 20.0, (10.0, 20.0), 2.0, (2, 3), LAND, ())
        return SealField((mesh,), 1.0)

    @property
    def given(self) -> Any:
        spots = {"a": (10.0, 20.0), "b": (13.2, 23.4), "c": (16.0, 24.0)}
        return SimpleNamespace(joint=SimpleNamespace(joint=SimpleNamespace(spots=spots)))

    def passed_by(self, _: FilmCase) -> tuple[str, ...]:
        return self.by


def answer(*by: str) -> SealAnswer:
    return cast(SealAnswer, Answer(by or ("a", "b")))


@pytest.mark.parametrize(
    ("at", "cell"),
    [
        ((11.0, 21.0), 0), ((13.0, 21.0), 1), ((15.0, 21.0), None), ((11.0, 23.0), 2), ((13.0, 23.0), 3),
        ((15.0, 23.0), 4), ((13.9, 22.1), 3), ((14.1, 22.1), 4), ((12.1, 21.9), 1), (None, None),
    ],
)  # fmt: skip
def test_a_leak_is_met_in_the_cell_that_holds_its_place(at: tuple[float, float] | None, cell: int | None) -> None:
    assert _at(answer(), case(at)) == cell


@pytest.mark.parametrize(
    ("by", "closed", "bow"),
    [
        (("a", "b"), 0.12, 0.06),  # cells 0 and 3 are closed by 0.20 and 0.16, 0.18 in the middle
        (("a", "c"), 0.12, 0.04),  # 0.20 and 0.12
        (("b",), 0.12, 0.04),
        (("a", "b"), 0.20, 0.0),  # more closed than at its bolts: it does not bow
    ],
)
def test_a_film_bows_from_the_bolts_that_the_leak_passes(by: tuple[str, ...], closed: float, bow: float) -> None:
    assert _bow(answer(*by), case((15.0, 23.0)), closed) == pytest.approx(bow)


@pytest.mark.parametrize(
    ("at", "loaded", "lift"),
    [
        ((15.0, 23.0), 0.05, 0.07),  # closed by 0.12 first
        ((15.0, 23.0), 0.15, 0.0),  # closed more: no lift
        ((15.0, 21.0), 0.05, 0.0),  # no land
    ],
)
def test_a_film_lifts_by_what_it_is_less_closed(at: tuple[float, float], loaded: float, lift: float) -> None:
    assert _lift(answer(), case(at), case(at, (*CLOSED[:4], loaded))) == pytest.approx(lift)


def test_a_pressure_where_a_leak_meets_most_is_that_of_the_findings_own_case() -> None:
    boost, fire = replace(case((11.0, 21.0)), name="boost"), replace(case((13.0, 21.0)), name="backfire")
    met = {"boost": 2.5, "backfire": 1.5}
    field = SimpleNamespace(cases=(boost, fire), doubt=lambda _: 0.1)
    seen = cast(SealAnswer, SimpleNamespace(field=field, least=lambda one: met[one.name]))
    for one in (boost, fire):
        found = cast(Finding, SimpleNamespace(check=TIGHT, features=("joint", one.name)))
        figure = _value(found, seen)
        assert figure is not None
        assert (figure.measured, figure.case, figure.at) == (met[one.name], one, one.at)
