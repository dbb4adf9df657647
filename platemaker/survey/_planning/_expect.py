"""What the next reading should be: from rough places and what was read so far, and which reading lies outside that.

Readings are taken up one after another, in the file's order. Each is first predicted from the rough places and those
before it: with the covariance Q of the unknowns and its own derivatives a it should read h +- 3 sqrt(a Q a' + s^2). One
outside is questioned at once and does not count for those after it. Source: sequential least squares, Ghilani and Wolf,
Adjustment Computations (from memory).
"""

from __future__ import annotations

import numpy as np

from platemaker.records import Record, replace
from platemaker.survey._adjustment._equations import Equations, Observation
from platemaker.survey._answer._slips import meant_as, other_kind
from platemaker.survey._arrays import Array
from platemaker.survey._figure._possible import NOMINAL_SIGMA
from platemaker.survey._records import Feature, Network, Reading
from platemaker.units import MM_PER_INCH

SURE = 3.0
"""Deviations to either side of what is expected: 99.7 % of the normal distribution."""
TYPICAL, ANY_DIAMETER = 8.0, 5.0
"""Diameter of which nothing is known, and its deviation, mm."""
STEPS = 4
"""Steps of the adjustment after each reading."""


class Expected(Record):
    """What a reading should be: `value` +- `half`, in its `unit`; `read` is what it was read as, if it was.

    `inch`: whether readings are typed in inches.
    """

    title: str
    number: int
    value: float
    half: float
    unit: str
    read: float | None = None
    cause: str = ""
    inch: bool = False

    @property
    def words(self) -> str:
        """One line: what to expect, or what to ask."""
        size, unit = (MM_PER_INCH, "in") if self.inch and self.unit == "mm" else (1.0, self.unit)
        digits = (1 if self.half >= 0.1 else 2) + (2 if unit == "in" else 0)
        least = 0.001 if unit == "in" else 0.01
        span = f"{self.value / size:.{digits}f} ± {max(self.half / size, least):.{digits}f} {unit}"
        if self.read is None:
            return f"next {self.title}: expect {span}"
        why = f": {self.cause}" if self.cause else ""
        return f"{self.title} reads {self.read / size:.6g} {unit}, {span} expected{why}; read it again"


class Progress(Record):
    """How far a survey has come: readings and diameters `taken` and `waiting`, the next one, and those in question."""

    taken: int
    waiting: int
    next: Expected | None
    questioned: tuple[Expected, ...]


def progress(network: Network) -> Progress | None:
    """The progress of a survey; None where some round feature has no rough place."""
    rounds = [feature for feature in network.features if feature.kind.is_round]
    if any(feature.rough is None for feature in rounds):
        return None
    return _Sequence(network).run()


class _Sequence:
    def __init__(self, network: Network) -> None:
        self._network = network
        waiting = tuple(replace(reading, value=1.0) for reading in network.waiting)
        sized = tuple(
            replace(feature, diameter=_nominal(feature)[0])
            if feature.kind.is_round and feature.diameter is None
            else feature
            for feature in network.features
        )
        readings = tuple(sorted((*network.readings, *waiting), key=lambda reading: reading.number))
        self._equations = Equations(replace(network, features=sized, readings=readings, waiting=(), pictures=()))
        layout = self._equations.layout
        self._prior, sigmas = np.zeros(layout.size), np.ones(layout.size)  # no reading that counts moves an edge
        for name in layout.rounds:
            rough = network.by_name[name].rough
            if rough is not None:
                at = layout.x(name)
                self._prior[at : at + 2], sigmas[at : at + 2] = rough.at, rough.sigma
        for name in layout.sized:
            self._prior[layout.diameter(name)], sigmas[layout.diameter(name)] = _nominal(network.by_name[name])
        for number, error in enumerate(layout.shared, start=2 * len(layout.rounds) + len(layout.sized)):
            self._prior[number], sigmas[number] = error.mean, error.sigma
        self._information = np.diag(1.0 / sigmas**2)
        self._unknowns = self._prior.copy()
        self._active = np.zeros(len(self._equations.values), dtype=bool)

    def run(self) -> Progress:
        """Take up the readings one after another."""
        questioned, following, waiting = list[Expected](), None, 0
        unread = {f.name for f in self._network.features if f.kind.is_round and f.diameter is None}
        late = {reading.number for reading in self._network.waiting}
        for row, observation in enumerate(self._equations.observations):
            if observation.shared is not None:
                continue
            reading = observation.reading
            open_ = observation.features[0] in unread if reading is None else reading.number in late
            waiting += open_
            if any(name in self._equations.layout.edges for name in observation.features):
                continue
            expected = self._expected(row, observation)
            if open_:
                following = following or expected
            elif abs(observation.value * observation.shown[0] - expected.value) > expected.half:
                questioned.append(self._asked(expected, observation))
            else:
                self._take(row)
        taken = len(self._equations.observations) - len(self._equations.layout.shared) - waiting
        return Progress(taken, waiting, following, tuple(questioned))

    def _expected(self, row: int, observation: Observation) -> Expected:
        computed, slopes = self._equations.evaluate(self._unknowns)
        a, (factor, unit) = slopes[row], observation.shown
        half = SURE * float(np.sqrt(a @ np.linalg.solve(self._normal(slopes), a) + observation.sigma**2))
        reading, number, title = observation.reading, 0, observation.title
        if reading is not None:
            number, title = reading.number, reading.title.removeprefix("reading ")
        value = float(computed[row]) * factor
        return Expected(title, number, value, half * factor, unit, inch=self._network.inch)

    def _asked(self, expected: Expected, observation: Observation) -> Expected:
        read = observation.value * observation.shown[0]
        cause = ""
        if observation.is_length:
            cause = meant_as(read, expected.value, expected.half, inch=self._network.inch)
            layout = self._equations.layout
            sizes = {name: float(self._unknowns[layout.diameter(name)]) for name in layout.sized}
            if not cause and isinstance(observation.reading, Reading):
                cause = other_kind(observation.reading, expected.value, expected.half, sizes)
        return replace(expected, read=read, cause=cause)

    def _take(self, row: int) -> None:
        self._active[row] = True
        for _ in range(STEPS):
            computed, slopes = self._equations.evaluate(self._unknowns)
            weights = self._active / self._equations.sigmas**2
            right = slopes.T @ (weights * (self._equations.values - computed))
            right += self._information @ (self._prior - self._unknowns)
            step = np.linalg.solve(self._normal(slopes), right)
            self._unknowns = self._unknowns + step
            if float(np.abs(step).max()) < 1e-6:
                break

    def _normal(self, slopes: Array) -> Array:
        weighted = slopes * (self._active / self._equations.sigmas**2)[:, None]
        return np.asarray(slopes.T @ weighted + self._information)


def _nominal(feature: Feature) -> tuple[float, float]:
    """A diameter before it is read, and its deviation, mm."""
    if feature.rough is not None and feature.rough.diameter is not None:
        return feature.rough.diameter, NOMINAL_SIGMA
    return TYPICAL, ANY_DIAMETER
