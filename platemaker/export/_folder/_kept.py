"""Files from the store where it has them, made and kept where it has not."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping

from platemaker.export._folder._folder import FolderFiles, Made
from platemaker.export._folder._store import Store
from platemaker.records import asdict

MADE, FILE, PIECE = "made", "file ", "piece "


def kept(
    store: Store | None, key: str, folder: FolderFiles, make: Callable[[], Mapping[str, bytes]]
) -> Mapping[str, bytes]:
    """What `make` returns, its files being in `folder` either way: made now, or as they were made for the same `key`.

    `make` writes under `folder.path(...)` and returns what else is to be kept, by name.
    """
    pieces = taken(store, key, folder)
    if pieces is not None:
        return pieces
    first = len(folder.made)
    pieces = make()
    if store:
        made = folder.made[first:]
        files = {FILE + one.name: (folder.folder / one.name).read_bytes() for one in made}
        listed = json.dumps([asdict(one) for one in made]).encode()
        store.put(key, {MADE: listed, **files, **{PIECE + name: data for name, data in pieces.items()}})
    return pieces


def taken(store: Store | None, key: str, folder: FolderFiles) -> Mapping[str, bytes] | None:
    """What the store keeps for `key`, its files being in `folder`; None where it keeps nothing."""
    stored = store.take(key) if store else None
    if stored is None:
        return None
    for record in json.loads(stored[MADE]):
        _restore(Made(**record), stored, folder)
    return {name.removeprefix(PIECE): data for name, data in stored.items() if name.startswith(PIECE)}


def _restore(made: Made, stored: Mapping[str, bytes], folder: FolderFiles) -> None:
    stem, _, suffix = made.name.rpartition(".")
    path = folder.path(stem, suffix, made.what, part=made.part, key=made.key)
    path.write_bytes(stored[FILE + made.name])
    folder.read_back(path, made.read_back)
