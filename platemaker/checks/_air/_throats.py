"""Throats of the chambers: their area against the ports, what they lie between, and what crossing them costs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.checks._advice import advised
from platemaker.checks._air._air_losses import ChamberFlow
from platemaker.checks._air._air_path import air_path
from platemaker.checks._air._airflow import AirReport, airflow
from platemaker.checks._air._chambers import Chamber, chambers
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.parts import Side, Stack
from platemaker.plane import Edge, Line, Point
from platemaker.records import Record, replace
from platemaker.spec import AirModel
from platemaker.units import Words, joined, said

THROAT, TITLE = "PM955", "throat of the chamber"
SAME = 1e-6
"""A throat that is smaller than its port by less than this, mm2, is as large."""
CHORD = math.radians(10)
"""Angle of the chords with which arcs of a throat are drawn."""
Line3 = tuple[tuple[float, float, float], ...]


class ChamberAccount(Record):
    """A chamber of a part's pocket: from which station to which, its throat, and the air's way across it, if known.

    `lines` are the throat's in the part's frame, at mid height; `between` names what it lies between.
    """

    part: str
    cut: str
    chamber: Chamber
    flow: ChamberFlow | None
    lines: tuple[Line3, ...]
    between: tuple[str, ...]

    @property
    def area(self) -> float | None:
        """Area of the throat, mm2; None where it is not known."""
        return self.chamber.throat.area if self.chamber.throat else None

    @property
    def points(self) -> tuple[tuple[float, float, float], ...]:
        """Ends of the throat's lines, each once."""
        return tuple(dict.fromkeys(point for line in self.lines for point in (line[0], line[-1])))


def chamber_accounts(stack: Stack) -> tuple[ChamberAccount, ...]:
    """The chambers on the air's way through a stack."""
    settings = (stack.design.air if stack.design else None) or AirModel()
    report = airflow(stack)
    steps = report.steps if isinstance(report, AirReport) else ()
    path = report.path if isinstance(report, AirReport) else air_path(stack, Side(settings.towards))
    flows = {step.crossing.chamber.first: step.crossing for step in steps if step.crossing}
    return tuple(_account(stack, chamber, flows.get(chamber.first)) for chamber in chambers(path))


def _account(stack: Stack, chamber: Chamber, flow: ChamberFlow | None) -> ChamberAccount:
    station, throat = chamber.station, chamber.throat
    part = stack.part(station.part)
    lines: tuple[Line3, ...] = tuple(
        tuple(part.places[0].to_local((x, y, station.height)) for x, y in _chords(edge))
        for each in (throat.parts if throat else ())
        for edge in each.edges
    )
    return ChamberAccount(station.part, station.feature, chamber, flow, lines, throat.between if throat else ())


def _chords(edge: Edge) -> list[Point]:
    """Points along a line or an arc."""
    if isinstance(edge, Line):
        return [edge.start, edge.end]
    count = max(1, math.ceil(edge.length / (edge.radius * CHORD)))
    return [edge.point(k / count) for k in range(count + 1)]


def check_throats(stack: Stack) -> Iterator[Finding]:
    """The throat of every chamber against the smaller of its ports."""
    for account in chamber_accounts(stack):
        yield _throat(account)


MACH_THERE = "Mach number at the throat"


def _throat(account: ChamberAccount) -> Finding:
    chamber, throat = account.chamber, account.chamber.throat
    features = (account.cut, chamber.inflow.feature, chamber.outflow.feature)
    if throat is None:
        return not_checked(THROAT, TITLE, account.part, features, chamber.fault)
    port, name = min((throat.inflow, chamber.inflow.name), (throat.outflow, chamber.outflow.name))
    limit = Limit(port - SAME, "mm2", f"area of {name}; advice, common practice, no source", sense=Sense.AT_LEAST)
    inputs: list[Input] = [
        (f"area of {chamber.inflow.name}", throat.inflow, "mm2", "over the chamber"),
        (f"area of {chamber.outflow.name}", throat.outflow, "mm2", "over the chamber"),
        ("area that both share", chamber.straight, "mm2"),
        ("sideways throat", chamber.sideways, "mm2", "ports and what they share left out"),
        *((f"{part.kind.value} {_words(part.between)}", part.area, "mm2") for part in throat.parts),
        *_flow_inputs(account.flow),
    ]
    if throat.closed:
        limit = replace(limit, fail=chamber.inflow.area)
        return measured(THROAT, TITLE, account.part, features, 0.0, limit, inputs=inputs, note=throat.closed)
    share = (100 * throat.area / throat.inflow, "%")
    between = _words(account.between)
    note = said("throat", area=(throat.area, "mm2"), between=between, share=share, of=chamber.inflow.name)
    found = measured(
        THROAT, TITLE, account.part, features, throat.area, limit, points=_widest(account), inputs=inputs,
        note=joined(note, _flow_words(account.flow)),
    )  # fmt: skip
    return replace(advised(found), lines=account.lines)


def _words(names: Sequence[str]) -> str:
    """What a throat lies between: "between B3, B4 and the opening"; "at" what is one thing."""
    if len(names) < 2:
        return f"at {names[0]}" if names else ""
    return f"between {', '.join(names[:-1])} and {names[-1]}"


def _widest(account: ChamberAccount) -> tuple[tuple[float, float, float], ...]:
    """Both ends of the throat's longest line."""
    longest = max(account.lines, key=lambda line: math.dist(line[0], line[-1]), default=None)
    return (longest[0], longest[-1]) if longest else ()


def _flow_inputs(flow: ChamberFlow | None) -> list[Input]:
    if flow is None:
        return []
    found: list[Input] = [
        (MACH_THERE, flow.jet.mach, "", "in the jet's own area"),
        ("jet's own area", flow.tightest, "mm2"),
        ("effective area of the jet", flow.effective, "mm2"),
        ("K", flow.coefficient, "", f"on the speed in {flow.chamber.inflow.name}"),
        ("loss at constant density", flow.value, "Pa"),
        ("least loss", flow.low, "Pa"),
        ("largest loss", flow.high, "Pa"),
    ]
    return found if flow.compressible is None else [*found, ("loss, compressible", flow.compressible, "Pa")]


def _flow_words(flow: ChamberFlow | None) -> Words:
    if flow is None:
        return ""
    if flow.jet.choked:
        return said("jet_chokes", share=(flow.jet.share_of_choking, ""))
    bounds = (flow.low / 1000, flow.high / 1000)
    return said("jet", mach=(flow.jet.mach, ""), loss=(flow.loss / 1000, "kPa"), bounds=(bounds, ""))
