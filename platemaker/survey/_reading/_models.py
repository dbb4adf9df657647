"""Models of a survey file."""

from typing import Annotated, Literal

from pydantic import Field, Strict, StringConstraints

from platemaker.spec import SpecModel
from platemaker.survey._reading._instruments import DEFAULT_LENGTH

FeatureName = Annotated[
    str,
    StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_]{0,19}$"),
    Field(description="a letter or digit, then letters, digits or _; at most 20"),
]
Names = Annotated[tuple[FeatureName, ...], Strict(False)]
Pair = Annotated[tuple[FeatureName, FeatureName], Strict(False)]
Value = Annotated[str | int | float, Field(description="a number, with its unit where that is another")]
Values = Annotated[
    Value | Annotated[tuple[Value | None, ...], Strict(False), Field(min_length=1, max_length=100)],
    Field(description="a number, with its unit where that is another, or a list of one or more"),
]


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


FeatureWords = Annotated[str | FeatureModel, Field(description="a word, or hole, stud or boss with its diameter")]


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
    features: Annotated[dict[FeatureName, FeatureWords], Field(min_length=2)]
    datum: DatumModel
    pictures: Annotated[tuple[PictureModel, ...], Strict(False), Field(max_length=20)] = ()
    readings: Annotated[tuple[ReadingModel, ...], Strict(False), Field(min_length=1, max_length=2000)]
