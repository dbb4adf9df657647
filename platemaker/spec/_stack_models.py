"""Models of what the whole stack keeps: room between things, a ceiling, and injectors between bosses and a rail."""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, Strict, model_validator

from platemaker.catalog import o_ring
from platemaker.spec._base import Name, NonNegativeLength, SpecModel
from platemaker.spec._joint_models import Compound, ThreadWord
from platemaker.spec._quantities import Angle, Length, PositiveLength, from_catalog

_look_up_ring = from_catalog(o_ring)


def _known_ring(designation: str) -> str:
    return _look_up_ring(designation).designation


RingWord = Annotated[str, AfterValidator(_known_ring), Field(description="AS568-214, -214")]


class StackModel(SpecModel):
    """Room in the stack: `clearance` between things that no joint lets touch; `ceiling` over it, and room below that.

    The ceiling is a height over Z = 0 of the stack, such as the underside of a bonnet.
    """

    clearance: PositiveLength | None = None
    ceiling: Length | None = None
    below_ceiling: NonNegativeLength = 0.0

    @model_validator(mode="after")
    def _room_below_something(self) -> Self:
        if self.ceiling is None and self.below_ceiling > 0:
            message = "`below_ceiling` needs a `ceiling`"
            raise ValueError(message)
        return self


class StemModel(SpecModel):
    """Something round: diameter and length."""

    diameter: PositiveLength
    length: PositiveLength


class FittingModel(StemModel):
    """A pipe fitting: the room that it takes outside, largest diameter and length; its least `bore`."""

    bore: PositiveLength | None = None

    @model_validator(mode="after")
    def _bored_within(self) -> Self:
        if self.bore is not None and self.bore >= self.diameter:
            message = f"a `bore` of {self.bore:g} mm is as wide as the fitting, {self.diameter:g} mm"
            raise ValueError(message)
        return self


class InjectorEndModel(StemModel):
    """An end of an injector with its O-ring: of AS568 (`o_ring`), or of the size [inside diameter, section].

    `groove` is the diameter of the groove's floor, `groove_width` its width along the injector. `compound` is the
    ring's rubber as ISO 1629 names it: its limits of temperature, and whether it stands the fuel, follow.
    """

    o_ring: RingWord | None = None
    ring_size: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)] | None = None
    groove: PositiveLength | None = None
    groove_width: PositiveLength | None = None
    compound: Compound | None = None
    bore_fit: Literal["H7"] | None = None

    @model_validator(mode="after")
    def _ring_in_its_groove(self) -> Self:
        if self.o_ring is not None and self.ring_size is not None:
            message = "an injector's end has either `o_ring` or `ring_size`"
            raise ValueError(message)
        if self.groove is not None and self.groove >= self.diameter:
            message = f"the `groove` of {self.groove:g} mm is not cut into an end of {self.diameter:g} mm"
            raise ValueError(message)
        if self.groove_width is not None and self.groove_width >= self.length:
            message = f"a `groove_width` of {self.groove_width:g} mm leaves nothing of an end {self.length:g} mm long"
            raise ValueError(message)
        return self


class InjectorModel(SpecModel):
    """An injector that O-rings seal at both ends: `length` from its shoulder in the boss to its end in the rail.

    `diameter` is that of its body; `boss_end` reaches down from the shoulder, `rail_end` is the top of its length.
    """

    length: PositiveLength
    diameter: PositiveLength
    boss_end: InjectorEndModel
    rail_end: InjectorEndModel

    @model_validator(mode="after")
    def _body_between_the_ends(self) -> Self:
        if self.rail_end.length >= self.length:
            message = f"the rail end of {self.rail_end.length:g} mm leaves nothing of the length, {self.length:g} mm"
            raise ValueError(message)
        return self


class BoreModel(SpecModel):
    """A bore on any axis: from the point `at` of a plate's surface, `towards` a direction, `depth` along it.

    It is plain, or `tapped` with `depth` of full thread. A bore whose end lies outside the plate goes through. `into`
    names the cuts that it is meant to open into.
    """

    at: Annotated[tuple[Length, Length, Length], Strict(False)]
    towards: Annotated[tuple[float, float, float], Strict(False)]
    diameter: PositiveLength | None = None
    tapped: ThreadWord | None = None
    depth: PositiveLength
    into: Annotated[tuple[Name, ...], Strict(False)] = ()

    @model_validator(mode="after")
    def _one_size(self) -> Self:
        if (self.diameter is None) == (self.tapped is None):
            message = "a bore has either `diameter` or `tapped`"
            raise ValueError(message)
        return self


class AlignmentModel(SpecModel):
    """How far a rail's bores may stand off the bosses' axes: position, and angle."""

    position: PositiveLength = 0.6
    angle: Annotated[Angle, Field(gt=0, le=10)] = 1.4
