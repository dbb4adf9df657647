"""Plates that are set along their slots: over the whole travel the port stays covered and open, bolts on their washers.

The plate is looked at in its own plan, so that everything on the other side of the joint moves against the travel. What
is round is drawn out along the travel, so that the least distance over all of it is found exactly; other figures are
looked at in as many places as PLACES has.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from platemaker.checks._advice import advised
from platemaker.checks._finding import Finding, Limit, measured, not_checked
from platemaker.checks._fit_up_question import slot_way
from platemaker.parts import Bolts, Cut, Hole, Joint, Mounting, Part, PlateStock, Profile, ProfileKind, Stack, head_seat
from platemaker.plane import Circle, Loop, Nearest, Point, Region, intersect, moved, rotated, wall, wall_between

LAND, OPEN, BEARING, WASHER, STUD = "PM831", "PM832", "PM833", "PM834", "PM835"
PRACTICE = "common practice, no source"
WHOLE = Limit(0.98, "of the narrower opening", PRACTICE)
BEARS = Limit(0.0, "mm", f"{PRACTICE}: a head that bears less than a millimetre beside its slot sinks in", caution=1.0)
ON_PLATE = Limit(0.0, "mm", "a washer bears on whole metal")
ROOM = Limit(0.0, "mm", f"{PRACTICE}: half a millimetre round a stud", caution=0.5)
PLACES = tuple(k / 4 for k in range(-4, 5))
WORDS = {-1.0: "one end", 0.0: "the middle", 1.0: "the other end"}


@dataclass(frozen=True)
class _Sliding:
    """A plate, the joint that it slides on, its slots there, and half its travel in its plan, mm."""

    part: Part
    stock: PlateStock
    joint: Joint
    mounting: Mounting
    slots: tuple[Profile, ...]
    half: Point

    @property
    def travel(self) -> float:
        """From end to end, mm."""
        return 2 * math.hypot(*self.half)

    def other(self, figure: Region, place: float) -> Region:
        """A figure of the joint in the plate's plan when the plate stands at a place of its travel."""
        laid = moved(rotated(figure, self.mounting.turn), *self.mounting.at)
        return moved(laid, -place * self.half[0], -place * self.half[1])

    def spots(self) -> dict[str, Point]:
        """The joint's bolts in the plate's plan at the middle of its travel."""
        found = {}
        for name, spot in self.joint.spots.items():
            x, y = rotated(spot, self.mounting.turn)
            found[name] = (x + self.mounting.at[0], y + self.mounting.at[1])
        return found

    def swept(self, circle: Circle) -> Region:
        """All that a circle covers as the plate goes over its travel."""
        angle = math.degrees(math.atan2(self.half[1], self.half[0]))
        wide = 2 * circle.radius
        return Region(Loop.slot(self.travel + wide, wide, circle.centre, angle))


def check_adjust(stack: Stack) -> Iterator[Finding]:
    """Every plate with slots that adjust a joint, and every stud in its relief."""
    for part in stack.parts:
        sliding = _sliding(stack, part)
        if sliding is not None:
            yield from _port(sliding)
            if sliding.joint.bolts is not None:
                yield from _bolts(sliding, sliding.joint.bolts)
        yield from _studs(part, sliding)


def _sliding(stack: Stack, part: Part) -> _Sliding | None:
    slots = tuple(one for one in part.profiles if one.kind is ProfileKind.SLOT and one.joint is not None)
    mounting = next((one for one in part.mountings if slots and one.joint == slots[0].joint), None)
    if mounting is None or not isinstance(part.stock, PlateStock):
        return None
    travel, angle, _ = min((slot_way(slot) for slot in slots), key=lambda way: way[0])
    turn = math.radians(angle)
    half = (travel / 2 * math.cos(turn), travel / 2 * math.sin(turn))
    own = tuple(slot for slot in slots if slot.joint == mounting.joint)
    return _Sliding(part, part.stock, stack.joint(mounting.joint), mounting, own, half)


def _port(one: _Sliding) -> Iterator[Finding]:
    """The land round both openings over the travel, and how much of the narrower one is open."""
    facing = next((face.owner for face in one.joint.faces if face.owner != one.part.name), "")
    port, names = one.joint.port(facing), (one.joint.name,)
    if port is None:
        return
    openings = [r for cut in one.part.profiles if cut.kind is ProfileKind.OPENING for r in cut.regions]
    wanted = one.joint.gasket.land if one.joint.gasket else 0.0
    source = f"the spec, {one.joint.key}.gasket.land" if one.joint.gasket else "the port must stay covered"
    found: list[tuple[float, float, str, Nearest]] = []
    for place in PLACES:
        laid = one.other(port, place)
        ends = [("outline", wall_between(laid, one.stock.region))]
        ends += [(slot.name, wall(laid, slot.regions[0])) for slot in one.slots]
        ends += [(slot.name, wall(r, slot.regions[0])) for slot in one.slots for r in openings]
        ends += [(cut.name, wall(laid, r)) for cut in _figures_on_face(one, port) for r in cut.regions]
        found += [(way.distance, place, name, way) for name, way in ends]
    middle = one.other(port, 0.0)
    for hole, circle in _holes_on_face(one):
        way = wall(middle, one.swept(circle))
        found.append((way.distance, 0.0, hole.name, way))
    land, place, name, way = min(found, key=lambda each: (each[0], each[1]))
    yield measured(
        LAND, "land over the whole travel", one.part.name, (*names, name), land, Limit(wanted, "mm", source),
        points=[(*way.a, _z(one)), (*way.b, _z(one))], note=_where(one, place, name),
        inputs=[("travel", one.travel, "mm")],
    )  # fmt: skip
    if openings:
        yield _open(one, port, openings)


def _where(one: _Sliding, place: float, name: str) -> str:
    if any(hole.name == name for hole in one.part.holes):
        return f"least over {one.travel:.2f} mm of travel"
    words = WORDS.get(place, f"{abs(place):.0%} of the way to {WORDS[math.copysign(1.0, place)]}")
    return f"least at {words} of {one.travel:.2f} mm of travel"


def _figures_on_face(one: _Sliding, port: Region) -> Iterator[Profile]:
    """Milled figures that break the face of the joint and are neither its slots nor where the port leads."""
    for cut in one.part.profiles:
        if cut in one.slots or not (cut.through or cut.side is one.mounting.side):
            continue
        flows = cut.kind in (ProfileKind.OPENING, ProfileKind.POCKET)
        if not (flows and any(intersect(region, one.other(port, 0.0)) for region in cut.regions)):
            yield cut


def _holes_on_face(one: _Sliding) -> Iterator[tuple[Hole, Circle]]:
    """Holes that break the face of the joint, with the circle that they leave in it."""
    for hole in one.part.holes:
        entered = (hole.direction[2] < 0) == (one.mounting.side.value == "above")
        if hole.square and (entered or hole.through):
            yield hole, Circle(hole.centre, (hole.steps[0] if entered else hole.steps[-1]).diameter / 2)


def _open(one: _Sliding, port: Region, openings: list[Region]) -> Finding:
    narrower = min(port.area, sum(region.area for region in openings))
    shares = []
    for place in PLACES:
        laid = one.other(port, place)
        common = [region for each in openings for region in intersect(each, laid)]
        shares.append((sum(region.area for region in common) / narrower, place))
    share, place = min(shares)
    note = _where(one, place, "")
    title = "port open over the whole travel"
    return advised(measured(OPEN, title, one.part.name, (one.joint.name,), share, WHOLE, note=note))


def _z(one: _Sliding) -> float:
    return one.stock.thickness if one.mounting.side.value == "above" else 0.0


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
        ring = one.swept(Circle(at, seat / 2))
        ways = [("outline", wall_between(ring, one.stock.region))]
        ways += [(cut.name, wall(ring, shape)) for cut in others for shape in _shapes(cut)]
        ends += [(way.distance, spot, name, way) for name, way in ways]
    least, spot, name, way = min(ends, key=lambda end: end[:3])
    top = one.stock.thickness - _z(one)
    yield measured(
        WASHER, "washer on the plate over the whole travel", one.part.name, (f"{one.joint.name}_{spot}", name), least,
        ON_PLATE, points=[(*way.a, top), (*way.b, top)], inputs=[*inputs, ("travel", one.travel, "mm")],
    )  # fmt: skip


def _shapes(cut: Cut) -> Iterator[Circle | Region]:
    """The figures of a cut in the plan, holes as circles of their widest step."""
    if isinstance(cut, Profile):
        yield from cut.regions
    elif isinstance(cut, Hole) and cut.square:
        yield Circle(cut.centre, max(step.diameter for step in cut.steps) / 2)


def _studs(part: Part, sliding: _Sliding | None) -> Iterator[Finding]:
    """Studs in their reliefs: over the travel where the relief faces the joint that the plate slides on."""
    for relief in part.profiles:
        if relief.kind is not ProfileKind.RELIEF:
            continue
        slides = sliding is not None and relief.side is sliding.mounting.side
        circle = relief.regions[0].outer.as_circle()
        if relief.stud is None or circle is None:
            if slides:
                reason = "what stands in the relief is not told: give its `stud`"
                yield not_checked(STUD, "stud in its relief over the whole travel", part.name, (relief.name,), reason)
            continue
        moves = math.hypot(*sliding.half) if sliding is not None and slides else 0.0
        room = circle.radius - relief.stud / 2 - moves
        inputs = [("relief", 2 * circle.radius, "mm"), ("stud", relief.stud, "mm"), ("travel", 2 * moves, "mm")]
        yield measured(
            STUD, "stud in its relief over the whole travel", part.name, (relief.name,), room, ROOM, inputs=inputs,
            points=[(*circle.centre, 0.0)],
        )  # fmt: skip
