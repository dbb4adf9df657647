"""Usual sizes: between which least and most a number of a spec lies as a rule, by what it is the size of."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cache, cached_property
from types import MappingProxyType

from platemaker.catalog._table import Row, table
from platemaker.units import Unit, convert, units_of


class UsualSize(Row, kw_only=True):
    """A kind of size and its usual range in `unit`; without one it is judged under other names, as its note states.

    `keys` are patterns of a spec's key paths without the names that the spec chooses, such as `*.pockets.depth`; none
    for what follows from the spec. A part counts by its kind: `plate.thickness`.
    """

    name: str
    least: float | None
    most: float | None
    unit: str
    keys: str | None

    @property
    def title(self) -> str:
        """The name in words."""
        return self.name.replace("_", " ")

    @property
    def words(self) -> str:
        """The range in words.

        >>> usual_sizes()["edge_break"].words
        '0.1 mm to 5 mm'
        """
        return f"{self.least:g} {self.unit} to {self.most:g} {self.unit}"

    @cached_property
    def measure(self) -> Unit | None:
        """The unit; None for a plain ratio."""
        return next((unit for unit in Unit if unit.symbol == self.unit), None)

    @cached_property
    def inside(self) -> tuple[float, float]:
        """Least and most in the unit used inside.

        >>> usual_sizes()["boost"].inside
        (0.002, 0.5)
        """
        low, high = self.least or 0.0, self.most or 0.0
        if self.measure is None:
            return low, high
        used = units_of(self.measure.dimension)[0]
        return convert(low, self.measure, used), convert(high, self.measure, used)

    def shown(self, value: float) -> float:
        """A value of the unit used inside in the unit of the row.

        >>> round(usual_sizes()["engine_temperature"].shown(373.15), 9)
        100.0
        """
        return convert(value, units_of(self.measure.dimension)[0], self.measure) if self.measure else value


@cache
def usual_sizes() -> Mapping[str, UsualSize]:
    """The kinds of sizes that have a usual range, by name.

    >>> usual_sizes()["plate_length"].most
    2000.0
    """
    return MappingProxyType({row.name: row for row in _rows() if row.least is not None})


@cache
def usual_size_of(keys: str) -> UsualSize | None:
    """What the number at a key path is the size of: the first row with a pattern that fits; None where none does.

    >>> usual_size_of("plate.pockets.depth").name
    'pocket_depth'
    """
    words = (keys.rpartition(".")[2], "")
    found = [place for word in words for place, pieces in _patterns().get(word, ()) if _fits(keys, *pieces)]
    return _rows()[min(found)] if found else None


def _fits(keys: str, head: str, *rest: str) -> bool:
    """Whether keys are the pieces of a pattern, split at its stars, one after another with anything between."""
    if not rest or not keys.startswith(head) or not keys.endswith(rest[-1]):
        return keys == head and not rest
    at = len(head)
    for piece in rest[:-1]:
        at = keys.find(piece, at)
        if at < 0:
            return False
        at += len(piece)
    return at + len(rest[-1]) <= len(keys)


@cache
def _patterns() -> Mapping[str, Sequence[tuple[int, list[str]]]]:
    """Places of rows with their patterns, split at their stars, by the last word; where that has a star, under ""."""
    found = defaultdict[str, list[tuple[int, list[str]]]](list)
    for place, row in enumerate(_rows()):
        for pattern in (row.keys or "").split():
            last = pattern.rpartition(".")[2]
            found["" if "*" in last else last].append((place, pattern.split("*")))
    return MappingProxyType(found)


def _rows() -> tuple[UsualSize, ...]:
    return table("usual_sizes.csv", UsualSize)
