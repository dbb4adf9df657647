"""Screws of no joint: through holes that lie over other parts' holes, whether or not the spec says that they do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from platemaker.catalog import thread
from platemaker.parts import Bolts, Hole, Part, Screw, Stack, Vec3, usual_class
from platemaker.resolved._bolt import Bolt, Clamp, Seat, TappedEnd
from platemaker.resolved._bolts import hole_seat, metal_of, tapped_end, washers
from platemaker.resolved._joints import ResolvedJoint
from platemaker.space import along, dot, sub

IN_LINE = math.cos(math.radians(5.0))
"""Holes whose axes lie within 5 degrees may take one bolt (common practice, no source)."""
SHEET = 1e-6
"""Faces that lie further apart, mm, have a sheet between them."""
FACES = 0.5
"""Faces are taken to meet where they are this near, mm, besides what a joint's gasket and shim hold them apart."""


@dataclass(frozen=True)
class _End:
    """An end of a hole: where it breaks its part's face, and the way into the metal, in the stack's frame."""

    part: Part
    hole: Hole
    at: Vec3
    into: Vec3
    is_entry: bool


@dataclass(frozen=True)
class Loose:
    """A hole made for a bolt over which, or under which, the stack has nothing."""

    part: str
    hole: Hole


@dataclass(frozen=True)
class _Below:
    """The hole that another one lies over, across a `gap`, mm; `entry` when it meets the upper hole's entry."""

    part: Part
    hole: Hole
    gap: float = 0.0
    entry: bool = False


_Under = dict[tuple[str, str], _Below]


def bolts_over_holes(stack: Stack, joints: Sequence[ResolvedJoint]) -> tuple[tuple[Bolt, ...], tuple[Loose, ...]]:
    """The screws through holes of no joint, and the holes for bolts that nothing meets."""
    holes = [(part, hole) for part in stack.parts for hole in part.holes]
    ends = [end for part, hole in holes if _is_free(hole) for end in _ends(part, hole)]
    under = {(part.name, hole.name): _declared(stack, hole.over) for part, hole in holes if hole.over is not None}
    _find(ends, {frozenset(side.owner for side in one.sides): one.joint.gap for one in joints}, under)
    below = {(one.part.name, one.hole.name) for one in under.values()}
    bolts = tuple(
        _bolt(part, hole, under)
        for part, hole in holes
        if (part.name, hole.name) in under and (part.name, hole.name) not in below
    )
    met = below | set(under)
    free = (Loose(part.name, hole) for part, hole in holes if _is_free(hole) and (part.name, hole.name) not in met)
    return bolts, tuple(free)


def _declared(stack: Stack, over: tuple[str, str]) -> _Below:
    """The hole that the spec puts another one over."""
    owner = stack.part(over[0])
    return _Below(owner, next(one for one in owner.holes if one.name == over[1]))


def _is_free(hole: Hole) -> bool:
    return hole.joint is None and not hole.takes_fitting and (hole.bolt is not None or hole.tapping is not None)


def _ends(part: Part, hole: Hole) -> Iterator[_End]:
    if len(part.places) != 1:
        return
    place, (u, v, w) = part.places[0], hole.direction
    yield _End(part, hole, place.to_world(hole.at), place.turn(hole.direction), True)
    if hole.through:
        yield _End(part, hole, place.to_world(hole.point(hole.depth)), place.turn((-u, -v, -w)), False)


def _find(ends: Sequence[_End], gaps: Mapping[frozenset[str], float], under: _Under) -> None:
    """Add the holes that lie over others without a word of the spec: the upper one goes over the lower one."""
    if len({end.part.name for end in ends}) < 2:
        return
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
        upper, lower = sorted((one, other), key=lambda end: (end.hole.tapping is not None, -end.into[2]))
        key, back = (upper.part.name, upper.hole.name), under.get((lower.part.name, lower.hole.name))
        if upper.hole.tapping is None and key not in under and (back is None or back.hole is not upper.hole):
            gap = max(dot(sub(lower.at, upper.at), lower.into), 0.0)
            under[key] = _Below(lower.part, lower.hole, gap, upper.is_entry)


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
    chain, gaps, at = [(part, hole)], [0.0], under.get((part.name, hole.name))
    while at is not None and len(chain) <= len(under):
        chain.append((at.part, at.hole))
        gaps.append(at.gap)
        at = under.get((at.part.name, at.hole.name))
    last_part, last = chain[-1]
    tapped = tapped_end(last_part, last)
    seats = [hole_seat(owner, one) for owner, one in (chain[:-1] if tapped else chain)]
    head = _far_side(part, hole) if under[part.name, hole.name].entry and not hole.is_stepped else seats[0]
    nut = _far_side(last_part, last) if tapped is None and last.through and last.joint is None else None
    bolts = _screw(hole, tapped)
    clamped = (*washers(bolts), *_layers(seats, gaps), *(washers(bolts) if nut else ()))
    name, narrow = f"{part.name}.{hole.name}", min(seat.bore for seat in seats)
    return Bolt(
        name, name, hole.name, bolts, replace(head, bore=narrow), clamped, math.fsum(gaps),
        frozenset(owner.name for owner, _ in chain), None, tapped, nut, part.quantity, _loose(last, tapped, nut),
        tuple((owner.name, one.name) for owner, one in chain),
    )  # fmt: skip


def _screw(hole: Hole, tapped: TappedEnd | None) -> Bolts:
    """What goes through a hole: the thread under it decides which."""
    screw, size = hole.screw or Screw(), (tapped.designation if tapped else hole.bolt) or ""
    strength = screw.property_class or usual_class(size, screw.head)
    return Bolts(thread(size), strength, "medium", screw.head, screw.length, screw.washers, screw.torque)


def _loose(last: Hole, tapped: TappedEnd | None, nut: Seat | None) -> str:
    if tapped is not None or nut is not None:
        return ""
    if last.joint is not None:
        return f"the hole under it is one of joint {last.joint}, whose bolts do not count it"
    return "the hole under it takes no bolt"


def _layers(seats: Sequence[Seat], gaps: Sequence[float]) -> Iterator[Clamp]:
    """What lies between head and thread, or nut: each part, and before it the sheet that keeps it off the one above."""
    for gap, seat in zip_longest(gaps, seats):
        if gap > SHEET:
            yield Clamp("gasket", gap, 0.0, soft=True)
        if seat is not None:
            yield metal_of(seat)


def _far_side(part: Part, hole: Hole) -> Seat:
    """Where a nut sits: the far end of a hole that goes right through."""
    u, v, w = hole.direction
    seat, at = hole_seat(part, hole), hole.point(hole.depth)
    if seat.placed:
        place = part.places[0]
        return replace(seat, at=place.to_world(at), out=place.turn((u, v, w)))
    return replace(seat, at=at, out=(u, v, w))
