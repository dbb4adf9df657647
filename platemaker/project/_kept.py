"""Answers of fields in the store: kept as they came, and taken only for exactly what they were calculated from."""

from __future__ import annotations

import json
from typing import Any

from platemaker.export import Store
from platemaker.fields import fields_kept, mark_fields

PIECE = "field"


def taken(store: Store | None, key: str) -> dict[str, Any] | None:
    """The answer that is kept for `key`, a fingerprint of all that it was calculated from; None where there is none."""
    if store is None or not fields_kept(store.folder):
        return None
    held = store.take(key)
    return json.loads(held[PIECE]) if held else None


def keep(store: Store | None, key: str, answer: dict[str, Any]) -> None:
    """Keep an answer for `key`."""
    if store is not None:
        store.put(key, {PIECE: json.dumps(answer).encode()})
        mark_fields(store.folder)
