"""How a reader of the catalog finds a row, and what it says when there is none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from platemaker.errors import CatalogError, nearest_word

T = TypeVar("T")


def found(rows: Mapping[str, T], key: str, what: str) -> T:
    """The row under `key`. Raises CatalogError with the words that are allowed and the nearest of them."""
    if key in rows:
        return rows[key]
    raise missing(what, key, rows)


def missing(what: str, met: str, allowed: Iterable[str], nearest: str | None = None) -> CatalogError:
    """The error for a word that no row bears: `what` names the kind of thing, as in 'thread' or 'material'."""
    words = tuple(allowed)
    message = f"no {what} {met!r} in the catalog; allowed: {', '.join(words)}"
    nearest = nearest or nearest_word(met, words)
    if nearest:
        message += f"; did you mean '{nearest}'?"
    return CatalogError(message, words, met)
