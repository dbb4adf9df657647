"""Proof and breaking loads of metric bolts, ISO 898-1:2013."""

from __future__ import annotations

from platemaker.formulas._registry import above, formula
from platemaker.formulas._sources import ISO_898_1


@formula(ISO_898_1, "9.6", law="F_p = A_s S_p", gives="N", A_s=above(0, "mm2"), S_p=above(0, "MPa"))
def proof_load(A_s: float, S_p: float) -> float:
    """Proof load of a bolt.

    Source: ISO 898-1:2013, 9.6.
    A_s: nominal stress area.
    S_p: proof strength of the property class.
    >>> proof_load(36.6, 580.0)  # Table 5, M8 class 8.8: 21 200, rounded there
    21228.0
    """
    return A_s * S_p


@formula(ISO_898_1, "9.2", law="F_m = A_s R_m", gives="N", A_s=above(0, "mm2"), R_m=above(0, "MPa"))
def ultimate_load(A_s: float, R_m: float) -> float:
    """Smallest breaking load of a bolt in tension.

    Source: ISO 898-1:2013, 9.2.
    A_s: nominal stress area.
    R_m: tensile strength of the property class.
    >>> ultimate_load(58.0, 800.0)  # Table 4, M10 class 8.8: 46 400
    46400.0
    """
    return A_s * R_m
