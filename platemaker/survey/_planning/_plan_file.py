"""A plan of readings: from a file of rough places, or a nominal pattern, to the list of readings and a file to fill in.

units: mm
instrument: digital caliper
features:
  "1": {hole: 8.5, at: [0, 0]}
  "2": {hole: 8.5, at: [84, 1]}
  ...

or, in place of features, `pattern: {rectangle: [168, 108], rows: [3, 3]}` with `hole: 8.5` for all its holes.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, ValidationError

from platemaker.errors import Location, SpecError, UnitError
from platemaker.records import Record, replace
from platemaker.spec import Pattern, ReadFile, SpecModel, SurveyPattern, load_yaml, located
from platemaker.survey._adjustment._equations import Equations
from platemaker.survey._arrays import Array
from platemaker.survey._figure._figures import all_figures
from platemaker.survey._patterns import Point
from platemaker.survey._planning._plan import Counts, Criterion, RoughHoles, candidate_pairs, single
from platemaker.survey._reading._base import listed
from platemaker.survey._reading._instruments import DEFAULT_LENGTH, instrument_named
from platemaker.survey._reading._models import (
    DatumModel,
    FeatureModel,
    FeatureName,
    InstrumentModel,
    Value,
)
from platemaker.survey._reading._own_instruments import own_instruments
from platemaker.survey._records import (
    HALF_DIAMETERS,
    Datum,
    Feature,
    FeatureKind,
    Network,
    Reading,
    ReadingKind,
    Rough,
)
from platemaker.units import MM_PER_INCH, LengthUnit, parse_length

CHECKED = 0.5
"""How far a misreading may move a hole unnoticed, mm, unless another size is stated: the play of an M8 bolt in 9 mm."""
TYPICAL = 8.0
"""Diameter where none is stated, mm: it only separates near sides from far ones."""
ROUGHLY = 2.0
"""Deviation of rough places, mm, unless `within` says another; common practice, no source."""
ALIKE = 0.01
"""Figures whose spans differ by less, mm, are one."""
DISTANT = 0.5
"""Holes at this share of the farthest one's distance are distant enough to give X its direction."""
MOST = 60
"""Most holes of one plan."""


class PlanModel(SpecModel):
    """What a plan starts from."""

    survey: str | None = None
    units: Literal["mm", "in"] = "mm"
    instrument: str = DEFAULT_LENGTH
    instruments: Annotated[dict[str, InstrumentModel], Field(default_factory=dict)]
    features: dict[FeatureName, FeatureModel] | None = None
    pattern: Pattern | None = None
    hole: Value | None = None
    stud: Value | None = None
    boss: Value | None = None
    within: Value | None = None
    datum: DatumModel | None = None


class SurveyPlan(Record):
    """What to read: every diameter of `features` twice, then `readings` in their order (`repeats` times each).

    The readings' values are what they should read roughly; `worst` is the farthest that a misreading could move a hole
    without being noticed, mm, which is not more than `checked`.
    """

    title: str
    units: LengthUnit
    instrument: str
    features: tuple[Feature, ...]
    readings: tuple[Reading, ...]
    datum: Datum
    checked: float
    worst: float

    @property
    def count(self) -> int:
        """How many times the caliper is laid on, diameters apart."""
        return sum(reading.repeats for reading in self.readings)


Placing = Callable[[Pattern], Mapping[str, Point]]


def load_plan(path: Path, spots_of: Placing, checked: float = CHECKED) -> SurveyPlan:
    """The plan for a file of rough places, or of a nominal pattern, whose places `spots_of` gives.

    Raises SpecError or SpecErrors naming file, line and key, and SurveyError where no readings are enough.
    """
    loaded = load_yaml(path)
    units = loaded.data.get("units") if isinstance(loaded.data, dict) else None
    try:
        model = PlanModel.model_validate(loaded.data, context={"units": units if units in ("mm", "in") else "mm"})
    except ValidationError as fault:
        raise located(fault, loaded.data, lambda *path: loaded.where(path), PlanModel) from None
    return _Planner(loaded, model, spots_of).plan(_name(path), checked)


def _name(path: Path) -> str:
    return path.name.removesuffix(".yaml").removesuffix(".plan").removesuffix(".readings")


class _Draft(Record, eq=False):
    """Holes with rough places, and what sets of readings between them are."""

    features: tuple[Feature, ...]
    spots: RoughHoles
    datum: Datum

    @cached_property
    def pairs(self) -> list[tuple[int, int]]:
        """The candidates."""
        return candidate_pairs(self.spots.places)

    @cached_property
    def criterion(self) -> Criterion:
        """How well sets of them check themselves."""
        kinds = [_kind(self.features[i], self.features[j]) for i, j in self.pairs]
        return Criterion(self.spots, self.pairs, [HALF_DIAMETERS[kind] for kind in kinds])

    def readings(self, chosen: Counts) -> tuple[Reading, ...]:
        """The readings of a set, with what they should read by the rough places."""
        found: list[Reading] = []
        for row in map(int, np.flatnonzero(chosen)):
            i, j = self.pairs[row]
            kind, times = _kind(self.features[i], self.features[j]), int(chosen[row])
            first, second = HALF_DIAMETERS[kind]
            value = math.dist(self.spots.places[i], self.spots.places[j])
            value += (first * self.spots.diameters[i] + second * self.spots.diameters[j]) / 2
            names, sigma = (self.features[i].name, self.features[j].name), self.spots.sigma / math.sqrt(times)
            found.append(Reading(len(found) + 1, kind, names, float(value), sigma, repeats=times))
        return tuple(found)

    def others(self, chosen: Counts) -> list[Array]:
        """The places of other figures that a set of readings, all exact, fits as well."""
        sized = tuple(
            replace(feature, diameter=float(size), diameter_sigma=self.spots.diameter_sigma / math.sqrt(2.0), repeats=2)
            for feature, size in zip(self.features, self.spots.diameters, strict=True)
        )
        network = Network(sized, self.readings(chosen), self.datum)
        equations = Equations(network)
        order = np.array([equations.layout.x(feature.name) for feature in self.features])
        found = [np.stack([at[order], at[order + 1]], axis=1) for at in all_figures(network, equations)]
        return [places for places in found if np.abs(_spans(places) - _spans(self.spots.places)).max() > ALIKE]


def _spans(places: Array) -> Array:
    return np.asarray(np.linalg.norm(places[:, None] - places[None], axis=2))


class _Planner:
    def __init__(self, loaded: ReadFile, model: PlanModel, spots_of: Placing) -> None:
        self._loaded, self._model, self._spots_of = loaded, model, spots_of
        self._units = LengthUnit(model.units)

    def plan(self, name: str, checked: float) -> SurveyPlan:
        """Choose the readings."""
        features = self._features()
        if not 2 <= len(features) <= MOST:
            problem = f"{len(features)} holes"
            raise SpecError(
                problem, where=self._where("features"), allowed=f"2 to {MOST} holes with a rough place each"
            )
        places = np.array([feature.rough.at for feature in features if feature.rough])
        self._apart(features, places)
        diameters = np.array([feature.rough.diameter or TYPICAL for feature in features if feature.rough])
        draft = _Draft(features, RoughHoles(places, diameters, self._sigma(), self._sigma()), self._datum(features))
        chosen = single(draft.criterion, checked, draft.others)
        worst, title = float(draft.criterion.worst(chosen[None])[0]), self._model.survey or name
        instrument = self._model.instrument
        return SurveyPlan(title, self._units, instrument, features, draft.readings(chosen), draft.datum, checked, worst)

    def _sigma(self) -> float:
        own = own_instruments(self._loaded, self._model.instruments, self._units)
        try:
            found = instrument_named(self._model.instrument, own)
        except SpecError as fault:
            raise SpecError(
                fault.problem, where=self._where("instrument"), allowed=fault.allowed, nearest=fault.nearest
            ) from fault
        if found.unit != "mm":
            problem = f"a {found.name} reads no lengths"
            raise SpecError(problem, where=self._where("instrument"), allowed="a caliper or a rule")
        return found.sigma()

    def _features(self) -> tuple[Feature, ...]:
        model = self._model
        if (model.features is None) is (model.pattern is None):
            problem = "a plan starts from `features` with rough places, or from a `pattern`"
            raise SpecError(problem, where=self._where(), allowed="one of the two")
        if model.features is not None:
            found = [self._feature(name, body) for name, body in model.features.items()]
        else:
            found = list(self._of_pattern())
        return tuple(sorted(found, key=lambda feature: _natural(feature.name)))

    def _of_pattern(self) -> list[Feature]:
        model = self._model
        if model.pattern is None or isinstance(model.pattern, SurveyPattern):
            problem = "a plan cannot start from another survey"
            raise SpecError(problem, where=self._where("pattern"), allowed="rectangle, circle, row or points")
        kinds = [kind for kind in ("hole", "stud", "boss") if kind in model.model_fields_set]
        if len(kinds) > 1:
            problem = f"the holes of a pattern are of one kind: {' and '.join(kinds)}"
            raise SpecError(problem, where=self._where(kinds[1]), allowed="one of hole, stud, boss")
        kind = FeatureKind(kinds[0]) if kinds else FeatureKind.HOLE
        text = getattr(model, kind.value)
        diameter = None if text is None else self._length(text, kind.value)
        sigma = ROUGHLY if model.within is None else self._length(model.within, "within")
        spots = self._spots_of(model.pattern)
        return [Feature(name, kind, rough=Rough(at, sigma, diameter)) for name, at in spots.items()]

    def _feature(self, name: str, body: FeatureModel) -> Feature:
        kinds = [kind for kind in ("hole", "stud", "boss") if kind in body.model_fields_set]
        if len(kinds) != 1:
            problem = f"feature {name}"
            raise SpecError(problem, where=self._where("features", name), allowed="one of hole, stud, boss")
        if body.at is None:
            problem = f"feature {name}: no rough place"
            raise SpecError(problem, where=self._where("features", name), allowed="at: [x, y]")
        own = [self._length(one, "features", name, kinds[0]) for one in listed(getattr(body, kinds[0]))]
        nominal = None if body.nominal is None else self._length(body.nominal, "features", name, "nominal")
        within = self._model.within if body.within is None else body.within
        sigma = ROUGHLY if within is None else self._length(within, "features", name, "within")
        x, y = (self._length(value, "features", name, "at", axis, least=None) for axis, value in enumerate(body.at))
        return Feature(name, FeatureKind(kinds[0]), rough=Rough((x, y), sigma, own[0] if own else nominal))

    def _apart(self, features: tuple[Feature, ...], places: np.ndarray) -> None:
        spans = np.linalg.norm(places[:, None] - places[None], axis=2) + np.eye(len(places)) * 1e9
        i, j = divmod(int(np.argmin(spans)), len(places))
        if spans[i, j] < 1.0:
            problem = f"{features[i].name} and {features[j].name} lie {spans[i, j]:.2f} mm apart"
            raise SpecError(problem, where=self._where("features"), allowed="holes at least 1 mm apart")

    def _datum(self, features: tuple[Feature, ...]) -> Datum:
        """The stated one, or: the first hole, X as in the plan towards a distant one, and who lies on which side."""
        places = {feature.name: feature.rough.at for feature in features if feature.rough}
        given = self._model.datum
        if given is not None:
            for name in (given.origin, given.x_towards):
                if name not in places:
                    problem = f"datum: no hole {name}"
                    raise SpecError(problem, where=self._where("datum"), allowed=", ".join(places))
            return Datum(given.origin, given.x_towards, given.left, given.right)
        origin = features[0].name
        x0, y0 = places[origin]
        away = {name: math.dist(at, (x0, y0)) for name, at in places.items()}
        distant = [name for name, far in away.items() if far >= DISTANT * max(away.values())]
        towards = max(distant, key=lambda name: (places[name][0] - x0) / away[name])
        x1, y1 = places[towards]
        heights = {name: (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) for name, (x, y) in places.items()}
        far = max(heights, key=lambda name: abs(heights[name]))
        if abs(heights[far]) < 1e-6:
            return Datum(origin, towards)
        return Datum(origin, towards, left=(far,)) if heights[far] > 0 else Datum(origin, towards, right=(far,))

    def _length(self, text: Value, *keys: str | int, least: float | None = 0.0) -> float:
        try:
            value = parse_length(text, self._units)
        except UnitError as fault:
            raise SpecError(str(fault), where=self._where(*keys)) from fault
        if least is not None and value <= least:
            problem = f"{keys[-1]} cannot be this"
            raise SpecError(problem, where=self._where(*keys), met=text, allowed="above 0 mm")
        return value

    def _where(self, *keys: str | int) -> Location:
        return self._loaded.where(keys)


def _natural(name: str) -> tuple[tuple[bool, int, str], ...]:
    """Names in the order in which one counts: 2 before 10.

    >>> sorted(["10", "2", "A"], key=_natural)
    ['2', '10', 'A']
    """
    return tuple(
        (not part.isdigit(), int(part) if part.isdigit() else 0, part) for part in re.findall(r"\d+|\D+", name)
    )


def _kind(one: Feature, other: Feature) -> ReadingKind:
    """How a pair is read: over studs and bosses, the web between holes, and near sides of a hole and a stud."""
    if FeatureKind.HOLE in (one.kind, other.kind):
        return ReadingKind.INSIDE
    return ReadingKind.OUTSIDE


def plan_yaml(plan: SurveyPlan) -> str:
    """The file of readings with empty places, in the plan's unit."""
    factor, unit = (MM_PER_INCH, "in") if plan.units is LengthUnit.INCH else (1.0, "mm")

    def number(value: float) -> str:
        return f"{round(value / factor, 4) + 0.0:g}"

    lines = [
        f"survey: {_quoted(plan.title)}",
        f"units: {unit}",
        f"instrument: {plan.instrument}",
        "# Write what is read in place of each ~. `at` and `nominal` are rough: what is read is held against them.",
        "features:",
    ]
    for feature in plan.features:
        rough = feature.rough
        if rough is not None:
            at = ", ".join(number(value) for value in rough.at)
            nominal = "" if rough.diameter is None else f", nominal: {number(rough.diameter)}"
            within = f", within: {number(rough.sigma)}"
            lines.append(f'  "{feature.name}": {{{feature.kind.value}: [~, ~], at: [{at}]{within}{nominal}}}')
    datum = plan.datum
    sides = "".join(
        f", {word}: [{', '.join(map(_quoted, names))}]"
        for word, names in (("left", datum.left), ("right", datum.right))
        if names
    )
    lines += [f"datum: {{origin: {_quoted(datum.origin)}, x_towards: {_quoted(datum.x_towards)}{sides}}}", "readings:"]
    for reading in plan.readings:
        a, b = reading.features
        blank = "~" if reading.repeats == 1 else "[~, ~]"
        lines.append(
            f"  - {{{reading.kind.value}: [{_quoted(a)}, {_quoted(b)}], reads: {blank}}}  "
            f"# {reading.number}: roughly {reading.value / factor:.{1 if unit == 'mm' else 2}f}"
        )
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
