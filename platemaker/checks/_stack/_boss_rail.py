"""Rails over rows of bosses: do bores and axes line up, does the injector fit between, which way round does it go."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.checks._finding import PRACTICE, Finding, Limit, Sense, measured, not_checked
from platemaker.parts import Hole, Injector, Part, RailRow, Stack, Vec3, rim_depth, turned_round_misfit
from platemaker.records import Record
from platemaker.space import Frame, along, dot, sub

POSITION, ANGLE, TURNED_ROUND = "PM701", "PM702", "PM705"
END_PLAY, SEALED_LENGTH, INJECTOR_ROOM = "PM706", "PM707", "PM708"

LEAST_PLAY = Limit(0.2, "mm", PRACTICE)
"""Play that an O-ring-sealed injector keeps along its axis: held hard between two seats it would carry the rail."""
LEAST_SEALED = Limit(5.0, "mm", PRACTICE, caution=6.0)
"""How far an injector's end must reach into the rail for its O-ring to lie in the bore and not in the chamfer."""
LEAST_ROOM = Limit(0.05, "mm", PRACTICE)
"""Radial room round an injector's ends and body: less binds in a bore of ordinary tolerance."""


def check_boss_rail(stack: Stack) -> Iterator[Finding]:
    """Every rail that stands over a row of bosses."""
    for row in stack.rows:
        rail, bosses = stack.part(row.rail), stack.part(row.bosses)
        yield _turned_round(stack, row, rail)
        if not rail.places or not bosses.places:
            reason = f"{row.casting} has no place in the stack"
            yield not_checked(POSITION, "bore over boss", rail.name, (bosses.name,), reason)
            continue
        for line in _lines(stack, row, rail, bosses):
            yield from line.alignment(row, rail)
            if row.injector is not None:
                yield from line.fit(row.injector, rail)
        if row.injector is not None:
            yield _in_boss(row.injector, rail, bosses)
            casting = stack.find_part(row.casting)
            if casting is not None and not all(hole.through for hole in casting.holes):
                yield _over_floor(row.injector, rail, bosses)


class _Line(Record):
    """One boss and the rail's bore over it, in the rail's frame: the boss's axis from its seat, and the bore."""

    boss: str
    shoulder: Vec3
    axis: Vec3
    bore: Hole

    def alignment(self, row: RailRow, rail: Part) -> Iterator[Finding]:
        """How far the bore's mouth stands off the boss's axis, and the angle between bore and axis."""
        off = sub(self.bore.at, self.shoulder)
        reach = dot(off, self.axis)
        foot = along(self.shoulder, reach, self.axis)
        names, where = (self.bore.name, self.boss), [self.bore.at, foot]
        source = "the spec, alignment, or common practice for O-ring-sealed injectors"
        # Half of either bore's zone on the drawings comes on top: what is over may go past the limit as drilled.
        least = row.position - row.bore_zone
        position, off_axis = Limit(row.position, "mm", source, least, Sense.AT_MOST), math.dist(self.bore.at, foot)
        zones = [("zone of each bore on the drawings", row.bore_zone, "mm")]
        yield measured(
            POSITION, "offset between rail bore and boss", rail.name, names, off_axis, position, points=where,
            inputs=zones,
        )  # fmt: skip
        angle = Limit(row.angle, "degrees", source, sense=Sense.AT_MOST)
        lean = math.degrees(2.0 * math.asin(min(1.0, math.dist(self.axis, self.bore.direction) / 2)))
        yield measured(ANGLE, "angle between rail bore and boss", rail.name, names, lean, angle, points=where)

    def fit(self, injector: Injector, rail: Part) -> Iterator[Finding]:
        """The loop boss, injector, rail: play at the injector's end, length sealed, room over its body."""
        seat = self.bore.seat
        tip = along(self.shoulder, injector.length, self.axis)
        reach = dot(sub(tip, self.bore.at), self.bore.direction)
        names = (self.bore.name, "injector")
        inputs = [("injector length", injector.length, "mm"), ("seat depth", seat.end, "mm"), ("reach", reach, "mm")]
        rim = rim_depth(rail, seat.wide)
        rims = [("round side closes round the bore", rim, "mm")] if rim else []
        floor = self.bore.point(seat.end)
        yield measured(
            END_PLAY, "play between injector and rail", rail.name, names, seat.end - reach, LEAST_PLAY,
            points=[tip, floor], inputs=inputs,
        )  # fmt: skip
        yield measured(
            SEALED_LENGTH, "injector's end in the rail", rail.name, names, reach - rim, LEAST_SEALED,
            points=[self.bore.at, tip], inputs=[*inputs, *rims],
        )  # fmt: skip
        room = min(injector.rail_end.length - reach, (seat.wide - injector.rail_end.diameter) / 2)
        yield measured(
            INJECTOR_ROOM, "injector clear of the rail", rail.name, names, room, LEAST_ROOM, points=[self.bore.at],
            inputs=[("seat diameter", seat.wide, "mm"), ("injector", injector.rail_end.diameter, "mm")],
        )  # fmt: skip


def _lines(stack: Stack, row: RailRow, rail: Part, bosses: Part) -> Iterator[_Line]:
    view: Frame = rail.places[0]
    bores = {hole.spot: hole for hole in rail.holes if hole.joint == row.joint}
    sunk = seat_height(bosses)
    for number, (spot, place) in enumerate(zip(stack.joint(row.joint).spots, bosses.places, strict=True), 1):
        shoulder = view.to_local(place.to_world((0.0, 0.0, sunk)))
        yield _Line(f"{bosses.name} {number}", shoulder, view.unturn(place.z_axis), bores[spot])


def injectors_owner(rail: str) -> str:
    """The owner that the injectors under a rail have as items of the stack."""
    return f"{rail} injectors"


def seat_height(bosses: Part) -> float:
    """Height over a boss's foot at which an injector's shoulder stands, mm: the floor of its seat, or its top."""
    bore = bosses.holes[0]
    return bore.at[2] - bore.floor_depth


def _in_boss(injector: Injector, rail: Part, bosses: Part) -> Finding:
    bore = bosses.holes[0]
    room = (bore.diameter - injector.boss_end.diameter) / 2
    inputs = [("bore", bore.diameter, "mm"), ("injector's end", injector.boss_end.diameter, "mm")]
    if bore.floor_depth:
        room = min(room, (bore.entry_diameter - injector.diameter) / 2)
        inputs += [("seat", bore.entry_diameter, "mm"), ("injector's body", injector.diameter, "mm")]
    return measured(
        INJECTOR_ROOM, "injector clear of its boss", bosses.name, ("bore", "injector"), room, LEAST_ROOM,
        points=[bore.at], inputs=inputs, note=f"in {rail.name}'s row",
    )  # fmt: skip


def _over_floor(injector: Injector, rail: Part, bosses: Part) -> Finding:
    """How far the injector's end stays off the floor of a blind bore, on which the boss stands."""
    shoulder, bore = seat_height(bosses), bosses.holes[0]
    inputs = [("shoulder over the floor", shoulder, "mm"), ("injector's end", injector.boss_end.length, "mm")]
    return measured(
        INJECTOR_ROOM, "injector clear of the floor under its boss", bosses.name, ("bore", "injector", "floor"),
        shoulder - injector.boss_end.length, LEAST_ROOM, points=[bore.point(bore.depth)], inputs=inputs,
        note=f"in {rail.name}'s row",
    )  # fmt: skip


def _turned_round(stack: Stack, row: RailRow, rail: Part) -> Finding:
    """Either way round fits, or a FRONT mark must say which way does."""
    misfit = turned_round_misfit(list(stack.joint(row.joint).spots.values()))
    sense, source = Sense.AT_MOST, "the limit on position; turned end for end and set as well as it goes"
    if misfit <= row.position:
        note = "either way round fits"
    elif rail.front_marked:
        note, sense = "fits one way round only; the FRONT mark says which", Sense.AT_LEAST
    else:
        note = "fits one way round only, and no FRONT mark says which"
    limit = Limit(row.position, "mm", source, sense=sense)
    return measured(TURNED_ROUND, "rail fitted back to front", rail.name, (row.joint,), misfit, limit, note=note)
