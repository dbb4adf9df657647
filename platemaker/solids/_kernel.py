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
    """What the kernel raises when an operation fails."""
    from OCP.Standard import Standard_Failure  # noqa: PLC0415 - part of the kernel

    return Standard_Failure, ValueError, RuntimeError
