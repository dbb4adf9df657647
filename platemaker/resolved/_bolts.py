"""Every screw of a stack, worked out once: those of its joints, and those through holes that lie over other holes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.catalog import Fit, clearance_hole, washer
from platemaker.formulas import insert_assembled_length
from platemaker.parts import Bolts, Hole, Joint, Part, Profile, Role, Side, Tapping
from platemaker.plane import Arc, Loop, Region, contains, shared_area
from platemaker.records import replace
from platemaker.resolved._bolt import STEEL, BearingSeat, Bolt, Clamp, TappedEnd
from platemaker.resolved._joints import JointSide, ResolvedJoint
from platemaker.resolved._part import resolved
from platemaker.resolved._voids import Void
from platemaker.space import Cylinder, along, cross, dot, sub

SAME = 1e-9
"""Gaps and grips that differ by less than this, mm, are one."""
LEVEL = 1e-3
"""Cosine of the angle between a bore and Z below which it runs along the faces."""
FLANKS = 0.05
"""Share of a thread's flanks, seen along its axis, above which a cut leaves no thread. Common practice, no source."""
HEADED = (Role.CLEAR, Role.COUNTERBORED)
_HEADS_FIRST = (Role.COUNTERBORED, Role.CLEAR, Role.NONE, Role.TAPPED)


def joint_bolts(joints: Sequence[ResolvedJoint]) -> Iterator[Bolt]:
    """The bolts of every joint, one for each spot where something takes the head.

    Heads sit on the upper side where they can, nuts on the other; but a counterbore is for the head.
    """
    for one in joints:
        joint, bolts = one.joint, one.joint.bolts
        if bolts is None:
            continue
        sides = sorted(one.sides, key=lambda side: (_HEADS_FIRST.index(side.face.role), side.face is joint.lower))
        for spot in joint.spots:
            gap = joint.gap_at(joint.spots[spot])
            seats = [seat for side in sides if (seat := _seat(one, side, spot, gap)) is not None]
            if seats:
                yield _joint_bolt(one, bolts, spot, gap, seats, _tapped(one, spot))


def _joint_bolt(
    one: ResolvedJoint, bolts: Bolts, spot: str, gap: float, seats: Sequence[BearingSeat], tapped: TappedEnd | None
) -> Bolt:
    joint, seat, nut = one.joint, seats[0], seats[1] if len(seats) > 1 else None
    if joint.shared is not None:
        seat = replace(seat, at=along(seat.at, joint.shared.thickness or 0.0, seat.out))
    below = [metal_of(nut), *washers(bolts)] if nut else []
    clamped = (*washers(bolts), *_mount(joint), metal_of(seat), *one.between(gap), *below, *open_space(tapped))
    joins = frozenset([*(face.owner for face in joint.faces), *one.sheets])
    loose = "" if tapped or nut else "what they are screwed into is not specified"
    if bolts.head == "stud" and not tapped:
        loose = "no side has the thread that its studs are set into"
    if joint.shared is not None and joint.shared.thickness is None:
        loose = f"the thickness of {joint.shared.title} under their heads is not specified"
    return Bolt(
        joint.name, f"{joint.name}_{spot}", spot, bolts, seat, clamped, gap, joins, joint, tapped, nut, one.sets, loose
    )


def washers(bolts: Bolts) -> list[Clamp]:
    """The washer under a head or a nut, where there is one."""
    return [Clamp("washer", washer(bolts.thread).thickness, STEEL)] if bolts.washers else []


def open_space(tapped: TappedEnd | None) -> list[Clamp]:
    """What a bolt crosses of a pocket before it comes to its thread: no metal, and no stiffness."""
    return [Clamp("pocket", tapped.sunk, 0.0, soft=True)] if tapped and tapped.sunk > 0 else []


def metal_of(seat: BearingSeat) -> Clamp:
    """The metal under a seat as a member of what a bolt clamps."""
    metal = seat.material
    return Clamp(seat.owner, seat.metal, (metal and metal.elastic_modulus) or 0.0, material=metal)


def _mount(joint: Joint) -> Iterator[Clamp]:
    """The flange of another machine's mount that shares the bolts."""
    if joint.shared is not None and joint.shared.thickness is not None:
        yield Clamp(joint.shared.title, joint.shared.thickness, STEEL)


def _seat(one: ResolvedJoint, side: JointSide, spot: str, gap: float) -> BearingSeat | None:
    """Where a head or a nut can sit on one side of a joint; None where it cannot."""
    if side.part is None:
        return _body_seat(one, side, spot, gap)
    hole = side.holes.get(spot)
    if hole is not None:
        return hole_seat(side.part, hole) if side.face.role in HEADED else None
    slot = side.slots.get(spot)
    return _slot_seat(side, slot, spot) if slot is not None else None


def hole_seat(part: Part, hole: Hole, *, far: bool = False) -> BearingSeat:
    """The seat of a head, or of a nut, at the entry of a hole or at its far end: in its counterbore, or in a pocket."""
    u, v, w = hole.direction
    whole = part.strip.thickness if part.strip else part.stock.height if hole.square else hole.depth
    deep = seat_depth(part, hole, far=far)
    at, out = (hole.point(whole - deep), (u, v, w)) if far else (hole.point(deep), (-u, -v, -w))
    seat = BearingSeat(
        part.name, part.material, at, out, whole - deep, whole, hole.diameter, hole.at, part, hole, deep > 0
    )
    return _placed(part, seat)


def seat_depth(part: Part, hole: Hole, *, far: bool = False) -> float:
    """How far below the face a head sits, mm: that of the hole's entry, or its `far` one."""
    sunk = _sunk(part, hole, far=far)
    return sunk if far else max(hole.floor_depth, sunk)


def _sunk(part: Part, hole: Hole, *, far: bool = False) -> float:
    """Depth of the deepest blind cut that takes a hole in, from the face that it enters or its `far` one, mm.

    A bent part's cuts, and the hole among them, are looked at in its flat blank. Round bar, and the sides of a plate,
    have none.
    """
    depths = (
        deep
        for void, own, deep in _cut_in(part, hole, far=far)
        if not void.cut.through and contains(void.plan, own.centre)
    )
    return max(depths, default=0.0)


def _cut_in(part: Part, hole: Hole, *, far: bool) -> Iterator[tuple[Void, Hole, float]]:
    """What other cuts take of the metal round a hole from its entry or its `far` face, and how deep, mm."""
    one = resolved(part)
    own = hole if part.strip is None else one.flat.cut(hole.name)
    if part.bar is not None or not isinstance(own, Hole) or abs(own.direction[2]) < LEVEL:
        return
    side = own.side.other if far else own.side
    for void in one.met_by_cut(own.name):
        if one.breaks(void, side) and void.what not in ("thread", "mouth"):
            yield void, own, one.blank.height - void.low if side is Side.ABOVE else void.high


def _slot_seat(side: JointSide, slot: Profile, spot: str) -> BearingSeat | None:
    part, mounting = side.part, side.mounting
    if part is None or mounting is None:
        return None
    x, y = mounting.in_plan(side.joint.spots[spot])
    at = (x, y, part.face_height(mounting.side.other))
    out = (0.0, 0.0, 1.0 if mounting.side is Side.BELOW else -1.0)
    wide = 2 * next(edge.radius for edge in slot.regions[0].outer.edges if isinstance(edge, Arc))
    return _placed(
        part, BearingSeat(part.name, part.material, at, out, part.stock.height, part.stock.height, wide, at, part)
    )


def _placed(part: Part, seat: BearingSeat) -> BearingSeat:
    if len(part.places) != 1:
        return replace(seat, placed=False)
    place = part.places[0]
    return replace(seat, at=place.to_world(seat.at), out=place.turn(seat.out))


def _body_seat(one: ResolvedJoint, side: JointSide, spot: str, gap: float) -> BearingSeat | None:
    """The seat on the far side of a body's flange, whose thickness the spec gives."""
    thick, bolts = side.face.flange_thickness, one.joint.bolts
    if thick is None or bolts is None or side.face.role not in HEADED:
        return None
    bore, up = clearance_hole(bolts.thread, Fit(bolts.fit)).diameter, side.face.side is Side.BELOW
    x, y = one.joint.spots[spot]
    z = one.height_of(side, gap) + (thick if up else -thick)
    at, out = (x, y, z), (0.0, 0.0, 1.0 if up else -1.0)
    if one.frame is None:
        return BearingSeat(side.owner, side.face.material, at, out, thick, thick, bore, placed=False)
    return BearingSeat(side.owner, side.face.material, one.frame.to_world(at), one.frame.turn(out), thick, thick, bore)


def _tapped(one: ResolvedJoint, spot: str) -> TappedEnd | None:
    """What the bolt at a spot is screwed into."""
    for side in one.sides:
        if side.face.role is not Role.TAPPED:
            continue
        if side.part is None:
            depth = side.face.thread_depth
            return TappedEnd(side.owner, side.face.material, depth, False, None, depth)
        if spot in side.holes:
            return tapped_end(side.part, side.holes[spot])
    return None


def tapped_end(part: Part, hole: Hole) -> TappedEnd | None:
    """A part's tapped hole as what a bolt is screwed into; None for a hole without thread."""
    tapping = hole.tapping
    if tapping is None or hole.takes_fitting:
        return None
    depth, insert = thread_left(part, hole, tapping), tapping.insert > 0
    if insert:
        depth = min(depth, insert_assembled_length(tapping.insert, tapping.pitch))
    size = (hole.bolt or "") if insert else tapping.designation
    thick, sunk = _metal_along(part, hole), _thread_sunk(part, hole, tapping)
    return TappedEnd(part.name, part.material, depth, hole.through, hole, thick, size, insert, sunk)


def thread_left(part: Part, hole: Hole, tapping: Tapping) -> float:
    """Full thread that cuts from either face, and bores that cross it, leave of a hole's, mm."""
    metal = _metal_along(part, hole) - _thread_sunk(part, hole, tapping, far=True)
    end = min(tapping.depth, metal, *_crossed(part, hole, tapping.major_diameter / 2))
    return max(end - _thread_sunk(part, hole, tapping), 0.0)


def _thread_sunk(part: Part, hole: Hole, tapping: Tapping, *, far: bool = False) -> float:
    """Depth to which cuts from one face take away the thread's flanks, which lie outside its tap drill, mm."""
    depths = [0.0]
    for void, own, deep in _cut_in(part, hole, far=far):
        crest, root = (Region(Loop.circle(own.centre, across / 2)) for across in (own.diameter, tapping.major_diameter))
        taken = shared_area(root, void.plan) - shared_area(crest, void.plan)
        if taken > FLANKS * (root.area - crest.area):
            depths.append(deep)
    return max(depths)


def _crossed(part: Part, hole: Hole, radius: float) -> Iterator[float]:
    """How deep bores on other axes first cut into a thread, mm: where both are nearest, less half of the way across."""
    d = hole.direction
    for void in resolved(part).met_by_cut(hole.name) if part.strip is None else ():
        bore = void.tool
        if not isinstance(bore, Cylinder):
            continue
        way, square, along_it = sub(bore.start, hole.at), cross(d, bore.axis), dot(d, bore.axis)
        lean = math.hypot(*square)
        if lean < LEVEL:
            continue
        aside = max(abs(dot(way, square)) / lean - radius, 0.0)
        if aside < bore.radius:
            deep = (dot(way, d) - dot(way, bore.axis) * along_it) / lean**2
            yield deep - (math.sqrt(bore.radius**2 - aside**2) + radius * abs(along_it)) / lean


def _metal_along(part: Part, hole: Hole) -> float:
    return part.stock.height if hole.square and part.strip is None else hole.depth


def alike(bolts: Sequence[Bolt]) -> list[tuple[Bolt, int]]:
    """One bolt for each kind of a group, and how many are of it; on a tapered shim its thinnest and its thickest place.

    Of a kind are those with the same metal and bore under the head that end in the same: thread, nut, or nothing.
    """
    kinds: dict[tuple[object, ...], list[Bolt]] = {}
    for one in bolts:
        nut = one.nut and (round(one.nut.metal, 9), round(one.nut.bore, 9))
        end = one.tapped and one.tapped.depth, nut, one.loose
        kinds.setdefault((one.group, round(one.seat.metal, 9), round(one.seat.bore, 9), *end), []).append(one)
    found = []
    for same in kinds.values():
        by_gap = sorted(same, key=lambda one: one.gap)
        least, greatest, whole = by_gap[0], by_gap[-1], sum(one.count for one in same)
        if greatest.gap - least.gap < SAME:
            found.append((same[0], whole))
            continue
        few = sum(one.count for one in same if one.gap - least.gap < greatest.gap - one.gap)
        found += [(least, few), (greatest, whole - few)]
    return found
