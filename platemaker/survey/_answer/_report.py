"""Residuals and suspects in words and records."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from platemaker.survey._adjustment._equations import Equations, Layout, Observation
from platemaker.survey._answer._reliability import Reliability
from platemaker.survey._answer._results import JudgedReading, Suspect
from platemaker.survey._answer._slips import meant_as
from platemaker.survey._arrays import Array
from platemaker.survey._figure._figures import Wrong
from platemaker.survey._figure._outliers import Explanation
from platemaker.survey._patterns import Point
from platemaker.survey._records import ReadingKind
from platemaker.units import said

SURE, LEAST_SLIP, WIDE = 3.0, 0.02, 0.5
"""Deviations, and least, mm, within which a slip explains an error; errors smaller than the last, mm, are no slips."""


def judged_readings(equations: Equations, found: Explanation, reliability: Reliability) -> tuple[JudgedReading, ...]:
    """One record an equation, in the order of the readings, diameters of features first."""
    layout = equations.layout
    shifts = reliability.shifts(reliability.holes(layout.rounds, placed=False))
    found_of = []
    for row in range(len(equations.observations)):
        worst = int(np.argmax(shifts[row]))
        moves = (layout.rounds[worst], float(shifts[row, worst])) if 0 < shifts[row, worst] < math.inf else None
        found_of.append(_judged(equations, found, row, reliability.least_of(row)[0], moves))
    return tuple(found_of)


def _judged(
    equations: Equations, found: Explanation, row: int, least: float, moves: tuple[str, float] | None
) -> JudgedReading:
    observation = equations.observations[row]
    factor, unit = observation.shown
    residual = float(found.fit.residuals[row]) * factor
    checked, excluded = not math.isnan(found.tests.test[row]), row in found.excluded
    redundancy = 1.0 if excluded else float(found.tests.redundancy[row])
    return JudgedReading(
        reading=observation.reading,
        features=observation.features,
        title=observation.title,
        unit=unit,
        read=observation.value * factor,
        adjusted=observation.value * factor + residual,
        residual=residual,
        sigma=observation.sigma * factor,
        redundancy=float(found.tests.redundancy[row]),
        test=float(found.tests.test[row]) if checked else None,
        blunder=-float(found.fit.residuals[row]) / redundancy * factor if checked else None,
        least=least if math.isfinite(least) else None,
        moves=moves,
        excluded=excluded,
        ends=_ends(equations.layout, found.fit.unknowns, observation),
    )


def suspects_of(equations: Equations, wrong: Sequence[Wrong], judged: tuple[JudgedReading, ...]) -> tuple[Suspect, ...]:
    """What is probably wrong, in words."""
    found = []
    for one in wrong:
        others = tuple(dict.fromkeys(judged[row].title for row in one.instead))
        found.append(_suspect(equations, one, judged[one.row], others))
    return tuple(found)


def _suspect(equations: Equations, one: Wrong, judged: JudgedReading, others: tuple[str, ...]) -> Suspect:
    observation = equations.observations[one.row]
    factor, unit = observation.shown
    size, sigma = one.size * factor, one.sigma * factor
    kind = observation.reading.kind if observation.reading else ReadingKind.DIAMETER
    if observation.shared is not None:
        found = observation.shared.words(observation.value - size, sigma)
        say = said("suspect_shared", found=found)
    elif observation.seen is not None:
        say = said("suspect_in_picture", off=(abs(size), "mm"))
    elif kind is ReadingKind.STRAIGHT:
        say = said("suspect_off_line", off=(abs(size), "mm"))
    elif unit == "deg":
        say = said("suspect", off=(abs(size), "deg"), too="wide" if size > 0 else "narrow", why="")
    else:
        words = ("large", "small") if kind is ReadingKind.DIAMETER else ("long", "short")
        read = observation.value
        # A slip that is common is named where it explains the error to within its own uncertainty.
        cause = meant_as(read, read - size, max(SURE * sigma, LEAST_SLIP), inch=equations.inch)
        why = f" ({cause})" if cause and abs(size) > WIDE else ""
        say = said("suspect", off=(abs(size), "mm"), too=words[0] if size > 0 else words[1], why=why)
    instead = said("suspect_others", others=list(others)) if others else ""
    message = said("suspect_reading", reading=judged.title, say=say, instead=instead)
    return Suspect(judged, one.test, size, sigma, others, message)


def _ends(layout: Layout, unknowns: Array, observation: Observation) -> tuple[Point, Point]:
    """Two points between which a picture may draw the reading."""
    if not observation.features:
        return (0.0, 0.0), (0.0, 0.0)
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
