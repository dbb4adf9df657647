"""Models of a survey file, and the faults that pydantic finds in it in our own words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field, Strict, StringConstraints, ValidationError

from platemaker.errors import SpecError, nearest_word
from platemaker.spec import Loaded, SpecModel
from platemaker.survey._reading._instruments import DEFAULT_LENGTH
from platemaker.survey._records import ReadingKind

FeatureName = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_]{0,19}$")]
"""A letter or digit, then letters, digits or _; at most 20."""
Names = Annotated[tuple[FeatureName, ...], Strict(False)]
Pair = Annotated[tuple[FeatureName, FeatureName], Strict(False)]
Value = str | int | float


Values = Value | Annotated[tuple[Value | None, ...], Strict(False), Field(min_length=1, max_length=100)]


class FeatureModel(SpecModel):
    """A round feature with its own reading of the diameter: its `sd`, or a `resolution` and an instrument's setting.

    A list is a diameter read several times; one left empty is not read yet. `at` is roughly where it lies, to `within`,
    `nominal` roughly its diameter.
    """

    hole: Values | None = None
    stud: Values | None = None
    boss: Values | None = None
    at: Annotated[tuple[Value, Value], Strict(False)] | None = None
    within: Value | None = None
    nominal: Value | None = None
    sd: Value | None = None
    resolution: Value | None = None
    instrument: str | None = None


class DatumModel(SpecModel):
    """The frame of the answer; what lies `left` and `right` of its X line excludes its mirror image."""

    origin: FeatureName
    x_towards: FeatureName
    left: Names = ()
    right: Names = ()
    kind: Literal["fixed", "free"] = "fixed"


class ReadingModel(SpecModel):
    """One reading: one of the kinds with its features, what it reads (a list for repeats), how good it is.

    `sd` is its standard deviation; else it follows from the instrument's setting and `resolution`, else its own.
    """

    centres: Pair | None = None
    inside: Pair | None = None
    outside: Pair | None = None
    same_side: Pair | None = None
    hole_to_edge: Pair | None = None
    far_to_edge: Pair | None = None
    centre_to_edge: Pair | None = None
    edge_to_edge: Pair | None = None
    depth: Pair | None = None
    angle: Names | None = None
    straight: Names | None = None
    square: Pair | None = None
    parallel: Pair | None = None
    diameter: FeatureName | None = None
    reads: Values | None = None
    sd: Value | None = None
    resolution: Value | None = None
    within: Value | None = None
    instrument: str | None = None


class InstrumentModel(SpecModel):
    """An instrument of one's own: `like` one that is known, with the errors that all its readings share.

    `zero`: what it shows when it is closed. `scale`: how much too long it reads a metre. `inside_flat`, `outside_flat`:
    how wide its jaws are where they touch the wall of a hole. Each with its standard deviation, `..._sd`.
    """

    like: str
    zero: Value | None = None
    zero_sd: Value | None = None
    scale: Value | None = None
    scale_sd: Value | None = None
    inside_flat: Value | None = None
    inside_flat_sd: Value | None = None
    outside_flat: Value | None = None
    outside_flat_sd: Value | None = None


class PictureModel(SpecModel):
    """Points clicked in a scan or photo: pixels, Y down, to a standard deviation `sd` in pixels.

    In a `file`, a CSV with the columns feature, x, y; or as `points`: name to [x, y].
    """

    name: str | None = None
    file: str | None = None
    points: dict[FeatureName, Annotated[tuple[float, float], Strict(False)]] | None = None
    sd: float | None = None


class SurveyModel(SpecModel):
    """A survey file."""

    survey: str | None = None
    units: Literal["mm", "in"] = "mm"
    instrument: str = DEFAULT_LENGTH
    instruments: Annotated[dict[str, InstrumentModel], Field(default_factory=dict)]
    features: Annotated[dict[FeatureName, str | FeatureModel], Field(min_length=2)]
    datum: DatumModel
    pictures: Annotated[tuple[PictureModel, ...], Strict(False), Field(max_length=20)] = ()
    readings: Annotated[tuple[ReadingModel, ...], Strict(False), Field(min_length=1, max_length=2000)]


_WANTED = {
    "tuple_type": "a list",
    "model_type": "a mapping",
    "dict_type": "a mapping",
    "string_type": "text",
    "string_pattern_mismatch": "a letter or digit, then letters, digits or _; at most 20",
    "too_short": "a longer list",
    "too_long": "a shorter list",
}
_ERRORS = ("zero", "scale", "inside_flat", "outside_flat")
_VALUES = {
    "hole",
    "stud",
    "boss",
    "sd",
    "resolution",
    "reads",
    "within",
    "nominal",
    *_ERRORS,
    *(f"{one}_sd" for one in _ERRORS),
}
_LISTED = {"hole", "stud", "boss", "reads"}
_PAIRS = {kind.value for kind in ReadingKind} - {"angle", "straight", "diameter"}


def faults_of(error: ValidationError, loaded: Loaded, model: type[BaseModel]) -> list[SpecError]:
    """Every fault of a file of that `model`, in the file's order, with its line and key path.

    Of a value and what is in it, the inner one.
    """
    found: dict[tuple[str | int, ...], SpecError] = {}
    for details in error.errors(include_url=False):
        path = _keys(details["loc"], loaded.data, details["type"])
        if len(path) > 2 and path[-2] in _PAIRS and isinstance(path[-1], int) and details["type"] == "missing":
            path = path[:-1]
        found.setdefault(path, _fault(path, details, loaded, model))
    inner = [fault for path, fault in found.items() if not any(o[: len(path)] == path != o for o in found)]
    return sorted(inner, key=lambda fault: (fault.where and fault.where.line) or 0)


def _keys(loc: tuple[str | int, ...], data: Any, kind: str) -> tuple[str | int, ...]:
    """The part of pydantic's path that stands in the file; names of union members do not."""
    path: list[str | int] = []
    for step in loc:
        held: Any = dict(enumerate(data)) if isinstance(data, list) else data
        if isinstance(held, dict) and step in held:
            data = held[step]
        elif not (kind == "missing" and step == loc[-1]):
            continue
        path.append(step)
    return tuple(path)


def _fault(path: tuple[str | int, ...], details: Any, loaded: Loaded, model: type[BaseModel]) -> SpecError:
    kind, where = details["type"], loaded.where(path)
    if kind == "extra_forbidden":
        fields = [*_fields(path, model)]
        near = nearest_word(str(path[-1]), fields)
        return SpecError(f"unknown key '{path[-1]}'", where=where, allowed=", ".join(fields), nearest=near)
    if path[-1] in _PAIRS:
        return SpecError("not two names", where=where, allowed="[one, other]")
    if kind == "missing":
        return SpecError(f"the key '{path[-1]}' is missing", where=where)
    if path[-1] == "reads" and details["input"] in ([], ()):
        return SpecError("an empty list", where=where, allowed="one value, or a list of one or more")
    if kind == "literal_error":
        words = re.findall(r"'([^']*)'", details["ctx"]["expected"])
        met, near = details["input"], nearest_word(str(details["input"]), words)
        return SpecError("not an allowed value", where=where, met=met, allowed=", ".join(words), nearest=near)
    met = details["input"] if isinstance(details["input"], str | int | float) else None
    allowed = _WANTED.get(kind) or details["msg"].removeprefix("Input should be ")
    if path[-1] in _VALUES or (path[-2:-1] and path[-2] in _LISTED):
        allowed = "a number, with its unit where that is another" + (
            " (or a list of them)" if path[-1] in _LISTED else ""
        )
    elif len(path) == 2 and path[0] == "features" and kind != "string_pattern_mismatch":
        allowed = "a word, or hole, stud or boss with its diameter"
    return SpecError("not what is wanted here", where=where, met=met, allowed=allowed)


def _fields(path: tuple[str | int, ...], model: type[BaseModel]) -> Iterator[str]:
    models: dict[str | int, type[BaseModel]] = {
        "features": FeatureModel, "datum": DatumModel, "readings": ReadingModel, "instruments": InstrumentModel,
        "pictures": PictureModel,
    }  # fmt: skip
    yield from (models[path[0]] if len(path) > 1 else model).model_fields
