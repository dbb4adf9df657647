"""Answers that are kept by the content of all arguments: what it distinguishes, and what is never kept."""

from __future__ import annotations

import pickle
from collections.abc import Hashable
from enum import StrEnum
from functools import cached_property

import numpy as np
import pytest
from msgspec import Struct

from platemaker.records import Record
from platemaker.remembered import content, forget, known, remembered


class Side(StrEnum):
    ABOVE = "above"


class Sized(Record):
    size: float
    name: str = ""

    @cached_property
    def twice(self) -> float:
        return 2 * self.size


class Spot(Struct, frozen=True):
    x: float


ALIKE_TO_PYTHON = [
    (1, 1.0), (1, True), (0.0, -0.0), (0, False), ("above", Side.ABOVE), ((1.0,), [1.0]), (Spot(1.0), Sized(1.0)),
    (Sized(0.0), Sized(-0.0)), (Sized(1.0, "a"), Sized(1.0)), ({"a": 1, "b": 2}, {"b": 2, "a": 1}),
    (np.array([0.0]), np.array([-0.0])), (np.array([1]), np.array([1.0])), (np.zeros(4), np.zeros((2, 2))),
    ((Sized(1.0), None), (None, Sized(1.0))), ("", None),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), ALIKE_TO_PYTHON, ids=repr)
def test_values_that_a_function_could_distinguish_have_contents_of_their_own(one: object, other: object) -> None:
    assert content(one) != content(other)


def test_equal_records_have_one_content_whatever_was_worked_out_of_them() -> None:
    asked, fresh = Sized(1.5, "a"), Sized(1.5, "a")
    assert asked.twice == 3.0
    first = content(asked)
    assert first == content(fresh)
    assert hash(first) == hash(content(fresh))
    assert asked == fresh


def test_content_survives_the_way_to_another_process() -> None:
    record = Sized(1.5, "a")
    content(record)
    back = pickle.loads(pickle.dumps(record))
    assert vars(record), "nothing is kept: this test has lost its object"
    assert not vars(back), "what is kept with a record may hold identities, which mean nothing there"
    assert content(back) == content(Sized(1.5, "a"))


def test_function_is_asked_once_for_each_content() -> None:
    asked: list[float] = []

    @remembered(8)
    def ask(record: Sized, *, by: float = 1.0) -> float:
        asked.append(record.size * by)
        return asked[-1]

    answers = [ask(Sized(2.0)), ask(Sized(2.0)), ask(Sized(2.0), by=3.0), ask(Sized(3.0)), ask(Sized(2.0))]
    assert answers == [2.0, 2.0, 6.0, 3.0, 2.0]
    assert asked == [2.0, 6.0, 3.0]
    forget()
    ask(Sized(2.0))
    assert asked == [2.0, 6.0, 3.0, 2.0]


def test_only_the_last_answers_are_kept() -> None:
    asked: list[float] = []

    @remembered(2)
    def ask(size: float) -> float:
        asked.append(size)
        return size

    for size in (1.0, 2.0, 3.0, 1.0):
        ask(size)
    assert asked == [1.0, 2.0, 3.0, 1.0]


def test_arguments_of_unknown_content_are_asked_each_time() -> None:
    asked: list[object] = []

    @remembered(8)
    def ask(what: object) -> int:
        asked.append(what)
        return len(asked)

    unknown: list[object] = [object(), lambda: 1, iter([1.0])]
    for what in unknown:
        with pytest.raises(TypeError, match=r"the content of a .* is not known"):
            content(what)
        assert ask(what) < ask(what)


def test_errors_are_not_kept() -> None:
    calls: list[float] = []

    @remembered(8)
    def ask(size: float) -> float:
        calls.append(size)
        message = "no"
        raise ValueError(message)

    for _ in range(2):
        with pytest.raises(ValueError, match="no"):
            ask(1.0)
    assert calls == [1.0, 1.0]


def test_known_gives_the_first_of_the_same_content() -> None:
    forget()
    first, again, other = Sized(7.0), Sized(7.0), Sized(-0.0)
    assert known(first) is first
    assert known(again) is first
    assert known(Sized(0.0)) is not known(other)


def test_contents_are_hashable() -> None:
    values: list[object] = [1, "a", (1, [2.0]), {"a": [1]}, frozenset({1}), {1, 2}, np.zeros(3), Side.ABOVE, b"x", 1j]
    for value in values:
        found: Hashable = content(value)
        assert hash(found) == hash(content(value))
