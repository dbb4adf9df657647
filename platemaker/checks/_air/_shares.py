"""Share of the air of each opening of a joint: parallel ways from the chamber above to the ports below.

All ways have the same pressures at both ends: the total pressure before they part, and behind them the static pressure
in the ports, or where they meet again. Each way's loss is calculated as the stack's is, at an even share of the flow
and as if its port alone drew air, as the cylinders of an engine do one after another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from platemaker.checks._advice import advised
from platemaker.checks._air._air_losses import Air, AirStep, losses, total_loss
from platemaker.checks._air._air_path import Station, alone, carries_air, in_plan
from platemaker.checks._air._airflow import AirReport, airflow
from platemaker.checks._air._chambers import chambers
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.formulas import about, flow_conductance, pressure_loss
from platemaker.parts import Joint, Side, Stack
from platemaker.plane import Region, overlap
from platemaker.records import Record, kept_with, replace
from platemaker.resolved import resolved_stack
from platemaker.spec import AirModel
from platemaker.units import Words, said

SHARES, TITLE = "PM956", "uneven share of the air"
Figures = tuple[tuple[Region, ...], ...]
"""What belongs to each opening of a joint in one station, in the openings' order."""


class OpeningWay(Record):
    """One opening's way: its steps at an even share of the flow, and the pressure difference for it, Pa.

    `conductance` is the flow over the root of that difference, kg/s over the root of Pa; `share` is of the joint's air.
    """

    name: str
    steps: tuple[AirStep, ...]
    pressure: float
    conductance: float
    share: float

    @property
    def station(self) -> Station:
        """Its last station: the port, or what it opens into."""
        return self.steps[-1].station


class AirShares(Record):
    """How the air of a joint divides over its openings; in words in `fault` why that is not known."""

    joint: Joint
    ways: tuple[OpeningWay, ...]
    fault: str = ""

    @property
    def even(self) -> float:
        """The share that each would have if all were alike."""
        return 1 / len(self.joint.ports)

    @property
    def worst(self) -> OpeningWay:
        """The opening whose share is farthest from an even one."""
        return max(self.ways, key=lambda way: round(abs(way.share - self.even), 9))

    @property
    def uneven(self) -> float:
        """How far that share is from an even one, as a part of an even one."""
        return abs(self.worst.share / self.even - 1)


def air_shares(stack: Stack) -> tuple[AirShares, ...]:
    """How the air divides at every joint with several openings for it; kept with the stack for the next reader."""
    return kept_with(stack, "_air_shares", lambda: _calculated(stack))


def _calculated(stack: Stack) -> tuple[AirShares, ...]:
    several = [joint for joint in stack.joints if len(joint.ports) > 1 and carries_air(joint)]
    report = airflow(stack) if several else ""
    return tuple(_shares(stack, joint, report) for joint in several)


def _shares(stack: Stack, joint: Joint, report: AirReport | str) -> AirShares:
    if isinstance(report, str):
        return AirShares(joint, (), report)
    paths = _paths(stack, joint, report)
    if isinstance(paths, str):
        return AirShares(joint, (), paths)
    start, ways = paths
    if start >= len(report.steps):
        return AirShares(joint, (), "the air chokes before it reaches the openings")
    air = replace(report.air, mass_flow=report.air.mass_flow / len(ways), pressure=report.steps[start].pressure)
    found = []
    for port, path in zip(joint.ports, ways, strict=True):
        steps = losses(path, air)
        if steps[-1].choked:
            return AirShares(joint, (), f"an even share of the air chokes at {steps[-1].station.name}")
        found.append(_way(port.name, steps, air, ends_in_port=path[-1].part == ""))
    every = sum(way.conductance for way in found)
    return AirShares(joint, tuple(replace(way, share=way.conductance / every) for way in found))


def _way(name: str, steps: tuple[AirStep, ...], air: Air, *, ends_in_port: bool) -> OpeningWay:
    """A way with its conductance; the speed that the air has in the port at its end comes out of the pressure, too."""
    pressure, last = total_loss(steps), steps[-1].state
    if ends_in_port:
        pressure += pressure_loss(1.0, last.density, last.speed)
    return OpeningWay(name, steps, pressure, flow_conductance(air.mass_flow, pressure), 0.0)


def _paths(stack: Stack, joint: Joint, report: AirReport) -> tuple[int, list[list[Station]]] | str:
    """The way of each opening from where it parts from the others to its end, and where in the path it begins."""
    path, frame = report.path, resolved_stack(stack).joint(joint.name).frame
    if frame is None:
        return "the joint has no place in the stack"
    here = min(range(len(path)), key=lambda place: abs(path[place].height - frame.origin[2]))
    apart = _apart(path, here, tuple(in_plan((port.region,), frame) for port in joint.ports))
    if not apart:
        return "its openings are one space in every part that the air goes through"
    first, last = min(apart), max(apart)
    if first == 0:
        return "the air comes out of these openings: what feeds them sets their shares"
    pockets, stop = chambers(path), last
    start = next((one.first - 1 for one in pockets if one.first < first <= one.last + 1), first - 1)
    if last + 1 < len(path):
        stop = next((one.last + 1 for one in pockets if one.first <= last + 1 <= one.last), last + 1)
    towards = Side(((stack.design.air if stack.design else None) or AirModel()).towards)
    ways = []
    for number, port in enumerate(joint.ports):
        own = [
            alone(stack, path[place], apart[place][number], port.name, towards, entry=_enters(path, place))
            for place in range(first, last + 1)
        ]
        ways.append([*path[start:first], *own, *path[last + 1 : stop + 1]])
    return start, ways


def _enters(path: Sequence[Station], place: int) -> bool:
    """Whether a station is the first that the air meets of its part."""
    return place == 0 or path[place - 1].part != path[place].part


def _apart(path: Sequence[Station], here: int, ports: Figures) -> dict[int, Figures]:
    """The stations about a joint in which its openings stay apart, and what of each belongs to which opening."""
    found: dict[int, Figures] = {}
    for step in (-1, 1):
        place, near = here, ports
        while 0 <= place < len(path):
            near = tuple(_meeting(path[place], figures) for figures in near)
            every = [region for figures in near for region in figures]
            if not all(near) or len(set(every)) < len(every):
                break
            found[place] = near
            place += step
    return found


def _meeting(station: Station, figures: Sequence[Region]) -> tuple[Region, ...]:
    return tuple(region for region in station.regions if any(overlap(region, figure) for figure in figures))


def check_shares(stack: Stack) -> Iterator[Finding]:
    """The opening of every joint that gets least or most of the air, against an even share."""
    for one in air_shares(stack):
        part = one.joint.upper.owner if one.joint.upper else one.joint.name
        if one.fault:
            yield not_checked(SHARES, TITLE, part, (one.joint.name,), one.fault)
            continue
        most = ((stack.design.air if stack.design else None) or AirModel()).uneven
        source = f"{about(flow_conductance).citation}; limit: design.air.uneven, common practice, no source"
        limit = Limit(most, "of an even share", source, sense=Sense.AT_MOST)
        inputs: list[Input] = []
        for way in one.ways:
            inputs += [
                (f"area of {way.name}", way.station.area, "mm2"),
                (f"pressure for an even share through {way.name}", way.pressure, "Pa"),
                (f"flow over its root, {way.name}", way.conductance, "kg/s over the root of Pa"),
                (f"share of {way.name}", way.share, "", "of the air"),
            ]
        shares: list[Words] = [said("share", name=way.name, share=(100 * way.share, "%")) for way in one.ways]
        note = said("shares", shares=shares)
        features = (one.joint.name, one.worst.name)
        yield advised(measured(SHARES, TITLE, part, features, one.uneven, limit, inputs=inputs, note=note))
