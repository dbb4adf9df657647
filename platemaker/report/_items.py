"""Findings that have one cause, as one item: what a reader settles at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate

from platemaker.checks import Finding, Sense, Verdict, missing_share, worst_first
from platemaker.parts import Stack
from platemaker.records import Record
from platemaker.report._causes import Causes
from platemaker.report._records import identified
from platemaker.report._said import worded
from platemaker.units import Words, joined, said
from platemaker.views import Shown, finding_numbers

NO_CURE = "no cure found: no change tried, of one key or of two, settles it without making another check fail"


WITH, TWINS = ", together with ", " and "
"""Between changes of one cure, and between keys of twin parts that change alike."""


class Cure(Record):
    """A change of one key of the spec that cures an item: the values as the spec would state them.

    `clears` and `worsens` say what else changes, a phrase each. `also` are changes that go with it, as key, was, to.
    """

    key: str
    was: str
    to: str
    clears: tuple[Words, ...] = ()
    worsens: tuple[Words, ...] = ()
    also: tuple[tuple[str, str, str], ...] = ()

    @property
    def changes(self) -> tuple[tuple[str, str, str], ...]:
        """Key, was and to of everything that is changed."""
        return ((self.key, self.was, self.to), *self.also)

    @property
    def effects(self) -> Words:
        """What else changes, in words; empty where nothing does."""
        return joined(said("clears", clears=list(self.clears)) if self.clears else "", *self.worsens)


class Item(Record):
    """Findings of one verdict that have one cause, worst first, each with its id.

    `sought` says that cures were looked for: without `cures` none was found. `first` is the number of the first cure.
    """

    named: tuple[tuple[str, Finding], ...]
    cures: tuple[Cure, ...] = ()
    sought: bool = False
    first: int = 1

    @property
    def advice(self) -> tuple[Shown, ...]:
        """The cures in words, numbered through all items; that none was found; nothing where none was looked for."""
        if self.sought and not self.cures:
            return (worded(NO_CURE),)
        return tuple(worded(cure_words(one, f"cure {number}: ")) for number, one in enumerate(self.cures, self.first))

    @property
    def identity(self) -> str:
        """The id of the worst finding."""
        return self.named[0][0]

    @property
    def worst(self) -> Finding:
        """The finding that misses most of its limit."""
        return self.named[0][1]

    @property
    def verdict(self) -> Verdict:
        """What all of them say."""
        return self.worst.verdict

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts and bodies that they are of, each once."""
        return tuple(dict.fromkeys(found.part for _, found in self.named))

    @property
    def features(self) -> tuple[str, ...]:
        """The features that they name, each once."""
        return tuple(dict.fromkeys(one for _, found in self.named for one in found.features))

    @property
    def title(self) -> str:
        """What was measured, with a capital letter."""
        text = self.worst.title
        return text[:1].upper() + text[1:]

    @property
    def share(self) -> float | None:
        """How much of its limit the worst one misses; None where nothing was measured or the limit is 0."""
        share = missing_share(self.worst)
        return share if self.worst.measured is not None and math.isfinite(share) else None


def items_of(
    stack: Stack, findings: Sequence[Finding], cures: Mapping[str, Sequence[Cure]] | None = None
) -> tuple[Item, ...]:
    """The findings by their causes, worst first: by verdict, then by the share of its limit that the worst one misses.

    `cures` are found elsewhere, by the id of the item's worst finding; an empty entry says that none was found.
    """
    causes, groups = Causes(stack), _Groups()
    for place, (_, found) in enumerate(named := identified(worst_first(findings))):
        groups.join(place, causes.key(found), causes.sums(found))
    known = cures or {}
    items = [Item(tuple(named[place] for place in places)) for places in groups.all()]
    counts = accumulate((len(known.get(one.identity, ())) for one in items), initial=1)
    return tuple(
        Item(one.named, tuple(known.get(one.identity, ())), one.identity in known, first)
        for one, first in zip(items, counts, strict=False)
    )


class _Groups:
    """Places that share a key, or are linked by others that do. The first of each group keeps its order."""

    def __init__(self) -> None:
        self._root: dict[object, int] = {}
        self._parent: list[int] = []

    def join(self, place: int, *keys: object) -> None:
        self._parent.append(place)
        for key in keys:
            if key is not None:
                first, second = sorted((self._of(self._root.setdefault(key, place)), self._of(place)))
                self._parent[second] = first

    def all(self) -> Iterable[list[int]]:
        groups: dict[int, list[int]] = {}
        for place in range(len(self._parent)):
            groups.setdefault(self._of(place), []).append(place)
        return groups.values()

    def _of(self, place: int) -> int:
        while self._parent[place] != place:
            place = self._parent[place]
        return place


def where(item: Item, most: int = 3) -> str:
    """The parts and the features of the worst finding, and how many more findings there are.

    >>> from platemaker.checks import Limit, measured
    >>> found = measured("PM101", "wall", "lid", ["a", "b"], 2.0, Limit(3.0, "mm", "common practice"))
    >>> where(Item((("1", found), ("2", found))))
    'lid, a, b and 1 more'
    """
    worst, others = item.worst, len(item.named) - 1
    text = ", ".join([worst.part, *[one for one in worst.features if one != worst.part][:most]])
    return f"{text} and {others} more" if others else text


def amounts(item: Item) -> Shown:
    """What was measured, the limit, and by what share it is missed; what is missing where nothing was measured."""
    found = item.worst
    if found.measured is None:
        return worded(found.note or "not checked")
    numbers, share = finding_numbers(found), share_words(item)
    behind = f", {share}" if share else ""
    return Shown(
        f"{numbers.measured.metric}, {numbers.required.metric}{behind}",
        f"{numbers.measured.inch}, {numbers.required.inch}{behind}",
    )


def cure_words(cure: Cure, begin: str = "") -> Words:
    """A cure in words.

    >>> worded(cure_words(Cure("parts.lid.thickness", "20", "24", ("3 findings",), ("mass up by 0.4 kg",)))).metric
    'parts.lid.thickness from 20 to 24: clears 3 findings; mass up by 0.4 kg'
    >>> cure_words(Cure("parts.foot.legs[0]", "60", "64", also=(("parts.foot.legs[1]", "40", "38"),)))
    'parts.foot.legs[0] from 60 to 64, together with parts.foot.legs[1] from 40 to 38'
    """
    changes = begin + WITH.join(f"{key} from {was} to {to}" for key, was, to in cure.changes)
    return said("cure", changes=changes, effects=cure.effects) if cure.effects else changes


def sentence(item: Item) -> Shown:
    """An item in one sentence: what, where, how much, the limit, by what share it is missed."""
    words = amounts(item)
    return Shown(*(f"{item.title}, {where(item)}: {text}." for text in (words.metric, words.inch)))


def share_words(item: Item) -> str:
    """By what share of its limit the worst finding misses it; empty where there is no such share, as below 0.

    >>> from platemaker.checks import Limit, measured
    >>> found = measured("PM101", "wall", "lid", ["a"], 2.0, Limit(3.0, "mm", "common practice"))
    >>> share_words(Item((("PM101:lid:a", found),)))
    '33 % short'
    """
    below = item.worst.sense is Sense.AT_LEAST and (item.worst.measured or 0.0) < 0
    if item.share is None or item.share <= 0 or below:
        return ""
    if item.worst.sense is Sense.AT_MOST and item.share >= 1:
        return f"{1 + item.share:.1f} times as much"
    percent = f"{100 * item.share:.0f}" if item.share >= 0.01 else f"{100 * item.share:.1f}"
    return f"{percent} % {'short' if item.worst.sense is Sense.AT_LEAST else 'over'}"
