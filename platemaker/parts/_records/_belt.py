"""A belt drive as it stands: pulleys in the belt's plane, how one of them is set, and the belt that is bought."""

from __future__ import annotations

import math
from functools import cached_property

from platemaker.catalog import BeltFamily, BeltSection
from platemaker.parts._records._cuts import Vec3
from platemaker.plane import BeltPath, Point, Wheel, belt_path
from platemaker.records import Record, replace
from platemaker.space import Frame

SQUARE = 1e-3
"""Sine up to which a pulley's axis is square to its plate."""


class Setting(Record):
    """How a pulley is set in the belt's plane: along `way` (a unit vector), or round `pivot`; `width` and
    `cutter` of its slot, mm.

    `travel` [from, to] is in mm or degrees from the place as drawn; None where it follows from the belt. `sense` is 1
    where a positive angle turns counter-clockwise in the belt's plane.
    """

    way: Point | None
    pivot: Point | None
    travel: tuple[float, float] | None
    width: float | None
    cutter: float | None = None
    sense: int = 1

    @property
    def unit(self) -> str:
        """Unit of the travel."""
        return "mm" if self.way is not None else "degrees"

    @property
    def span(self) -> tuple[float, float]:
        """Where a place for the pulley is looked for: its travel, else 300 mm or 90 degrees either way."""
        if self.travel is not None:
            return self.travel
        return (-300.0, 300.0) if self.way is not None else (-90.0, 90.0)

    def moved(self, at: Point, by: float) -> Point:
        """A centre after a travel."""
        if self.way is not None:
            return at[0] + by * self.way[0], at[1] + by * self.way[1]
        px, py = self.pivot or at
        c, s = math.cos(math.radians(by * self.sense)), math.sin(math.radians(by * self.sense))
        x, y = at[0] - px, at[1] - py
        return px + c * x - s * y, py + s * x + c * y


class Pulley(Record):
    """A pulley. `centre` and unit `axis` are in the stack's frame, as drawn; the axis points as the driving one's does.

    `radius` is that of the belt's pitch line, `rim` the outer diameter as given, mm; `inertia` is in kg m². `power` is
    stated, kW; one that `takes` something has it from there. `ccw` is its rotation seen along the driving axis.
    """

    name: str
    title: str
    owner: str
    centre: Vec3
    axis: Vec3
    radius: float
    rim: float
    width: float
    back: bool
    ccw: bool
    teeth: int | None
    drives: bool
    power: float | None
    takes: str
    idle_power: float
    inertia: float | None
    joints: tuple[str, ...]
    setting: Setting | None
    stud: float | None
    overhang: float | None
    key: str

    @property
    def is_idler(self) -> bool:
        """Whether it neither drives nor takes power."""
        return not (self.drives or self.takes or self.power is not None)

    def is_square_to(self, plate: Frame) -> bool:
        """Whether its axis is square to a plate with this frame."""
        x, y, _ = plate.unturn(self.axis)
        return math.hypot(x, y) <= SQUARE


class Fitted(Record):
    """The belt that is bought, named by `length`, and where its setting stands, mm or degrees: tight, and at both ends.

    `loose` is where the belt slips on, `taken_up` where a stretched one is still tight; None where the setting does not
    get there. `path_length` is that of the pitch line with the belt on, mm; `drawn` that of the path as drawn.
    """

    length: float
    path_length: float
    drawn: float
    at: float
    loose: float | None
    taken_up: float | None


class Belt(Record):
    """A belt drive. `frame` lies in the belt's plane, seen along the driving pulley's axis: its Z points at the viewer.

    `strands` counts belts or ribs, and of a toothed belt the millimetres of its width. `speed` is the driving pulley's,
    rpm, `slowing` rpm a second. Tensions are of the whole belt, N. `pulleys` stand in the order of the belt's run.
    """

    section: BeltSection
    strands: float
    crossed: bool
    speed: float
    idle_speed: float
    slowing: float
    friction: float | None
    tension: float | None
    allowed_tension: float | None
    service_factor: float
    clearance: float
    lengths: tuple[float, ...]
    frame: Frame
    pulleys: tuple[Pulley, ...]
    fitted: Fitted | None = None

    @cached_property
    def mover(self) -> int | None:
        """Place of the pulley that is set; None where none is."""
        return next((place for place, one in enumerate(self.pulleys) if one.setting is not None), None)

    @property
    def width(self) -> float:
        """Width of the belt, mm: of V-belts over their grooves' pitch."""
        toothed = self.section.family is BeltFamily.TOOTHED
        return self.strands if toothed else self.strands * self.section.pitch

    @property
    def mass(self) -> float:
        """Mass of the whole belt, kg a metre."""
        return self.section.mass * self.strands

    @property
    def longer(self) -> float:
        """How much longer its pitch line is than the length that names it, mm: a ribbed belt's effective length."""
        return math.tau * self.section.differential if self.section.family is BeltFamily.RIBBED else 0.0

    def in_plane(self, point: Vec3) -> tuple[Point, float]:
        """A point of the stack in the belt's plane, and how far it lies before it, mm."""
        x, y, z = self.frame.to_local(point)
        return (x, y), z

    def off_line(self, pulley: Pulley) -> float:
        """How far a pulley stands off the driving one's plane along its axis, mm."""
        return -self.frame.to_local(pulley.centre)[2]

    def wheels(self, by: float) -> tuple[Wheel, ...]:
        """The pulleys in the belt's plane with the setting at `by`."""
        found = []
        for one in self.pulleys:
            at, _ = self.in_plane(one.centre)
            centre = one.setting.moved(at, by) if one.setting else at
            found.append(Wheel(one.name, centre, one.radius, one.ccw))
        return tuple(found)

    def path(self, by: float) -> BeltPath:
        """The belt's path with the setting at `by`. Raises GeometryError where no belt goes round so."""
        return belt_path(self.wheels(by), crossed=self.crossed)

    def with_fitted(self, fitted: Fitted) -> Belt:
        """The drive with its belt on."""
        return replace(self, fitted=fitted)
