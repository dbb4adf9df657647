"""Holes from a joint's role or a single hole's words: which steps, which diameters, from which face."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from platemaker.catalog import (
    Fit,
    HeadKind,
    StraightPort,
    Thread,
    clearance_hole,
    counterbore,
    countersunk_head,
    drills,
    hex_head,
    hex_nut,
    pipe_thread,
    socket_head,
    straight_port,
    thread,
    washer,
)
from platemaker.errors import CatalogError, SpecError
from platemaker.formulas import insert_major_diameter, insert_minor_diameter
from platemaker.parts._records._cuts import Hole, Operation, Screw, Side, Step, Tapping
from platemaker.parts._records._figures import on_grid, turned
from platemaker.parts._records._part import Bolts, Joint, Mounting, Role
from platemaker.plane import Point
from platemaker.records import Record, replace
from platemaker.spec import FittingModel, HoleFields, Mount, PlateHole, ScrewModel

DRILL_POINT = 118.0
"""Included angle of a standard twist drill's point, degrees (common practice; 135 is the other usual grind)."""
INSERT = 1.5
"""Usual length of a thread insert in aluminium, in diameters of its screw. Common practice, no source."""
TAP_LEAD = 3.0
"""A blind tapping hole is drilled this many pitches deeper than the full thread (common practice, plug tap)."""


class HeadSeat(Record):
    """What stands under a bolt's head: diameter of the seat that must be flat, and the head's height, mm."""

    diameter: float
    height: float


def head_seat(bolt: Thread, head: str, washers: bool) -> HeadSeat:
    """The seat and height of a head of the catalog, with its washer when it has one."""
    if head == "hex":
        row = hex_head(bolt)
        seat = HeadSeat(row.across_corners, row.head_height)
    elif head == "stud":
        nut = hex_nut(bolt)
        seat = HeadSeat(nut.across_corners, nut.nut_height)
    elif head == "countersunk":
        seat = HeadSeat(countersunk_head(bolt).head_diameter, 0.0)
    else:
        cap = socket_head(bolt)
        seat = HeadSeat(cap.head_diameter, cap.head_height)
    if washers:
        ring = washer(bolt)
        seat = HeadSeat(max(seat.diameter, ring.outside_diameter), seat.height + ring.thickness)
    return seat


def usual_class(designation: str, head: str) -> str:
    """The class of a screw where the spec names none: what a shop has on its shelf. Common practice, no source."""
    if thread(designation).metric:
        return "8.8"
    return "A574" if head == "socket" else "grade 5"


def usual_head(designation: str) -> Literal["socket", "hex"]:
    """The head of a screw where the spec names none: a socket, or a hexagon where none is made with a socket."""
    try:
        socket_head(designation)
    except CatalogError:
        return "hex"
    return "socket"


def screw_of(designation: str, given: ScrewModel | None, *, countersunk: bool) -> Screw:
    """What goes through a single hole for a bolt; a countersunk hole takes a countersunk head."""
    model = given or ScrewModel(head=usual_head(designation))
    return Screw(
        "countersunk" if countersunk else model.head,
        model.property_class,
        model.length,
        model.washers,
        model.torque,
        model.metal_end,
    )


def seat_of(bolts: Bolts) -> HeadSeat:
    """The seat of a joint's bolts."""
    return head_seat(bolts.thread, bolts.head, bolts.washers)


class HoleSlab(Record):
    """The height of a plate that holes are made in: faces at `bottom` and `top`, mm."""

    bottom: float
    top: float

    @property
    def thickness(self) -> float:
        """Height, mm."""
        return self.top - self.bottom

    def entry(self, at: Point, side: Side) -> tuple[float, float, float]:
        """The point of face `side` at a place in the plan."""
        return on_grid(at[0]), on_grid(at[1]), self.top if side is Side.ABOVE else self.bottom


def into(side: Side) -> tuple[float, float, float]:
    """The direction into the material from a face."""
    return (0.0, 0.0, -1.0) if side is Side.ABOVE else (0.0, 0.0, 1.0)


def clear_steps(bolt: Thread, fit: str, length: float) -> tuple[Step, ...]:
    """A clearance hole right through `length`, mm."""
    return (Step(Operation.DRILL, clearance_hole(bolt, Fit(fit)).diameter, 0.0, length),)


def counterbored_steps(
    bolt: Thread, fit: str, length: float, head_clearance: float = 0.0, head: str = "socket", washers: bool = False
) -> tuple[Step, ...]:
    """A clearance hole with a counterbore that leaves its head flush, and `head_clearance` more, mm.

    A hexagon head has room for its wrench in it.
    """
    bore = counterbore(bolt, HeadKind(head), with_washer=washers)
    deep = on_grid(bore.depth + head_clearance)
    if deep >= length:
        problem = f"counterbore for {bolt.designation} is {deep:g} mm deep, the plate only {length:g} mm"
        raise SpecError(problem, allowed=f"a plate thicker than {deep:g} mm, or holes: clear")
    return Step(Operation.COUNTERBORE, bore.diameter, 0.0, deep), Step(
        Operation.DRILL, clearance_hole(bolt, Fit(fit)).diameter, deep, length
    )


def tapped_hole(bolt: Thread, length: float, thread_depth: float | None) -> tuple[tuple[Step, ...], Tapping, bool]:
    """Steps, thread and whether it goes through, for a tapped hole of full thread `thread_depth` (None: through)."""
    whole = Tapping(bolt.designation, bolt.major_diameter, bolt.pitch, length)
    return _threaded(whole, bolt.tap_drill, length, thread_depth)


def _threaded(
    whole: Tapping, drill: float, length: float, thread_depth: float | None
) -> tuple[tuple[Step, ...], Tapping, bool]:
    """As `tapped_hole`, for a thread that would run through `length`, mm, and its tap drill."""
    if thread_depth is None or thread_depth >= length:
        if thread_depth is not None and thread_depth > length:
            problem = f"thread of {thread_depth:g} mm is deeper than the plate, {length:g} mm"
            raise SpecError(problem, allowed=f"up to {length:g} mm")
        return (Step(Operation.DRILL, drill, 0.0, length),), whole, True
    deep = on_grid(thread_depth + TAP_LEAD * whole.pitch)
    if deep >= length:
        problem = (
            f"thread of {thread_depth:g} mm needs a drilled hole of {deep:g} mm "
            f"({TAP_LEAD:g} pitches deeper), the plate is {length:g} mm"
        )
        raise SpecError(problem, allowed=f"a thread up to {length - TAP_LEAD * whole.pitch:.2f} mm, or through")
    return (Step(Operation.DRILL, drill, 0.0, deep),), replace(whole, depth=thread_depth), False


def countersunk_steps(bolt: Thread, fit: str, length: float) -> tuple[Step, ...]:
    """A clearance hole with a cone that its head lies flush in: as wide as the head's theoretical sharp diameter."""
    head, drill = countersunk_head(bolt), clearance_hole(bolt, Fit(fit)).diameter
    deep = on_grid((head.head_diameter - drill) / 2 / math.tan(math.radians(head.angle / 2)))
    if deep >= length:
        problem = f"countersink for {bolt.designation} is {deep:g} mm deep, the material only {length:g} mm"
        raise SpecError(problem, allowed=f"material thicker than {deep:g} mm")
    return (
        Step(Operation.COUNTERSINK, head.head_diameter, 0.0, deep, drill),
        Step(Operation.DRILL, drill, deep, length),
    )


def port_steps(port: StraightPort, length: float) -> tuple[tuple[Step, ...], Tapping, bool]:
    """Steps, thread and whether it goes through, of a straight port: the cone for its O-ring, drill and thread."""
    lean = math.tan(math.radians(port.chamfer_angle))
    deep = on_grid(min(port.chamfer_depth, length))
    narrow = on_grid(port.chamfer_diameter - 2 * port.chamfer_depth * lean)
    bolt, through = thread(port.thread), length <= port.tap_drill_depth
    end = length if through else on_grid(port.tap_drill_depth)
    if deep >= length:
        problem = f"the O-ring's cone of port {port.dash} is {deep:g} mm deep, the material only {length:g} mm"
        raise SpecError(problem, allowed=f"material thicker than {port.tap_drill_depth:g} mm")
    cone = Step(Operation.COUNTERSINK, port.chamfer_diameter, 0.0, deep, narrow)
    tapping = Tapping(bolt.designation, bolt.major_diameter, bolt.pitch, min(length, port.full_thread_depth))
    return (cone, Step(Operation.DRILL, port.tap_drill, deep, end)), tapping, through


def _with_insert(bolt: Thread, length: float, hole: HoleFields) -> tuple[tuple[Step, ...], Tapping, bool]:
    """The oversize thread that a wire insert is wound into, drilled with the smallest drill that clears its crests."""
    d, P = bolt.major_diameter, bolt.pitch
    least = insert_minor_diameter(d, P)
    # Metric drills are named by their diameter; above the largest in the catalog come half millimetres.
    stocked = [one.diameter for one in drills() if (one.name[0].isdigit() and "/" not in one.name) is bolt.metric]
    drill = min((wide for wide in stocked if wide >= least), default=math.ceil(2 * least) / 2)
    name = bolt.designation if not bolt.metric or "x" in bolt.designation else f"{bolt.designation}x{P:g}"
    whole = Tapping(
        f"{name} STI", on_grid(insert_major_diameter(d, P)), P, length, on_grid((hole.insert_length or INSERT) * d)
    )
    return _threaded(whole, drill, length, hole.depth)


def _fitted(
    name: str, hole: PlateHole, entry: tuple[float, float, float], direction: tuple[float, float, float],
    length: float, key: str,
) -> Hole:  # fmt: skip
    """A pipe thread, or a straight port, with the room that its fitting takes."""
    if hole.port is not None:
        steps, tapping, through = port_steps(straight_port(hole.port), length)
    else:
        pipe = pipe_thread(hole.pipe_thread or "")
        steps, tapping, through = _threaded(
            Tapping(pipe.designation, pipe.pipe_diameter, pipe.pitch, length), pipe.tap_drill, length, hole.depth
        )
    room, bore = fitting_of(hole.fitting, steps[-1].diameter)
    return Hole(
        name, entry, direction, steps, through, None if through else DRILL_POINT, tapping, into=hole.into, key=key,
        fitting=room, fitting_bore=bore, port=hole.port,
    )  # fmt: skip


def fitting_of(fitting: FittingModel | None, drill: float) -> tuple[tuple[float, float] | None, float | None]:
    """The room that a fitting takes outside, and its bore. Raises SpecError for one that leaves it no thread."""
    if fitting is None:
        return None, None
    if fitting.bore is not None and fitting.bore >= drill:
        problem = "a fitting with a bore as wide as the tap drill has no wall inside its thread"
        raise SpecError(problem, met=f"{fitting.bore:g} mm", allowed=f"less than {drill:g} mm")
    return (fitting.diameter, fitting.length), fitting.bore


def joint_holes(joint: Joint, mount: Mount, mounting: Mounting, slab: HoleSlab, key: str) -> list[Hole]:
    """The holes of a joint in a plate: clear and counterbored ones take the head on the far face."""
    if joint.bolts is None or mounting.role is Role.NONE:
        return []
    made = []
    for spot, point in joint.spots.items():
        at = turned(point, mounting.at, mounting.turn)
        made.append(_joint_hole(joint, joint.bolts, spot, at, mount, mounting, slab, key))
    return made


def _joint_hole(
    joint: Joint, bolts: Bolts, spot: str, at: Point, mount: Mount, mounting: Mounting, slab: HoleSlab, key: str
) -> Hole:
    length, side = slab.thickness, mounting.side.other
    tip, tapping, through = None, None, True
    if mounting.role is Role.TAPPED:
        side = mounting.side
        steps, tapping, through = tapped_hole(bolts.thread, length, mount.thread_depth)
        tip = None if through else DRILL_POINT
    elif mounting.role is Role.COUNTERBORED:
        steps = counterbored_steps(bolts.thread, bolts.fit, length, mount.head_clearance, bolts.head, bolts.washers)
    else:
        steps = clear_steps(bolts.thread, bolts.fit, length)
    return Hole(
        f"{joint.name}_{spot}", slab.entry(at, side), into(side), steps, through, tip, tapping,
        bolts.thread.designation, joint.name, spot, mount.into, key=key,
    )  # fmt: skip


def dowel_holes(joint: Joint, mounting: Mounting, slab: HoleSlab, key: str) -> Iterator[Hole]:
    """The dowels' bores in a plate, from the face that the joint lies on."""
    dowels = joint.dowels
    if dowels is None:
        return
    if dowels.depth >= slab.thickness:
        problem = f"dowels of joint {joint.name} are {dowels.depth:g} mm deep, the plate is {slab.thickness:g} mm thick"
        raise SpecError(problem, allowed=f"less than {slab.thickness:g} mm")
    # The plate on whose lower face the joint lies is above the joint's plane.
    wide = dowels.bore(mounting.side.other)
    for name, point in joint.dowel_bores.items():
        at = turned(point, mounting.at, mounting.turn)
        steps = (Step(Operation.BORE, on_grid(wide), 0.0, dowels.depth),)
        yield Hole(name, slab.entry(at, mounting.side), into(mounting.side), steps, False, key=key)


def pilot_recess(joint: Joint, mounting: Mounting, slab: HoleSlab, key: str) -> Iterator[Hole]:
    """The recess of a joint's pilot in a plate, from the face that the joint lies on."""
    pilot = joint.pilot
    # The plate on whose lower face the joint lies is above the joint's plane.
    if pilot is None or pilot.spigot is mounting.side.other:
        return
    if pilot.depth >= slab.thickness:
        problem = f"pilot of joint {joint.name} is {pilot.depth:g} mm deep, the plate is {slab.thickness:g} mm thick"
        raise SpecError(problem, allowed=f"less than {slab.thickness:g} mm")
    step = Step(Operation.BORE, pilot.diameter, 0.0, pilot.depth)
    entry = slab.entry(turned(pilot.at, mounting.at, mounting.turn), mounting.side)
    yield Hole(joint.pilot_hole, entry, into(mounting.side), (step,), False, key=key)


def single_hole(
    name: str, hole: HoleFields, entry: tuple[float, float, float], direction: tuple[float, float, float],
    length: float, key: str, into_cuts: tuple[str, ...] = (),
) -> Hole:  # fmt: skip
    """A hole that belongs to no joint, `length` mm of material before it."""
    if isinstance(hole, PlateHole) and (hole.pipe_thread or hole.port):
        return _fitted(name, hole, entry, direction, length, key)
    if hole.tapped or hole.insert:
        bolt = thread(hole.tapped or hole.insert or "")
        made = tapped_hole(bolt, length, hole.depth) if hole.tapped else _with_insert(bolt, length, hole)
        steps, tapping, through = made
        tip = None if through else DRILL_POINT
        return Hole(name, entry, direction, steps, through, tip, tapping, bolt.designation, into=into_cuts, key=key)
    if hole.depth is not None and hole.depth > length:
        problem = f"hole of {hole.depth:g} mm is deeper than the material, {length:g} mm"
        raise SpecError(problem, allowed=f"up to {length:g} mm, or no depth for a through hole")
    through = hole.depth is None or hole.depth == length
    depth = length if hole.depth is None else hole.depth
    passing = thread(word) if (word := hole.clear or hole.counterbored or hole.countersunk) else None
    if passing is None:
        steps = (Step(Operation.DRILL, hole.diameter or 0.0, 0.0, depth),)
    elif hole.clear:
        steps = clear_steps(passing, hole.fit, depth)
    elif hole.countersunk:
        steps = countersunk_steps(passing, hole.fit, depth)
    else:
        screw = hole.screw or ScrewModel()
        steps = counterbored_steps(passing, hole.fit, depth, head=screw.head, washers=screw.washers)
    return Hole(
        name, entry, direction, steps, through, None if through else DRILL_POINT,
        bolt=passing.designation if passing else None, into=into_cuts, key=key,
        screw=screw_of(passing.designation, hole.screw, countersunk=hole.countersunk is not None) if passing else None,
    )  # fmt: skip


def counterbored_seat(bolts: Bolts) -> float:
    """Diameter of the counterbore for the heads of a joint's bolts, mm."""
    return counterbore(bolts.thread, HeadKind(bolts.head), with_washer=bolts.washers).diameter
