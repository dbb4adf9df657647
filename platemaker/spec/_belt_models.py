"""Models of a belt drive: its section, its pulleys in the order in which the belt passes them, how it is tightened."""

from __future__ import annotations

from typing import Annotated, Literal

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

    mass: Mass = Field(description="Mass of all that turns, up to 10000 kg.")
    diameter: PositiveLength = Field(description="Outside diameter of one rotor, above 0, at most 10 m.")
    ratio: Annotated[float, Field(gt=0, le=20)] = Field(
        default=1.0, description="Turns of the rotors for one turn of the pulley, above 0, at most 20."
    )


class SlotSetting(SpecModel):
    """A pulley that is set along a straight slot: `travel` [from, to] along `towards`, from `at`; found if left out."""

    towards: Direction = Field(description="Direction of the slot in the owner's frame: any length.")
    travel: Annotated[tuple[Length, Length], Strict(False)] | None = Field(
        default=None, description="[from, to] along the slot from `at`, mm; left out, what the belt needs."
    )
    width: PositiveLength | None = Field(
        default=None, description="Width of a slot to be cut in the plate that the pulley is on; left out, none is cut."
    )
    cutter: PositiveLength | None = Field(default=None, description="Diameter of the end mill for it, at most 10 m.")

    @model_validator(mode="after")
    def _a_way(self) -> SlotSetting:
        if not any(self.towards):
            message = "`towards` must point somewhere, not be [0, 0, 0]"
            raise ValueError(message)
        if self.travel is not None and not self.travel[0] < self.travel[1]:
            message = "`travel` is [from, to], the lesser first"
            raise ValueError(message)
        return self


class ArmSetting(SpecModel):
    """A pulley on an arm that swings about `pivot` and is locked: `travel` [from, to] from `at`; found if left out.

    Angles count as the pulley's axis points: a right-handed turn is positive.
    """

    pivot: SpacePoint = Field(description="Any point of the arm's pivot axis, in the owner's frame, mm.")
    travel: Annotated[tuple[Angle, Angle], Strict(False)] | None = Field(
        default=None, description="[from, to] in degrees from `at`; left out, what the belt needs."
    )
    width: PositiveLength | None = Field(
        default=None, description="Width of an arc slot to be cut in the plate that the pulley is on."
    )
    cutter: PositiveLength | None = Field(default=None, description="Diameter of the end mill for it, at most 10 m.")

    @model_validator(mode="after")
    def _a_range(self) -> ArmSetting:
        if self.travel is not None and not self.travel[0] < self.travel[1]:
            message = "`travel` is [from, to], the lesser first"
            raise ValueError(message)
        return self


class PulleyModel(SpecModel):
    """A pulley: where its middle is, on which body or part, how large, and what it drives or takes.

    Without `drives`, `power` or `takes` it is an idler. `diameter` is the datum diameter of a V-pulley, the effective
    one of a ribbed, the outside one of any pulley behind the belt; a toothed pulley has `teeth`. A pulley behind the
    belt (`back`) turns against the others.
    """

    title: Title | None = Field(default=None, description="What the page calls it, at most 120 characters.")
    on: Name | None = Field(default=None, description="Body or part whose frame `at` is in; left out, the stack's.")
    at: SpacePoint = Field(description="Middle of its rim, mm, in the frame of `on`.")
    axis: Direction = Field(default=(1.0, 0.0, 0.0), description="Its shaft's direction there: any length.")
    diameter: PositiveLength | None = Field(default=None, description="Its diameter, above 0, at most 10 m.")
    teeth: Annotated[int, Field(ge=6, le=500)] | None = Field(
        default=None, description="Teeth of a toothed pulley, 6 to 500."
    )
    width: PositiveLength | None = Field(default=None, description="Width of its rim, above 0, at most 10 m.")
    back: bool = Field(default=False, description="The belt's back runs on it.")
    turns: Turning | None = Field(default=None, description="Its rotation, seen along the driving pulley's axis.")
    drives: bool = Field(default=False, description="It drives the belt: the crankshaft's pulley.")
    power: Power | None = Field(default=None, description="Power that it takes, 0 to 1000 kW.")
    takes: Literal["blower"] | None = Field(default=None, description="`blower`: its power follows from the air.")
    idle_power: Power = Field(default=0.0, description="Power that it takes at idle, 0 to 1000 kW.")
    rotors: RotorsModel | None = Field(default=None, description="What turns in it, for its inertia.")
    joints: Joints | None = Field(default=None, description="Joints that carry it: its load acts on them.")
    slot: SlotSetting | None = Field(default=None, description="It is set along a slot.")
    arm: ArmSetting | None = Field(default=None, description="It is set on an arm and locked.")
    stud: PositiveLength | None = Field(
        default=None, description="Diameter of its stud or screw, above 0, at most 10 m."
    )
    overhang: PositiveLength | None = Field(
        default=None, description="From the face of its bracket to the middle of its rim, above 0, at most 10 m."
    )

    @model_validator(mode="after")
    def _one_role(self) -> PulleyModel:
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
    strands: Count = Field(default=1, description="V-belts side by side, or ribs: 1 to 500.")
    width: PositiveLength | None = Field(default=None, description="Width of a toothed belt, above 0, at most 10 m.")
    length: PositiveLength | None = Field(
        default=None, description="Datum length of a V-belt, effective of a ribbed, pitch length of a toothed; to 10 m."
    )
    lengths: Annotated[tuple[PositiveLength, ...], Strict(False), Field(min_length=1, max_length=500)] | None = Field(
        default=None, description="Lengths that the dealer has, in place of the catalog's."
    )
    crossed: bool = Field(default=False, description="A crossed belt on two pulleys.")
    turns: Turning = Field(description="Rotation of the driving pulley, seen along its axis.")
    speed: Speed | None = Field(
        default=None, description="Speed of the driving pulley, to 500000 rpm; left out, the engine's."
    )
    idle_speed: Speed = Field(default=800.0, description="The driving pulley's speed at idle, to 500000 rpm.")
    slowing: Annotated[float, Field(gt=0, le=100000)] = Field(
        default=4000.0, description="rpm that the driving pulley loses a second as the throttle snaps shut, to 100000."
    )
    friction: Annotated[float, Field(gt=0, le=1)] | None = Field(
        default=None,
        description="Of belt on pulley, above 0, to 1, before the groove's wedge; left out, the catalog's.",
    )
    tension: PositiveForce | None = Field(
        default=None, description="Tension of the whole belt as fitted, N; left out, what the drive needs."
    )
    allowed_tension: PositiveForce | None = Field(
        default=None, description="What the maker allows for the whole belt, N; left out, it is not checked."
    )
    service_factor: Annotated[float, Field(ge=1, le=3)] = Field(
        default=1.2, description="How many times the power the belt is to carry before it slips, 1 to 3."
    )
    clearance: PositiveLength = Field(
        default=10.0, description="Least room round the belt for its whip, above 0, at most 10 m."
    )
    pulleys: Annotated[dict[Name, PulleyModel], Field(min_length=2, max_length=20)]

    @model_validator(mode="after")
    def _fits_together(self) -> BeltModel:
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
