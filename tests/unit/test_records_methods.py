"""Records behave as those that the standard library's `dataclass` makes of the same class, which is the measure here."""

from __future__ import annotations

import copy
import dataclasses
import importlib
import inspect
import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError, field
from typing import Any

import pytest

from platemaker import records
from tests.package_tree import modules


@records.dataclass(frozen=True)
class Kept:
    """A record that `pickle` finds by name."""

    size: float
    words: tuple[str, ...] = ("a",)


def made(dataclass: Callable[..., Any]) -> tuple[type, type, type]:
    """A record with all kinds of fields, one that derives from it, and one without fields, by one of the two."""

    @dataclass(frozen=True)
    class Base:
        size: float
        name: str = "plain"
        parts: list[int] = field(default_factory=list)
        hidden: int = field(default=0, compare=False, repr=False)

        def __post_init__(self) -> None:
            if self.size < 0:
                raise ValueError("size below 0")

    @dataclass(frozen=True, kw_only=True)
    class Derived(Base):
        extra: int
        size: float = 2.0

        def __repr__(self) -> str:
            return "derived"

    @dataclass(frozen=True)
    class Empty:
        pass

    return Base, Derived, Empty


OURS, THEIRS = made(records.dataclass), made(dataclasses.dataclass)
CALLS = [
    (0, (1.5,), {}), (0, (1.5, "b", [1]), {"hidden": 4}), (0, (), {"parts": [2], "size": 3.0}), (0, (-1.0,), {}),
    (0, (), {}), (0, (1.0,), {"size": 2.0}), (0, (1.0,), {"unknown": 1}), (1, (), {"extra": 1}), (1, ("n",), {"extra": 1}),
    (1, (1.0,), {}), (2, (), {}), (2, (1,), {}),
]  # fmt: skip


def outcome(act: Callable[[], object]) -> object:
    """What an act gives, or what it raises."""
    try:
        return act()
    except (TypeError, ValueError, AttributeError) as fault:
        return type(fault), str(fault).replace("made.<locals>.", "")


@pytest.mark.parametrize(("kind", "values", "named"), CALLS)
def test_made_and_shown_as_by_the_standard_library(kind: int, values: Any, named: Any) -> None:
    ours, theirs = (outcome(lambda one=one: vars(one[kind](*values, **named))) for one in (OURS, THEIRS))
    assert ours == theirs
    assert outcome(lambda: repr(OURS[kind](*values, **named))) == outcome(lambda: repr(THEIRS[kind](*values, **named)))


def test_constructor_has_the_same_parameters_once_a_record_is_made() -> None:
    OURS[0](1.0), OURS[1](extra=1)
    for ours, theirs in zip(OURS[:2], THEIRS[:2], strict=True):
        parameters = [
            [(one.name, one.kind) for one in inspect.signature(kind).parameters.values()] for kind in (ours, theirs)
        ]
        assert parameters[0] == parameters[1]


def test_equal_by_their_compared_fields_and_class() -> None:
    for base, derived, empty in (OURS, THEIRS):
        assert base(1.0, parts=()) == base(1.0, parts=(), hidden=5)
        assert hash(base(1.0, parts=())) == hash(base(1.0, parts=(), hidden=5)) == hash((1.0, "plain", ()))
        assert base(1.0) != base(2.0)
        assert base(2.0) != derived(extra=1) and base(2.0).__eq__(1) is NotImplemented
        assert empty() == empty() and hash(empty()) == hash(())


def test_nothing_is_changed_or_deleted() -> None:
    for base, _, _ in (OURS, THEIRS):
        one = base(1.0)
        with pytest.raises(FrozenInstanceError, match="cannot assign to field 'size'"):
            one.size = 2.0
        with pytest.raises(FrozenInstanceError, match="cannot delete field 'size'"):
            del one.size
        assert one.size == 1.0


def test_the_library_s_own_functions_take_them() -> None:
    one = Kept(1.0)
    assert dataclasses.is_dataclass(one) and [f.name for f in dataclasses.fields(Kept)] == ["size", "words"]
    assert dataclasses.replace(one, size=2.0) == Kept(2.0)
    assert dataclasses.asdict(one) == {"size": 1.0, "words": ("a",)}
    assert pickle.loads(pickle.dumps(one)) == one == copy.deepcopy(one)
    match one:
        case Kept(size, words):
            assert (size, words) == (1.0, ("a",))


def test_a_record_that_holds_itself_is_shown() -> None:
    inner: list[object] = []
    one = OURS[0](1.0, parts=inner)
    inner.append(one)
    assert repr(one).count("...") == 1


def test_other_kinds_of_records_are_the_standard_library_s() -> None:
    @records.dataclass
    class Open:
        size: float

    @records.dataclass(frozen=True, slots=True)
    class Slotted:
        size: float

    @records.dataclass(frozen=True, eq=False)
    class Same:
        size: float

    one = Open(1.0)
    one.size = 2.0
    assert one == Open(2.0) and not hasattr(Slotted(1.0), "__dict__")
    assert Same(1.0) != Same(1.0) and len({Same(1.0), Same(1.0)}) == 2


def test_a_cached_property_is_worked_out_once_for_each_record() -> None:
    asked = []

    class Cell:
        @records.cached_property
        def area(self) -> int:
            """Area."""
            asked.append(self)
            return len(asked)

    one, other = Cell(), Cell()
    assert (one.area, one.area, other.area) == (1, 1, 2)
    assert vars(one) == {"area": 1} and Cell.area.__doc__ == "Area."


def test_no_record_has_a_field_that_its_constructor_leaves_out() -> None:
    """Such fields are not supported, and none has been wanted."""
    kinds = [
        kind
        for module in modules()
        if "dataclass" in module.text and not module.name.endswith(("__main__", "_child"))
        for kind in vars(importlib.import_module(module.name)).values()
        if isinstance(kind, type) and dataclasses.is_dataclass(kind)
    ]
    assert len(kinds) > 300
    assert [kind for kind in kinds if not all(one.init for one in dataclasses.fields(kind))] == []
