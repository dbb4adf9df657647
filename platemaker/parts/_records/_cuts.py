"""Cuts: what is taken out of a blank. Each knows its name, shape, operation and where the spec asked for it."""

from __future__ import annotations

import math
from enum import StrEnum
from functools import cached_property
from typing import TypeAlias

from platemaker.formulas import drill_point_height
from platemaker.plane import OpenedPocket, Point, Region
from platemaker.records import Record

Vec3: TypeAlias = tuple[float, float, float]
SAME = 1e-9
"""Depths that differ by less, mm, are one."""


class Operation(StrEnum):
    """What the shop does to make a cut."""

    DRILL = "drill"
    TAP = "tap"
    BORE = "bore"
    COUNTERBORE = "counterbore"
    COUNTERSINK = "countersink"
    MILL = "mill"


_WHAT = {Operation.COUNTERBORE: "counterbore", Operation.COUNTERSINK: "countersink"}


class Side(StrEnum):
    """The face that a cut starts from."""

    ABOVE = "above"
    BELOW = "below"

    @property
    def other(self) -> Side:
        """The opposite face."""
        return Side.BELOW if self is Side.ABOVE else Side.ABOVE


class Step(Record):
    """A cylinder of a hole: diameter, and depths along the hole's axis from its entry, mm.

    A countersink is a cone: `diameter` where it starts, `narrow` where it ends.
    """

    operation: Operation
    diameter: float
    start: float
    end: float
    narrow: float | None = None


class StepVoid(Record):
    """What one step of a hole takes out: a cylinder about the hole's axis, or the cone of a countersink or drill point.

    `what` is hole, counterbore, countersink, thread or point; `start` and `end` are depths along the axis from the
    entry, `wide` and `narrow` the diameters there, mm. A thread has its major diameter over its full depth; its run-out
    is left out. `operation` makes it; it goes `through` where it ends in no floor.
    """

    what: str
    start: float
    end: float
    wide: float
    narrow: float
    operation: Operation
    through: bool = False

    @property
    def depth(self) -> float | None:
        """How deep it ends below the entry, mm; None right through."""
        return None if self.through else self.end

    @property
    def angle(self) -> float:
        """Included angle of a cone, degrees; 0 of a cylinder."""
        return 2 * math.degrees(math.atan2((self.wide - self.narrow) / 2, self.end - self.start))

    def widened(self, by: float) -> float:
        """Diameter where it would start if it reached `by` mm farther out, mm: a cone grows on."""
        return self.wide + by * (self.wide - self.narrow) / (self.end - self.start)


class Tapping(Record):
    """The thread in a hole: `depth` of full thread, mm from the entry; `insert`, length of one wound into it, mm."""

    designation: str
    major_diameter: float
    pitch: float
    depth: float
    insert: float = 0.0

    @property
    def is_taper(self) -> bool:
        """Whether it is a taper pipe thread, which seals by its compound."""
        return self.designation.endswith("NPT")


class Screw(Record):
    """What screw goes through a hole of no joint: head, class (None: the usual one), length, mm, torque, N.mm.

    `metal_end` of a stud, mm; None for the standard's.
    """

    head: str = "socket"
    property_class: str | None = None
    length: float | None = None
    washers: bool = False
    torque: float | None = None
    metal_end: float | None = None


class Hole(Record):
    """A round hole on any axis: coaxial steps from the entry inwards, widest first.

    `at` is the entry, `direction` the unit axis into the material, both in the part's frame. A blind hole ends flat
    when `tip_angle` is None, otherwise in a cone of that included angle (degrees) beyond its last step.
    `bolt` names the thread of the fastener that passes or enters; `joint` and `spot` say which joint and which of its
    points made the hole; `into` lists cuts that it is meant to meet; `over` is another part and its hole, that one bolt
    joins it to; `fitting`, diameter and length in mm, is the room that a pipe fitting in the hole takes outside it,
    `fitting_bore` the least diameter inside it; `port` is the dash size of a straight port; `screw` is what goes
    through a hole of no joint; `key` is its place in the spec.
    """

    name: str
    at: Vec3
    direction: Vec3
    steps: tuple[Step, ...]
    through: bool
    tip_angle: float | None = None
    tapping: Tapping | None = None
    bolt: str | None = None
    joint: str | None = None
    spot: str | None = None
    into: tuple[str, ...] = ()
    key: str = ""
    over: tuple[str, str] | None = None
    fitting: tuple[float, float] | None = None
    screw: Screw | None = None
    fitting_bore: float | None = None
    port: str | None = None

    @property
    def operation(self) -> Operation:
        """The last operation that makes the hole: tap when it is threaded, else that of its deepest step."""
        return Operation.TAP if self.tapping else self.steps[-1].operation

    @property
    def diameter(self) -> float:
        """Diameter of the deepest step, mm."""
        return self.steps[-1].diameter

    @property
    def depth(self) -> float:
        """Depth of the last step along the axis, mm, drill point not included."""
        return self.steps[-1].end

    @cached_property
    def step_voids(self) -> tuple[StepVoid, ...]:
        """What its steps, its thread and its drill point take out, from the entry inwards: the only walk over them."""
        found: list[StepVoid] = []
        for step in self.steps:
            what, thread = _WHAT.get(step.operation, "hole"), self.tapping
            through = self.through and step is self.steps[-1]
            if thread and step.diameter < thread.major_diameter and step.start < thread.depth:
                wide, end = thread.major_diameter, min(step.end, thread.depth)
                whole = through and self.is_threaded_through
                found.append(StepVoid("thread", step.start, end, wide, wide, Operation.TAP, whole))
            wide = step.diameter
            narrow = wide if step.narrow is None else step.narrow
            found.append(StepVoid(what, step.start, step.end, wide, narrow, step.operation, through))
        if self.point_angle is not None:
            tip = drill_point_height(self.diameter, self.point_angle)
            found.append(StepVoid("point", self.depth, self.depth + tip, self.diameter, 0.0, self.steps[-1].operation))
        return tuple(found)

    @property
    def bored(self) -> tuple[StepVoid, ...]:
        """What its steps take out, from the entry inwards, without thread and drill point."""
        return tuple(void for void in self.step_voids if void.what not in ("thread", "point"))

    @property
    def point_angle(self) -> float | None:
        """Included angle of the drill point that it ends in, degrees; None where it goes through or ends flat."""
        return None if self.through else self.tip_angle

    @property
    def is_threaded_through(self) -> bool:
        """Whether it goes through and has full thread over its whole depth."""
        return self.through and self.tapping is not None and self.tapping.depth >= self.depth - SAME

    @property
    def widest(self) -> float:
        """Greatest diameter of its steps and its thread, mm."""
        return max(void.wide for void in self.step_voids)

    @property
    def entry_diameter(self) -> float:
        """Diameter of its first step, which is its widest, mm."""
        return self.steps[0].diameter

    @property
    def is_stepped(self) -> bool:
        """Whether it has more than one step, such as a counterbore."""
        return len(self.steps) > 1

    @property
    def is_countersunk(self) -> bool:
        """Whether its first step is a cone for a countersunk head or an O-ring."""
        return self.steps[0].operation is Operation.COUNTERSINK

    @property
    def seat(self) -> StepVoid:
        """Its first cylinder, below a countersink if it has one."""
        return next(void for void in self.bored if void.operation is not Operation.COUNTERSINK)

    @property
    def takes_fitting(self) -> bool:
        """Whether it is threaded for a pipe fitting, plug or sensor, not for a screw."""
        pipe = self.tapping is not None and self.tapping.is_taper
        return pipe or self.fitting is not None or self.port is not None

    @property
    def floor_depth(self) -> float:
        """Depth of the floor round its second step, on which a head or an injector stands, mm; 0 without one."""
        return self.steps[0].end if self.is_stepped and not self.is_countersunk else 0.0

    @property
    def side(self) -> Side:
        """The face that it is drilled from, on which its head sits: of a level one the lower."""
        return Side.ABOVE if self.direction[2] < 0 else Side.BELOW

    def diameter_at(self, side: Side) -> float:
        """Diameter where it breaks a face of its plate, mm; 0 where it does not reach that face."""
        return self.entry_diameter if side is self.side else self.diameter if self.through else 0.0

    @property
    def square(self) -> bool:
        """Whether the axis is parallel to Z."""
        return abs(self.direction[0]) < 1e-12 and abs(self.direction[1]) < 1e-12

    @property
    def level(self) -> bool:
        """Whether the axis lies in the plane of the plate."""
        return abs(self.direction[2]) < 1e-9

    @property
    def centre(self) -> Point:
        """Entry seen from above."""
        return self.at[0], self.at[1]

    def point(self, depth: float) -> Vec3:
        """The point of the axis `depth` mm into the material from the entry; below 0 it lies before it."""
        (x, y, z), (u, v, w) = self.at, self.direction
        return x + depth * u, y + depth * v, z + depth * w


class ProfileKind(StrEnum):
    """What a milled figure is for."""

    OPENING = "opening"
    POCKET = "pocket"
    RELIEF = "relief"
    SLOT = "slot"
    GROOVE = "groove"


class Profile(Record):
    """A milled figure with straight walls: regions in the plan, from face `side` to `depth`, mm.

    `cutter` is the end mill's diameter, mm, or None when the spec leaves it to the shop. A `mouth_radius` above 0
    rounds the edge of an opening at the face `mouth` (convex quarter round, tangent to face and wall); a
    `mouth_chamfer`, its width on that face in mm, breaks it at `mouth_angle`, degrees between chamfer and wall.
    `opened` is how an opened-out figure was found; None for one of a given shape. `leg`, from 0, is the leg of a
    bracket that it is milled in before bending: its regions lie in the flat pattern.
    """

    name: str
    kind: ProfileKind
    regions: tuple[Region, ...]
    side: Side
    depth: float
    through: bool
    cutter: float | None = None
    mouth_radius: float = 0.0
    mouth: Side = Side.BELOW
    into: tuple[str, ...] = ()
    joint: str | None = None
    opened: OpenedPocket | None = None
    leg: int | None = None
    key: str = ""
    stud: float | None = None
    mouth_chamfer: float = 0.0
    mouth_angle: float = 45.0

    def span(self, height: float) -> tuple[float, float]:
        """Lowest and highest Z of the figure in a blank of a height, mm."""
        return (height - self.depth, height) if self.side is Side.ABOVE else (0.0, self.depth)

    @property
    def mouth_width(self) -> float:
        """How much wider all round the mouth is at its face, mm; 0 without a mouth."""
        return max(self.mouth_radius, self.mouth_chamfer)

    @property
    def mouth_depth(self) -> float:
        """How deep the mouth reaches from its face, mm; 0 without a mouth."""
        if self.mouth_chamfer > 0:
            return self.mouth_chamfer / math.tan(math.radians(self.mouth_angle))
        return self.mouth_radius


class Plane(Record):
    """z = height + x * along_x + y * along_y: mm, and mm a mm."""

    height: float
    along_x: float
    along_y: float

    def at(self, x: float, y: float) -> float:
        """Its height at a place, mm."""
        return self.height + x * self.along_x + y * self.along_y

    @property
    def slope(self) -> float:
        """Its steepest rise, mm a mm."""
        return math.hypot(self.along_x, self.along_y)


class Planed(Record):
    """An upper face planed to a slope: all of the blank over the plane `face` goes. `key` is its place in the spec."""

    name: str
    face: Plane
    key: str = ""
    operation: Operation = Operation.MILL
    through: bool = False
    into: tuple[str, ...] = ()
    joint: str | None = None


Cut: TypeAlias = Hole | Profile | Planed


def step_label(cut: Cut, what: str) -> str:
    """What one step of a cut is called: the cut's name, with the step where that says more."""
    return cut.name if what in ("hole", cut.name) else f"{cut.name} {what}"


class Mark(Record):
    """Letters engraved, stamped or scribed on a part: shown on drawings, never cut. `height` of the letters, mm.

    `at` is where the first letter begins, on its line; `letters` are "strokes" or "outlines".
    """

    name: str
    text: str
    at: Vec3
    height: float
    letters: str = "strokes"

    @property
    def lines(self) -> str:
        """How its lines are meant, in words."""
        return "single strokes" if self.letters == "strokes" else "outlines of letters"
