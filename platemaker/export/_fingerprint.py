"""What a file is made from, as one digest: the part with all its fields, and the code that makes the file."""

from __future__ import annotations

import hashlib
import struct
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING

import platemaker
from platemaker.export._step import timestamp

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

LIBRARIES = ("cadquery", "cadquery-ocp", "ezdxf", "matplotlib", "numpy", "reportlab", "rectpack", "scipy")
"""Whose version may change a file."""


def fingerprint(*values: object) -> str:
    """SHA-256, in hex, over the values, the code's version and the time that files bear.

    Values are records, enums, numbers, texts, bytes, sequences and mappings, which count in their order; TypeError
    for any other, whose content cannot be told.

    >>> fingerprint(1.0) == fingerprint(1.0), fingerprint(1.0) == fingerprint(1), fingerprint("ab") == fingerprint("a")
    (True, False, False)
    """
    digest = hashlib.sha256()
    for piece in _pieces((code_version(), timestamp(), values)):
        digest.update(piece)
    return digest.hexdigest()


@cache
def code_version() -> str:
    """Digest of the package's own files and of the versions of the libraries that make files."""
    digest = hashlib.sha256(platemaker.__version__.encode())
    root = Path(platemaker.__file__).parent
    for path in sorted(path for path in root.rglob("*") if path.is_file() and "__pycache__" not in path.parts):
        content = path.read_bytes()
        digest.update(f"{path.relative_to(root).as_posix()}\0{len(content)}\0".encode() + content)
    for name in LIBRARIES:
        digest.update(f"{name} {_version(name)}\0".encode())
    return digest.hexdigest()


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "missing"


def _pieces(value: object) -> Iterator[bytes]:
    """The value in bytes, each kind with a letter of its own and each length told, so that no two values look alike."""
    if value is None or isinstance(value, bool):
        yield f"{value};".encode()
    elif isinstance(value, Enum):
        yield from _text("e", f"{type(value).__qualname__}.{value.name}")
    elif isinstance(value, int):
        yield f"i{value};".encode()
    elif isinstance(value, float):
        yield b"f" + struct.pack(">d", value)
    elif isinstance(value, str):
        yield from _text("s", value)
    elif isinstance(value, bytes):
        yield f"b{len(value)};".encode() + value
    elif isinstance(value, Mapping):
        yield f"m{len(value)};".encode()
        yield from (piece for pair in value.items() for piece in _pieces(pair))
    elif isinstance(value, tuple | list):
        yield f"t{len(value)};".encode()
        yield from (piece for one in value for piece in _pieces(one))
    elif is_dataclass(value) and not isinstance(value, type):
        yield from _record(value)
    else:
        message = f"a {type(value).__name__} has no fingerprint"
        raise TypeError(message)


def _record(value: DataclassInstance) -> Iterator[bytes]:
    yield from _text("r", type(value).__qualname__)
    for field in fields(value):
        yield from _pieces(getattr(value, field.name))
    yield b";"


def _text(kind: str, text: str) -> Iterator[bytes]:
    data = text.encode()
    yield f"{kind}{len(data)};".encode() + data
