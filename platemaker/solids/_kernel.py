"""The one place that loads the solid kernel and the mesh library that proves its solids, on first use."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from types import ModuleType
from typing import Any, TypeAlias, cast

Solid: TypeAlias = Any
"""A kernel solid. Other rooms pass it on and ask this room's functions about it."""


@cache
def kernel() -> Any:
    """The kernel's module."""
    # Its binding loads the whole of a drawing library, a quarter of the time, only to see that it is there.
    with _in_place_of("vtk", ModuleType("vtk")):
        import cadquery  # noqa: PLC0415 - takes a second, which commands that make no solid must not pay

    return cadquery


@cache
def mesh_library() -> Any:
    """The mesh library's module, for what it does without scipy, which is four fifths of its time to load."""
    with _in_place_of("scipy", None):
        import trimesh  # noqa: PLC0415 - only when a solid is proved

    return trimesh


@contextmanager
def _in_place_of(name: str, stand_in: ModuleType | None) -> Iterator[None]:
    """For as long as the block lasts, a stand-in for a module that is not loaded yet; None: as if not installed."""
    if name in sys.modules:
        yield
        return
    sys.modules[name] = cast("ModuleType", stand_in)  # None, which the types do not know, makes an import fail
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
