"""Models of how two sides find and fit each other: dowels, readings of squareness, shims."""

from typing import Annotated, Literal, Self

from pydantic import Field, Strict, StringConstraints, model_validator

from platemaker.spec._base import SpecModel
from platemaker.spec._quantities import Angle, Length, Point, PositiveLength, SpacePoint

ZoneWord = Annotated[str, Field(pattern=r"^[A-Za-z]{1,2}[0-9]{1,2}$", description="A zone of ISO 286 such as H7, p6.")]
SpotName = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9_]{0,19}$")]


class DowelsModel(SpecModel):
    """Dowels that place a joint's sides: bored `depth` deep into both, pressed into one, sliding in the other.

    `play` is how much wider the bore on the sliding side is drawn; both are H7, and dowels are taken as m6 of ISO 8734.
    `position` is the diameter of the zone of their axes on either side.
    """

    at: Annotated[dict[SpotName, Point], Field(min_length=1, max_length=20)]
    diameter: PositiveLength
    depth: PositiveLength
    pressed: Literal["lower", "upper"] = "lower"
    play: PositiveLength = 0.02
    position: PositiveLength = 0.01


class PilotModel(SpecModel):
    """A pilot (register): a round spigot on an existing body that enters a recess of the other side, and centres it.

    The recess is bored `depth` deep round `at` of the joint's frame, to the zone `hole` of ISO 286 on `diameter`. The
    spigot stands `height` over its own face. Its size is the zone `shaft`, or [least, greatest] as `measured`.
    """

    at: Point = (0.0, 0.0)
    diameter: PositiveLength
    spigot: Literal["lower", "upper"]
    height: PositiveLength
    depth: PositiveLength
    hole: ZoneWord = "H7"
    shaft: ZoneWord | None = None
    measured: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)] | None = None

    @model_validator(mode="after")
    def _one_size_of_spigot(self) -> Self:
        if (self.shaft is None) == (self.measured is None):
            message = "a pilot has either `shaft`, a zone of ISO 286, or `measured`, the spigot's [least, greatest]"
            raise ValueError(message)
        if self.measured is not None and self.measured[0] > self.measured[1]:
            message = "`measured` is [least, greatest]"
            raise ValueError(message)
        return self


class CornerModel(SpecModel):
    """A place [x, y] in the joint's frame and the height read there: shim thickness, feeler gauge or indicator."""

    at: Point
    reads: Length


class LevelModel(SpecModel):
    """How square the upper machine sits: heights of its seat over the joint's plane at three corners or more.

    `nose` is a point of it over the joint, [x, y, z] in the joint's frame, whose height and shift are then stated.
    """

    corners: Annotated[dict[SpotName, CornerModel], Field(min_length=3, max_length=50)]
    nose: SpacePoint | None = None


class ShimModel(SpecModel):
    """A shim between the joint's sides, over its gasket: as thick as its blank, or tapered from that.

    `taper` is the slope of its upper face along X and Y; with `squares` it takes up what the `level` readings state.
    """

    thickness: PositiveLength
    material: str = "S235"
    taper: Annotated[tuple[Angle, Angle], Strict(False)] | None = None
    squares: bool = False

    @model_validator(mode="after")
    def _one_taper(self) -> Self:
        if self.squares and self.taper is not None:
            message = "a shim has either `taper` or `squares`"
            raise ValueError(message)
        if self.taper is not None and max(abs(angle) for angle in self.taper) > 10:
            message = "`taper` of a shim is at most 10 degrees"
            raise ValueError(message)
        return self
