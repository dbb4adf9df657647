"""Plates that are set along their slots: over the whole travel the port stays covered and open, bolts on their washers.

The plate is looked at in its own plan, so that everything on the other side of the joint moves against the travel. That
is drawn out along the travel: the least distance over all of it is found exactly. How much is open is looked at in as
many places as PLACES has; where port and opening are convex it is least at an end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import PRACTICE, Finding, Limit, measured, not_checked
from platemaker.checks._fit._fit_up_question import slot_way
from platemaker.checks._fit._unchecked import guarded
from platemaker.parts import Bolts, Cut, Hole, Joint, Mounting, Part, Profile, ProfileKind, Stack, head_seat
from platemaker.plane import (
    Circle,
    Loop,
    Nearest,
    Point,
    Region,
    contains,
    moved,
    overlap,
    shared_area,
    swept,
    wall,
    wall_between,
)
from platemaker.records import Record
from platemaker.resolved import resolved_stack
from platemaker.units import Words, said

LAND, OPEN, BEARING, WASHER, STUD = "PM831", "PM832", "PM833", "PM834", "PM835"
WHOLE = Limit(0.98, "of the narrower opening", PRACTICE)
BEARS = Limit(0.0, "mm", f"{PRACTICE}: a head that bears less than a millimetre beside its slot sinks in", caution=1.0)
ON_PLATE = Limit(0.0, "mm", "a washer bears on whole metal")
ROOM = Limit(0.0, "mm", f"{PRACTICE}: half a millimetre round a stud", caution=0.5)
PARALLEL = 1e-3
"""Sine of the angle by which slots that run one way may differ: 0.06 degrees."""
PLACES = tuple(k / 4 for k in range(-4, 5))
WORDS = {-1.0: "one end", 0.0: "the middle", 1.0: "the other end"}


class _Sliding(Record):
    """A plate, the joint that it slides on, its slots there, and its travel in its plan, mm.

    `middle`: how far the middle of the travel lies from where the spec puts the plate; `half`: from there to one end.
    """

    part: Part
    joint: Joint
    mounting: Mounting
    slots: tuple[Profile, ...]
    middle: Point
    half: Point

    @property
    def travel(self) -> float:
        """From end to end, mm."""
        return 2 * math.hypot(*self.half)

    @property
    def furthest(self) -> float:
        """How far the plate may go from where the spec puts it, mm."""
        return math.hypot(*self.middle) + math.hypot(*self.half)

    def other(self, figure: Region, place: float) -> Region:
        """A figure of the joint in the plate's plan when the plate stands at a place of its travel."""
        x, y = (-m - place * h for m, h in zip(self.middle, self.half, strict=True))
        return moved(self.mounting.in_plan(figure), x, y)

    def passing(self, figure: Region) -> Region:
        """All that a figure of the joint covers in the plate's plan as the plate goes over its travel."""
        return self.drawn_out(self.other(figure, 0.0))

    def drawn_out(self, figure: Region) -> Region:
        """A figure of the plate's plan drawn out along the travel, half of it to either side."""
        return swept(figure, (2 * self.half[0], 2 * self.half[1]))[0] if self.travel else figure

    def spots(self) -> dict[str, Point]:
        """The joint's bolts in the plate's plan at the middle of its travel."""
        x, y = self.middle
        return {name: moved(self.mounting.in_plan(spot), -x, -y) for name, spot in self.joint.spots.items()}


def check_adjust(stack: Stack) -> Iterator[Finding]:
    """Every plate with slots that adjust a joint, and every stud in its relief."""
    for part in stack.parts:
        sliding = _sliding(stack, part)
        if isinstance(sliding, _Sliding):
            yield from guarded(sliding.joint, _port(sliding))
            if sliding.joint.bolts is not None:
                yield from guarded(sliding.joint, _bolts(sliding, sliding.joint.bolts))
            yield from _studs(part, sliding)
            continue
        if sliding is not None:
            name, reason = sliding
            yield not_checked(LAND, "land over the whole travel", part.name, (name,), reason)
        yield from _studs(part, None)


def _sliding(stack: Stack, part: Part) -> _Sliding | tuple[str, str] | None:
    """A plate that slides; the joint's name and the reason why it cannot, though it has slots; None without slots."""
    slots = tuple(one for one in part.profiles if one.kind is ProfileKind.SLOT and one.joint is not None)
    mounting = part.mounting(slots[0].joint or "") if slots else None
    if mounting is None:
        return None
    joint, own = stack.joint(mounting.joint), tuple(slot for slot in slots if slot.joint == mounting.joint)
    side = resolved_stack(stack).joint(joint.name).side(part.name)
    still = next(iter(side.holes.values()), None) if side else None
    if still is not None:
        return joint.name, f"hole {still.name} is round: it holds the plate where it is"
    spots = {name: mounting.in_plan(at) for name, at in joint.spots.items()}
    turn = math.radians(slot_way(own[0])[1])
    along, ends = (math.cos(turn), math.sin(turn)), []
    for slot in own:
        travel, angle, _ = slot_way(slot)
        held = next((at for at in spots.values() if contains(slot.regions[0], at)), None)
        if held is None:
            return joint.name, f"slot {slot.name} holds none of the joint's bolts"
        if abs(math.sin(math.radians(angle) - turn)) > PARALLEL:
            return joint.name, f"slots {own[0].name} and {slot.name} do not run one way: nothing slides"
        (x0, y0, x1, y1) = slot.regions[0].bounds
        off = (held[0] - (x0 + x1) / 2) * along[0] + (held[1] - (y0 + y1) / 2) * along[1]
        ends.append((off - travel / 2, off + travel / 2))
    low, high = max(low for low, _ in ends), min(high for _, high in ends)
    middle, half = ((along[0] * t, along[1] * t) for t in ((low + high) / 2, max(high - low, 0.0) / 2))
    return _Sliding(part, joint, mounting, own, middle, half)


def _port(one: _Sliding) -> Iterator[Finding]:
    """The land round each opening of both sides over the travel, and how much of the narrower one is open."""
    facing = next((face.owner for face in one.joint.faces if face.owner != one.part.name), "")
    for port in one.joint.ports_of(facing):
        yield from _one_port(one, port.region, (one.joint.name, *one.joint.called(port)))


def _one_port(one: _Sliding, port: Region, names: tuple[str, ...]) -> Iterator[Finding]:
    openings = [r for cut in one.part.profiles if cut.kind is ProfileKind.OPENING for r in cut.regions]
    wanted = one.joint.gasket.land if one.joint.gasket else 0.0
    source = f"the spec, {one.joint.key}.gasket.land" if one.joint.gasket else "the port must stay covered"
    passing = one.passing(port)
    ends = [("outline", wall_between(passing, one.part.stock.plan))]
    ends += [(slot.name, wall(each, slot.regions[0])) for slot in one.slots for each in (passing, *openings)]
    ends += [(cut.name, wall(passing, r)) for cut in _figures_on_face(one, port) for r in cut.regions]
    ends += [(hole.name, wall(passing, circle)) for hole, circle in _holes_on_face(one)]
    name, way = min(ends, key=lambda end: end[1].distance)
    yield measured(
        LAND, "land over the whole travel", one.part.name, (*names, name), way.distance, Limit(wanted, "mm", source),
        points=[(*way.a, _z(one)), (*way.b, _z(one))], note=said("least_over_travel", travel=(one.travel, "mm")),
        inputs=[("travel", one.travel, "mm")],
    )  # fmt: skip
    if len(names) > 1:
        openings = [
            region for region in openings if any(overlap(region, one.other(port, at)) for at in (-1.0, 0.0, 1.0))
        ]
    if openings:
        yield _open(one, port, openings, names)


def _where(one: _Sliding, place: float) -> Words:
    part = said("part_of_way", share=(100 * abs(place), "%"), end=WORDS[math.copysign(1.0, place)])
    return said("least_at_travel", at=WORDS.get(place, part), travel=(one.travel, "mm"))


def _figures_on_face(one: _Sliding, port: Region) -> Iterator[Profile]:
    """Milled figures that break the face of the joint and are neither its slots nor where the port leads."""
    for cut in one.part.profiles:
        if cut in one.slots or not (cut.through or cut.side is one.mounting.side):
            continue
        flows = cut.kind in (ProfileKind.OPENING, ProfileKind.POCKET)
        if not (flows and any(overlap(region, one.other(port, 0.0)) for region in cut.regions)):
            yield cut


def _holes_on_face(one: _Sliding) -> Iterator[tuple[Hole, Circle]]:
    """Holes that break the face of the joint, with the circle that they leave in it."""
    for hole in one.part.holes:
        wide = hole.diameter_at(one.mounting.side)
        if hole.square and wide > 0:
            yield hole, Circle(hole.centre, wide / 2)


def _open(one: _Sliding, port: Region, openings: list[Region], names: tuple[str, ...]) -> Finding:
    narrower = min(port.area, sum(region.area for region in openings))
    shares = []
    for place in PLACES:
        laid = one.other(port, place)
        shares.append((shared_area(openings, laid) / narrower, place))
    share, place = min(shares)
    note = _where(one, place)
    title = "port open over the whole travel"
    return advised(measured(OPEN, title, one.part.name, names, share, WHOLE, note=note))


def _z(one: _Sliding) -> float:
    return one.part.face_height(one.mounting.side)


def _bolts(one: _Sliding, bolts: Bolts) -> Iterator[Finding]:
    """Heads, or their washers, beside their slots and on the plate over the whole travel."""
    seat = head_seat(bolts.thread, bolts.head, bolts.washers).diameter
    width = max(slot_way(slot)[2] for slot in one.slots)
    inputs = [("washer or head", seat, "mm"), ("slot", width, "mm")]
    widest = max(one.slots, key=lambda slot: slot_way(slot)[2]).name
    yield measured(
        BEARING, "head or washer beside its slot", one.part.name, (one.joint.name, widest), (seat - width) / 2, BEARS,
        inputs=inputs, note="" if bolts.washers else "the joint has no washers",
    )  # fmt: skip
    others = [cut for cut in one.part.cuts if cut not in one.slots]
    ends: list[tuple[float, str, str, Nearest]] = []
    for spot, at in one.spots().items():
        ring = one.drawn_out(Region(Loop.circle(at, seat / 2)))
        ways = [("outline", wall_between(ring, one.part.stock.plan))]
        ways += [(cut.name, wall(ring, shape)) for cut in others for shape in _shapes(cut)]
        ends += [(way.distance, spot, name, way) for name, way in ways]
    least, spot, name, way = min(ends, key=lambda end: end[:3])
    top = one.part.face_height(one.mounting.side.other)
    yield measured(
        WASHER, "washer on the plate over the whole travel", one.part.name, (f"{one.joint.name}_{spot}", name), least,
        ON_PLATE, points=[(*way.a, top), (*way.b, top)], inputs=[*inputs, ("travel", one.travel, "mm")],
    )  # fmt: skip


def _shapes(cut: Cut) -> Iterator[Circle | Region]:
    """The figures of a cut in the plan, holes as circles of their widest step."""
    if isinstance(cut, Profile):
        yield from cut.regions
    elif isinstance(cut, Hole) and cut.square:
        yield Circle(cut.centre, cut.entry_diameter / 2)


def _studs(part: Part, sliding: _Sliding | None) -> Iterator[Finding]:
    """Studs in their reliefs: over the travel where the relief faces the joint that the plate slides on."""
    for relief in part.profiles:
        if relief.kind is not ProfileKind.RELIEF:
            continue
        slides = sliding is not None and relief.side is sliding.mounting.side
        circle = relief.regions[0].outer.as_circle()
        if relief.stud is None or circle is None:
            if slides:
                reason = "what stands in the relief is not specified: give its `stud`"
                yield not_checked(STUD, "stud in its relief over the whole travel", part.name, (relief.name,), reason)
            continue
        moves = sliding.furthest if sliding is not None and slides else 0.0
        room = circle.radius - relief.stud / 2 - moves
        inputs = [("relief", 2 * circle.radius, "mm"), ("stud", relief.stud, "mm"), ("goes to one side", moves, "mm")]
        yield measured(
            STUD, "stud in its relief over the whole travel", part.name, (relief.name,), room, ROOM, inputs=inputs,
            points=[(*circle.centre, 0.0)],
        )  # fmt: skip
