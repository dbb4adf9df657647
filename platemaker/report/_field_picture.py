"""What pictures of fields have in common: the same bytes of the same figure, and its size."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from numpy.typing import NDArray


def size_of(png: bytes) -> tuple[int, int]:
    """Width and height of a PNG, pixels: its first chunk begins with them (ISO/IEC 15948:2004, 11.2.2)."""
    return int.from_bytes(png[16:20], "big"), int.from_bytes(png[20:24], "big")


def png_of(figure: Figure, dpi: int) -> bytes:
    """A figure as PNG; what the library says of itself is left out, since it would change the bytes."""
    held = io.BytesIO()
    figure.savefig(held, format="png", dpi=dpi, metadata={"Software": None})
    return held.getvalue()


def middles(low: float, high: float, count: int) -> NDArray[np.float64]:
    """The middles of so many equal cells between two places."""
    return low + (np.arange(count) + 0.5) * (high - low) / count
