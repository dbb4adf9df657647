"""How true each pulley runs to the belt's plane: as drawn, as read, and within what the joints under it leave free."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from platemaker.parts import Pulley, Role, Vec3
from platemaker.records import Record
from platemaker.resolved._belt import ResolvedBelt
from platemaker.resolved._joints import ResolvedJoint
from platemaker.space import Frame, add, cross, dot, sub


class PulleyPlay(Record):
    """What one joint leaves free at a pulley: in words, the offset along its axis, mm, and the angle, degrees."""

    joint: str
    words: str
    offset: float
    angle: float


class PulleyLine(Record):
    """A pulley against the driving one's plane. `offset`, mm, and `angle`, degrees, are as drawn and as read.

    `free` is what comes on top within the joints that carry it; `unread` are joints with a taper that no reading backs.
    """

    place: int
    offset: float
    angle: float
    free: tuple[PulleyPlay, ...]
    unread: tuple[str, ...]

    @property
    def worst_offset(self) -> float:
        """The greatest offset within the joints' freedom, mm."""
        return abs(self.offset) + sum(one.offset for one in self.free)

    @property
    def worst_angle(self) -> float:
        """The greatest angle within the joints' freedom, degrees."""
        return self.angle + sum(one.angle for one in self.free)


def pulley_lines(belt: ResolvedBelt, joints: tuple[ResolvedJoint, ...]) -> tuple[PulleyLine, ...]:
    """Every pulley but the driving one against the plane of that one."""
    by_name = {one.joint.name: one for one in joints}
    return tuple(
        _line(belt, place, one, [by_name[name] for name in one.joints if name in by_name])
        for place, one in enumerate(belt.pulleys)
        if not one.drives
    )


def _line(belt: ResolvedBelt, place: int, pulley: Pulley, under: list[ResolvedJoint]) -> PulleyLine:
    centre, axis, along = belt.centre(place), pulley.axis, belt.pulleys[0].axis
    offset = belt.belt.off_line(pulley)
    for one in under:
        left = one.joint.lean_left
        if left is None or one.frame is None:
            continue
        turn = one.frame.turn((left[1], -left[0], 0.0))
        axis = _turned(axis, turn)
        offset += dot(cross(turn, sub(centre, one.frame.origin)), along)
    cosine = dot(axis, along) / math.sqrt(dot(axis, axis))
    angle = math.degrees(math.acos(min(1.0, abs(cosine))))
    free = tuple(each for one in under for each in _freedoms(one, centre, along))
    unread = tuple(
        one.joint.name for one in under if one.joint.level is None and one.joint.shim and not one.joint.shim.is_flat
    )
    return PulleyLine(place, offset, angle, free, unread)


def _turned(axis: Vec3, turn: Vec3) -> Vec3:
    """An axis after a small turn, radians about a vector."""
    return add(axis, cross(turn, axis))


def _freedoms(one: ResolvedJoint, centre: Vec3, along: Vec3) -> Iterator[PulleyPlay]:
    frame = one.frame
    if frame is None:
        return
    x, y, z = frame.unturn(along)
    level = math.hypot(x, y)
    play, points = _play(one)
    span = max((math.dist(a, b) for a, b in combinations(points, 2)), default=0.0)
    if play > 0 and span > 0:
        yaw = 2 * play / span
        cx, cy, _ = frame.to_local(centre)
        mx, my = one.joint.middle
        lever = abs((cx - mx) * y - (cy - my) * x)
        yield PulleyPlay(one.joint.name, "play in its holes", play * level + yaw * lever, math.degrees(yaw) * level)
    sheet = one.joint.gasket
    if sheet is not None and sheet.fitted is not None and level > 1e-9:
        yield from _squeezed(one, frame, centre, (x / level, y / level, z), sheet.fitted)


def _squeezed(
    one: ResolvedJoint, frame: Frame, centre: Vec3, along: Vec3, fitted: tuple[float, float]
) -> Iterator[PulleyPlay]:
    """A gasket squeezed to its least on one side and left at its most on the other, along the pulley's axis."""
    reach = [spot[0] * along[0] + spot[1] * along[1] for spot in one.joint.spots.values()]
    extent = max(reach) - min(reach)
    if extent <= 0:
        return
    tilt = (fitted[1] - fitted[0]) / extent
    high = abs(frame.to_local(centre)[2])
    yield PulleyPlay(one.joint.name, "gasket squeezed unevenly", tilt * high, math.degrees(math.atan(tilt)))


def _play(one: ResolvedJoint) -> tuple[float, list[tuple[float, float]]]:
    """How far a joint's sides may shift on each other, mm, and the points that hold them."""
    if one.joint.dowels is not None:
        return one.joint.dowels.most_play / 2, list(one.joint.dowels.spots.values())
    bolts = one.joint.bolts
    if bolts is None:
        return 0.0, []
    loose = 0.0
    for side in one.sides:
        if side.face.role in (Role.CLEAR, Role.COUNTERBORED):
            wide = max((hole.diameter for hole in side.holes.values()), default=bolts.thread.major_diameter)
            loose += max(0.0, wide - bolts.thread.major_diameter) / 2
    return loose, list(one.joint.spots.values())
