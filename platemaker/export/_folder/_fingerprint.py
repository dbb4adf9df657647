"""What a file is made from, as one digest: the part with all its fields, and the code that makes the file."""

from __future__ import annotations

import hashlib
import os
import struct
from collections.abc import Mapping, Sequence
from enum import Enum
from functools import cache
from importlib import metadata
from pathlib import Path

from msgspec import Struct

import platemaker
from platemaker.export._solid._step import timestamp
from platemaker.records import names_of

LIBRARIES = ("cadquery", "cadquery-ocp", "ezdxf", "matplotlib", "numpy", "reportlab", "rectpack", "scipy")
"""Whose version may change a file."""


_packed = struct.Struct(">d").pack


def fingerprint(*values: object) -> str:
    """SHA-256, in hex, over the values, the code's version and the time that files bear.

    Values are records, enums, numbers, texts, bytes, sequences and mappings, which count in their order; TypeError
    for any other, whose content is not known.

    >>> fingerprint(1.0) == fingerprint(1.0), fingerprint(1.0) == fingerprint(1), fingerprint("ab") == fingerprint("a")
    (True, False, False)
    """
    pieces: list[bytes] = []
    _add((code_version(), timestamp(), values), pieces)
    return hashlib.sha256(b"".join(pieces)).hexdigest()


@cache
def code_version() -> str:
    """Digest of the package's own files and of the versions of the libraries that make files."""
    digest = hashlib.sha256(platemaker.__version__.encode())
    root = Path(platemaker.__file__).parent
    for place, folders, files in os.walk(root):
        folders[:] = sorted(folder for folder in folders if folder != "__pycache__")
        below = Path(place).relative_to(root).as_posix()
        for name in sorted(files):
            content = Path(place, name).read_bytes()
            digest.update(f"{below}/{name}\0{len(content)}\0".encode() + content)
    for name in LIBRARIES:
        digest.update(f"{name} {_version(name)}\0".encode())
    return digest.hexdigest()


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "missing"


def _add(value: object, pieces: list[bytes]) -> None:
    """The value in bytes, each kind with a letter of its own and each length too, so that no two values look alike."""
    if isinstance(value, float):
        pieces.append(b"f" + _packed(value))
    elif isinstance(value, Enum):
        _add_text("e", f"{type(value).__qualname__}.{value.name}", pieces)
    elif isinstance(value, str):
        _add_text("s", value, pieces)
    elif isinstance(value, tuple | list):
        _add_all("t", value, pieces)
    elif isinstance(value, Struct):
        kind = type(value)
        _add_all("r", [kind.__qualname__, *(getattr(value, name) for name in names_of(kind))], pieces)
    elif isinstance(value, Mapping):
        _add_all("m", list(value.items()), pieces)
    elif value is None or isinstance(value, bool):
        pieces.append(f"{value};".encode())
    elif isinstance(value, int):
        pieces.append(f"i{value};".encode())
    elif isinstance(value, bytes):
        pieces += (f"b{len(value)};".encode(), value)
    else:
        message = f"a {type(value).__name__} has no fingerprint"
        raise TypeError(message)


def _add_all(kind: str, values: Sequence[object], pieces: list[bytes]) -> None:
    pieces.append(f"{kind}{len(values)};".encode())
    for one in values:
        _add(one, pieces)


def _add_text(kind: str, text: str, pieces: list[bytes]) -> None:
    data = text.encode()
    pieces += (f"{kind}{len(data)};".encode(), data)
