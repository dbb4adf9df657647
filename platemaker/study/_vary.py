"""What a study varies: one or two keys with their values, and the grid of variants that they make."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from platemaker.errors import SpecError
from platemaker.records import Record
from platemaker.study._keys import Key, Keys
from platemaker.study._values import Choice, choices_of

MOST_KEYS = 2
"""A table and a plot show two; more would be a search, not a study."""
MOST_VARIANTS = 5000
"""Some hours of two cores."""


class Vary(Record):
    """A key and the values that it takes in turn."""

    key: Key
    choices: tuple[Choice, ...]


def varies_of(texts: Sequence[str], keys: Keys, most: int = MOST_KEYS) -> tuple[Vary, ...]:
    """What texts such as `blower_plate.pocket.wall=3..8/0.5` ask for, of up to `most` keys of one project.

    Raises SpecError for an unknown key, with the nearest valid one, and for values that are none.
    """
    if not 1 <= len(texts) <= most:
        problem = f"{len(texts)} keys to vary"
        raise SpecError(problem, allowed=f"1 to {most}" + (" without something to seek" if most == MOST_KEYS else ""))
    varies = tuple(_vary(text, keys) for text in texts)
    if len({vary.key.path for vary in varies}) < len(varies):
        problem = "one key varied twice"
        raise SpecError(problem, met=varies[0].key.text, allowed="two different keys")
    return varies


def grid(varies: Sequence[Vary]) -> tuple[tuple[Choice, ...], ...]:
    """Every combination of the values; those of the last key change quickest. Raises SpecError for too many."""
    combinations = tuple(itertools.product(*(vary.choices for vary in varies)))
    if len(combinations) > MOST_VARIANTS:
        problem = f"{len(combinations)} variants"
        raise SpecError(problem, allowed=f"at most {MOST_VARIANTS}")
    return combinations


def _vary(text: str, keys: Keys) -> Vary:
    name, given, values = text.partition("=")
    if not given or not values.strip():
        problem = "nothing to vary"
        raise SpecError(problem, met=text, allowed="KEY=VALUES, such as lid.pocket.wall=3..8/0.5 or lid.material=A,B")
    key = keys.find(name)
    return Vary(key, choices_of(values, words=key.words))
