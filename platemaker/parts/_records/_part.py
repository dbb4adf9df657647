"""Parts, joints, bodies and the stack that places them: the records that every other room views."""

from __future__ import annotations

import math
from collections.abc import Mapping
from enum import StrEnum
from functools import cached_property
from pathlib import Path
from typing import TypeVar

from platemaker.catalog import Material, Thread
from platemaker.errors import Location
from platemaker.parts._records._belt import Belt
from platemaker.parts._records._cuts import Cut, Hole, Mark, Planed, Profile, Side
from platemaker.parts._records._design import Design, PressFit, Seal, Shared
from platemaker.parts._records._dowels import Dowels
from platemaker.parts._records._level import Level, Shim
from platemaker.parts._records._pilots import Pilot
from platemaker.parts._records._ports import Port
from platemaker.parts._records._stack_records import Acceptance, Drafting, RailRow, Room
from platemaker.parts._records._stock import PlateStock, RoundStock, Stock, StripStock
from platemaker.parts._records._surveys import Surveyed
from platemaker.plane import Circle, Loop, Point, Region, moved, rotated
from platemaker.records import Record, field
from platemaker.space import Frame
from platemaker.spec import Given, SizeRange

Laid = TypeVar("Laid", Point, Region)


class Kind(StrEnum):
    """What a part is."""

    PLATE = "plate"
    DRAIN_PLATE = "drain_plate"
    BOSS = "boss"
    CASTING = "casting"
    RAIL = "rail"
    BRACKET = "bracket"
    GASKET = "gasket"
    SHIM = "shim"


class Role(StrEnum):
    """What a side of a joint does with the joint's bolts."""

    CLEAR = "clear"
    TAPPED = "tapped"
    COUNTERBORED = "counterbored"
    NONE = "none"


class Bolts(Record):
    """What a joint's bolts are; they stand on the joint's spots. `length` under the head, mm; None leaves it open.

    `torque`, N.mm, where the spec shows how far to tighten. A stud's length is what stands out of the metal, and its
    `metal_end`, mm, what is set into it; None for the standard's.
    """

    thread: Thread
    property_class: str
    fit: str
    head: str
    length: float | None
    washers: bool
    torque: float | None = None
    metal_end: float | None = None


class GasketSheet(Record):
    """A joint's gasket: thickness, mm; least land asked for round the opening, mm; material name.

    `factor` (m) and `seating_stress` (y, MPa) where the spec has them from the maker's sheet; `fitted`,
    the least and most thickness as fitted, mm, where it states the range; `flatness` of each of both faces, mm.
    """

    thickness: float
    land: float
    material: str
    factor: float | None = None
    seating_stress: float | None = None
    fitted: tuple[float, float] | None = None
    flatness: float = 0.05


class Face(Record):
    """One side of a joint: whose face, which side of it, and what that side does with the bolts.

    `position` is the diameter of the zone in which each axis of its holes lies, mm; None where not specified. `read`
    are spots whose holes were measured on the finished part: they lie where the part has them, each place to the
    standard deviation `read_sigma`, mm, but that of the spot `read_from`, from which the others were read. `ports` are
    those of an existing body that are not the joint's, by the names of the joint's. `flange_thickness`, mm, is what a
    body's bolts pass through there. `at` and `turn` put the joint on a body's face; a part's mounting has its own.
    `flatness`, mm, as measured on a body.
    """

    owner: str
    side: Side
    role: Role
    thread_depth: float | None
    material: Material | None
    position: float | None = None
    read: frozenset[str] = frozenset()
    read_sigma: float = 0.0
    read_from: str | None = None
    ports: tuple[Port, ...] = ()
    flange_thickness: float | None = None
    at: Point = (0.0, 0.0)
    turn: float = 0.0
    flatness: float | None = None

    def frame(self, height: float) -> Frame:
        """The joint's frame in that of the body that has this face at a `height`, mm."""
        return flat_frame(self.at, self.turn, height)


class Joint(Record):
    """Where two bodies meet: spots, bolts, openings, gasket, in one frame. `lower` and `upper` are the two faces.

    `spots` are places by name, mm: the bolts' own, or plain positions such as a row of injector bosses. `ports` are its
    openings; a single `opening` has the joint's own name. `pressure`, MPa, where the spec gives this joint its own;
    `seal` is an O-ring round each opening in place of a gasket. `surveyed` is there when the spots were measured.
    `title` is empty where the spec has none, `sealant` where none is put on the faces.
    """

    name: str
    spots: Mapping[str, Point]
    bolts: Bolts | None
    ports: tuple[Port, ...]
    gasket: GasketSheet | None
    lower: Face | None
    upper: Face | None
    source: str
    key: str = ""
    seal: Seal | None = None
    pressure: float | None = None
    shared: Shared | None = None
    surveyed: Surveyed | None = None
    dowels: Dowels | None = None
    level: Level | None = None
    shim: Shim | None = None
    pilot: Pilot | None = None
    title: str = ""
    sealant: str = ""

    @property
    def dowel_bores(self) -> dict[str, Point]:
        """Its dowels' bores by their names in plates, gaskets and shims, with their places in its frame."""
        return {f"{self.name}_dowel_{spot}": at for spot, at in self.dowels.spots.items()} if self.dowels else {}

    @property
    def pilot_hole(self) -> str:
        """The name of the recess of its pilot in a plate, and of the room for it in gasket and shim."""
        return f"{self.name}_pilot"

    @property
    def faces(self) -> tuple[Face, ...]:
        """The faces that there are, the lower one first."""
        return tuple(face for face in (self.lower, self.upper) if face is not None)

    @property
    def flatness(self) -> tuple[float, float]:
        """How flat the lower and the upper face are, mm: as measured, else as the gasket or the O-ring wants them."""
        sheet = self.gasket or self.seal
        wanted = sheet.flatness if sheet else math.inf
        lower, upper = ((face.flatness if face else None) or wanted for face in (self.lower, self.upper))
        return lower, upper

    def ports_of(self, owner: str) -> tuple[Port, ...]:
        """The ports of an existing body on one of its sides: its own where it has them, else the joint's."""
        own = {port.name: port for face in self.faces if face.owner == owner for port in face.ports}
        return tuple(own.get(port.name, port) for port in self.ports)

    def called(self, port: Port) -> tuple[str, ...]:
        """The name of an opening where there are several, among a finding's features; nothing for a single one."""
        return (port.name,) if len(self.ports) > 1 else ()

    def groove(self, port: Port) -> str:
        """The name of the groove for the O-ring round an opening."""
        return "_".join((self.name, *self.called(port), "groove"))

    @property
    def gap(self) -> float:
        """What its gasket and its shim hold its faces apart in the middle of its spots, mm; the stack stands so."""
        return self.gap_at(self.middle)

    @property
    def middle(self) -> Point:
        """The mean of its spots; its origin without any."""
        count = len(self.spots) or 1
        x, y = (math.fsum(spot[axis] for spot in self.spots.values()) / count for axis in (0, 1))
        return x, y

    @property
    def lean_left(self) -> tuple[float, float] | None:
        """The slope along X and Y that readings show and no taper takes up, mm a mm; None without readings."""
        if self.level is None:
            return None
        rise = self.shim.rise if self.shim else (0.0, 0.0)
        return self.level.plane.along_x + rise[0], self.level.plane.along_y + rise[1]

    def gap_at(self, place: Point) -> float:
        """What its gasket and its shim hold its faces apart at a place, mm: a taper differs from place to place."""
        return (self.gasket.thickness if self.gasket else 0.0) + (self.shim.upper.at(*place) if self.shim else 0.0)


class Mounting(Record):
    """How a part carries a joint: the face, the role there, and where the joint's frame lies in the part's plan."""

    joint: str
    side: Side
    role: Role
    at: Point = (0.0, 0.0)
    turn: float = 0.0

    def in_plan(self, figure: Laid) -> Laid:
        """A spot or figure of the joint in the plan of the part that carries it."""
        return moved(rotated(figure, self.turn), *self.at)

    def in_joint(self, figure: Laid) -> Laid:
        """A spot or figure of the part's plan in the joint's frame."""
        if self.at == (0.0, 0.0) and self.turn == 0.0:
            return figure
        return rotated(moved(figure, -self.at[0], -self.at[1]), -self.turn)


def flat_frame(at: Point, turn: float, z: float) -> Frame:
    """A frame in the plan, turned by `turn` degrees, at height `z`."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return Frame((at[0], at[1], z), (c, s, 0.0), (-s, c, 0.0))


class Part(Record):
    """A blank with named cuts, in its own frame; `places` are where copies of it stand in the stack (none: not placed).

    Only a part cut from plate carries joints (`mountings`), figures of the plan (`profiles`) and a planed face.
    `made` is False for an existing casting that is only drilled. `front_marked` says that the part carries a mark.
    `limits` are the spec's own limits by name, in the limit's unit, `limit_reasons` why it sets them. `key` is the
    part's place in the spec. `body` is the body that an existing casting is a piece of. `finish` and `treatment` are
    the spec's words, empty where it has none. `read` are the ids of what was read of the finished part. `each` of
    the `quantity` that is made go into one stack.
    """

    name: str
    title: str
    kind: Kind
    material: Material
    stock: Stock
    cuts: tuple[Cut, ...]
    marks: tuple[Mark, ...] = ()
    mountings: tuple[Mounting, ...] = ()
    places: tuple[Frame, ...] = ()
    quantity: int = 1
    made: bool = True
    edge_break: float | None = None
    limits: Mapping[str, float] = field(default_factory=dict)
    limit_reasons: Mapping[str, str] = field(default_factory=dict)
    note: str = ""
    key: str = ""
    fit: PressFit | None = None
    body: str = ""
    read: tuple[str, ...] = ()
    finish: str = ""
    treatment: str = ""
    each: int = 1

    @property
    def sets(self) -> int:
        """For how many stacks it is made."""
        return self.quantity // self.each

    @property
    def plate(self) -> PlateStock | None:
        """Its stock where it is cut from plate, bar of any flat outline or a boss on end; None for any other part."""
        return self.stock if isinstance(self.stock, PlateStock) else None

    @property
    def bar(self) -> RoundStock | None:
        """Its stock where it is cut from round bar that lies along X; None for any other part."""
        return self.stock if isinstance(self.stock, RoundStock) else None

    @property
    def strip(self) -> StripStock | None:
        """Its stock where it is bent from strip; None for any other part."""
        return self.stock if isinstance(self.stock, StripStock) else None

    @property
    def blank_mass(self) -> float:
        """Mass of its blank, nothing cut from it yet, kg."""
        return self.stock.volume * 1e-9 * self.material.density

    @property
    def is_gasket_or_shim(self) -> bool:
        """Whether it lies between the faces of a joint and is a part of neither side."""
        return self.kind in (Kind.GASKET, Kind.SHIM)

    def face_height(self, side: Side) -> float:
        """Height of the lower or the upper face of its blank, mm."""
        return self.stock.height if side is Side.ABOVE else 0.0

    def mounting(self, joint: str) -> Mounting | None:
        """How it carries a joint; None where it does not."""
        return next((one for one in self.mountings if one.joint == joint), None)

    def joint_frame(self, mounting: Mounting) -> Frame:
        """The frame of a joint that it carries, in its own."""
        return flat_frame(mounting.at, mounting.turn, self.face_height(mounting.side))

    @cached_property
    def holes(self) -> tuple[Hole, ...]:
        """The round cuts."""
        return tuple(cut for cut in self.cuts if isinstance(cut, Hole))

    @cached_property
    def profiles(self) -> tuple[Profile, ...]:
        """The milled figures of the plan; those in a bracket's legs are figures of its flat pattern."""
        return tuple(cut for cut in self.cuts if isinstance(cut, Profile) and cut.leg is None)

    @property
    def planed(self) -> Planed | None:
        """The cut that planes its upper face to a slope, where there is one."""
        return next((cut for cut in self.cuts if isinstance(cut, Planed)), None)

    @property
    def front_marked(self) -> bool:
        """Whether the part says which way is front."""
        return any("FRONT" in mark.text.upper() for mark in self.marks)

    def cut(self, name: str) -> Cut:
        """The cut called `name`; KeyError when there is none."""
        for cut in self.cuts:
            if cut.name == name:
                return cut
        raise KeyError(name)


class EnvelopeKind(StrEnum):
    """How the space that a body takes is described."""

    BOX = "box"
    CYLINDER = "cylinder"
    PRISM = "prism"
    STEP = "step"


class Envelope(Record):
    """The space that an existing body takes, in its own frame, mm.

    box: `size` (x, y, z) centred on X and Y, from Z = 0 up. cylinder: `circle` and height size[2]. prism: `region` and
    height size[2]. step: `file`, a STEP file beside the spec; `where` is its place in the spec.
    """

    kind: EnvelopeKind
    size: tuple[float, float, float]
    circle: Circle | None = None
    region: Region | None = None
    file: str = ""
    where: Location | None = None

    @property
    def plan(self) -> Region:
        """The outline of a box, cylinder or prism seen from above."""
        if self.circle is not None:
            return Region.of(Loop.circle(self.circle.centre, self.circle.radius))
        return self.region or Region.of(Loop.rectangle(*self.size[:2]))


class Body(Record):
    """An existing machine: it has joints and takes space, but is not made.

    `datum` is its joint whose face lies on Z = 0 where the spec gives it no place; empty for all others.
    """

    name: str
    title: str
    material: Material | None
    envelope: Envelope | None
    place: Frame | None
    key: str = ""
    datum: str = ""


class Stack(Record):
    """A whole project, resolved: everything that the other rooms view. `folder` is where its envelopes' files lie.

    `given` are the numbers that the spec states, `usual` the usual sizes that it sets: by part, and for all under "";
    `accept` the cautions that it accepts.
    """

    name: str
    title: str
    unit: str
    parts: tuple[Part, ...]
    bodies: tuple[Body, ...]
    joints: tuple[Joint, ...]
    design: Design | None = None
    rows: tuple[RailRow, ...] = ()
    room: Room = field(default_factory=Room)
    folder: Path | None = None
    drafting: Drafting = field(default_factory=Drafting)
    given: tuple[Given, ...] = ()
    usual: Mapping[str, Mapping[str, SizeRange]] = field(default_factory=dict)
    accept: tuple[Acceptance, ...] = ()
    belt: Belt | None = None

    @property
    def plates(self) -> tuple[Part, ...]:
        """The parts that are cut from plate, bosses on end and castings that are drilled among them."""
        return tuple(part for part in self.parts if part.plate is not None)

    def part(self, name: str) -> Part:
        """The part called `name`; KeyError when there is none."""
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)

    def find_part(self, name: str) -> Part | None:
        """The part called `name`; None when there is none, as for an existing body."""
        return next((part for part in self.parts if part.name == name), None)

    def joint(self, name: str) -> Joint:
        """The joint called `name`; KeyError when there is none."""
        for joint in self.joints:
            if joint.name == name:
                return joint
        raise KeyError(name)
