"""Models of a belt drive: its section, its pulleys in the order in which the belt passes them, how it is tightened."""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, Strict, model_validator

from platemaker.catalog import BeltFamily, belt_section
from platemaker.spec._base import Count, Name, SpecModel, Title
from platemaker.spec._design_models import Direction, Joints
from platemaker.spec._quantities import (
    Angle,
    Force,
    Length,
    Mass,
    PositiveLength,
    Quantity,
    SpacePoint,
    Speed,
    from_catalog,
)
from platemaker.units import KW, Dimension

_look_up_section = from_catalog(belt_section)


def _known_section(word: str) -> str:
    return _look_up_section(word).section


SectionWord = Annotated[
    str,
    AfterValidator(_known_section),
    Field(description="Z, A, B, C, SPZ, SPA, SPB, SPC, PH, PJ, PK, PL, PM, XL, L, H, XH, 8M or 14M."),
]
Power = Annotated[KW, Quantity(Dimension.POWER, "0 kW", "1000 kW")]
PositiveForce = Annotated[Force, Field(gt=0)]
Turning = Literal["clockwise", "counterclockwise"]


class RotorsModel(SpecModel):
    """What turns in a driven machine: its mass and outside diameter, on shafts that turn `ratio` times its pulley's.

    Its inertia is estimated as that of solid cylinders, m d²/8 for the whole mass: more than lobed rotors have.
    """

    mass: Mass
    diameter: PositiveLength
    ratio: Annotated[float, Field(gt=0, le=20)] = 1.0


def _lesser_first(travel: tuple[float, float] | None) -> None:
    if travel is not None and not travel[0] < travel[1]:
        message = "`travel` is [from, to], the lesser first"
        raise ValueError(message)


class SlotSetting(SpecModel):
    """A pulley that is set along a straight slot: `travel` [from, to] along `towards`, from `at`; found if left out."""

    towards: Direction
    travel: Annotated[tuple[Length, Length], Strict(False)] | None = None
    width: PositiveLength | None = None
    cutter: PositiveLength | None = None

    @model_validator(mode="after")
    def _a_way(self) -> Self:
        if not any(self.towards):
            message = "`towards` must point somewhere, not be [0, 0, 0]"
            raise ValueError(message)
        _lesser_first(self.travel)
        return self


class ArmSetting(SpecModel):
    """A pulley on an arm that swings about `pivot` and is locked: `travel` [from, to] from `at`; found if left out.

    Angles count as the pulley's axis points: a right-handed turn is positive.
    """

    pivot: SpacePoint
    travel: Annotated[tuple[Angle, Angle], Strict(False)] | None = None
    width: PositiveLength | None = None
    cutter: PositiveLength | None = None

    @model_validator(mode="after")
    def _a_range(self) -> Self:
        _lesser_first(self.travel)
        return self


class PulleyModel(SpecModel):
    """A pulley: where its middle is, on which body or part, how large, and what it drives or takes.

    Without `drives`, `power` or `takes` it is an idler. `diameter` is the datum diameter of a V-pulley, the effective
    one of a ribbed, the outside one of any pulley behind the belt; a toothed pulley has `teeth`. A pulley behind the
    belt (`back`) turns against the others.
    """

    title: Title | None = None
    mounted_on: Name | None = None
    at: SpacePoint
    axis: Direction = (1.0, 0.0, 0.0)
    diameter: PositiveLength | None = None
    teeth: Annotated[int, Field(ge=6, le=500)] | None = None
    width: PositiveLength | None = None
    back: bool = False
    turns: Turning | None = None
    drives: bool = False
    power: Power | None = None
    takes: Literal["blower"] | None = None
    idle_power: Power = 0.0
    rotors: RotorsModel | None = None
    joints: Joints | None = None
    slot: SlotSetting | None = None
    arm: ArmSetting | None = None
    stud: PositiveLength | None = None
    overhang: PositiveLength | None = None

    @model_validator(mode="after")
    def _one_role(self) -> Self:
        if not any(self.axis):
            message = "`axis` must point somewhere, not be [0, 0, 0]"
            raise ValueError(message)
        if (self.diameter is None) == (self.teeth is None):
            message = "a pulley has either `diameter` or `teeth`"
            raise ValueError(message)
        if self.drives + (self.power is not None) + (self.takes is not None) > 1:
            message = "a pulley has one of `drives`, `power` and `takes`; an idler has none"
            raise ValueError(message)
        if self.slot is not None and self.arm is not None:
            message = "a pulley is set either along a `slot` or on an `arm`"
            raise ValueError(message)
        return self


class BeltModel(SpecModel):
    """A belt drive. Pulleys stand in the order in which the belt passes them, the way that it runs.

    `strands` counts V-belts side by side or the ribs of a ribbed belt; a toothed belt has its `width`. Without `length`
    the nearest that can be bought is taken. Numbers without a source here are common practice.
    """

    section: SectionWord
    strands: Count = 1
    width: PositiveLength | None = None
    length: PositiveLength | None = None
    lengths: Annotated[tuple[PositiveLength, ...], Strict(False), Field(min_length=1, max_length=500)] | None = None
    crossed: bool = False
    turns: Turning
    speed: Speed | None = None
    idle_speed: Speed = 800.0
    slowing: Annotated[float, Field(gt=0, le=100000)] = 4000.0
    friction: Annotated[float, Field(gt=0, le=1)] | None = None
    tension: PositiveForce | None = None
    allowed_tension: PositiveForce | None = None
    service_factor: Annotated[float, Field(ge=1, le=3)] = 1.2
    clearance: PositiveLength = 10.0
    pulleys: Annotated[dict[Name, PulleyModel], Field(min_length=2, max_length=20)]

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        driving = [name for name, one in self.pulleys.items() if one.drives]
        if len(driving) != 1:
            message = f"one pulley has `drives: true`, met {len(driving)}"
            raise ValueError(message)
        if driving[0] != next(iter(self.pulleys)):
            message = f"list the pulleys in the belt's order from the driving one on: {driving[0]} comes first"
            raise ValueError(message)
        toothed = belt_section(self.section).family is BeltFamily.TOOTHED
        if toothed != (self.width is not None):
            message = "a toothed belt needs its `width`" if toothed else "`width` is for toothed belts: give `strands`"
            raise ValueError(message)
        for name, one in self.pulleys.items():
            if not toothed and one.teeth is not None:
                message = f"pulley {name} has `teeth`, but {self.section} is no toothed belt"
                raise ValueError(message)
            if toothed and not one.back and one.teeth is None and (one.drives or one.power or one.takes):
                message = f"pulley {name} needs its `teeth` on a toothed belt"
                raise ValueError(message)
        if self.crossed and len(self.pulleys) != 2:
            message = f"a crossed belt goes round two pulleys, met {len(self.pulleys)}"
            raise ValueError(message)
        if sum(one.slot is not None or one.arm is not None for one in self.pulleys.values()) > 1:
            message = "one pulley at most is set along a `slot` or on an `arm`"
            raise ValueError(message)
        return self
