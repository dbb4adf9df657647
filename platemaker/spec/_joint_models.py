"""Models of what exists and where it meets: bodies, joints, bolts, gaskets."""

from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, Strict, Tag, model_validator

from platemaker.catalog import HeadKind, hex_head, hex_nut, screw_classes, socket_head, thread
from platemaker.spec._base import (
    FitWord,
    Name,
    NonNegativeLength,
    Pattern,
    Placed,
    PortShape,
    RoleWord,
    Shape,
    SideWord,
    SpecModel,
    Title,
    first_of,
)
from platemaker.spec._fit_models import DowelsModel, LevelModel, PilotModel, ShimModel
from platemaker.spec._quantities import Angle, GaugePressure, Length, PositiveLength, Stress, Torque, from_catalog

MOST_OPENINGS = 50
"""Openings that one joint may have."""
_look_up_thread = from_catalog(thread)


def _known_thread(designation: str) -> str:
    return _look_up_thread(designation).designation


ThreadWord = Annotated[str, AfterValidator(_known_thread), Field(description="M8, M10x1.25, 3/8-16, #10-32")]


def _class_word(value: Any) -> Any:
    return f"{value:g}" if isinstance(value, float) and not isinstance(value, bool) else value


PropertyClass = Annotated[
    Literal["8.8", "10.9", "12.9", "grade 2", "grade 5", "grade 8", "A574", "A2-70"], BeforeValidator(_class_word)
]


class ScrewModel(SpecModel):
    """What screw goes into a hole: its head, class, length under the head, washers, torque.

    Without a class: 8.8 for metric threads; for inch threads A574 with a socket head, else grade 5. A stud is set into
    its thread by its `metal_end` and holds by a nut; its `length` is what stands out of the metal.
    """

    property_class: PropertyClass | None = Field(default=None, alias="class")
    head: Literal["socket", "hex", "stud"] = "socket"
    length: PositiveLength | None = None
    washers: bool = False
    torque: Torque | None = None
    metal_end: PositiveLength | None = None

    @model_validator(mode="after")
    def _end_of_a_stud(self) -> Self:
        if self.metal_end is not None and self.head != "stud":
            message = (
                f"`metal_end` is that of a stud, and this has a {self.head} head: leave it out, or give `head: stud`"
            )
            raise ValueError(message)
        return self


_LISTED = {"socket": socket_head, "hex": hex_head, "stud": hex_nut}


def check_class(designation: str, screw: ScrewModel) -> None:
    """Raise ValueError for a head that is not made on a thread, or a class that no such screw is made in."""
    from_catalog(_LISTED[screw.head])(designation)  # refuses a head, or a stud's nut, that is not made
    made = [row.name for row in screw_classes(designation, HeadKind(screw.head))]
    if screw.property_class is not None and screw.property_class not in made:
        kind = f"{designation} stud" if screw.head == "stud" else f"{designation} screw with a {screw.head} head"
        message = f"no {kind} is made in class {screw.property_class}; allowed: {', '.join(made) or 'none'}"
        raise ValueError(message)


class BoltsModel(ScrewModel):
    """A joint's bolts: where, what thread, how loose the clearance holes, and what screws."""

    pattern: Pattern
    thread: ThreadWord
    fit: FitWord = "medium"

    @model_validator(mode="after")
    def _class_is_made(self) -> Self:
        check_class(self.thread, self)
        return self


Compound = Literal["NBR", "HNBR", "EPDM", "VMQ", "FVMQ", "FKM", "CR"]
"""Rubber of an O-ring as ISO 1629 names it."""


class GasketModel(SpecModel):
    """A joint's gasket: thickness as fitted, and the least land of sealing face round the opening.

    `factor` (m) and `seating_stress` (y) of the maker's sheet go before the catalog's. `fitted` is the range
    [least, most] of the thickness as fitted, where it is stated. `flatness` is that of each of both faces.
    """

    thickness: PositiveLength
    land: PositiveLength
    material: str = "paper gasket"
    overhang: NonNegativeLength = 0.0
    factor: Annotated[float, Field(ge=0, le=20)] | None = None
    seating_stress: Stress | None = None
    flatness: PositiveLength = 0.05
    fitted: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)] | None = None

    @model_validator(mode="after")
    def _fitted_about_the_thickness(self) -> Self:
        if self.fitted is not None and not self.fitted[0] <= self.thickness <= self.fitted[1]:
            message = f"`fitted` must hold the thickness, {self.thickness:g} mm, between its least and its most"
            raise ValueError(message)
        return self


class SealModel(SpecModel):
    """An O-ring in a face groove round the opening, in place of a gasket.

    The groove is cut in `part` (the lower one of the two, if it is made), as deep as the catalog's gland by default.
    `compound` is its rubber as ISO 1629 names it: its limits of temperature follow. `flatness` is that of each of both
    faces.
    """

    o_ring: Annotated[str, Field(description="AS568-214, -214")]
    part: Name | None = None
    depth: PositiveLength | None = None
    compound: Compound | None = None
    flatness: PositiveLength = 0.02


class SharedModel(SpecModel):
    """Another machine's bracket that the joint's bolts hold as well: it moves by what lies between, less a `shim`.

    `thickness` is that of its flange under the bolts' heads.
    """

    title: Title
    shim: NonNegativeLength = 0.0
    thickness: PositiveLength | None = None


OpeningsByName = Annotated[dict[Name, PortShape], Field(min_length=1, max_length=MOST_OPENINGS)]


def _one_of_both(opening: object, openings: object) -> None:
    if opening is not None and openings is not None:
        message = "either a single `opening`, or `openings` by name"
        raise ValueError(message)


class JointModel(SpecModel):
    """Where two bodies meet. `bolts` or plain `spots`; the port, or the ports, that both sides share; what seals them.

    `pressure` stands in this joint in place of the design's boost, backfire and vacuum.
    """

    title: Title | None = None
    bolts: BoltsModel | None = None
    spots: Pattern | None = None
    opening: PortShape | None = None
    openings: OpeningsByName | None = None
    gasket: GasketModel | None = None
    seal: SealModel | None = None
    pressure: GaugePressure | None = None
    shared: SharedModel | None = None
    dowels: DowelsModel | None = None
    pilot: PilotModel | None = None
    level: LevelModel | None = None
    shim: ShimModel | None = None
    sealant: Title | None = None
    source: Title | None = None

    @model_validator(mode="after")
    def _one_set_of_places(self) -> Self:
        if (self.bolts is None) == (self.spots is None):
            message = "a joint has either `bolts` or `spots`"
            raise ValueError(message)
        if self.gasket is not None and self.seal is not None:
            message = "a joint has either `gasket` or `seal`"
            raise ValueError(message)
        _one_of_both(self.opening, self.openings)
        open_there = self.opening is not None or self.openings is not None
        if self.pilot is not None and self.gasket is not None and open_there:
            message = "a joint with a `pilot` and an `opening` takes a `seal`, not a `gasket` that both would cut"
            raise ValueError(message)
        if self.shim is not None and self.shim.squares and self.level is None:
            message = "a shim that `squares` needs the joint's `level`: readings at its corners"
            raise ValueError(message)
        if self.seal is not None and not open_there:
            message = "a `seal` goes round an `opening`: give the joint one"
            raise ValueError(message)
        return self


class BoxEnvelope(SpecModel):
    """A box [along X, along Y, along Z], centred in the plan, standing on the body's Z = 0."""

    box: Annotated[tuple[PositiveLength, PositiveLength, PositiveLength], Strict(False)]


class CylinderEnvelope(SpecModel):
    """A standing cylinder [diameter, height]."""

    cylinder: Annotated[tuple[PositiveLength, PositiveLength], Strict(False)]


class PrismEnvelope(SpecModel):
    """A standing prism of a plan shape and a height."""

    prism: Shape
    height: PositiveLength


class StepEnvelope(SpecModel):
    """A STEP file beside the spec."""

    step: Annotated[str, Field(pattern=r"^[A-Za-z0-9_][A-Za-z0-9_.-]{0,79}\.(step|stp)$")]


EnvelopeModel = Annotated[
    Annotated[BoxEnvelope, Tag("box")]
    | Annotated[CylinderEnvelope, Tag("cylinder")]
    | Annotated[PrismEnvelope, Tag("prism")]
    | Annotated[StepEnvelope, Tag("step")],
    first_of("box", "cylinder", "prism", "step"),
]


class PlaceModel(SpecModel):
    """A place in the stack: the frame's origin [x, y, z], after turning about X, then Y, then Z."""

    at: Annotated[tuple[Length, Length, Length], Strict(False)] = (0.0, 0.0, 0.0)
    turn: Annotated[tuple[Angle, Angle, Angle], Strict(False)] = (0.0, 0.0, 0.0)


class BodyFace(Placed):
    """How a body carries a joint: on which face, and what it does with the bolts.

    `position` is the diameter of the zone in which the axis of each of its holes lies. `opening` is the port that is
    really there, in the joint's frame, where it is not the joint's: a body is never cut. `openings` are
    those that differ from the joint's of the same names. Bolts that pass `through` a flange bear on its far side,
    `flange_thickness` from the joint. `flatness` is that of the face where it was measured; without it the joint's.
    """

    face: SideWord = "above"
    holes: RoleWord | Literal["through"] = "tapped"
    thread_depth: PositiveLength | None = None
    flange_thickness: PositiveLength | None = None
    position: PositiveLength | None = None
    flatness: PositiveLength | None = None
    opening: PortShape | None = None
    openings: OpeningsByName | None = None

    @model_validator(mode="after")
    def _flange_with_its_bolts(self) -> Self:
        _one_of_both(self.opening, self.openings)
        if self.holes == "through" and self.flange_thickness is None:
            message = "bolts `through` a flange need its `flange_thickness`"
            raise ValueError(message)
        if self.flange_thickness is not None and self.holes not in ("through", "clear"):
            message = "`flange_thickness` goes with `holes: through`"
            raise ValueError(message)
        return self


class BodyModel(SpecModel):
    """An existing machine: its joints and the space it takes. Not made, never cut."""

    title: Title | None = None
    material: str | None = None
    envelope: EnvelopeModel | None = None
    place: PlaceModel | None = None
    joints: dict[Name, BodyFace] = Field(default_factory=dict)
