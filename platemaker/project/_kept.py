"""Answers of fields in the store: kept as they came, and taken only for exactly what they were calculated from."""

from __future__ import annotations

import json
from typing import Any

from platemaker.export import Store
from platemaker.fields import fields_kept, mark_fields

PIECE, CURES, OF = "field", "cures", "cures of"
"""Names of pieces: an answer, the changes that were tried on it, and the fingerprint of the spec that they changed."""


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


def add_cures(store: Store | None, key: str, spec: str, cures: dict[str, Any]) -> None:
    """Keep changes that were tried beside the answer for `key`; `spec` is a fingerprint of what they were tried on."""
    held = store.take(key) if store is not None else None
    if store is not None and held is not None:
        store.put(key, {**held, CURES: json.dumps(cures).encode(), OF: spec.encode()})


def cures_beside(store: Store | None, key: str, spec: str) -> dict[str, Any] | None:
    """The changes that are kept beside the answer for `key` and were tried on exactly this spec; None without any."""
    held = store.take(key) if store is not None else None
    return json.loads(held[CURES]) if held and held.get(OF) == spec.encode() else None
