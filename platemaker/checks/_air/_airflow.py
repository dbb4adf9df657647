"""Airflow through the stack: speed at each station, what it costs, and what would help.

Losses are of steady flow between long ducts; the pulses of an engine and the swirl behind a blower are not in them.
Above a Mach number of 0.3 they are a lower bound.
"""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._air._air_losses import Air, AirStep, ChamberFlow, chamber_flow, losses, total_loss
from platemaker.checks._air._air_path import Station, air_path, apart
from platemaker.checks._air._chambers import chambers
from platemaker.checks._finding import Finding, Input, Limit, Sense, Verdict, measured, not_checked, quantities
from platemaker.checks._loads._boost import inputs_of_boost
from platemaker.errors import OutOfRange
from platemaker.formulas import (
    about,
    blower_boost_ratio,
    blower_mass_flow,
    compressor_outlet_temperature,
    duct_state,
    four_stroke_mass_flow,
    gas_density,
    pascals_to_inches_of_water,
    pressure_loss,
)
from platemaker.parts import Design, Kind, Part, Side, Stack
from platemaker.records import Record, kept_with, replace
from platemaker.resolved import blower_speed, boost_of
from platemaker.spec import AirBendModel, AirModel, BlowerModel, EngineModel
from platemaker.units import Phrase, Words, joined, said

SPEED, AIR_LOSS, LARGEST_LOSS, PAIR = "PM951", "PM952", "PM953", "PM954"
DEEPER = 2.0
"""How much deeper a chamber is tried, mm."""
MOST_MACH = 0.6
"""Fails above it: near 0.6 an engine's filling falls off (Heywood 1988, sec. 6.2.4, from memory)."""
SHARE_OF_BOOST = (0.20, 0.05)
"""Loss as a share of boost: fail, caution. Common practice, no source."""


class AirReport(Record):
    """The whole calculation: the flow, where it comes from, the path and its steps."""

    air: Air
    words: str
    path: tuple[Station, ...]
    steps: tuple[AirStep, ...]
    bends: tuple[AirBendModel, ...]

    @property
    def loss(self) -> float:
        """Pressure lost, Pa."""
        return total_loss(self.steps)

    @property
    def crossings(self) -> tuple[ChamberFlow, ...]:
        """The flow across each chamber."""
        return tuple(step.crossing for step in self.steps if step.crossing)

    @property
    def low(self) -> float:
        """Pressure lost if every chamber loses the least within its uncertainty, Pa."""
        return self.loss + sum(flow.low - flow.loss for flow in self.crossings)

    @property
    def high(self) -> float:
        """Pressure lost if every chamber loses the most within its uncertainty, Pa."""
        return self.loss + sum(flow.high - flow.loss for flow in self.crossings)

    @property
    def choked(self) -> AirStep | None:
        """The first step that cannot pass the flow."""
        return next((step for step in self.steps if step.choked), None)

    @property
    def largest_loss(self) -> int:
        """Place of the largest pressure loss."""
        return max(range(len(self.steps)), key=lambda place: self.steps[place].loss)

    def with_station(self, place: int, station: Station) -> float:
        """The loss, Pa, with another station at a place: the same calculation again."""
        return total_loss(losses([*self.path[:place], station, *self.path[place + 1 :]], self.air, self.bends))


BOOST, LOST, LEAST_LOST, MOST_LOST = "boost", "lost in all", "lost at least", "lost at most"
"""Symbols of the pressures, Pa, that the finding of the whole loss is made from."""


def airflow(stack: Stack) -> AirReport | str:
    """The air calculated through a stack, or in words what is missing for it; kept with it for the next reader."""
    return kept_with(stack, "_airflow", lambda: _calculated(stack))


def _calculated(stack: Stack) -> AirReport | str:
    design = stack.design
    if design is None or (design.air is None and design.blower is None and design.engine is None):
        return "the spec's `design` has no air: give `air`, `blower` or `engine`"
    settings = design.air or AirModel()
    path = air_path(stack, Side(settings.towards))
    if len(path) < 2:
        return "no placed plate has an opening that meets the port of its joint"
    closed = any(not station.regions for station in path)
    fault = next((chamber.fault for chamber in chambers(path) if chamber.fault and not closed), "")
    flow = fault or mass_flow_of(design, settings)
    if isinstance(flow, str):
        return flow
    air, words = flow
    return AirReport(air, words, path, losses(path, air, settings.bends), settings.bends)


def mass_flow_of(design: Design, settings: AirModel) -> tuple[Air, str] | str:
    """The flow through the plates: the spec's own, else what the blower moves, else what the engine breathes."""
    ambient, T_1 = settings.inlet_pressure * 1e6, settings.inlet_temperature
    pressure = ambient + design.boost * 1e6
    blower = design.blower
    T_2 = settings.outlet_temperature
    if T_2 is None:
        efficiency = blower.efficiency if blower else BlowerModel.model_fields["efficiency"].default
        T_2 = compressor_outlet_temperature(T_1, pressure / ambient, efficiency) if design.boost > 0 else T_1
    if settings.mass_flow is not None:
        return Air(settings.mass_flow, pressure, T_2), "mass flow of the spec"
    if blower is not None:
        speed = blower_speed(blower, design.engine)
        flow = blower_mass_flow(blower.per_turn * 1e-6, speed, blower.volumetric_efficiency, gas_density(ambient, T_1))
        return Air(flow, pressure, T_2), f"{about(blower_mass_flow).citation}, blower at {speed:g} rpm"
    engine = design.engine
    if engine is not None:
        flow = engine_flow(engine, pressure, T_2)
        return Air(flow, pressure, T_2), f"{about(four_stroke_mass_flow).citation}, engine at {engine.speed:g} rpm"
    return "the spec's `design` has neither mass flow, blower nor engine"


def engine_flow(engine: EngineModel, pressure: float, temperature: float) -> float:
    """What a four-stroke engine breathes, kg/s, of air at a pressure, Pa, and temperature, K."""
    density = gas_density(pressure, temperature)
    return four_stroke_mass_flow(engine.displacement * 1e-6, engine.speed, engine.volumetric_efficiency, density)


def check_airflow(stack: Stack) -> Iterator[Finding]:
    """Mach number at every station, the loss of the whole way, the station of largest loss and what would lower it."""
    design = stack.design
    if design is None:
        return
    report = airflow(stack)
    if isinstance(report, str):
        if design.air or design.blower or design.engine:
            yield not_checked(AIR_LOSS, "airflow through the stack", _first_plate(stack), ("air",), report)
        return
    for part in apart(stack):
        reason = f"no joint with an opening joins {part} to the way of the air that is calculated"
        yield not_checked(AIR_LOSS, "airflow through the stack", part, ("air", part), reason)
    for step in report.steps:
        yield _mach(stack, report, step, (design.air or AirModel()).mach)
    if report.choked is None:
        yield _total(stack, report, design)
        yield from _largest_loss(stack, report, design)
    yield from _pair(stack, design)


def _first_plate(stack: Stack) -> str:
    plates = [part.name for part in stack.parts if part.kind is Kind.PLATE]
    return plates[0] if plates else stack.parts[0].name


def _owner(stack: Stack, report: AirReport, place: int) -> str:
    """The part to which a finding on a station belongs: a body's port goes with the plate next to it."""
    if report.path[place].part:
        return report.path[place].part
    plates = {part.name for part in stack.parts if part.kind is Kind.PLATE}
    near = sorted(report.path, key=lambda other: abs(report.path.index(other) - place))
    return next((other.part for other in near if other.part in plates), _first_plate(stack))


def _points(stack: Stack, name: str, station: Station) -> list[tuple[float, float, float]]:
    """The middle of a station in its plate's frame."""
    part: Part | None = next((part for part in stack.parts if part.name == name and part.places), None)
    if part is None or not station.regions:
        return []
    x0, y0, x1, y1 = station.regions[0].bounds
    return [part.places[0].to_local(((x0 + x1) / 2, (y0 + y1) / 2, station.height))]


def _inputs(report: AirReport, step: AirStep) -> list[Input]:
    air, station = report.air, step.station
    crossed = step.crossing
    on = f", on the speed in {crossed.chamber.inflow.name}" if crossed else ""
    return [
        ("mass flow", air.mass_flow, "kg/s", report.words),
        ("p_0 at the entry", air.pressure, "Pa", "absolute"),
        ("p_0 here", step.pressure, "Pa", "absolute, what was lost before taken off"),
        ("T_0", air.temperature, "K"),
        ("area", station.area, "mm2"),
        ("wetted perimeter", station.perimeter, "mm"),
        ("hydraulic diameter", step.diameter, "mm"),
        ("area of the jet" if crossed else "area shared with the station before", step.shared, "mm2"),
        ("speed there", step.tight.speed, "m/s"),
        ("density there", step.tight.density, "kg/m3"),
        *(
            (("speed before", crossed.before.speed, "m/s"), ("density before", crossed.before.density, "kg/m3"))
            if crossed
            else ()
        ),
        ("K", step.coefficient, "", said("method", method=step.method, on=on)),
        ("loss", step.loss, "Pa"),
    ]


def _mach(stack: Stack, report: AirReport, step: AirStep, caution: float) -> Finding:
    place = report.steps.index(step)
    part, mach = _owner(stack, report, place), max(step.state.mach, step.tight.mach)
    limit = Limit(
        max(MOST_MACH, caution), "Mach", f"{about(duct_state).citation}; warned above {caution:g} by the spec",
        caution, Sense.AT_MOST,
    )  # fmt: skip
    name = f"throat of {step.crossing.chamber.station.name}" if step.crossing else step.station.name
    note: Words = said("air_speed", speed=(step.tight.speed, "m/s"), loss=(step.loss / 1000, "kPa"))
    if step.choked and step.shared <= 0:
        note = step.method
    elif step.choked:
        share = max(step.state.share_of_choking, step.tight.share_of_choking)
        note = said("choked", share=(share, ""))
    return measured(
        SPEED, f"air speed, {name}", part, (step.station.feature, f"{place + 1}"), mach, limit,
        points=_points(stack, part, step.station), inputs=_inputs(report, step), note=note,
    )  # fmt: skip


def _total(stack: Stack, report: AirReport, design: Design) -> Finding:
    boost, loss = design.boost * 1e6, report.loss
    words: Words = said("loss", loss=(loss / 1000, "kPa"), column=(pascals_to_inches_of_water(loss), "inH2O"))
    if report.crossings:
        words = joined(words, said("loss_within", loss=((report.low / 1000, report.high / 1000), "kPa")))
    inputs: list[Input] = [(step.station.name, step.loss, "Pa", step.method) for step in report.steps]
    if boost == 0:
        found = not_checked(
            AIR_LOSS,
            "pressure loss through the stack",
            _first_plate(stack),
            ("air",),
            joined("no boost to compare it with", words),
        )
        return replace(found, inputs=quantities(inputs))
    fail, caution = SHARE_OF_BOOST
    limit = Limit(
        fail, "of boost", f"{about(pressure_loss).citation}; limit: common practice, no source", caution, Sense.AT_MOST
    )
    inputs += [(BOOST, boost, "Pa"), (LOST, loss, "Pa")]
    if report.crossings:
        inputs += [(LEAST_LOST, report.low, "Pa"), (MOST_LOST, report.high, "Pa")]
    title, part = "pressure loss through the stack", _owner(stack, report, report.largest_loss)
    found = measured(AIR_LOSS, title, part, ("air",), loss / boost, limit, inputs=inputs, note=words)
    most = measured(AIR_LOSS, title, part, ("air",), report.high / boost, limit)
    # What a chamber may lose within its uncertainty is no pass.
    return advised(replace(found, verdict=most.verdict)) if found.verdict is Verdict.PASS else found


def helps(report: AirReport, settings: AirModel) -> tuple[tuple[Phrase, float], ...]:
    """What a larger mouth radius, or a larger opening, at the step of largest loss would save, Pa; below 0: cost.

    The step lies between two stations: opening out the narrower one, before or behind, is what helps.
    """
    place = report.largest_loss
    mouth, opening = settings.larger_mouth, settings.larger_opening
    crossing = report.steps[place].crossing
    if crossing is not None:
        return tuple(_across_helps(report, crossing, report.steps[place].pressure, mouth))
    rounder, chamfered = report.path[place].rounder(mouth), report.path[place].chamfer is not None
    larger = said("larger_mouth", radius=(mouth, "mm"))
    words = said("mouth_not_chamfer", radius=(rounder.mouth_radius, "mm")) if chamfered else larger
    changed = [(words, place, rounder)]
    for other in (place, place - 1):
        if other >= 0 and report.path[other].part:
            words = said("larger_opening", name=report.path[other].name, by=(opening, "mm"))
            changed.append((words, other, report.path[other].wider(opening)))
    return tuple((words, report.loss - report.with_station(at, station)) for words, at, station in changed)


def _across_helps(
    report: AirReport, crossing: ChamberFlow, pressure: float, mouth: float
) -> Iterator[tuple[Phrase, float]]:
    """What a deeper chamber, or a larger mouth radius behind it, would save, Pa."""
    chamber, behind = crossing.chamber, crossing.chamber.outflow
    sideways = chamber.sideways * (chamber.depth + DEEPER) / chamber.depth
    deeper = said("deeper", name=chamber.station.name, by=(DEEPER, "mm"))
    changed = [(deeper, replace(chamber, sideways=sideways))]
    if behind.part:
        rounder = replace(chamber, stations=(*chamber.stations[:-1], behind.rounder(mouth)))
        changed.append((said("larger_mouth_at", radius=(mouth, "mm"), name=behind.name), rounder))
    for words, other in changed:
        flow = chamber_flow(other, report.air, pressure)
        if flow is not None:
            yield words, crossing.loss - flow.loss


def _largest_loss(stack: Stack, report: AirReport, design: Design) -> Iterator[Finding]:
    """The largest pressure loss, as a share of boost, and what would lower it."""
    place = report.largest_loss
    step, part = report.steps[place], _owner(stack, report, place)
    title, features = "largest pressure loss", (step.station.feature,)
    if design.boost == 0 or report.loss == 0:
        return
    try:
        saved = helps(report, design.air or AirModel())
    except OutOfRange as fault:
        yield not_checked(LARGEST_LOSS, title, part, features, str(fault.args[0]))
        return
    ways: list[Words] = [said("saves", way=words, loss=(gain / 1000, "kPa")) for words, gain in saved]
    note = said("largest_loss", name=step.station.name, method=step.method, ways=ways)
    limit = Limit(SHARE_OF_BOOST[1], "of boost", "advice; common practice, no source", sense=Sense.AT_MOST)
    inputs: list[Input] = [
        *_inputs(report, step),
        *(("saved", gain, "Pa", words) for words, gain in saved),
    ]
    yield advised(
        measured(
            LARGEST_LOSS, title, part, features, step.loss / (design.boost * 1e6), limit,
            points=_points(stack, part, step.station), inputs=inputs, note=note,
        )
    )  # fmt: skip


def _pair(stack: Stack, design: Design) -> Iterator[Finding]:
    """Boost that engine and blower make of each other, against the specified one."""
    boost = boost_of(design)
    if boost.produced is None or design.boost == 0:
        return
    source = f"{about(blower_boost_ratio).citation}; limit: common practice, no source"
    limit = Limit(0.25, "of boost", source, sense=Sense.AT_MOST)
    found = measured(
        PAIR, "specified boost against boost produced", _first_plate(stack), ("boost",),
        abs(boost.produced - design.boost) / design.boost, limit, inputs=inputs_of_boost(design, boost),
        note=said("boost_made", boost=(boost.produced * 10, "bar")),
    )  # fmt: skip
    yield advised(found)
