"""Fields in colours: one map for all of them, and its picture, a dot for each value."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

MAP = "cividis"
"""Dark blue to yellow, even in lightness: for readers with any colour vision (Nuñez and others 2018), and in grey."""
OPEN = "#b9c0c7"
"""Where a field has nothing, such as faces that do not touch."""


def dots(values: NDArray[np.float64], most: float) -> bytes:
    """PNG of a field, a dot for each value from 0 to `most`, the first row at its foot: OPEN for 0, white for NaN."""
    import matplotlib as mpl  # noqa: PLC0415 - half a second
    from PIL import Image  # noqa: PLC0415

    share = np.nan_to_num(values / most if most > 0 else values)
    painted = mpl.colormaps[MAP](share, bytes=True)[..., :3]
    painted[values <= 0] = [int(OPEN[k : k + 2], 16) for k in (1, 3, 5)]
    painted[np.isnan(values)] = 255
    held = io.BytesIO()
    Image.fromarray(painted[::-1]).save(held, "PNG")
    return held.getvalue()
