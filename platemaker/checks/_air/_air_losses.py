"""Pressure that the air loses on its way: one loss at each change of section, each by a named method.

K of a step is on the speed where the air is fastest in it: in what the two sections share. The library's steps are
round; here they get the diameters of circles of the same areas, so that the ratio of areas is the true one, and a
mouth gets its radius, or its chamfer's length, over the hydraulic diameter. Density and speed are those of the
stack's entry, corrected station by station for what was lost. Friction on walls a few centimetres long is left out.

A pocket that the air crosses sideways is a chamber: its loss follows from its throat (see `_chambers`), and stands at
the station behind it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.checks._air._air_path import Station
from platemaker.checks._air._chambers import Chamber, chambers
from platemaker.formulas import (
    CHAMBER_BOUNDS,
    CHAMBER_BOUNDS_OTHER,
    CHAMBER_CONTRACTION,
    CHAMBER_TURN,
    DuctState,
    chamber_jet_area,
    chamber_loss,
    chamfered_entrance_loss,
    contraction_loss,
    duct_state,
    expansion_loss,
    hydraulic_diameter,
    jet_mixing_loss,
    mitre_bend_loss,
    pressure_loss,
    rounded_bend_loss,
    rounded_entrance_loss,
    sharp_entrance_loss,
    worked,
)
from platemaker.plane import shared_area
from platemaker.records import Record, replace
from platemaker.remembered import remembered
from platemaker.spec import SHARPEST, AirBendModel
from platemaker.units import Words, joined, said

CHAMFERS = (0.025, 0.6)
"""Lengths of chamfers in Idelchik's table, in hydraulic diameters."""
INSIDE = "in the chamber: its loss stands at the station behind it"
SAME = 1e-6
"""Sections whose areas differ by less than this share are one section: no step."""


class Air(Record):
    """The flow at the entry of the stack: kg/s, absolute stagnation pressure in Pa, temperature in K."""

    mass_flow: float
    pressure: float
    temperature: float


FAST = 0.3
"""Mach number in a jet above which the change of density counts."""


class ChamberFlow(Record):
    """What crossing a chamber costs: the jet's effective area and the area of its tightest section, mm2.

    `coefficient` is on the speed in the ports that the air comes from, `value` the loss at constant density, Pa;
    `compressible` the loss with the change of density, Pa, where the jet is fast. The true loss lies from `low` to
    `high`, Pa. `jet` is the flow in the tightest section, `before` that in the ports.
    """

    chamber: Chamber
    effective: float
    tightest: float
    coefficient: float
    value: float
    compressible: float | None
    jet: DuctState
    before: DuctState

    @property
    def loss(self) -> float:
        """The loss that is counted, Pa."""
        return self.value if self.compressible is None else max(self.value, self.compressible)

    @property
    def bounds(self) -> tuple[float, float]:
        """Between which shares of the calculated loss the true one lies."""
        return CHAMBER_BOUNDS if self.chamber.plain else CHAMBER_BOUNDS_OTHER

    @property
    def low(self) -> float:
        """Least loss within the model's uncertainty, Pa."""
        return self.value * self.bounds[0]

    @property
    def high(self) -> float:
        """Greatest loss within the model's uncertainty, Pa."""
        return self.loss * self.bounds[1]


class AirStep(Record):
    """What one station costs: the way into it, from the station before.

    `shared` is the area that both sections share, mm2; the loss coefficient is on the speed there. `state` is the flow
    in the station itself, `tight` that in the shared section, at the stagnation `pressure` that is left there, Pa.
    Behind a chamber `tight` is the flow in its jet, and the coefficient is on the speed in the ports before it.
    """

    station: Station
    diameter: float
    state: DuctState
    tight: DuctState
    shared: float
    coefficient: float
    loss: float
    method: Words
    pressure: float
    crossing: ChamberFlow | None = None

    @property
    def choked(self) -> bool:
        """Whether the section, or the way into it, cannot pass the flow."""
        return self.state.choked or self.tight.choked


@remembered(128)
def losses(path: Sequence[Station], air: Air, bends: Sequence[AirBendModel] = ()) -> tuple[AirStep, ...]:
    """The steps along a path, the first station without one; `bends` lie in its first section or its last.

    A choked station ends the sum: what lies behind it is not calculated.
    """
    found: list[AirStep] = []
    pressure, before = air.pressure, None
    crossed = {chamber.last + 1: chamber for chamber in chambers(path)}
    inside = {place for chamber in crossed.values() for place in range(chamber.first, chamber.last + 1)}
    for number, station in enumerate(path):
        if not station.regions:
            found.append(_stopped(station, 0.0, air, pressure, _closed(station)))
            break
        here = {"before": number == 0, "behind": number == len(path) - 1}
        there = [bend for bend in bends if here[bend.lies]]
        if number in crossed:
            step = _crossing(crossed[number], station, air, pressure, there)
        else:
            step = _step(None if number in inside else before, station, air, pressure, there)
            step = replace(step, method=INSIDE) if number in inside else step
        found.append(step)
        if step.choked:
            break
        pressure -= step.loss
        before = station
    return tuple(found)


def total_loss(steps: Sequence[AirStep]) -> float:
    """Pressure lost over all steps, Pa."""
    return sum(step.loss for step in steps)


def _step(
    before: Station | None, station: Station, air: Air, pressure: float, bends: Sequence[AirBendModel]
) -> AirStep:
    state = duct_state(air.mass_flow, station.area * 1e-6, pressure, air.temperature)
    diameter = hydraulic_diameter(station.area * 1e-6, station.perimeter * 1e-3) * 1e3
    shared, K = station.area, 0.0
    method: Words = "no step"
    if before is not None:
        shared = shared_area(before.regions, station.regions)
        if shared <= 0:
            return _stopped(station, diameter, air, pressure, _nothing(before, station))
        K, method = _coefficient(before, station, shared, diameter)
    tight = duct_state(air.mass_flow, shared * 1e-6, pressure, air.temperature)
    loss = pressure_loss(K, tight.density, tight.speed)
    return _bent(AirStep(station, diameter, state, tight, shared, K, loss, method, pressure), bends)


def _stopped(station: Station, diameter: float, air: Air, pressure: float, why: Words) -> AirStep:
    """A step that no air passes: choked by any flow."""
    choked = duct_state(1.0, 1e-9, pressure, air.temperature)
    return AirStep(station, diameter, choked, choked, 0.0, 0.0, 0.0, why, pressure)


def _closed(station: Station) -> Words:
    return said("air_cannot_pass", part=station.part, length=(station.length, "mm"))


def _nothing(before: Station, station: Station) -> str:
    return f"air cannot pass from {before.name} to {station.name}: no pocket joins them, and they share nothing"


def _bent(step: AirStep, bends: Sequence[AirBendModel]) -> AirStep:
    """A step with the bends in its station."""
    for bend in bends:
        turned, words = _bend(bend, step.diameter)
        loss = step.loss + pressure_loss(turned, step.state.density, step.state.speed)
        step = replace(step, loss=loss, method=joined(step.method, said("bent", bend=words, K=(turned, ""))))
    return step


def _crossing(chamber: Chamber, station: Station, air: Air, pressure: float, bends: Sequence[AirBendModel]) -> AirStep:
    """The step into the station behind a chamber, from the one before it."""
    state = duct_state(air.mass_flow, station.area * 1e-6, pressure, air.temperature)
    diameter = hydraulic_diameter(station.area * 1e-6, station.perimeter * 1e-3) * 1e3
    flow = chamber_flow(chamber, air, pressure)
    if flow is None:
        why = chamber.fault or (chamber.throat.closed if chamber.throat else "")
        return _stopped(station, diameter, air, pressure, why or "air cannot pass")
    method = "chamber: jet behind its throat, mixed out (reduced model)"
    step = AirStep(
        station, diameter, state, flow.jet, flow.tightest, flow.coefficient, flow.loss, method, pressure, flow
    )  # fmt: skip
    return _bent(step, bends)


def chamber_flow(chamber: Chamber, air: Air, pressure: float) -> ChamberFlow | None:
    """The flow across a chamber at a stagnation pressure, Pa; None where no air can pass, or nothing is known."""
    throat = chamber.throat
    if throat is None or not chamber.open:
        return None
    into, out, behind = throat.inflow, throat.outflow, chamber.outflow
    diameter = hydraulic_diameter(behind.area * 1e-6, behind.perimeter * 1e-3) * 1e3
    mouth = _mouth(behind, diameter)[0]
    sharpness = 1.0 if mouth is None else mouth / sharp_entrance_loss()
    sideways = max(chamber.sideways, SAME)
    effective = chamber_jet_area(sideways, chamber.straight, into, out, CHAMBER_TURN * sharpness)
    before = duct_state(air.mass_flow, into * 1e-6, pressure, air.temperature)
    narrowed = 0.0
    if out < into:  # what passes straight enters a narrower port
        whole = contraction_loss(_across(into), _across(out)) * (into / out) ** 2
        narrowed = whole * sharpness * min(1.0, chamber.straight / out)
    K = chamber_loss(effective, into, out) + narrowed
    value = pressure_loss(K, before.density, before.speed)
    tightest = min(throat.area, CHAMBER_CONTRACTION * chamber.sideways + chamber.straight)
    jet = duct_state(air.mass_flow, tightest * 1e-6, pressure, air.temperature)
    compressible = None
    if jet.mach > FAST:
        compressible = jet_mixing_loss(air.mass_flow, effective * 1e-6, out * 1e-6, pressure, air.temperature)
        compressible += pressure_loss(narrowed, before.density, before.speed)
    return ChamberFlow(chamber, effective, tightest, K, value, compressible, jet, before)


def _coefficient(before: Station, station: Station, shared: float, diameter: float) -> tuple[float, Words]:
    """K on the shared section, and how it was found: a way in, then a way out."""
    K = 0.0
    words: list[Words] = []
    if shared < before.area * (1 - SAME):
        # A mouth out of a large space, less by what the section before is not large: as Crane scales a step.
        whole, word = _mouth(station, diameter)
        K += (
            contraction_loss(_across(before.area), _across(shared))
            if whole is None
            else whole * (1 - shared / before.area)
        )
        words.append(word)
    if shared < station.area * (1 - SAME):
        K += expansion_loss(_across(shared), _across(station.area))
        words.append("sudden expansion (Borda and Carnot)")
    return K, said("steps", steps=words) if words else "no step"


def _mouth(station: Station, diameter: float) -> tuple[float | None, Words]:
    """K of a station's mouth out of a large space, None for a sharp one, and how it was found."""
    if station.mouth_radius > 0:
        whole = worked(rounded_entrance_loss, D=diameter, r=station.mouth_radius).result
        return whole, said("rounded_mouth", radius=(station.mouth_radius, "mm"))
    if station.chamfer is None:
        return None, "sudden contraction (Crane)"
    length, angle = station.chamfer
    if length < CHAMFERS[0] * diameter:
        return None, said("short_chamfer", length=(length, "mm"), angle=(angle, "deg"))
    l_c = min(length, CHAMFERS[1] * diameter)
    words = said("chamfered_mouth", length=(length, "mm"), angle=(angle, "deg"))
    return worked(chamfered_entrance_loss, D=diameter, l_c=l_c, angle=angle).result, words


def _bend(bend: AirBendModel, diameter: float) -> tuple[float, Words]:
    """K of a bend on the speed in its section, and in words; a mitre where it is tighter than half a diameter."""
    if bend.radius is None or bend.radius < diameter / 2:
        capped = said("taken_as", angle=(SHARPEST, "deg")) if bend.angle > SHARPEST else ""
        words = said("mitre_bend", angle=(bend.angle, "deg"), capped=capped)
        return mitre_bend_loss(min(bend.angle, SHARPEST)), words
    words = said("round_bend", angle=(bend.angle, "deg"), radius=(bend.radius, "mm"))
    return rounded_bend_loss(diameter, bend.radius, bend.angle), words


def _across(area: float) -> float:
    """Diameter of a circle of that area."""
    return math.sqrt(4 * area / math.pi)
