"""The build store: what was made from a fingerprint, kept so that it need not be made again.

Each entry is one file that appears whole or not at all, signed with a key that the user alone can read: what others
put there, or what is cut short, counts as missing. A store that cannot be used makes builds slower, never wrong.
"""

from __future__ import annotations

import contextlib
import hashlib
import hmac
import json
import os
import secrets
import stat
import tempfile
from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path

from platemaker.fields import store_folder
from platemaker.records import Record

FORM = b"platemaker store 2"
MOST_BYTES = 512 * 2**20
"""How large the store may grow; beyond it, what was used longest ago goes first."""
LARGEST_ENTRY = 128 * 2**20
"""Bytes."""
KEY_BYTES = 32


def default_store(*, fresh: bool = False) -> Store:
    """The store in the user's cache folder, by the XDG Base Directory Specification: a relative path there is none."""
    return Store(store_folder(), fresh)


class Store(Record):
    """Named pieces of bytes by key, in files below `folder`. A `fresh` one gives nothing and keeps everything new."""

    folder: Path
    fresh: bool = False

    def has(self, key: str) -> bool:
        """Whether something is kept for `key`, whole or not."""
        return not self.fresh and self._path(key).exists()

    def take(self, key: str) -> dict[str, bytes] | None:
        """The pieces kept for `key`; None when there are none, or they are not what was kept."""
        path = self._path(key)
        if self.fresh or self._secret is None:
            return None
        try:
            pieces = _unpacked(_plain_file(path, LARGEST_ENTRY), key, self._secret)
        except FileNotFoundError:
            return None
        except (OSError, ValueError):
            self._forget(path)
            return None
        with contextlib.suppress(OSError):
            os.utime(path)
        return pieces

    def put(self, key: str, pieces: Mapping[str, bytes]) -> None:
        """Keep `pieces` for `key`: written beside its place, then named. What is too large is not kept.

        What a failing machine leaves of it bears no signature that holds, and counts as missing.
        """
        path = self._path(key)
        if self._secret is None or sum(map(len, pieces.values())) > LARGEST_ENTRY // 2:
            return
        with contextlib.suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            with _written_beside(path, _packed(key, pieces, self._secret)) as whole:
                whole.replace(path)

    @cached_property
    def _secret(self) -> bytes | None:
        """What this user's entries are signed with, made at first use; None where it is another's or cannot be kept."""
        path = self.folder / "key"
        with contextlib.suppress(OSError, ValueError):
            if not path.is_symlink() and not path.exists():
                self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
                with (
                    _written_beside(path, secrets.token_bytes(KEY_BYTES), on_disk=True) as whole,
                    contextlib.suppress(FileExistsError),
                ):
                    path.hardlink_to(whole)  # unless another build was first
            return _plain_file(path, KEY_BYTES, private=True)
        return None

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


@contextlib.contextmanager
def _written_beside(path: Path, data: bytes, *, on_disk: bool = False) -> Iterator[Path]:
    """A file beside `path` that holds `data`; gone at the end unless it was renamed. Raises OSError."""
    handle, name = tempfile.mkstemp(prefix=".new-", dir=path.parent)
    whole = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            if on_disk:
                file.flush()
                os.fsync(file.fileno())
        yield whole
    finally:
        whole.unlink(missing_ok=True)


def _plain_file(path: Path, most: int, *, private: bool = False) -> bytes:
    """What a regular file holds, not through a link. Raises OSError, and ValueError for anything else or more bytes.

    A `private` one belongs to the user, and nobody else may read it or write to it.
    """
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(path, flags), "rb") as file:
        state = os.fstat(file.fileno())
        if not stat.S_ISREG(state.st_mode) or state.st_size > most:
            message = "no regular file, or too large"
            raise ValueError(message)
        if private and hasattr(os, "getuid") and (state.st_uid != os.getuid() or state.st_mode & 0o077):
            message = "another's"
            raise ValueError(message)
        return file.read(most)


def _packed(key: str, pieces: Mapping[str, bytes], secret: bytes) -> bytes:
    head = json.dumps([key, [[name, len(data)] for name, data in pieces.items()]]).encode()
    body = b"\n".join([head, b"".join(pieces.values())])
    return b"\n".join([FORM, _signature(secret, body), body])


def _signature(secret: bytes, body: bytes) -> bytes:
    return hmac.new(secret, body, hashlib.sha256).hexdigest().encode()


def _unpacked(data: bytes, key: str, secret: bytes) -> dict[str, bytes]:
    """The pieces; raises ValueError when they are not whole or another key's."""
    form, signature, body = data.split(b"\n", 2)
    if form != FORM or not hmac.compare_digest(_signature(secret, body), signature):
        message = "the signature does not hold"
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
