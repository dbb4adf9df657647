"""Solids as bytes and back, exactly: the kernel's own binary form keeps every bit of every number."""

from __future__ import annotations

import io

from platemaker.solids._kernel import Solid, kernel


def solid_to_bytes(solid: Solid) -> bytes:
    """The solid in the kernel's binary form."""
    held = io.BytesIO()
    solid.exportBin(held)
    return held.getvalue()


def solid_from_bytes(data: bytes) -> Solid:
    """The solid that `solid_to_bytes` gave."""
    return kernel().Shape.importBin(io.BytesIO(data))
