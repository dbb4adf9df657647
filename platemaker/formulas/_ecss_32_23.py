"""Preload that a bolt gains or loses when lengths change. ECSS-E-HB-32-23A, and the elasticity behind it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.formulas._registry import above, any_number, at_least, formula
from platemaker.formulas._sources import ECSS_32_23


@formula(
    ECSS_32_23,
    "embedding and thermal preload",
    law="ΔF = δ/(1/k_b + 1/k_m)",
    gives="N",
    delta=any_number("mm"),
    k_b=above(0, "N/mm"),
    k_m=above(0, "N/mm"),
)
def force_of_length_change(delta: float, k_b: float, k_m: float) -> float:
    """Change of a bolt's force when what it clamps grows by a length more than it does, or settles by one.

    Source: ECSS-E-HB-32-23A (2010), embedding and thermal preload.
    delta: growth of the members less that of the bolt.
    k_b: stiffness of the bolt.
    k_m: stiffness of the members.
    >>> round(force_of_length_change(0.01, 300e3, 600e3), 9)
    2000.0
    """
    return delta / (1 / k_b + 1 / k_m)


@formula(
    ECSS_32_23,
    "thermal preload",
    law="δ = (Σ α_i l_i − α_b Σ l_i) ΔT",
    gives="mm",
    alphas=at_least(0, "1/K"),
    lengths=at_least(0, "mm"),
    alpha_b=at_least(0, "1/K"),
    dT=any_number("K"),
)
def thermal_mismatch(alphas: Sequence[float], lengths: Sequence[float], alpha_b: float, dT: float) -> float:
    """Length by which clamped layers grow more than the bolt through them, all equally warm.

    Source: ECSS-E-HB-32-23A (2010), thermal preload.
    alphas: expansion of each layer.
    lengths: thickness of each layer.
    alpha_b: expansion of the bolt.
    dT: rise of temperature since assembly.
    >>> round(thermal_mismatch([23.6e-6], [20.0], 11.7e-6, 90.0), 6)  # 20 x 11.9e-6 x 90
    0.02142
    """
    return dT * math.fsum((alpha - alpha_b) * length for alpha, length in zip(alphas, lengths, strict=True))


@formula(
    ECSS_32_23,
    "Table 6-3, Rz 10 to 40 µm",
    law="f_Z = 3 + 4.5 n_s + 2.5 n_i µm",
    gives="mm",
    n_s=at_least(0, "-"),
    n_i=at_least(0, "-"),
)
def embedding(n_s: float, n_i: float) -> float:
    """Length by which a bolted joint of machined faces settles: its thread, seats of head and nut, and inner faces.

    The larger of the table's values for axial and for sideways load.

    Source: ECSS-E-HB-32-23A (2010), Table 6-3, Rz 10 to 40 µm.
    n_s: seats of heads, nuts and washers.
    n_i: faces of metal on metal between the clamped parts.
    >>> embedding(1, 1)
    0.01
    """
    return (3 + 4.5 * n_s + 2.5 * n_i) / 1000
