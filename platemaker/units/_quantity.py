"""Named quantities, and sentences that name what stands in their gaps; whoever shows them makes the words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

from platemaker.records import Record

Value: TypeAlias = float | str | tuple[float, ...]
Words: TypeAlias = "str | Phrase"
"""Words as they are, or a sentence with gaps."""


class NamedQuantity(Record):
    """A number with its symbol or name, its unit, and how it was obtained. Several numbers may belong together."""

    symbol: str
    value: Value
    unit: str = ""
    how: Words = ""

    def __str__(self) -> str:
        return self.text()

    def text(self, digits: int = 10) -> str:
        """Symbol, value with so many significant digits, unit.

        >>> print(NamedQuantity("A_s", 36.6, "mm2"))
        A_s = 36.6 mm2
        """
        values = self.value if isinstance(self.value, tuple) else (self.value,)
        shown = ", ".join(one if isinstance(one, str) else f"{one:.{digits}g}" for one in values)
        return f"{self.symbol} = {shown} {self.unit}".removesuffix(" -").rstrip()


Gap: TypeAlias = "NamedQuantity | Words | tuple[Words, ...]"


class Phrase(Record):
    """A sentence: the name of its template in `report`, and what stands in each gap of it."""

    name: str
    gaps: tuple[tuple[str, Gap], ...] = ()

    @property
    def quantities(self) -> Iterator[NamedQuantity]:
        """Every quantity in it and in the sentences within it.

        >>> [one.symbol for one in joined(said("wall", left=(2.5, "mm")), "cut again").quantities]
        ['left']
        """
        for _, gap in self.gaps:
            for one in gap if isinstance(gap, tuple) else (gap,):
                if isinstance(one, NamedQuantity):
                    yield one
                elif isinstance(one, Phrase):
                    yield from one.quantities


Given: TypeAlias = "Words | list[Words] | tuple[Value, str] | tuple[Value, str, Words]"


def said(name: str, /, **gaps: Given) -> Phrase:
    """A sentence by name; a pair fills its gap with a quantity: value, unit, and perhaps how it was obtained."""
    return Phrase(name, tuple((symbol, _gap(symbol, given)) for symbol, given in gaps.items()))


def _gap(symbol: str, given: Given) -> Gap:
    if isinstance(given, tuple):
        return NamedQuantity(symbol, *given)
    return tuple(given) if isinstance(given, list) else given


def joined(*words: Words) -> Words:
    """Sentences one behind the other, without those that are empty.

    >>> joined("", "one"), joined()
    ('one', '')
    """
    some = [one for one in words if one]
    return said(JOINED, all=some) if len(some) > 1 else some[0] if some else ""


JOINED = "joined"
