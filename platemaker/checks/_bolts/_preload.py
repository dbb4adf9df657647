"""Preload of a joint's bolts: what tightening gives, from the least to the greatest, and what becomes of it.

The budget: scatter of tightening, embedding of the faces, relaxation of the gasket, growth of the members against the
bolt when they are warm and when they start cold. The worst corner of each end counts.
"""

from __future__ import annotations

from itertools import pairwise

from platemaker.catalog import Material, gasket_limits, gasket_values, material, property_class, tightening
from platemaker.checks._bolts._stiffness import Stiffness
from platemaker.checks._finding import Input
from platemaker.checks._loads._seal_lines import SealLine
from platemaker.errors import CatalogError
from platemaker.formulas import (
    Worked,
    embedding,
    force_of_length_change,
    grip_tapped,
    preload_from_torque,
    proof_load,
    stiffness_in_series,
    thermal_mismatch,
    torque_for_preload,
    worked,
)
from platemaker.parts import Bolts, Design, Joint
from platemaker.records import Record
from platemaker.resolved import Bolt
from platemaker.units import ROOM_TEMPERATURE, ZERO_CELSIUS, NamedQuantity

SCATTER = 0.25
"""Share by which a nut factor without a printed range is taken to vary, up and down. Common practice, no source."""
PROOF_OF_YIELD = 0.85
"""Proof over yield strength where the standard defines no proof load (Shigley 9th ed., eq. 8-32, from memory)."""
BY_TORQUE = ("torque wrench", "by feel")
"""Methods whose preload the nut factor's own range bears on."""
BOLT_STEEL, BOLT_STAINLESS = "1018", "304"
"""Materials of the catalog whose expansion bolts and washers have; stainless for the classes of ISO 3506."""


class Preload(Record):
    """Forces in one bolt as it is tightened, N, and the torque, N.mm.

    `factor` is the range of the nut factor that is tabled. `low` and `high` come from it or from the `scatter` of the
    method, whichever is wider.
    """

    proof: Worked[float]
    strength: float
    shear_strength: float
    torque: float
    factor: tuple[float, float, float]
    low: Worked[float]
    nominal: float
    high: Worked[float]
    condition: str
    scatter: float
    method: str
    source: str


def preload_of(design: Design, bolts: Bolts) -> Preload:
    """The preload of bolts that are tightened to the design's share of proof, or to the torque that the spec gives.

    Raises CatalogError for a property class that the diameter is not tabled for.
    """
    d = bolts.thread.major_diameter
    row = property_class(bolts.property_class, d)
    yield_strength = row.yield_strength or row.proof_strength or row.tensile_strength
    strength = row.proof_strength or PROOF_OF_YIELD * yield_strength
    proof = worked(proof_load, A_s=bolts.thread.stress_area, S_p=strength)
    K, spread = design.friction.factor, tightening(design.tightening, design.friction.threads)
    tabled = (design.friction.low or K * (1 - SCATTER), design.friction.high or K * (1 + SCATTER))
    low_K, high_K = K / (1 + spread.scatter), K / (1 - spread.scatter)
    if design.tightening in BY_TORQUE:
        low_K, high_K = min(low_K, tabled[0]), max(high_K, tabled[1])
    torque = bolts.torque
    if torque is None:
        torque = torque_for_preload(design.preload_share * proof.result, K, d)
    return Preload(
        proof,
        strength,
        0.577 * yield_strength,
        torque,
        (tabled[0], K, tabled[1]),
        worked(preload_from_torque, T=torque, K=high_K, d=d),
        preload_from_torque(torque, K, d),
        worked(preload_from_torque, T=torque, K=low_K, d=d),
        design.friction.condition,
        spread.scatter,
        design.tightening,
        spread.source,
    )


def known_preload(design: Design | None, bolts: Bolts) -> Preload | None:
    """As `preload_of`; None without a design, and for a property class that the diameter is not tabled for."""
    if design is None:
        return None
    try:
        return preload_of(design, bolts)
    except CatalogError:
        return None


class Budget(Record):
    """What one bolt's preload comes to, N: the tightened range, what is lost, what heat and cold add or take.

    `relaxed` is what the gasket gives up, `embedded` what the faces do, both at least 0; `hot` and `cold` are signed,
    `hot` None where no temperature is known. `inputs` are what they follow from, `faults` what is missing.
    """

    joint: str
    proof: float
    nominal: float
    tightened: tuple[float, float]
    relaxed: float
    embedded: float
    hot: float | None
    cold: float
    inputs: tuple[Input, ...]
    faults: tuple[str, ...] = ()

    @property
    def low(self) -> float:
        """The least that is left, N: tightened low, settled, in the worse of heat and cold; 0 where nothing is."""
        return max(self.tightened[0] - self.relaxed - self.embedded + min(0.0, self.hot or 0.0, self.cold), 0.0)

    @property
    def high(self) -> float:
        """The most that it comes to, N: tightened high, nothing settled yet, in the worse of heat and cold."""
        return self.tightened[1] + max(0.0, self.hot or 0.0, self.cold)


class _Springs(Record):
    """Stiffness of members, N/mm: pressed further, and springing back."""

    on: float
    back: float


def budget_of(
    design: Design,
    one: Bolt,
    pre: Preload,
    stiffness: Stiffness,
    line: SealLine | None,
    hot: float | None,
) -> Budget:
    """The preload budget of a screw; `hot` is its joint's highest temperature, K. Only joints have a seal line."""
    joint = one.joint
    k_b, springs = stiffness.bolt, _springs(joint, stiffness, line)
    settled = worked(embedding, n_s=_seats(one), n_i=_inner_faces(one))
    relaxation = _relaxation(joint, one)
    faults = [] if relaxation is not None else ["the catalog has no relaxation of its gasket"]
    lengths, alphas, unknown = _layers(one)
    faults += [f"the catalog has no thermal expansion for {name}" for name in unknown]
    alpha_b = _bolt_material(one.bolts).thermal_expansion or 0.0
    if hot is None:
        faults.append("no temperature is known: the spec's `design` states none, and no air")

    def change(temperature: float) -> float:
        grown = thermal_mismatch(alphas, lengths, alpha_b, temperature - ROOM_TEMPERATURE)
        return force_of_length_change(grown, k_b, springs.on if grown > 0 else springs.back)

    return Budget(
        one.group, pre.proof.result, pre.nominal, (pre.low.result, pre.high.result),
        (relaxation or 0.0) * pre.low.result, force_of_length_change(settled.result, k_b, springs.back),
        change(hot) if hot is not None and not unknown else None, change(design.cold_start) if not unknown else 0.0,
        (
            ("scatter", pre.scatter, "", f"{pre.method}, {pre.condition}; {pre.source}"),
            ("k_b", k_b, "N/mm"), ("k_m pressed further", springs.on, "N/mm"),
            ("k_m springing back", springs.back, "N/mm"), ("f_Z", settled.result, "mm"),
            ("relaxation of the gasket", relaxation or 0.0, "", "of the load"),
            *(NamedQuantity(f"layer {place}", length, "mm") for place, length in enumerate(lengths, start=1)),
            *(NamedQuantity(f"expansion of layer {place}", alpha * 1e6, "um/m K")
              for place, alpha in enumerate(alphas, start=1)),
            ("expansion of the bolt", alpha_b * 1e6, "um/m K"),
            ("warm", "not known" if hot is None else hot - ZERO_CELSIUS, "degC"),
            ("cold", design.cold_start - ZERO_CELSIUS, "degC"),
        ),
        tuple(faults),
    )  # fmt: skip


def _springs(joint: Joint | None, stiffness: Stiffness, line: SealLine | None) -> _Springs:
    """Members with each bolt's share of the whole gasket: soft when pressed on, stiff when it springs back.

    Without a gasket, or a line that bounds it, both are the metal's.
    """
    sheet, hard = joint.gasket if joint else None, stiffness.members_hard
    if joint is None or sheet is None or line is None or not line.spaces[0].outlines:
        return _Springs(hard, hard)
    values = gasket_values(sheet.material, sheet.thickness)
    whole = min(outline.region.area for outline in line.spaces[0].outlines) - line.filled
    if whole <= 0:
        return _Springs(hard, hard)
    k = values.modulus * whole / len(joint.spots) / sheet.thickness
    return _Springs(stiffness_in_series([hard, k]), stiffness_in_series([hard, k / values.recovery]))


def _seats(one: Bolt) -> int:
    """Seats of the head, of a nut, and of washers under them."""
    ends = 1 if one.tapped is not None else 2
    return ends * (2 if one.bolts.washers else 1)


def _inner_faces(one: Bolt) -> int:
    """Faces where metal meets metal between the clamped parts; none beside a gasket, no washer's own seat."""
    layers = [layer.soft for layer in one.clamped if layer.name != "washer"]
    if one.tapped is not None:
        layers.append(False)
    return sum(1 for a, b in pairwise(layers) if not a and not b)


def _relaxation(joint: Joint | None, one: Bolt) -> float | None:
    """Share of the load that the gasket loses; 0 without one, None where the catalog has none."""
    if joint is None:
        return None if any(layer.name == "gasket" for layer in one.clamped) else 0.0
    if joint.gasket is None:
        return 0.0
    limits = gasket_limits(joint.gasket.material)
    return limits.relaxation if limits else None


def _bolt_material(bolts: Bolts) -> Material:
    return material(BOLT_STAINLESS if bolts.property_class.startswith("A2") else BOLT_STEEL)


def _layers(one: Bolt) -> tuple[list[float], list[float], list[str]]:
    """Thickness and expansion of each layer between head and thread, and layers whose expansion is not known.

    A gasket is too thin to count; a thread holds on average half a diameter deep, as in the stiffness.
    """
    steel = material(BOLT_STEEL)
    found: list[tuple[str, float, Material | None]] = [
        (layer.name, layer.thickness, steel if layer.name == "washer" else layer.material)
        for layer in one.clamped
        if not layer.soft
    ]
    if one.tapped is not None:
        grip = grip_tapped(one.grip, one.tapped.thickness or one.d, one.d)
        found.append((one.tapped.owner, grip - one.grip, one.tapped.material))
    alphas = [metal.thermal_expansion if metal else None for _, _, metal in found]
    unknown = [name for (name, _, _), alpha in zip(found, alphas, strict=True) if alpha is None]
    return [length for _, length, _ in found], [alpha or 0.0 for alpha in alphas], unknown
