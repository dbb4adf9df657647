"""Strength in shear from strength in tension. Shigley 9th ed., section 5-5."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import SHIGLEY_9


@formula(SHIGLEY_9, "eq. 5-21", law="S_sy = 0.577 S_y", gives="MPa", S_y=above(0, "MPa"))
def shear_yield_strength(S_y: float) -> float:
    """Yield strength in shear of a ductile material, by distortion energy.

    Source: Shigley 9th ed., eq. 5-21.
    S_y: yield strength in tension.
    >>> round(shear_yield_strength(276.0), 3)
    159.252
    """
    return 0.577 * S_y
