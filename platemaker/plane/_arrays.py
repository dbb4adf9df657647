"""Columns of numbers, as one closed formula serves thousands of pieces at once.

Points are complex numbers in them: x + iy. Turning is multiplication, and the formulas fit on a line.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Complexes: TypeAlias = NDArray[np.complex128]
Floats: TypeAlias = NDArray[np.float64]
Integers: TypeAlias = NDArray[np.intp]
Booleans: TypeAlias = NDArray[np.bool_]

FEW = 1_000_000
"""Pairs looked at in one sweep of the arrays; keeps a sweep within tens of megabytes."""


def distinct(numbers: Integers) -> list[int]:
    """The different numbers, in their order. `np.unique` alone would load numpy's masked arrays, for nothing."""
    return sorted(set(numbers.tolist()))
