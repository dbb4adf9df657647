"""The one place that loads the solid kernel, on first use."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from types import ModuleType
from typing import Any, TypeAlias

Solid: TypeAlias = Any
"""A kernel solid. Other rooms pass it on and ask this room's functions about it."""


@cache
def kernel() -> Any:
    """The kernel's module."""
    # Its binding loads the whole of a drawing library, a quarter of the time, only to see that it is there.
    with _stand_in("vtk"):
        import cadquery  # noqa: PLC0415 - takes a second, which commands that make no solid must not pay

    return cadquery


@contextmanager
def _stand_in(name: str) -> Iterator[None]:
    """An empty module in the place of one that is not loaded yet, for as long as the block lasts."""
    if name in sys.modules:
        yield
        return
    sys.modules[name] = ModuleType(name)
    try:
        yield
    finally:
        del sys.modules[name]


@cache
def kernel_faults() -> tuple[type[Exception], ...]:
    """What the kernel raises when an operation fails: its exceptions have no common root of their own."""
    from OCP import Standard, StdFail  # noqa: PLC0415 - part of the kernel

    named = [thing for module in (Standard, StdFail) for thing in vars(module).values()]
    own = [thing for thing in named if isinstance(thing, type) and issubclass(thing, Exception)]
    return (*own, ValueError, RuntimeError)
