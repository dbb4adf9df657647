"""What a value holds, as a key that two values share only where no pure function can distinguish them."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable
from enum import Enum
from functools import cache
from operator import attrgetter
from pathlib import PurePath
from typing import Any

from msgspec import Struct

from platemaker.records import names_of

_ZEROS = {1.0: (float, "0"), -1.0: (float, "-0")}
_PLAIN = frozenset({str, type(None)})


class Content:
    """The content of a value with its hash, which is worked out once."""

    __slots__ = ("hash", "value")

    def __init__(self, value: Hashable) -> None:
        self.value = value
        self.hash = hash(value)

    def __hash__(self) -> int:
        return self.hash

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Content) and self.hash == other.hash and self.value == other.value)

    def __reduce__(self) -> tuple[type[Content], tuple[Hashable]]:
        return Content, (self.value,)  # hashes of text differ from process to process


def content(value: Any) -> Hashable:
    """What a value holds, such that no pure function can distinguish values of equal contents.

    1, 1.0 and True differ, as do 0.0 and -0.0, and mappings in another order. Records keep theirs, so that it is
    worked out once. Raises TypeError for a value whose content is not known, such as a function.
    """
    kind = type(value)
    if kind is float:
        return value or _ZEROS[math.copysign(1.0, value)]
    if kind in _PLAIN:
        return value  # type: ignore[no-any-return]
    if kind is tuple or kind is list:
        return (kind, *map(content, value))
    if issubclass(kind, Struct):
        return _of_record(value, kind)
    return _of_other(value, kind)


def _of_record(value: Any, kind: type) -> Hashable:
    kept = getattr(value, "__dict__", None)
    if kept is None:
        return (kind, *map(content, _fields(kind)(value)))
    if "_content" not in kept:
        kept["_content"] = Content((kind, *map(content, _fields(kind)(value))))
    found: Content = kept["_content"]
    return found


@cache
def _fields(kind: type) -> Callable[[Any], tuple[Any, ...]]:
    names = names_of(kind)
    return attrgetter(*names) if len(names) > 1 else lambda value: tuple(getattr(value, name) for name in names)


def _of_other(value: Any, kind: type) -> Hashable:
    if kind in (int, bool, bytes, complex):
        return (kind, repr(value))
    if issubclass(kind, Enum):
        return (kind, value.name)
    if kind is dict:
        return (kind, *((content(key), content(one)) for key, one in value.items()))
    if kind in (frozenset, set):
        return (kind, frozenset(map(content, value)))
    if issubclass(kind, PurePath):
        return (kind, str(value))
    if hasattr(value, "tobytes") and hasattr(value, "dtype"):  # an array of numpy, which is not loaded for this
        return (kind, value.dtype, getattr(value, "shape", ()), value.tobytes())
    if hasattr(kind, "model_fields"):  # a model of the spec
        held = vars(value)
        return (kind, frozenset(value.model_fields_set), *((name, content(held[name])) for name in kind.model_fields))
    message = f"the content of a {kind.__name__} is not known"
    raise TypeError(message)
