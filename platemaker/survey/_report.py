"""Residuals and suspects in words and records."""

from __future__ import annotations

import math

from platemaker.survey._equations import Array, Equations, Layout, Observation
from platemaker.survey._records import ReadingKind
from platemaker.survey._results import JudgedReading, Point, Suspect
from platemaker.survey._snoop import Search, blunder


def judged_readings(equations: Equations, found: Search) -> tuple[JudgedReading, ...]:
    """One record an equation, in the order of the readings, diameters of features first."""
    return tuple(_judged(equations, found, row) for row in range(len(equations.observations)))


def _judged(equations: Equations, found: Search, row: int) -> JudgedReading:
    observation = equations.observations[row]
    factor, unit = _unit(observation)
    residual = float(found.fit.residuals[row]) * factor
    checked = not math.isnan(found.tests.test[row])
    return JudgedReading(
        reading=observation.reading,
        features=observation.features,
        title=title(observation),
        unit=unit,
        read=observation.value * factor,
        adjusted=observation.value * factor + residual,
        residual=residual,
        sigma=observation.sigma * factor,
        redundancy=float(found.tests.redundancy[row]),
        test=float(found.tests.test[row]) if checked else None,
        blunder=blunder(equations, found, row)[0] * factor if checked else None,
        set_aside=row in found.set_aside,
        ends=_ends(equations.layout, found.fit.unknowns, observation),
    )


def title(observation: Observation) -> str:
    """Words for one equation: `reading 7, B-D inside` or `diameter of B`."""
    if observation.reading is None:
        return f"diameter of {observation.features[0]}"
    return observation.reading.title


def _unit(observation: Observation) -> tuple[float, str]:
    """Factor to the reading's own unit. The parallel condition of a width is an angle too."""
    kind = observation.reading.kind if observation.reading else ReadingKind.DIAMETER
    held_parallel = kind in (ReadingKind.EDGE_TO_EDGE, ReadingKind.DEPTH) and observation.value == 0.0
    return (math.degrees(1.0), "deg") if kind.unit == "deg" or held_parallel else (1.0, "mm")


def suspects_of(equations: Equations, found: Search, judged: tuple[JudgedReading, ...]) -> tuple[Suspect, ...]:
    """Readings set aside and the first of those that cannot be told apart, the one farthest off in deviations first."""
    suspects = []
    for row in found.set_aside:
        test = float(found.tests.test[row])
        size, sigma = blunder(equations, found, row)
        suspects.append(_suspect(judged[row], test, size, sigma, equations.observations[row], ()))
    if found.tied:
        row, others = found.tied[0], tuple(judged[i].title for i in found.tied[1:])
        size, sigma = blunder(equations, found, row)
        test = float(found.tests.test[row]) if found.tied_error is None else -size / sigma
        suspects.append(_suspect(judged[row], test, size, sigma, equations.observations[row], others))
    return tuple(sorted(suspects, key=lambda suspect: -abs(suspect.test)))


def _suspect(
    judged: JudgedReading, test: float, size: float, sigma: float, observation: Observation, others: tuple[str, ...]
) -> Suspect:
    factor, unit = _unit(observation)
    size, sigma = size * factor, sigma * factor
    kind = observation.reading.kind if observation.reading else ReadingKind.DIAMETER
    if kind is ReadingKind.STRAIGHT:
        say = f"off the line by {abs(size):.2f} mm; look again"
    elif unit == "deg":
        say = f"{abs(size):.2f} deg too {'wide' if size > 0 else 'narrow'}; read it again"
    elif kind is ReadingKind.DIAMETER:
        say = f"{abs(size):.2f} mm too {'large' if size > 0 else 'small'}; read it again"
    else:
        say = f"{abs(size):.2f} mm too {'long' if size > 0 else 'short'}; read it again"
    if others:
        say += f" (or as well: {'; '.join(others)}: the readings cannot tell which)"
    return Suspect(judged, test, size, sigma, others, f"{judged.title}: {say}")


def _ends(layout: Layout, unknowns: Array, observation: Observation) -> tuple[Point, Point]:
    """Two points between which a picture may draw the reading."""
    rounds = [_place(layout, unknowns, name) for name in observation.features if name in layout.rounds]
    lines = [name for name in observation.features if name in layout.edges]
    if len(rounds) > 1:
        return rounds[0], rounds[-1]
    if rounds and lines:
        return rounds[0], _foot(layout, unknowns, lines[0], rounds[0])
    if len(lines) > 1:
        middle = tuple(unknowns[: 2 * len(layout.rounds)].reshape(-1, 2).mean(axis=0)) if layout.rounds else (0.0, 0.0)
        at = (float(middle[0]), float(middle[1]))
        return _foot(layout, unknowns, lines[0], at), _foot(layout, unknowns, lines[1], at)
    return rounds[0], rounds[0]


def _place(layout: Layout, unknowns: Array, name: str) -> Point:
    i = layout.x(name)
    return float(unknowns[i]), float(unknowns[i + 1])


def _foot(layout: Layout, unknowns: Array, name: str, at: Point) -> Point:
    angle, offset = unknowns[layout.angle(name) : layout.angle(name) + 2]
    gap = math.cos(angle) * at[0] + math.sin(angle) * at[1] - offset
    return float(at[0] - gap * math.cos(angle)), float(at[1] - gap * math.sin(angle))
