"""Preload of a joint's bolts: what the torque wrench gives, from the least to the greatest."""

from __future__ import annotations

from dataclasses import dataclass

from platemaker.catalog import property_class
from platemaker.formulas import Worked, preload_from_torque, proof_load, torque_for_preload, worked
from platemaker.parts import Bolts, Design

SCATTER = 0.25
"""Share by which a nut factor without a printed range is taken to vary, up and down. Common practice, no source."""
PROOF_OF_YIELD = 0.85
"""Proof over yield strength where the standard defines no proof load (Shigley 9th ed., eq. 8-32, from memory)."""


@dataclass(frozen=True)
class Preload:
    """Forces in one bolt, N, and the torque, N.mm. `low` and `high` come from the range of the nut factor."""

    proof: Worked[float]
    strength: float
    shear_strength: float
    torque: float
    factor: tuple[float, float, float]
    low: Worked[float]
    nominal: float
    high: Worked[float]
    condition: str


def preload_of(design: Design, bolts: Bolts) -> Preload:
    """The preload of bolts that are tightened to the design's share of proof, or to the torque that the spec gives.

    Raises CatalogError for a property class that the diameter is not tabled for.
    """
    d = bolts.thread.major_diameter
    row = property_class(bolts.property_class, d)
    yield_strength = row.yield_strength or row.proof_strength or row.tensile_strength
    strength = row.proof_strength or PROOF_OF_YIELD * yield_strength
    proof = worked(proof_load, A_s=bolts.thread.stress_area, S_p=strength)
    K = design.friction.factor
    low_K = design.friction.low or K * (1 - SCATTER)
    high_K = design.friction.high or K * (1 + SCATTER)
    torque = bolts.torque
    if torque is None:
        torque = torque_for_preload(design.preload_share * proof.result, K, d)
    return Preload(
        proof,
        strength,
        0.577 * yield_strength,
        torque,
        (low_K, K, high_K),
        worked(preload_from_torque, T=torque, K=high_K, d=d),
        preload_from_torque(torque, K, d),
        worked(preload_from_torque, T=torque, K=low_K, d=d),
        design.friction.condition,
    )
