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

from collections.abc import Sequence
from pathlib import Path

from pydantic import ValidationError

from platemaker.errors import SpecError, SpecErrors, SurveyError
from platemaker.spec import ReadFile, load_yaml, located
from platemaker.survey._answer._results import Survey
from platemaker.survey._answer._solve import solve
from platemaker.survey._input import faults_in, in_order
from platemaker.survey._patterns import Pattern
from platemaker.survey._reading._base import SurveyFile
from platemaker.survey._reading._features import read_feature
from platemaker.survey._reading._models import SurveyModel
from platemaker.survey._reading._own_instruments import own_instruments
from platemaker.survey._reading._pictures import read_pictures
from platemaker.survey._reading._readings import read_reading
from platemaker.survey._records import Datum, DatumKind, Network
from platemaker.units import LengthUnit


def load_network(path: Path) -> Network:
    """The network in a survey file. Raises SpecError or SpecErrors naming file, line and key for whatever is wrong."""
    loaded = load_yaml(path)
    try:
        model = SurveyModel.model_validate(loaded.data)
    except ValidationError as fault:
        raise located(fault, loaded.data, lambda *path: loaded.where(path), SurveyModel) from None
    return _network(loaded, model)


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


def _network(loaded: ReadFile, model: SurveyModel) -> Network:
    """The network of a file. Raises SpecErrors for all that is wrong in it."""
    file = SurveyFile(loaded, model)
    try:
        file.own.update(own_instruments(loaded, model.instruments, file.units))
    except SpecError as fault:
        # Readings with an instrument that is not understood would be called wrong that are right.
        raise SpecErrors([fault]) from fault
    file.instrument(model.instrument, loaded.where(("instrument",)))
    features = tuple(read_feature(file, name, body) for name, body in model.features.items())
    known = not file.faults
    found = [one for i, body in enumerate(model.readings) if (one := read_reading(file, i, body)) is not None]
    datum = model.datum
    network = Network(
        features,
        tuple(one for one in found if one.repeats),
        Datum(datum.origin, datum.x_towards, datum.left, datum.right, DatumKind(datum.kind), loaded.where(("datum",))),
        tuple(file.used[name].shared for name in sorted(file.used)),
        tuple(one for one in found if not one.repeats),
        read_pictures(file, features),
        file.units is LengthUnit.INCH,
    )
    if file.faults:
        # Of features that are not what they seem, readings would be called wrong that are right.
        raise SpecErrors(in_order([*file.faults, *(faults_in(network) if known else ())]))
    return network
