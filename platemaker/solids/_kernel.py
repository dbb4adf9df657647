"""The one place that loads the solid kernel and the mesh library that proves its solids, on first use."""

from __future__ import annotations

from functools import cache
from typing import Any, TypeAlias

from platemaker.solids._stand_in import in_name_only, without

Solid: TypeAlias = Any
"""A kernel solid. Other rooms pass it on and ask this room's functions about it."""


@cache
def kernel() -> Any:
    """The kernel's module. Its functions that show solids on a screen work only where it was loaded before."""
    # A quarter of its time to load is a drawing library that it wants to be there and that nothing here draws with.
    with in_name_only("vtk", "vtkmodules"):
        import cadquery  # noqa: PLC0415 - takes a second, which commands that make no solid must not pay

    return cadquery


@cache
def mesh_library() -> Any:
    """The mesh library's module, for what it does without scipy, which is four fifths of its time to load."""
    with without("scipy"):
        import trimesh  # noqa: PLC0415 - only when a solid is proved

    return trimesh


def load_kernel() -> None:
    """Load all that the first solid would load, for a process that makes solids and STEP files and nothing else."""
    with in_name_only("ezdxf", "nlopt", "casadi"):  # for its functions that write DXF and solve sketches
        kernel()
    mesh_library()


@cache
def kernel_faults() -> tuple[type[Exception], ...]:
    """What the kernel raises when an operation fails: its exceptions have no common root of their own."""
    from OCP import Standard, StdFail  # noqa: PLC0415 - part of the kernel

    named = [thing for module in (Standard, StdFail) for thing in vars(module).values()]
    own = [thing for thing in named if isinstance(thing, type) and issubclass(thing, Exception)]
    return (*own, ValueError, RuntimeError)
