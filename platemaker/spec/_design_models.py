"""What a project is designed for: pressures, loads on its joints, engine, blower, air, fuel, the oil's way home.

Defaults are common practice, no source. Pressures are over the ambient air unless said otherwise; the shares of
`preload_share` and the efficiencies are plain numbers.
"""

from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, Strict, model_validator

from platemaker.catalog import engine_oil, fuel, nut_factor
from platemaker.spec._base import Count, Name, SideWord, SpecModel, Title
from platemaker.spec._fit_models import ZoneWord
from platemaker.spec._quantities import (
    Angle,
    Flow,
    Force,
    GaugePressure,
    Mass,
    MassFlow,
    PositiveLength,
    Quantity,
    SpacePoint,
    Speed,
    Temperature,
    Volume,
    from_catalog,
)
from platemaker.units import MPA, Dimension

AMBIENT = 0.101325
"""Standard atmosphere, MPa (ISO 2533:1975)."""
ROOM = 298.15
"""A warm workshop's air, K."""
COLD = 253.15
"""A cold start, K: -20 degC. Common practice, no source."""
SHARPEST = 120.0
"""The sharpest mitre bend of which a loss is known, degrees."""

_look_up_friction = from_catalog(nut_factor)
_look_up_fuel = from_catalog(fuel)
_look_up_oil = from_catalog(engine_oil)


def _known_friction(condition: str) -> str:
    return _look_up_friction(condition).condition


AbsolutePressure = Annotated[MPA, Quantity(Dimension.PRESSURE, "0 bar", "1000 bar", above=True)]
PositiveGaugePressure = Annotated[MPA, Quantity(Dimension.PRESSURE, "0 bar", "1000 bar", above=True)]
Vacuum = Annotated[MPA, Quantity(Dimension.PRESSURE, "0 bar", "1.01325 bar")]
FrictionWord = Annotated[
    str,
    AfterValidator(_known_friction),
    Field(description="How threads and heads run: plain, black, zinc, cadmium, lubricated, oiled, anti-seize, waxed."),
]
Direction = Annotated[
    tuple[float, float, float], Strict(False), Field(description="Any length: only the direction counts.")
]
VolumetricEfficiency = Annotated[float, Field(gt=0, le=1.5)]
Efficiency = Annotated[float, Field(gt=0, le=1)]
Joints = Annotated[tuple[Name, ...], Strict(False), Field(min_length=1)]


class LoadModel(SpecModel):
    """A weight (`mass`, times `times` the pull of gravity) or a `force` at a point of the stack.

    It is carried by `joints`, or by `parts`: a rail, whose brackets share it, or one such bracket alone. `at`
    and `towards` are in the stack's frame; a weight hangs down unless stated otherwise. A force acts both ways along
    its line. A weight with a factor for the road (`times` above 1) pulls with it along each axis, both ways.
    With `one_way: true` a load acts as stated and no other way: a belt that only pulls, a weight that stands still.
    """

    title: Title | None = None
    mass: Mass | None = None
    times: Annotated[float, Field(gt=0, le=100)] = 1.0
    force: Force | None = None
    towards: Direction = (0.0, 0.0, -1.0)
    at: SpacePoint
    joints: Joints | None = None
    parts: Joints | None = None
    one_way: bool = False

    @model_validator(mode="after")
    def _one_load(self) -> Self:
        if (self.mass is None) == (self.force is None):
            message = "a load has either `mass` or `force`"
            raise ValueError(message)
        if not any(self.towards):
            message = "`towards` must point somewhere, not be [0, 0, 0]"
            raise ValueError(message)
        if (self.joints is None) == (self.parts is None):
            message = "a load is carried by either `joints` or `parts` (rails and their brackets)"
            raise ValueError(message)
        return self


class EngineModel(SpecModel):
    """A four-stroke engine: displacement of all cylinders, speed, how well it fills, and how many cylinders fire."""

    displacement: Volume
    speed: Speed
    volumetric_efficiency: VolumetricEfficiency = 0.9
    cylinders: Annotated[int, Field(ge=1, le=48)] | None = None


class BlowerModel(SpecModel):
    """A positive-displacement blower: volume a turn, its own speed or turns for each turn of the engine."""

    per_turn: Volume
    speed: Speed | None = None
    ratio: Annotated[float, Field(gt=0, le=100)] | None = None
    volumetric_efficiency: Efficiency = 0.9
    efficiency: Efficiency = 0.6

    @model_validator(mode="after")
    def _one_speed(self) -> Self:
        if (self.speed is None) == (self.ratio is None):
            message = "a blower has either `speed` or `ratio`"
            raise ValueError(message)
        return self


class AirBendModel(SpecModel):
    """A bend of the air's way before the first section of the stack or behind the last, in the same section.

    `radius` is that of its middle line; without one it is a sharp mitre, of 120 degrees at most.
    """

    angle: Annotated[Angle, Field(gt=0, le=180)]
    radius: PositiveLength | None = None
    lies: Literal["before", "behind"] = "behind"

    @model_validator(mode="after")
    def _mitre_within_its_range(self) -> Self:
        if self.radius is None and self.angle > SHARPEST:
            message = f"a bend of more than {SHARPEST:g} deg needs a `radius`, met {self.angle:g} deg"
            raise ValueError(message)
        return self


class AirModel(SpecModel):
    """The air through the openings: which way, how warm, and how fast is too fast.

    `mass_flow` goes before what blower or engine would ask for. `bends` lie on the way to and from the stack.
    """

    towards: SideWord = "below"
    mass_flow: MassFlow | None = None
    inlet_temperature: Temperature = ROOM
    outlet_temperature: Temperature | None = None
    inlet_pressure: AbsolutePressure = AMBIENT
    mach: Annotated[float, Field(gt=0, lt=1)] = 0.3
    uneven: Annotated[float, Field(gt=0, lt=1)] = 0.05
    bends: Annotated[tuple[AirBendModel, ...], Strict(False), Field(max_length=50)] = ()
    larger_mouth: PositiveLength = 3.0
    larger_opening: PositiveLength = 2.0


class ReliefModel(SpecModel):
    """A valve that lets boost out: the pressure over ambient at which it is open."""

    pressure: PositiveGaugePressure


def _known_fuel(word: str) -> str:
    return _look_up_fuel(word).name


FuelWord = Annotated[
    str,
    AfterValidator(_known_fuel),
    Field(description="petrol, ethanol, methanol, or ethanol in petrol by volume: E10, E85."),
]


class FuelModel(SpecModel):
    """Fuel in the rail: pressure over the manifold's, flow of one injector, and how many there are.

    Without `injectors` there are as many as all rails have bores. `injector_flow` is that at `rated_pressure`, else
    at the rail's own. `kind` names the fuel, `lambda` is the air over what burns all of it, `duty` the share of the
    time that an injector may be open. `times` is how many times its weight the rail pulls at its brackets as it shakes.
    """

    pressure: GaugePressure
    injector_flow: Flow
    injectors: Count | None = None
    rated_pressure: AbsolutePressure | None = None
    kind: FuelWord | None = None
    mixture: Annotated[float, Field(ge=0.3, le=3)] | None = Field(default=None, alias="lambda")
    duty: Efficiency | None = None
    times: Annotated[float, Field(ge=1, le=100)] = 3.0


class DrainLineModel(SpecModel):
    """The oil's way from the drain plate to the sump: corners of the line, first the plate's end, Z up."""

    line: Annotated[tuple[SpacePoint, ...], Strict(False), Field(min_length=2, max_length=50)]
    hose_bore: PositiveLength | None = None


def _known_oil(grade: str) -> str:
    return _look_up_oil(grade).grade


OilWord = Annotated[str, AfterValidator(_known_oil), Field(description="5W-30, 10W-40, 15W-40, 20W-50, SAE 30.")]


class OilFeedModel(SpecModel):
    """Oil to a turbocharger: pressure in the engine's gallery, oil and its temperature, line and restrictor.

    `flow` is what the turbocharger needs, `inlet_pressure` the [least, most] before it that its data sheet allows.
    `viscosity_40` and `viscosity_100` are those of the oil's, in mm2/s; without them usual ones of its grade are taken.
    """

    pressure: GaugePressure | None = None
    oil: OilWord | None = None
    viscosity_40: Annotated[float, Field(ge=2, le=2000)] | None = None
    viscosity_100: Annotated[float, Field(ge=2, le=200)] | None = None
    temperature: Temperature | None = None
    line_bore: PositiveLength | None = None
    line_length: PositiveLength | None = None
    restrictor: PositiveLength | None = None
    flow: Flow | None = None
    inlet_pressure: Annotated[tuple[GaugePressure, GaugePressure], Strict(False)] | None = None

    @model_validator(mode="after")
    def _pairs_in_order(self) -> Self:
        if (self.viscosity_40 is None) != (self.viscosity_100 is None):
            message = "`viscosity_40` and `viscosity_100` go together"
            raise ValueError(message)
        if self.viscosity_40 is not None and self.viscosity_100 is not None and self.viscosity_40 <= self.viscosity_100:
            message = "an oil is thicker at 40 degC than at 100"
            raise ValueError(message)
        if self.inlet_pressure is not None and self.inlet_pressure[0] > self.inlet_pressure[1]:
            message = "`inlet_pressure` is [least, most]"
            raise ValueError(message)
        return self


class CompoundsModel(SpecModel):
    """What is put on threads and into bores as they are fitted, in words for the fitter and the bill of materials.

    Torque follows from the design's `friction`, whatever stands here.
    """

    threads: Title | None = None
    pipe_threads: Title | None = None
    bosses: Title | None = None


class DesignModel(SpecModel):
    """What the project has to hold, seal, pass and drain.

    `tightening` is how bolts are tightened, `temperature` that of the warm engine and `cold_start` the least that it
    starts at: preload scatters with the first and changes with the others.
    """

    boost: GaugePressure = 0.0
    relief: ReliefModel | None = None
    backfire: GaugePressure = 0.0
    vacuum: Vacuum = 0.0
    friction: FrictionWord = "plain"
    preload_share: Annotated[float, Field(gt=0, le=1)] = 0.75
    tightening: Literal["torque wrench", "by feel", "turn of nut", "indicating washers", "measured stretch"] = (
        "torque wrench"
    )
    temperature: Temperature | None = None
    cold_start: Temperature = COLD
    compounds: CompoundsModel = CompoundsModel.model_construct()
    loads: dict[Name, LoadModel] = Field(default_factory=dict)
    engine: EngineModel | None = None
    blower: BlowerModel | None = None
    air: AirModel | None = None
    fuel: FuelModel | None = None
    drain: DrainLineModel | None = None
    oil_feed: OilFeedModel | None = None

    @model_validator(mode="after")
    def _ratio_needs_an_engine(self) -> Self:
        if self.blower is not None and self.blower.ratio is not None and self.engine is None:
            message = "a blower's `ratio` needs `engine` with its speed"
            raise ValueError(message)
        return self


class PressFitModel(SpecModel):
    """A boss pressed into its bore: zones of ISO 286, or the least and greatest interference on the diameter."""

    hole: ZoneWord | None = None
    shaft: ZoneWord | None = None
    interference: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)] | None = None
    retaining_compound: bool = False

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        zones = [self.hole, self.shaft]
        if (self.interference is None) == (None in zones) or (self.interference is not None and any(zones)):
            message = "a fit has either `hole` and `shaft` zones or an `interference` [least, greatest]"
            raise ValueError(message)
        if self.interference is not None and self.interference[0] > self.interference[1]:
            message = "an `interference` is [least, greatest]"
            raise ValueError(message)
        return self
