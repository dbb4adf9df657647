"""The one place that loads the solid kernel, on first use."""

from __future__ import annotations

from functools import cache
from typing import Any, TypeAlias

Solid: TypeAlias = Any
"""A kernel solid. Other rooms pass it on and ask this room's functions about it."""


@cache
def kernel() -> Any:
    """The kernel's module."""
    import cadquery  # noqa: PLC0415 - takes two seconds, which commands that make no solid must not pay

    return cadquery


@cache
def kernel_faults() -> tuple[type[Exception], ...]:
    """What the kernel raises when an operation fails: its exceptions have no common root of their own."""
    from OCP import Standard, StdFail  # noqa: PLC0415 - part of the kernel

    named = [thing for module in (Standard, StdFail) for thing in vars(module).values()]
    own = [thing for thing in named if isinstance(thing, type) and issubclass(thing, Exception)]
    return (*own, ValueError, RuntimeError)
