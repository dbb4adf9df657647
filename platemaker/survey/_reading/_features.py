"""Features of a survey file: their kinds, diameters and rough places."""

from __future__ import annotations

import math

from platemaker.errors import Location, UnitError, nearest_word
from platemaker.survey._reading._base import SurveyFile, listed
from platemaker.survey._reading._models import FeatureModel, Value
from platemaker.survey._records import Feature, FeatureKind, Rough

ROUGHLY = 2.0
"""Standard deviation of a rough place, mm, unless `within` says another; common practice, no source."""


def read_feature(file: SurveyFile, name: str, body: str | FeatureModel) -> Feature:
    """A feature; faults are noted in the file."""
    where = file.loaded.where(("features", name))
    if isinstance(body, str):
        if body in list(FeatureKind):
            return Feature(name, FeatureKind(body), where=where)
        kinds = list(FeatureKind)
        file.fault(f"feature {name}", where, body, ", ".join(kinds), nearest_word(body, kinds))
        return Feature(name, FeatureKind.EDGE, where=where)
    stated = [kind for kind in ("hole", "stud", "boss") if kind in body.model_fields_set]
    if len(stated) != 1:
        file.fault(f"feature {name}", where, allowed="one of hole, stud, boss with its diameter, or a bare word")
        return Feature(name, FeatureKind.HOLE, where=where)
    kind = FeatureKind(stated[0])
    try:
        return _read(file, Feature(name, kind, where=where), body)
    except UnitError as fault:
        file.fault(f"feature {name}: {fault}", where)
        return Feature(name, kind, where=where)


def _read(file: SurveyFile, bare: Feature, body: FeatureModel) -> Feature:
    where = bare.where or file.loaded.where(("features", bare.name))
    given = getattr(body, bare.kind.value)
    values = [file.length(one) for one in listed(given)]
    rough = _rough(file, bare, body)
    single, sigma, instrument = _sigmas(file, bare, body, where, max(len(values), 1))
    if not values:
        return Feature(bare.name, bare.kind, where=bare.where, rough=rough)
    if file.contradict(f"diameter of {bare.name}", given, values, single, where):
        return bare
    mean = math.fsum(values) / len(values)
    return Feature(bare.name, bare.kind, mean, sigma, bare.where, len(values), instrument, rough)


def _sigmas(
    file: SurveyFile, bare: Feature, body: FeatureModel, where: Location, repeats: int
) -> tuple[float, float, str]:
    """Deviation of one reading of the diameter and of the mean, and the instrument whose errors it shares."""
    stated = None if body.sd is None else file.length(body.sd)
    resolution = None if body.resolution is None else file.length(body.resolution)
    if resolution is not None and (stated is not None or resolution <= 0):
        file.fault(f"feature {bare.name}: resolution", where, body.resolution, "above 0 mm, in place of `sd`")
    if stated is not None and body.instrument is None:
        return stated, stated / math.sqrt(repeats), ""
    instrument = file.instrument(body.instrument or file.model.instrument, where)
    if instrument is not None and instrument.unit != "mm":
        file.fault(f"feature {bare.name}: a {instrument.name} reads {instrument.unit}, not mm", where)
    name = file.shared(instrument)
    if stated is not None:
        return stated, stated / math.sqrt(repeats), name
    if instrument is None:
        return 1.0, 1.0, name
    read = instrument.read_to(resolution)
    return read.sigma(), read.sigma(repeats), name


def _rough(file: SurveyFile, bare: Feature, body: FeatureModel) -> Rough | None:
    """Roughly where and how large it is, as far as that is stated."""
    if body.at is None:
        for key in ("within", "nominal"):
            if getattr(body, key) is not None and bare.where is not None:
                file.fault(f"feature {bare.name}: `{key}` without `at`", bare.where, allowed="at: [x, y]")
        return None
    x, y = (file.length(value) for value in body.at)
    sigma = ROUGHLY if body.within is None else file.length(body.within)
    nominal = None if body.nominal is None else file.length(body.nominal)
    if bare.where is not None:
        for key, value in (("within", sigma), ("nominal", nominal)):
            if value is not None and value <= 0:
                met: Value | None = getattr(body, key)
                file.fault(f"feature {bare.name}: {key}", bare.where, met, "above 0 mm")
                return None
    return Rough((x, y), sigma, nominal)
