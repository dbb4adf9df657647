"""The build store: what was made from a fingerprint, kept so that it need not be made again.

Each entry is one file that appears whole or not at all and that bears its own checksum. What does not read back as it
was written counts as missing, and a store that cannot be read or written makes builds slower, never wrong.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

FORM = b"platemaker store 1"
MOST_BYTES = 512 * 2**20
"""How large the store may grow; beyond it, what was used longest ago goes first."""


def default_store(*, fresh: bool = False) -> Store:
    """The store in the user's cache folder, by the XDG Base Directory Specification: a relative path there is none."""
    given = Path(os.environ.get("XDG_CACHE_HOME", ""))
    base = given if given.is_absolute() else Path.home() / ".cache"
    return Store(base / "platemaker", fresh)


@dataclass(frozen=True)
class Store:
    """Named pieces of bytes by key, in files below `folder`. A `fresh` one gives nothing and keeps everything new."""

    folder: Path
    fresh: bool = False

    def take(self, key: str) -> dict[str, bytes] | None:
        """The pieces kept for `key`; None when there are none, or they are not what was kept."""
        path = self._path(key)
        if self.fresh:
            return None
        try:
            pieces = _unpacked(path.read_bytes(), key)
        except FileNotFoundError:
            return None
        except (OSError, ValueError):
            self._forget(path)
            return None
        with contextlib.suppress(OSError):
            os.utime(path)
        return pieces

    def put(self, key: str, pieces: Mapping[str, bytes]) -> None:
        """Keep `pieces` for `key`: written beside its place, put on disk, then named."""
        path = self._path(key)
        try:
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            handle, name = tempfile.mkstemp(prefix=".new-", dir=path.parent)
        except OSError:
            return
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(_packed(key, pieces))
                file.flush()
                os.fsync(file.fileno())
            Path(name).replace(path)
        except OSError:
            self._forget(Path(name))

    def trim(self, most: int = MOST_BYTES) -> None:
        """Forget what was used longest ago until no more than `most` bytes are kept."""
        kept = []
        for path in self.folder.glob("*/*"):
            with contextlib.suppress(OSError):
                found = path.stat()
                kept.append((found.st_mtime_ns, found.st_size, path))
        over = sum(size for _, size, _ in kept) - most
        for _, size, path in sorted(kept):
            if over <= 0:
                return
            self._forget(path)
            over -= size

    def _path(self, key: str) -> Path:
        return self.folder / key[:2] / key[2:]

    def _forget(self, path: Path) -> None:
        with contextlib.suppress(OSError):
            path.unlink()


def _packed(key: str, pieces: Mapping[str, bytes]) -> bytes:
    head = json.dumps([key, [[name, len(data)] for name, data in pieces.items()]]).encode()
    body = b"\n".join([head, b"".join(pieces.values())])
    return b"\n".join([FORM, hashlib.sha256(body).hexdigest().encode(), body])


def _unpacked(data: bytes, key: str) -> dict[str, bytes]:
    """The pieces; raises ValueError when they are not whole or another key's."""
    form, digest, body = data.split(b"\n", 2)
    if form != FORM or hashlib.sha256(body).hexdigest().encode() != digest:
        message = "the checksum does not hold"
        raise ValueError(message)
    head, rest = body.split(b"\n", 1)
    kept_for, sizes = json.loads(head)
    if kept_for != key:
        message = "kept for another key"
        raise ValueError(message)
    pieces, at = {}, 0
    for name, size in sizes:
        pieces[name] = rest[at : at + size]
        at += size
    return pieces
