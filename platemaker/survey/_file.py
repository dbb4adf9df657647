"""Readings in YAML: the models of a survey file, and the way from them to a network.

units: mm
instrument: digital caliper
features:
  A: {hole: 8.45}
  B: {hole: 8.5, sd: 0.05}
  S: {stud: 7.9}
  front: edge
datum: {origin: A, x_towards: B, left: [S]}
readings:
  - {inside: [A, B], reads: 102.35}
  - {outside: [A, S], reads: [110.42, 110.45], instrument: vernier caliper}
  - {hole_to_edge: [A, front], reads: 1/2 in, sd: 0.1}
  - {straight: [A, B, S], within: 0.1}
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from platemaker.errors import Location, SpecError, SpecErrors, SurveyError, UnitError, nearest_word
from platemaker.spec import Loaded, load_yaml
from platemaker.survey._input import AGREE, allowed_instead, faults_in, in_order
from platemaker.survey._instruments import (
    DEFAULT_ANGLE,
    STATED_ANGLE,
    STATED_STRAIGHT,
    Instrument,
    instrument_named,
)
from platemaker.survey._models import FeatureModel, ReadingModel, SurveyModel, Value, faults_of
from platemaker.survey._own_instruments import own_instruments
from platemaker.survey._patterns import Pattern
from platemaker.survey._records import Datum, DatumKind, Feature, FeatureKind, Network, Reading, ReadingKind
from platemaker.survey._results import Survey
from platemaker.survey._solve import solve
from platemaker.units import LengthUnit, parse_angle, parse_length


def load_network(path: Path) -> Network:
    """The network in a survey file. Raises SpecError or SpecErrors naming file, line and key for whatever is wrong."""
    loaded = load_yaml(path)
    try:
        model = SurveyModel.model_validate(loaded.data)
    except ValidationError as fault:
        raise SpecErrors(faults_of(fault, loaded)) from None
    return _Reader(loaded, model).network()


def solve_file(path: Path) -> Survey:
    """A survey file solved. SurveyError messages start with the file's name."""
    try:
        return solve(load_network(path))
    except SurveyError as fault:
        message = f"{path.name}: {fault}"
        raise SurveyError(message) from fault


def surveyed_pattern(path: Path, features: Sequence[str] = ()) -> Pattern:
    """Round features of a survey file (all, or those named) as a pattern, rounded to 1e-6 mm, with its covariance."""
    pattern = solve_file(path).pattern(tuple(features))
    places = tuple((round(x, 6), round(y, 6)) for x, y in pattern.places)
    return Pattern(pattern.names, places, pattern.covariance)


class _Reader:
    """One file on its way to a network; faults are collected and told together."""

    def __init__(self, loaded: Loaded, model: SurveyModel) -> None:
        self._loaded, self._model = loaded, model
        self._units = LengthUnit(model.units)
        self._faults: list[SpecError] = []
        self._own: dict[str, Instrument] = {}
        self._used: dict[str, Instrument] = {}

    def network(self) -> Network:
        try:
            self._own = own_instruments(self._loaded, self._model.instruments, self._units)
        except SpecError as fault:
            self._faults.append(fault)
            # A reading with an instrument that is not understood would be told wrong that is right.
            raise SpecErrors(self._faults) from fault
        self._instrument(self._model.instrument, self._loaded.where(("instrument",)))
        features = tuple(self._feature(name, body) for name, body in self._model.features.items())
        known = not self._faults
        readings = tuple(found for i, body in enumerate(self._model.readings) if (found := self._reading(i, body)))
        datum = self._model.datum
        network = Network(
            features,
            readings,
            Datum(
                datum.origin, datum.x_towards, datum.left, datum.right, DatumKind(datum.kind),
                self._loaded.where(("datum",)),
            ),
            tuple(self._used[name].shared for name in sorted(self._used)),
        )  # fmt: skip
        if self._faults:
            # Of features that are not what they seem, readings would be told wrong that are right.
            raise SpecErrors(in_order([*self._faults, *(faults_in(network) if known else ())]))
        return network

    def _fault(
        self, problem: str, where: Location, met: object = None, allowed: str = "", nearest: str | None = None
    ) -> None:
        self._faults.append(SpecError(problem, where=where, met=met, allowed=allowed, nearest=nearest))

    def _instrument(self, name: str, where: Location) -> Instrument | None:
        try:
            return instrument_named(name, self._own)
        except SpecError as fault:
            # The file's own instrument is told where it stands, not again at all that it stands for.
            if name != self._model.instrument or where == self._loaded.where(("instrument",)):
                self._fault(fault.problem, where, allowed=fault.allowed, nearest=fault.nearest)
            return None

    def _feature(self, name: str, body: str | FeatureModel) -> Feature:
        where = self._loaded.where(("features", name))
        if isinstance(body, str):
            if body in list(FeatureKind):
                return Feature(name, FeatureKind(body), where=where)
            kinds = list(FeatureKind)
            self._fault(f"feature {name}", where, body, ", ".join(kinds), nearest_word(body, kinds))
            return Feature(name, FeatureKind.EDGE, where=where)
        stated = {kind: value for kind in ("hole", "stud", "boss") if (value := getattr(body, kind)) is not None}
        if len(stated) != 1:
            self._fault(f"feature {name}", where, allowed="one of hole, stud, boss with its diameter, or a bare word")
            return Feature(name, FeatureKind.HOLE, where=where)
        kind, text = next(iter(stated.items()))
        try:
            diameter = parse_length(text, self._units)
            sigma = None if body.sd is None else parse_length(body.sd, self._units)
            resolution = None if body.resolution is None else parse_length(body.resolution, self._units)
        except UnitError as fault:
            self._fault(f"feature {name}: {fault}", where)
            return Feature(name, FeatureKind(kind), where=where)
        if resolution is not None and (sigma is not None or resolution <= 0):
            self._fault(f"feature {name}: resolution", where, body.resolution, "above 0 mm, in place of `sd`")
        instrument = None
        if sigma is None or body.instrument is not None:
            instrument = self._shared(self._instrument(body.instrument or self._model.instrument, where))
        if sigma is None:
            sigma = instrument.read_to(resolution).sigma() if instrument else 1.0
        return Feature(
            name, FeatureKind(kind), diameter, sigma, where, instrument=instrument.name if instrument else ""
        )

    def _shared(self, instrument: Instrument | None) -> Instrument | None:
        """The instrument, noted as one whose readings share its errors. Who states an `sd` alone states all of it."""
        if instrument is not None and instrument.unit == "mm":
            self._used[instrument.name] = instrument
        return instrument

    def _reading(self, index: int, body: ReadingModel) -> Reading | None:
        where = self._loaded.where(("readings", index))
        stated = [kind for kind in ReadingKind if getattr(body, kind.value) is not None]
        if len(stated) != 1:
            met = ", ".join(kind.value for kind in stated) or "none"
            self._fault(f"reading {index + 1}", where, met, f"exactly one of {', '.join(ReadingKind)}")
            return None
        kind, names = stated[0], getattr(body, stated[0].value)
        draft = Reading(index + 1, kind, (names,) if isinstance(names, str) else tuple(names), 0.0, 1.0, where)
        return self._statement(draft, body) if kind.is_statement else self._measured(draft, body)

    def _statement(self, draft: Reading, body: ReadingModel) -> Reading | None:
        for key in ("reads", "sd", "resolution", "instrument"):
            if getattr(body, key) is not None:
                self._fault(f"{draft.title}: a statement has no `{key}`", self._at(draft, key), allowed="within")
                return None
        usual = STATED_STRAIGHT if draft.kind is ReadingKind.STRAIGHT else STATED_ANGLE
        sigma = usual if body.within is None else self._deviation(draft, body.within, "within")
        if sigma is None:
            return None
        value = 90.0 if draft.kind is ReadingKind.SQUARE else 0.0
        return Reading(draft.number, draft.kind, draft.features, value, sigma, draft.where)

    def _measured(self, draft: Reading, body: ReadingModel) -> Reading | None:
        if body.within is not None:
            self._fault(f"{draft.title}: `within` is for statements", self._at(draft, "within"), allowed="sd")
            return None
        if body.reads is None:
            self._fault(f"{draft.title}: nothing read", self._at(draft), allowed=f"reads: a value in {draft.kind.unit}")
            return None
        values = self._values(draft, body.reads)
        if values is None:
            return None
        single, mean_sigma, instrument = self._sigmas(draft, body, len(values))
        if single is None or mean_sigma is None:
            return None
        spread = max(values) - min(values)
        if spread > AGREE * math.sqrt(2.0) * single:
            unit, most = draft.kind.unit, AGREE * math.sqrt(2.0) * single
            problem = f"{draft.title}: its {len(values)} readings contradict each other, {spread:.3g} {unit} apart"
            self._fault(problem, self._at(draft, "reads"), allowed=f"at most {most:.3g} {unit}")
            return None
        mean = math.fsum(values) / len(values)
        return replace(draft, value=mean, sigma=mean_sigma, repeats=len(values), instrument=instrument)

    def _values(self, draft: Reading, reads: Value | tuple[Value, ...]) -> list[float] | None:
        """What was read, every value of a list on its own; None when one of them cannot be."""
        if not isinstance(reads, tuple):
            value = self._value(draft, reads, "the value", "reads")
            return None if value is None else [value]
        found = [
            self._value(draft, text, f"value {number} of {len(reads)}", "reads", number - 1)
            for number, text in enumerate(reads, start=1)
        ]
        values = [value for value in found if value is not None]
        return values if len(values) == len(found) else None

    def _value(self, draft: Reading, text: Value, which: str, *keys: str | int) -> float | None:
        value = self._parse(draft, text, *keys)
        if value is None or (allowed := allowed_instead(draft.kind, value)) is None:
            return value
        word = "zero" if value == 0 else "negative" if value < 0 else "too large"
        self._fault(f"{draft.title}: {which} is {word}", self._at(draft, *keys), text, allowed)
        return None

    def _deviation(self, draft: Reading, text: Value, key: str) -> float | None:
        value = self._parse(draft, text, key)
        if value is None or value > 0:
            return value
        word = "resolution" if key == "resolution" else "standard deviation"
        self._fault(f"{draft.title}: {word}", self._at(draft, key), text, f"above 0 {draft.kind.unit}")
        return None

    def _sigmas(self, draft: Reading, body: ReadingModel, repeats: int) -> tuple[float | None, float | None, str]:
        """Standard deviation of one reading and of the mean, and the instrument whose errors it shares."""
        if body.sd is not None and body.resolution is not None:
            problem = f"{draft.title}: both `sd` and `resolution`"
            self._fault(problem, self._at(draft, "resolution"), allowed="one of them")
            return None, None, ""
        stated = None if body.sd is None else self._deviation(draft, body.sd, "sd")
        if body.sd is not None and body.instrument is None:
            return stated, None if stated is None else stated / math.sqrt(repeats), ""
        usual = DEFAULT_ANGLE if draft.kind.unit == "deg" else self._model.instrument
        instrument = self._instrument(body.instrument or usual, self._at(draft, "instrument"))
        resolution = None if body.resolution is None else self._deviation(draft, body.resolution, "resolution")
        if instrument is None or (resolution is None) is not (body.resolution is None):
            return None, None, ""
        if instrument.unit != draft.kind.unit:
            self._fault(
                f"{draft.title}: a {instrument.name} reads {instrument.unit}, not {draft.kind.unit}",
                self._at(draft, "instrument"),
            )
            return None, None, ""
        self._shared(instrument)
        if stated is not None:
            return stated, stated / math.sqrt(repeats), instrument.name
        read = instrument.read_to(resolution)
        return read.sigma(), read.sigma(repeats), instrument.name

    def _at(self, draft: Reading, *keys: str | int) -> Location:
        return self._loaded.where(("readings", draft.number - 1, *keys))

    def _parse(self, draft: Reading, text: Value, *keys: str | int) -> float | None:
        try:
            return parse_angle(text) if draft.kind.unit == "deg" else parse_length(text, self._units)
        except UnitError as fault:
            self._fault(f"{draft.title}: {fault}", self._at(draft, *keys))
            return None
