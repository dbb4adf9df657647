"""What hangs together by links, each a set of names."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Set as AbstractSet


def linked(start: Iterable[str], links: Sequence[AbstractSet[str]]) -> set[str]:
    """All names that are reached from `start`: a link that holds one name reached holds only such.

    >>> sorted(linked({"a"}, [{"a", "b"}, {"c", "d"}, {"b", "e"}]))
    ['a', 'b', 'e']
    """
    held = set(start)
    growing = True
    while growing:
        growing = False
        for link in links:
            if link & held and not link <= held:
                held |= link
                growing = True
    return held
