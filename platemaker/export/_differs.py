"""How a file that does not read back as it ought to is stated."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from platemaker.errors import ProofError


def differs(path: Path, what: str, *, due: str = "it should") -> ProofError:
    """The error that names the file, what it was to agree with, and what was read in it."""
    return ProofError(f"{path.name} does not read back as {due}: {what}")


def in_brackets(values: Iterable[float]) -> str:
    """Numbers, mm, as such a message shows them."""
    return "(" + ", ".join(f"{value:z.6f}" for value in values) + ")"
