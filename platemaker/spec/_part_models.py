"""Models of what is made: plates, boss rows, rails, brackets, drain plates."""

from typing import Annotated, Literal, Self

from pydantic import Field, Strict, StringConstraints, Tag, model_validator

from platemaker.spec._base import (
    CircleShape,
    Count,
    LoopShape,
    Name,
    NonNegativeLength,
    Placed,
    RectangleShape,
    RoleWord,
    Shape,
    SideWord,
    SlotShape,
    SpecModel,
    Title,
    first_of,
)
from platemaker.spec._design_models import PressFitModel
from platemaker.spec._drawing_models import Words
from platemaker.spec._hole_models import Into, LegHole, PipeThreadWord, PlateHole, PortWord
from platemaker.spec._joint_models import PlaceModel, ThreadWord
from platemaker.spec._limit_models import LimitsModel
from platemaker.spec._quantities import Angle, Point, PositiveLength
from platemaker.spec._stack_models import AlignmentModel, BoreModel, FittingModel, InjectorModel

Text = Annotated[str, StringConstraints(min_length=1, max_length=200)]


class Mount(Placed):
    """How a plate carries a joint's bolts on one of its faces, and where the joint's frame lies in its plan.

    `position` is the diameter of the zone in which the axis of each of its holes must lie. `into` names the cuts that
    its holes may open into.
    """

    holes: RoleWord = "clear"
    thread_depth: PositiveLength | None = None
    head_clearance: NonNegativeLength = 0.0
    position: PositiveLength | None = None
    into: Into = ()

    @model_validator(mode="after")
    def _sizes_of_its_holes(self) -> Self:
        for key, stated, holes in (
            ("thread_depth", self.thread_depth is not None, "tapped"),
            ("head_clearance", self.head_clearance > 0, "counterbored"),
        ):
            if stated and self.holes != holes:
                message = f"`{key}` goes with `holes: {holes}`; these are {self.holes}"
                raise ValueError(message)
        return self


class AroundOutline(SpecModel):
    """An outline grown round joints: the hull of their bolts' seats and openings, set out by a margin."""

    around: Annotated[tuple[Name, ...], Strict(False), Field(min_length=1)]
    margin: PositiveLength


Outline = Annotated[
    Annotated[AroundOutline, Tag("around")]
    | Annotated[CircleShape, Tag("circle")]
    | Annotated[RectangleShape, Tag("rectangle")]
    | Annotated[SlotShape, Tag("slot")]
    | Annotated[LoopShape, Tag("loop")],
    first_of("around", "circle", "rectangle", "slot", "loop"),
]


class MouthFields(SpecModel):
    """A rounded or chamfered entry at the edge of an opening, on the face `mouth`.

    `mouth_chamfer` is its width on the face, `mouth_angle` the angle between chamfer and wall.
    """

    mouth_radius: NonNegativeLength = 0.0
    mouth_chamfer: NonNegativeLength = 0.0
    mouth_angle: Annotated[Angle, Field(ge=10, le=80)] = 45.0
    mouth: SideWord = "below"
    cutter: PositiveLength | None = None
    into: Into = ()

    @model_validator(mode="after")
    def _one_mouth(self) -> Self:
        if self.mouth_radius > 0 and self.mouth_chamfer > 0:
            message = "an opening's mouth has either `mouth_radius` or `mouth_chamfer`"
            raise ValueError(message)
        return self


OpeningWord = Annotated[
    str,
    StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_]{0,39}(\.[A-Za-z][A-Za-z0-9_]{0,39})?$"),
    Field(description="joint, or joint.opening"),
]


class MatchOpening(MouthFields):
    """An opening with the shape of a joint's port; of one of several as joint.opening, of all of them by the joint."""

    match: OpeningWord


class OpenOutFields(SpecModel):
    """The largest figure that a round cutter can make: `wall` off spared holes, `land` off outline and gasket lines."""

    open_out: Literal[True]
    wall: PositiveLength
    land: PositiveLength
    cutter: PositiveLength
    keep_clear: dict[Name, Shape] = Field(default_factory=dict)
    start: Point | None = None


class OpenOutOpening(MouthFields, OpenOutFields):
    """A through opening as large as the bolts allow."""

    cutter: PositiveLength


class ShapeOpening(MouthFields):
    """An opening of a given shape."""

    shape: Shape


Opening = Annotated[
    Annotated[MatchOpening, Tag("match")]
    | Annotated[OpenOutOpening, Tag("open_out")]
    | Annotated[ShapeOpening, Tag("shape")],
    first_of("match", "open_out", "shape"),
]


class ShapePocket(SpecModel):
    """A blind pocket of a given shape."""

    shape: Shape
    depth: PositiveLength
    side: SideWord = "above"
    cutter: PositiveLength | None = None
    into: Into = ()


class OpenOutPocket(OpenOutFields):
    """A blind pocket as large as the bolts allow."""

    depth: PositiveLength
    side: SideWord = "above"
    into: Into = ()


Pocket = Annotated[
    Annotated[OpenOutPocket, Tag("open_out")] | Annotated[ShapePocket, Tag("shape")],
    first_of("open_out", "shape"),
]


class Relief(SpecModel):
    """A round blind relief, milled flat, for a stud or a head that stands proud of the other part.

    `stud` is the diameter of what stands in its middle.
    """

    at: Point
    diameter: PositiveLength
    depth: PositiveLength
    side: SideWord = "below"
    cutter: PositiveLength | None = None
    stud: PositiveLength | None = None
    into: Into = ()


class Slot(Placed):
    """A round-ended slot [overall length, width]; through unless a depth is given.

    A slot that `adjusts` a joint holds one of its bolts, and lets the plate be set along the slot on it.
    """

    slot: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]
    adjusts: Name | None = None
    depth: PositiveLength | None = None
    side: SideWord = "above"
    cutter: PositiveLength | None = None
    into: Into = ()


class MarkModel(SpecModel):
    """Letters engraved, stamped or scribed on a part: a `text`, or the numbers of a joint's `bolts` beside their holes.

    `{number}` in the text stands for the part's drawing number. Without `at`, a text begins at the part's zero and a
    bolt's number right of its hole.
    """

    text: Annotated[str, StringConstraints(pattern=r"^[ -~]{1,40}$")] | None = None
    bolts: Name | None = None
    at: Point | None = None
    height: PositiveLength = 6.0
    letters: Literal["strokes", "outlines"] = "strokes"

    @model_validator(mode="after")
    def _says_one_thing(self) -> Self:
        if (self.text is None) == (self.bolts is None):
            message = "a mark has either a `text`, or `bolts`: the joint whose bolts get their numbers"
            raise ValueError(message)
        return self


class PartFields(SpecModel):
    """What every part may say."""

    title: Title | None = None
    material: str
    quantity: Count = 1
    edge_break: PositiveLength | None = None
    marks: dict[Name, MarkModel] = Field(default_factory=dict)
    limits: LimitsModel = LimitsModel.model_construct()
    place: PlaceModel | None = None
    note: Text | None = None
    finish: Words | None = None
    treatment: Words | None = None


class PlateFields(PartFields):
    """A flat plate with what is cut into it."""

    thickness: PositiveLength
    outline: Outline
    below: dict[Name, Mount] = Field(default_factory=dict)
    above: dict[Name, Mount] = Field(default_factory=dict)
    opening: Opening | None = None
    openings: dict[Name, Opening] = Field(default_factory=dict)
    pocket: Pocket | None = None
    pockets: dict[Name, Pocket] = Field(default_factory=dict)
    reliefs: dict[Name, Relief] = Field(default_factory=dict)
    slots: dict[Name, Slot] = Field(default_factory=dict)
    holes: dict[Name, PlateHole] = Field(default_factory=dict)
    bores: dict[Name, BoreModel] = Field(default_factory=dict)


class Plate(PlateFields):
    """A match plate, a blower-side plate, an adapter."""

    kind: Literal["plate"]


class Drain(SpecModel):
    """A drain bore with a thread for the fitting: a pipe thread (1/2 NPT) or a straight port (-10).

    `fitting` is the room that the fitting takes outside, largest diameter and length, and its bore.
    """

    at: Point
    pipe_thread: PipeThreadWord | None = None
    port: PortWord | None = None
    side: SideWord = "below"
    bore: PositiveLength | None = None
    fitting: FittingModel | None = None

    @model_validator(mode="after")
    def _one_thread(self) -> Self:
        if (self.pipe_thread is None) == (self.port is None):
            message = "a drain has either `pipe_thread` or `port`"
            raise ValueError(message)
        if self.pipe_thread is not None and self.bore is not None:
            message = "a `bore` lies behind a `port`; a pipe thread goes right through"
            raise ValueError(message)
        return self


class DrainPlate(PlateFields):
    """A plate that carries a drain fitting."""

    kind: Literal["drain_plate"]
    drain: Drain


class Seat(SpecModel):
    """A counterbored seat at the top of a boss."""

    diameter: PositiveLength
    depth: PositiveLength


class BossModel(SpecModel):
    """One turned boss."""

    outside_diameter: PositiveLength
    length: PositiveLength
    bore: PositiveLength
    seat: Seat | None = None


class Spotface(SpecModel):
    """A flat square to the bore, milled before the drill so that it does not walk."""

    diameter: PositiveLength
    depth: PositiveLength


class CastingModel(SpecModel):
    """The existing casting where the bosses go: its machined flat, its wall there, the hole to bore.

    `body` is the body that the casting is a piece of.
    """

    material: str
    flat: Shape
    thickness: PositiveLength
    bore: PositiveLength
    depth: PositiveLength | None = None
    spotface: Spotface | None = None
    place: PlaceModel | None = None
    body: Name | None = None


BoreAngle = Annotated[Angle, Field(ge=15, le=90)]


class BossRow(PartFields):
    """Bosses on the spots of a joint, their axes at `angle` to the casting's machined flat."""

    kind: Literal["boss_row"]
    joint: Name
    angle: BoreAngle = 45.0
    boss: BossModel
    casting: CastingModel
    fit: PressFitModel | None = None


class BarStockModel(SpecModel):
    """Rectangular bar [across, high], along X."""

    bar: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]


class RoundStockModel(SpecModel):
    """Round bar or tube of an outside diameter, along X."""

    round: PositiveLength


RailStock = Annotated[
    Annotated[BarStockModel, Tag("bar")] | Annotated[RoundStockModel, Tag("round")], first_of("bar", "round")
]


class CrossBore(SpecModel):
    """The bores that take the injectors: from the underside into the passage, with a seat at the mouth."""

    diameter: PositiveLength
    seat: Seat | None = None


class RailEnds(SpecModel):
    """Threads in both ends of the passage: a straight `port` (-6) in the form of its standard, or a `thread` so deep.

    `fitting` is the room that a fitting or plug takes outside.
    """

    thread: ThreadWord | None = None
    port: PortWord | None = None
    depth: PositiveLength | None = None
    fitting: FittingModel | None = None

    @model_validator(mode="after")
    def _one_thread(self) -> Self:
        if (self.thread is None) == (self.port is None):
            message = "a rail's `ends` have either `thread` or `port`"
            raise ValueError(message)
        if (self.thread is None) == (self.depth is not None):
            message = "`depth` goes with a `thread`; a `port` has that of its standard"
            raise ValueError(message)
        return self


class Rail(PartFields):
    """A rail: one passage from end to end, a cross bore at every spot of a joint.

    With `bosses`, a row of them, it stands over the row, `standoff` from their tops along their axes; without a
    standoff, as the `injector` asks.
    """

    kind: Literal["rail"]
    stock: RailStock
    length: PositiveLength
    joint: Name
    passage: PositiveLength
    cross_bore: CrossBore
    ends: RailEnds | None = None
    holes: dict[Name, PlateHole] = Field(default_factory=dict)
    bosses: Name | None = None
    standoff: PositiveLength | None = None
    injector: InjectorModel | None = None
    alignment: AlignmentModel = AlignmentModel.model_construct()

    @model_validator(mode="after")
    def _stands_one_way(self) -> Self:
        if self.bosses is None and (self.standoff is not None or self.injector is not None):
            message = "`standoff` and `injector` go with `bosses`, the row that the rail stands over"
            raise ValueError(message)
        if self.bosses is not None and self.standoff is None and self.injector is None:
            message = "a rail over `bosses` needs a `standoff` or an `injector`"
            raise ValueError(message)
        if self.bosses is not None and self.place is not None:
            message = "a rail has either `bosses` to stand over or a `place`"
            raise ValueError(message)
        return self


class BendModel(SpecModel):
    """A bend: angle turned from flat (positive towards the upper face), inside radius."""

    angle: Angle
    radius: PositiveLength


class LegFields(SpecModel):
    """A figure in leg number `leg` of a bracket, in [along the leg from its beginning, across from its middle].

    Through unless a depth is given.
    """

    leg: Annotated[int, Field(ge=1, le=20)]
    depth: PositiveLength | None = None
    side: SideWord = "above"


class LegShapePocket(LegFields):
    """A lightening pocket or window of a given shape."""

    shape: Shape
    cutter: PositiveLength | None = None


class LegOpenOutPocket(LegFields, OpenOutFields):
    """A lightening pocket or window as large as the holes, edges and bends of its leg allow."""


LegPocket = Annotated[
    Annotated[LegOpenOutPocket, Tag("open_out")] | Annotated[LegShapePocket, Tag("shape")],
    first_of("open_out", "shape"),
]


class Bracket(PartFields):
    """A bent flat bar with holes. `legs` are outside lengths to the sharp corners.

    The first hole that lies `over` another part's hole gives its place; `turn` is the direction of its first leg in
    that part's plan. The bar's upper face lies on that part, heads stand on the lower one: bends of a positive angle
    go round the part, negative ones away from it.
    """

    kind: Literal["bracket"]
    width: PositiveLength
    thickness: PositiveLength
    legs: Annotated[tuple[PositiveLength, ...], Strict(False), Field(min_length=1, max_length=20)]
    bends: Annotated[tuple[BendModel, ...], Strict(False)] = ()
    holes: dict[Name, LegHole] = Field(default_factory=dict)
    pockets: dict[Name, LegPocket] = Field(default_factory=dict)
    turn: Angle = 0.0

    @model_validator(mode="after")
    def _legs_and_bends(self) -> Self:
        if len(self.bends) != len(self.legs) - 1:
            message = f"{len(self.legs)} legs need {len(self.legs) - 1} bends, met {len(self.bends)}"
            raise ValueError(message)
        return self


AnyPart = Annotated[Plate | DrainPlate | BossRow | Rail | Bracket, Field(discriminator="kind")]
