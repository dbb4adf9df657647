"""What all spec models share: strictness, names, shapes and patterns."""

from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    Strict,
    StringConstraints,
    Tag,
    model_validator,
)

from platemaker.spec._quantities import Angle, Length, Point, PositiveLength


class SpecModel(BaseModel):
    """A piece of a spec: frozen, strictly typed, unknown keys refused."""

    # Built once, from the top, instead of model by model: a fifth of a second less at start-up. So a field whose
    # default is a model of defaults has it by `model_construct`: `Model()` would have a validator built for it alone.
    # In modules of models annotations are evaluated as they stand: as text each would be compiled once more.
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", populate_by_name=False, defer_build=True)

    def stated(self) -> Iterator[tuple[str, Any]]:
        """Each key that the spec itself sets, as the spec spells it, with its value; defaults are none of them."""
        for name, field in type(self).model_fields.items():
            if name in self.model_fields_set:
                yield field.alias or name, getattr(self, name)


Name = Annotated[
    str,
    StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_]{0,39}$"),
    Field(description="A letter, then letters, digits or _; at most 40, ASCII only: it becomes a file's name."),
]
Title = Annotated[str, StringConstraints(min_length=1, max_length=120)]
NonNegativeLength = Annotated[Length, Field(ge=0)]
SideWord = Literal["above", "below"]
RoleWord = Literal["clear", "tapped", "counterbored", "none"]
FitWord = Literal["close", "medium", "loose"]
Count = Annotated[int, Field(ge=1, le=500)]


def _as_corner(value: Any) -> Any:
    """A corner is [x, y] or [x, y, radius]; a missing radius is 0."""
    return [*value, 0] if isinstance(value, list) and len(value) == 2 else value


Corner = Annotated[
    tuple[Length, Length, NonNegativeLength],
    Strict(False),
    BeforeValidator(_as_corner, json_schema_input_type=list[Any]),
    Field(description="[x, y] or [x, y, radius]"),
]


class Placed(SpecModel):
    """A figure's place in its frame: moved to `at`, after being turned counter-clockwise."""

    at: Point = (0.0, 0.0)
    turn: Angle = 0.0


class CircleShape(Placed):
    """A circle of a diameter."""

    circle: PositiveLength


class RectangleShape(Placed):
    """A rectangle [along X, along Y], its corners rounded."""

    rectangle: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]
    corner_radius: NonNegativeLength = 0.0


class SlotShape(Placed):
    """A round-ended slot [overall length, width] along X."""

    slot: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]


class LoopShape(Placed):
    """Any closed loop of straight lines through corners, each rounded by its own radius."""

    loop: Annotated[tuple[Corner, ...], Strict(False), Field(min_length=3, max_length=500)]


def first_of(*words: str, otherwise: str | None = None) -> Any:
    """A discriminator that picks the model by which of `words` stands in the mapping, else `otherwise`."""

    def pick(value: Any) -> str | None:
        if isinstance(value, dict):
            return next((word for word in words if word in value), otherwise)
        return next((word for word in words if hasattr(value, word)), otherwise)

    return Discriminator(
        pick,
        custom_error_type="no_kind",
        custom_error_message="needs one of these keys: " + ", ".join(words),
    )


Shape = Annotated[
    Annotated[CircleShape, Tag("circle")]
    | Annotated[RectangleShape, Tag("rectangle")]
    | Annotated[SlotShape, Tag("slot")]
    | Annotated[LoopShape, Tag("loop")],
    first_of("circle", "rectangle", "slot", "loop"),
]


class CirclePattern(Placed):
    """Evenly spaced on a bolt circle; the first spot lies at angle `start` from X."""

    circle: PositiveLength
    count: Count
    start: Angle = 0.0


class RectanglePattern(Placed):
    """On the sides of a rectangle [along X, along Y]; `rows` counts the spots on each side, corners included."""

    rectangle: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]
    rows: Annotated[tuple[Annotated[int, Field(ge=2, le=100)], Annotated[int, Field(ge=2, le=100)]], Strict(False)] = (
        2,
        2,
    )


class RowPattern(Placed):
    """Along a line, at the given distances from its origin; spacing may be uneven."""

    row: Annotated[tuple[Length, ...], Strict(False), Field(min_length=1, max_length=500)]


class PointsPattern(Placed):
    """Listed places: a list of [x, y], or names with [x, y] each."""

    points: (
        dict[Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_]{0,19}$")], Point]
        | Annotated[tuple[Point, ...], Strict(False)]
    ) = Field(min_length=1, max_length=500)


SurveyFile = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_][A-Za-z0-9_.-]{0,79}\.readings\.yaml$")]


class SurveyPattern(Placed):
    """Taken from a survey: a file of caliper readings, NAME.readings.yaml beside the spec.

    `features` picks some of its holes, in that order.
    """

    survey: SurveyFile
    features: Annotated[tuple[str, ...], Strict(False), Field(min_length=1)] | None = None


Pattern = Annotated[
    Annotated[CirclePattern, Tag("circle")]
    | Annotated[RectanglePattern, Tag("rectangle")]
    | Annotated[RowPattern, Tag("row")]
    | Annotated[PointsPattern, Tag("points")]
    | Annotated[SurveyPattern, Tag("survey")],
    first_of("circle", "rectangle", "row", "points", "survey"),
]


class SurveyOpening(SpecModel):
    """A port taken from a survey: its straight `edges` in their order round it, or one `round` feature.

    `edges` may be left out where the file has four port edges. `at` and `turn` left out are those of the joint's
    pattern where that is from the same file.
    """

    survey: SurveyFile
    edges: Annotated[tuple[str, ...], Strict(False), Field(min_length=3, max_length=50)] | None = None
    round: str | None = None
    corner_radius: NonNegativeLength = 0.0
    at: Point | None = None
    turn: Angle | None = None

    @model_validator(mode="after")
    def _one_figure(self) -> Self:
        if self.round is not None and (self.edges is not None or self.corner_radius > 0):
            message = "a surveyed opening is either `round`, or has `edges` and their `corner_radius`"
            raise ValueError(message)
        return self


PortShape = Annotated[
    Annotated[CircleShape, Tag("circle")]
    | Annotated[RectangleShape, Tag("rectangle")]
    | Annotated[SlotShape, Tag("slot")]
    | Annotated[LoopShape, Tag("loop")]
    | Annotated[SurveyOpening, Tag("survey")],
    first_of("circle", "rectangle", "slot", "loop", "survey"),
]
