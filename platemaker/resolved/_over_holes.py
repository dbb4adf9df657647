"""Screws of no joint: through holes that lie over other parts' holes, whether or not the spec says that they do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from platemaker.catalog import thread
from platemaker.parts import Bolts, Hole, Part, Stack, Vec3
from platemaker.resolved._bolt import Bolt, Clamp, Seat
from platemaker.resolved._bolts import hole_seat, tapped_end, washers
from platemaker.resolved._joints import ResolvedJoint
from platemaker.space import along, dot, sub

IN_LINE = math.cos(math.radians(5.0))
"""Holes whose axes lie within 5 degrees may take one bolt (common practice, no source)."""
FACES = 0.5
"""Faces are taken to meet where they are this near, mm, besides what a joint's gasket and shim hold them apart."""


@dataclass(frozen=True)
class _End:
    """An end of a hole: where it breaks its part's face, and the way into the metal, in the stack's frame."""

    part: Part
    hole: Hole
    at: Vec3
    into: Vec3


@dataclass(frozen=True)
class Loose:
    """A hole made for a bolt over which, or under which, the stack has nothing."""

    part: str
    hole: Hole


def bolts_over_holes(stack: Stack, joints: Sequence[ResolvedJoint]) -> tuple[tuple[Bolt, ...], tuple[Loose, ...]]:
    """The screws through holes of no joint, the highest first, and the holes for bolts that nothing meets."""
    ends = [end for part in stack.parts for hole in part.holes if _is_free(hole) for end in _ends(part, hole)]
    under = _declared(stack)
    gaps = {frozenset(side.owner for side in one.sides): one.joint.gap for one in joints}
    _find(ends, gaps, under)
    below = {(part.name, hole.name) for part, hole in under.values()}
    bolts, met = [], set(below)
    for part in stack.parts:
        for hole in part.holes:
            key = part.name, hole.name
            if key in under:
                met.add(key)
            if key in under and key not in below:
                bolts.append(_bolt(part, hole, under))
    free = (Loose(part.name, hole) for part in stack.parts for hole in part.holes if _is_free(hole))
    return tuple(bolts), tuple(one for one in free if (one.part, one.hole.name) not in met)


def _is_free(hole: Hole) -> bool:
    return hole.joint is None and hole.fitting is None and (hole.bolt is not None or hole.tapping is not None)


def _ends(part: Part, hole: Hole) -> Iterator[_End]:
    if len(part.places) != 1:
        return
    place, (u, v, w) = part.places[0], hole.direction
    yield _End(part, hole, place.to_world(hole.at), place.turn(hole.direction))
    if hole.through:
        yield _End(part, hole, place.to_world(hole.point(hole.depth)), place.turn((-u, -v, -w)))


_Under = dict[tuple[str, str], tuple[Part, Hole]]


def _declared(stack: Stack) -> _Under:
    """By part and hole, the hole that the spec puts it over."""
    found: _Under = {}
    for part in stack.parts:
        for hole in part.holes:
            if hole.over is not None:
                owner = stack.part(hole.over[0])
                found[part.name, hole.name] = owner, next(one for one in owner.holes if one.name == hole.over[1])
    return found


def _find(ends: Sequence[_End], gaps: Mapping[frozenset[str], float], under: _Under) -> None:
    """Add the holes that lie over others without a word of the spec: the upper one goes over the lower one."""
    ordered = sorted(ends, key=lambda end: end.at[0])
    reach = max((end.hole.entry_diameter for end in ends), default=0.0) + FACES + max(gaps.values(), default=0.0)
    pairs = []
    for i, one in enumerate(ordered):
        for other in ordered[i + 1 :]:
            if other.at[0] - one.at[0] > reach:
                break
            if one.part is not other.part and _meet(one, other, gaps):
                pairs.append((one, other))
    for one, other in pairs:
        upper, lower = sorted((one, other), key=lambda end: (end.hole.tapping is not None, -end.at[2]))
        key, back = (upper.part.name, upper.hole.name), (lower.part.name, lower.hole.name)
        is_back = back in under and under[back][1] is upper.hole
        if upper.hole.tapping is None and key not in under and not is_back:
            under[key] = lower.part, lower.hole


def _meet(one: _End, other: _End, gaps: Mapping[frozenset[str], float]) -> bool:
    """Whether two ends face each other and one bolt could stand in both holes."""
    if dot(one.into, other.into) > -IN_LINE:
        return False
    off = sub(other.at, one.at)
    apart = dot(off, other.into)
    gap = gaps.get(frozenset((one.part.name, other.part.name)), 0.0)
    aside = math.dist(off, along((0.0, 0.0, 0.0), apart, other.into))
    return -FACES <= apart <= gap + FACES and aside < max(one.hole.diameter, other.hole.diameter) / 2


def _bolt(part: Part, hole: Hole, under: _Under) -> Bolt:
    """The screw whose head stands on a hole, through all that lies under it, into a thread or a nut."""
    chain: list[tuple[Part, Hole]] = [(part, hole)]
    while (chain[-1][0].name, chain[-1][1].name) in under and len(chain) <= len(under):
        chain.append(under[chain[-1][0].name, chain[-1][1].name])
    last_part, last = chain[-1]
    tapped, passed = tapped_end(last_part, last), chain[:-1] if last.tapping else chain
    seats = [hole_seat(owner, one) for owner, one in passed]
    seat = seats[0]
    nut = None if tapped or len(seats) < 2 else _far_side(last_part, last)
    designation, screw = tapped.designation if tapped else hole.bolt, hole.screw
    bolts = Bolts(
        thread(designation or hole.bolt or ""), screw.property_class if screw else "8.8", "medium",
        screw.head if screw else "socket", screw.length if screw else None, bool(screw and screw.washers),
        screw.torque if screw else None,
    )  # fmt: skip
    metal = [
        Clamp(one.owner, one.metal, (one.material and one.material.elastic_modulus) or 0.0, material=one.material)
        for one in seats
    ]
    clamped = (*washers(bolts), *metal, *(washers(bolts) if nut else ()))
    loose = ""
    if last.joint is not None and last.tapping is None:
        loose = f"the hole under it is one of joint {last.joint}, whose bolts do not count it"
    elif not tapped and not nut:
        loose = "the hole under it takes no bolt"
    name = f"{part.name}.{hole.name}"
    joins = frozenset(owner.name for owner, _ in chain)
    narrow = min((one.bore for one in seats), default=seat.bore)
    if narrow < seat.bore:
        seat = replace(seat, bore=narrow)
    return Bolt(
        name, name, hole.name, bolts, seat, clamped, 0.0, joins, None, tapped, nut, part.quantity, loose,
        tuple((owner.name, one.name) for owner, one in chain),
    )  # fmt: skip


def _far_side(part: Part, hole: Hole) -> Seat:
    """Where a nut sits: the far end of a hole that goes right through."""
    u, v, w = hole.direction
    seat, at = hole_seat(part, hole), hole.point(hole.depth)
    if seat.placed:
        place = part.places[0]
        return replace(seat, at=place.to_world(at), out=place.turn((u, v, w)))
    return replace(seat, at=at, out=(u, v, w))
