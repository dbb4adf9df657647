"""Stripping of screw threads. FED-STD-H28/2B (1991), as printed in Machinery's Handbook. Symbols in mm, P = 1/n."""

from __future__ import annotations

import math

from platemaker.formulas._registry import above, formula, refuse
from platemaker.formulas._sources import FED_STD_H28

TAN_30 = 1 / math.sqrt(3)


@formula(
    FED_STD_H28,
    "external thread shear area",
    law="A_s = π (L_e/P) K_n (P/2 + 0.57735 (E_s − K_n))",
    gives="mm2",
    L_e=above(0, "mm"),
    P=above(0, "mm"),
    K_n=above(0, "mm"),
    E_s=above(0, "mm"),
)
def external_shear_area(L_e: float, P: float, K_n: float, E_s: float) -> float:
    """Area at which the threads of the screw shear off.

    Source: FED-STD-H28/2B (1991), external thread shear area.
    L_e: length of engagement.
    P: pitch.
    K_n: largest minor diameter of the hole's thread.
    E_s: smallest pitch diameter of the screw's thread.
    Raises OutOfRange for threads that do not meet.
    >>> round(external_shear_area(1.0, 1 / 20, 0.2070, 0.2127), 3)  # 1/4-20 2A/2B, in2 an inch: 0.368
    0.368
    """
    height = P / 2 + TAN_30 * (E_s - K_n)
    if height <= 0:
        raise refuse(external_shear_area, "E_s", E_s, "a thread that meets the hole's")
    return math.pi * L_e / P * K_n * height


@formula(
    FED_STD_H28,
    "internal thread shear area",
    law="A_n = π (L_e/P) D_s (P/2 + 0.57735 (D_s − E_n))",
    gives="mm2",
    L_e=above(0, "mm"),
    P=above(0, "mm"),
    D_s=above(0, "mm"),
    E_n=above(0, "mm"),
)
def internal_shear_area(L_e: float, P: float, D_s: float, E_n: float) -> float:
    """Area at which the threads of the tapped hole shear off.

    Source: FED-STD-H28/2B (1991), internal thread shear area.
    L_e: length of engagement.
    P: pitch.
    D_s: smallest major diameter of the screw's thread.
    E_n: largest pitch diameter of the hole's thread.
    Raises OutOfRange for threads that do not meet.
    >>> round(internal_shear_area(1.0, 1 / 20, 0.2408, 0.2224), 3)  # 1/4-20 2A/2B, in2 an inch: 0.539
    0.539
    """
    height = P / 2 + TAN_30 * (D_s - E_n)
    if height <= 0:
        raise refuse(internal_shear_area, "D_s", D_s, "a thread that meets the hole's")
    return math.pi * L_e / P * D_s * height


@formula(
    FED_STD_H28,
    "shear area times shear strength",
    law="F = A τ",
    gives="N",
    A=above(0, "mm2"),
    tau=above(0, "MPa"),
)
def strip_load(A: float, tau: float) -> float:
    """Pull at which threads strip.

    Source: FED-STD-H28/2B (1991), shear area times shear strength.
    A: shear area of the threads.
    tau: shear strength of their material.
    >>> strip_load(100.0, 200.0)
    20000.0
    """
    return A * tau
