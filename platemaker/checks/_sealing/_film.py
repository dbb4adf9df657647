"""A joint's film in place of the hand figures: what it is calculated from, and the findings that follow.

The hand figures, a strip between two bolts and a flat plate over the opening, are first estimates; where a film was
calculated for exactly this state, its figure is held against the same limits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from platemaker.catalog import gasket_values
from platemaker.checks._bolts._pressure import Loaded, loaded_joints
from platemaker.checks._bolts._stiffness import stiffness_of
from platemaker.checks._finding import Finding, Limit, Verdict, measured
from platemaker.checks._loads._joint_loads import cases_of, every_share, loads_on
from platemaker.checks._sealing._bending import DEFLECTION
from platemaker.checks._sealing._sealing import BOW, CRUSHED, SEATED, TIGHT
from platemaker.checks._sealing._strips import recovery
from platemaker.errors import CatalogError, GeometryError, OutOfRange
from platemaker.fields import Ends, FilmCase, Pressed, Push, SealAnswer, SealInput
from platemaker.formulas import pattern_properties
from platemaker.parts import Joint, Stack
from platemaker.plane import Point, Region
from platemaker.records import Record, asdict, replace
from platemaker.resolved import Bolt, resolved_stack
from platemaker.units import joined

ESTIMATES = (SEATED, TIGHT, BOW, DEFLECTION)
"""Checks whose hand figures are first estimates of what the film gives."""
FIRST = "first estimate"
CALCULATED = "the film between the faces, by finite elements (`platemaker seal`)"


def seal_input(stack: Stack, name: str) -> SealInput | str:
    """What a joint's film is calculated from; in words why there is none."""
    joint = next(one for one in stack.joints if one.name == name)
    if joint.bolts is None:
        return f"joint {name} has no bolts"
    if not joint.ports:
        return f"joint {name} has no opening: there is nothing to seal"
    if stack.design is None:
        return "the spec has no `design`, and so neither preload nor pressures"
    if joint.gasket is not None:
        try:
            gasket_values(joint.gasket.material, joint.gasket.thickness)
        except CatalogError as fault:
            return f"joint {name}: no curve of the gasket: {fault.args[0]}"
    found = list(loaded_joints(stack))
    own = [one for one in found if isinstance(one, Loaded) and one.joint is joint]
    if not own:
        why = (one.note for one in found if isinstance(one, Finding) and one.features[:1] == (name,))
        return f"joint {name}: the preload is not known: {next(why, 'nothing holds its bolts')}"
    return _input(stack, joint, min(own, key=lambda one: one.budget.low))


def _input(stack: Stack, joint: Joint, one: Loaded) -> SealInput | str:
    budget, line, name = one.budget, one.line, joint.name
    settled = budget.tightened[0] - budget.relaxed - budget.embedded
    hot = None if budget.hot is None else settled + budget.hot
    ends = Ends(budget.tightened[0], settled, hot, settled + budget.cold, budget.high)
    if min(value for value in asdict(ends).values() if value is not None) <= 0 or line is None:
        return f"joint {name}: nothing is left of its preload in the worst corner"
    bolts = resolved_stack(stack).bolts_of(name)
    stiff = [_stiffness(bolt) for bolt in bolts]
    if any(k is None for k in stiff):
        return f"joint {name}: the length of a bolt is not known"
    try:
        pushes = tuple(_pushes(stack, joint))
    except OutOfRange as fault:
        return f"joint {name}: {fault.args[0]}"
    sheet = joint.gasket
    values = gasket_values(sheet.material, sheet.thickness) if sheet else None
    pressures = [Pressed(case.name, case.pressure, case.pressure) for case in cases_of(one.design, joint)]
    if joint.pressure is None and one.design.vacuum > 0:
        pressures.append(Pressed("vacuum", one.design.vacuum, -one.design.vacuum))
    factor = None if values is None or sheet is None else sheet.factor if sheet.factor is not None else values.factor
    return SealInput(
        stack, resolved_stack(stack).joint(name), bolts, tuple(k for k in stiff if k is not None), ends,
        values.modulus if values else None, values.recovery if values else 1.0, factor,
        line.opened, _each(line.spaces, "exits"), _each(line.spaces, "outlines"), line.regions,
        tuple(pressures), pushes, budget.faults,
    )  # fmt: skip


def _each(spaces: Sequence[object], what: str) -> tuple[Region, ...]:
    found = {id(one.region): one.region for space in spaces for one in getattr(space, what)}
    return tuple(found.values())


def _stiffness(bolt: Bolt) -> float | None:
    length = bolt.long
    return None if length is None or not bolt.is_closed else stiffness_of(bolt, length).bolt


def _pushes(stack: Stack, joint: Joint) -> Iterator[Push]:
    """Every combination of the ways of a joint's loads, without pressure; what acts across is left to friction."""
    if not loads_on(stack, joint):
        return
    centre = pattern_properties(list(joint.spots.values()))
    for shares in every_share(stack, joint, None, 0.0):
        m_x, m_y, _ = shares.moments
        yield Push(shares.words, shares.pull, m_x + shares.pull * centre.y, m_y + shares.pull * centre.x)


def by_films(findings: Sequence[Finding], answers: Mapping[str, SealAnswer]) -> list[Finding]:
    """The findings with films in place of first estimates, and a word on those that no film was calculated for."""
    return [_by_film(one, answers) if one.check in (*ESTIMATES, CRUSHED) else one for one in findings]


def _by_film(found: Finding, answers: Mapping[str, SealAnswer]) -> Finding:
    answer = answers.get(found.features[0]) if found.features else None
    if found.measured is None or found.required is None:
        return found
    value = None if answer is None or answer.given.faults else _value(found, answer)
    if answer is None or value is None:
        if found.check not in ESTIMATES:
            return found
        return replace(found, note=joined(found.note, "estimate: `platemaker seal` calculates it"))
    source = f"{found.source}; {CALCULATED}"
    limit = Limit(found.required, found.unit, source, sense=found.sense)
    if found.check in (BOW, DEFLECTION):
        limit = _returns(answer, source)
    made = measured(
        found.check, _title(found), found.part, found.features, value.measured, limit,
        points=_points(found, answer, value.at),
        inputs=[
            *found.inputs, (FIRST, found.measured, found.unit), ("difference of two meshes", value.doubt, found.unit)
        ],
        note="; ".join(filter(None, (value.words(answer), *(f"{one} taken as rigid" for one in answer.given.rigid)))),
    )  # fmt: skip
    is_advice = found.check == DEFLECTION or (found.check == SEATED and value.measured > 0)
    return replace(made, verdict=Verdict.CAUTION) if is_advice and made.verdict is Verdict.FAIL else made


def _returns(answer: SealAnswer, source: str) -> Limit:
    """What the sheet springs back, by both of its limits."""
    sheet = answer.given.joint.joint.gasket
    if sheet is None:
        message = f"joint {answer.joint} has no gasket"
        raise GeometryError(message)
    return recovery(gasket_values(sheet.material, sheet.thickness), sheet.thickness, source)


def _title(found: Finding) -> str:
    names = {
        SEATED: "gasket pressure where a leak meets most, as bolted up",
        BOW: "flange bow where a leak meets most against gasket recovery",
        DEFLECTION: "flange lifting under load against gasket recovery",
        CRUSHED: "greatest pressure on the gasket",
    }
    if found.check == TIGHT:
        return f"gasket pressure where a leak meets most under {found.features[-1]}"
    return names[found.check]


class _Figure(Record):
    """A figure for a finding, on its safe side, the case it is of, what two meshes differ by, and its place."""

    measured: float
    case: FilmCase
    doubt: float
    at: Point | None

    def words(self, answer: SealAnswer) -> str:
        """The case, and where its leak gets out if the figure is of that place."""
        way = answer.way_out(self.case) if self.at == self.case.at else ""
        return ", ".join(filter(None, (self.case.words, way)))


def _points(found: Finding, answer: SealAnswer, at: Point | None) -> Sequence[tuple[float, float, float]]:
    """The film's place on the part, at the height of the estimate's points."""
    side = next((one for one in answer.given.joint.sides if one.owner == found.part), None)
    if at is None or not found.points or side is None or side.mounting is None:
        return found.points
    return ((*side.mounting.in_plan(at), found.points[0][2]),)


def _value(found: Finding, answer: SealAnswer) -> _Figure | None:
    field = answer.field
    if found.check == TIGHT:
        cases = [one for one in field.cases if one.name == found.features[-1]]
        return _least(answer, min(cases, key=lambda one: answer.least(one) or 0.0, default=None))
    low, high = field.case("bolted up, low"), field.case("bolted up, high")
    if low is None or high is None:
        return None
    if found.check == SEATED:
        return _least(answer, low)
    if found.check == CRUSHED:
        most = max(high.pressure)
        return _Figure(most, high, field.doubt(high), field.finest.middle(high.pressure.index(most)))
    if found.check == BOW:
        at = _at(answer, high)
        return None if at is None else _Figure(_bow(answer, high, high.closure[at]), high, 0.0, high.at)
    lifts = [_Figure(_lift(answer, low, one), one, 0.0, one.at) for one in field.cases if one.before]
    return max(lifts, key=lambda one: one.measured, default=None)


def _least(answer: SealAnswer, case: FilmCase | None) -> _Figure | None:
    least = None if case is None else answer.least(case)
    return None if case is None or least is None else _Figure(least, case, answer.field.doubt(case), case.at)


def _at(answer: SealAnswer, case: FilmCase) -> int | None:
    """The number, among the film's cells, of the one where a leak meets most."""
    mesh = answer.field.finest
    if case.at is None:
        return None
    column = round((case.at[0] - mesh.start[0]) / mesh.pitch - 0.5)
    row = round((case.at[1] - mesh.start[1]) / mesh.pitch - 0.5)
    number = row * mesh.shape[1] + column
    return mesh.cells_of_land.index(number) if number in mesh.cells_of_land else None


def _bow(answer: SealAnswer, case: FilmCase, closed: float) -> float:
    """How much less the film is `closed` where a leak meets most than at the bolts that it passes by, mm."""
    mesh, spots = answer.field.finest, answer.given.joint.joint.spots
    middles = [mesh.middle(number) for number in range(len(case.closure))]
    nearest = [
        min(range(len(middles)), key=lambda number: math.dist(middles[number], spots[name]))
        for name in answer.passed_by(case)
    ]
    return max(sum(case.closure[number] for number in nearest) / len(nearest) - closed, 0.0) if nearest else 0.0


def _lift(answer: SealAnswer, low: FilmCase, case: FilmCase) -> float:
    """How much the film has opened, since it was closed first, where a leak meets most, mm."""
    at = _at(answer, case)
    return 0.0 if at is None else max(low.closure[at] - case.closure[at], 0.0)
