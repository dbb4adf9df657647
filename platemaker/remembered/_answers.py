"""Functions that keep their last answers, and records that keep what was worked out of them.

A changed spec asks most questions again with the same records. The key of an answer is the content of every argument,
to the last bit of each number: whatever a function reads, it was given, so no input can be left out of a key. Only
functions that read nothing else, and whose answers nobody changes, may be remembered.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Any, ParamSpec, TypeVar

from platemaker.remembered._content import Content, content

P = ParamSpec("P")
R = TypeVar("R")
Value = TypeVar("Value")

_FORGETTING: list[Callable[[], None]] = []


class _Call:
    """The arguments of a call, equal to others of the same content."""

    __slots__ = ("args", "content", "named")

    def __init__(self, args: tuple[Any, ...], named: dict[str, Any]) -> None:
        self.args, self.named = args, named
        self.content = Content((content(args), content(named) if named else None))

    def __hash__(self) -> int:
        return self.content.hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Call) and self.content == other.content


def remembered(most: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """A decorator: the function keeps its `most` last answers, and gives them again for arguments of the same content.

    What it raises is not kept. Arguments whose content is not known are worked out each time.
    """

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        @lru_cache(most)
        def of(call: _Call) -> R:
            return function(*call.args, **call.named)

        _FORGETTING.append(of.cache_clear)

        @wraps(function)
        def answer(*args: P.args, **named: P.kwargs) -> R:
            try:
                call = _Call(args, named)
            except TypeError:
                return function(*args, **named)
            return of(call)

        return answer

    return decorate


@remembered(256)
def _known(value: Any) -> Any:
    return value


def known(value: Value) -> Value:
    """The first record of the same content that is still remembered, with all that was worked out of it; else this."""
    found: Value = _known(value)
    return found


def forget() -> None:
    """Forget every answer: what a test or a benchmark begins with."""
    for clear in _FORGETTING:
        clear()
