"""Screws of no joint: through holes that lie over other parts' holes, whether or not the spec says that they do.

A plain hole takes the screw of the hole that it lies over, unless that screw's head would fall through it, or sits in
the other hole's counterbore already.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

from platemaker.catalog import screw_classes, thread
from platemaker.parts import Bolts, Hole, Part, Screw, Stack, Vec3, usual_class, usual_head
from platemaker.records import Record, replace
from platemaker.resolved._bolt import BearingSeat, Bolt, Clamp, TappedEnd, head_size, sold_as
from platemaker.resolved._bolts import hole_seat, metal_of, open_space, tapped_end, washers
from platemaker.resolved._joints import ResolvedJoint
from platemaker.space import aside, dot, sub

IN_LINE = math.cos(math.radians(5.0))
"""Holes whose axes lie within 5 degrees may take one bolt (common practice, no source)."""
SHEET = 1e-6
"""Faces that lie further apart, mm, have a sheet between them."""
FACES = 0.5
"""Faces are taken to meet where they are this near, mm, besides what a joint's gasket and shim hold them apart."""


class _HoleEnd(Record):
    """An end of a hole: where it breaks its part's face, and the way into the metal, in the stack's frame."""

    part: Part
    hole: Hole
    at: Vec3
    into: Vec3
    is_entry: bool

    def met(self, gap: float) -> _Met:
        """The hole as one that is met with this end."""
        return _Met(self.part, self.hole, self.is_entry, gap)


class Loose(Record):
    """A hole made for a bolt over which, or under which, the stack has nothing; or, `facing` it, another thread."""

    part: str
    hole: Hole
    facing: str = ""


class _Met(Record):
    """A hole that another one meets across a `gap`, mm, and with which of its ends: its entry, or its far one."""

    part: Part
    hole: Hole
    entry: bool
    gap: float

    @property
    def key(self) -> _Key:
        """Its part's name and its own."""
        return self.part.name, self.hole.name


_Key = tuple[str, str]
_Links = dict[_Key, list[tuple[bool, _Met]]]
"""What each hole meets, and whether with its own entry or with its far end."""
_Chain = list[_Met]
"""Holes in line, from the head down; each knows with which end it meets the one before it."""


def bolts_over_holes(stack: Stack, joints: Sequence[ResolvedJoint]) -> tuple[tuple[Bolt, ...], tuple[Loose, ...]]:
    """The screws through holes of no joint, and the holes for bolts that nothing meets."""
    holes = [(part, hole) for part in stack.parts for hole in part.holes]
    links: _Links = {}
    for part, hole in holes:
        if hole.over is not None:
            _join(links, _Met(part, hole, False, 0.0), _Met(*_declared(stack, hole.over), True, 0.0))
    ends = [end for part, hole in holes if _is_free(hole) or _is_plain(part, hole) for end in _ends(part, hole)]
    _find(ends, {frozenset(side.owner for side in one.sides): one.joint.gap for one in joints}, links)
    chains = [chain for chain in _chains(holes, links) if _size(chain)]
    met = {one.key for chain in chains for one in chain}
    free = (
        Loose(part.name, hole, _thread_at(links.get((part.name, hole.name), [])) if hole.tapping else "")
        for part, hole in holes
        if _is_free(hole) and (part.name, hole.name) not in met
    )
    return tuple(_bolt(chain) for chain in chains), tuple(free)


def _thread_at(links: Sequence[tuple[bool, _Met]]) -> str:
    """The first tapped hole among those that a hole meets."""
    return next((f"{one.part.name} {one.hole.name}" for _, one in links if one.hole.tapping is not None), "")


def _declared(stack: Stack, over: tuple[str, str]) -> tuple[Part, Hole]:
    """The hole that the spec puts another one over."""
    owner = stack.part(over[0])
    return owner, next(one for one in owner.holes if one.name == over[1])


def _join(links: _Links, one: _Met, other: _Met) -> None:
    if any(known.hole is other.hole for _, known in links.get(one.key, [])):
        return
    links.setdefault(one.key, []).append((one.entry, other))
    links.setdefault(other.key, []).append((other.entry, one))


def _chains(holes: Sequence[tuple[Part, Hole]], links: _Links) -> Iterator[_Chain]:
    """Lines of holes that one screw goes through: up from each thread, then what is left from its highest hole down."""
    used = set[_Key]()
    for part, hole in holes:
        if hole.tapping is not None and not hole.takes_fitting:
            for own_entry, above in links.get((part.name, hole.name), []):
                if above.hole.tapping is None:
                    up = _walk([_Met(part, hole, own_entry, 0.0), above], links)
                    yield _turned(up)
                    used |= {one.key for one in up}
    left = [(part, hole) for part, hole in holes if (part.name, hole.name) in links and hole.tapping is None]
    for part, hole in sorted(left, key=lambda one: -_height(*one)):
        key = part.name, hole.name
        if key not in used:
            chain = _walk([_Met(part, hole, not links[key][0][0], 0.0)], links)
            yield chain
            used |= {one.key for one in chain}


def _walk(chain: _Chain, links: _Links) -> _Chain:
    """A chain's beginning and what follows from hole to hole, each left by the end that it was not met with."""
    chain = list(chain)
    while True:
        at, passed = chain[-1], {id(one.hole) for one in chain}
        ahead = links.get(at.key, [])
        onward = [one for own, one in ahead if own is not at.entry and id(one.hole) not in passed]
        following = next((one for one in onward if one.hole.tapping is None), None)
        if following is None:
            return chain
        chain.append(following)


def _turned(up: _Chain) -> _Chain:
    """A chain found from its thread up, as one from its head down: each then meets the one above with its other end."""
    gaps = [0.0, *(one.gap for one in reversed(up[1:]))]
    return [
        replace(one, entry=one.entry if one is up[0] else not one.entry, gap=gap)
        for one, gap in zip(reversed(up), gaps, strict=True)
    ]


def _height(part: Part, hole: Hole) -> float:
    middle = hole.point(hole.depth / 2)
    return (part.places[0].to_world(middle) if len(part.places) == 1 else middle)[2]


def _is_free(hole: Hole) -> bool:
    return hole.joint is None and not hole.takes_fitting and (hole.bolt is not None or hole.tapping is not None)


def _is_plain(part: Part, hole: Hole) -> bool:
    """Whether it is a single hole of a diameter alone, of a part with a spec of its own."""
    own = part.is_gasket_or_shim or not hole.key.startswith("parts.")
    return not own and not (hole.joint or hole.bolt or hole.tapping or hole.is_stepped or hole.takes_fitting)


def _ends(part: Part, hole: Hole) -> Iterator[_HoleEnd]:
    if len(part.places) != 1:
        return
    place, (u, v, w) = part.places[0], hole.direction
    yield _HoleEnd(part, hole, place.to_world(hole.at), place.turn(hole.direction), True)
    if hole.through:
        yield _HoleEnd(part, hole, place.to_world(hole.point(hole.depth)), place.turn((-u, -v, -w)), False)


def _find(ends: Sequence[_HoleEnd], gaps: Mapping[frozenset[str], float], links: _Links) -> None:
    """Add the holes that meet others without a word of the spec."""
    if len({end.part.name for end in ends}) < 2:
        return
    ordered = sorted(ends, key=lambda end: end.at[0])
    reach = max((end.hole.entry_diameter for end in ends), default=0.0) + FACES + max(gaps.values(), default=0.0)
    for i, one in enumerate(ordered):
        for other in ordered[i + 1 :]:
            if other.at[0] - one.at[0] > reach:
                break
            if one.part is not other.part and _meet(one, other, gaps):
                gap = max(dot(sub(other.at, one.at), other.into), 0.0)
                _join(links, one.met(gap), other.met(gap))


def _meet(one: _HoleEnd, other: _HoleEnd, gaps: Mapping[frozenset[str], float]) -> bool:
    """Whether two ends face each other and one bolt could stand in both holes."""
    if dot(one.into, other.into) > -IN_LINE or not (_takes(one, other) and _takes(other, one)):
        return False
    apart = dot(sub(other.at, one.at), other.into)
    gap = gaps.get(frozenset((one.part.name, other.part.name)), 0.0)
    room = max(one.hole.diameter, other.hole.diameter) / 2
    return -FACES <= apart <= gap + FACES and aside(one.at, other.at, other.into) < room


def _takes(plain: _HoleEnd, other: _HoleEnd) -> bool:
    """Whether what goes through the other hole may go through this one too: asked of a plain hole alone."""
    if plain.hole.bolt or plain.hole.tapping or other.hole.bolt is None:
        return True
    if other.hole.is_stepped and other.is_entry:
        return False
    size = thread(other.hole.bolt)
    return plain.hole.diameter < head_size(size, usual_head(size.designation))[0]


def _size(chain: _Chain) -> str:
    """The thread that a chain's screw has: that which holds it, else that of its first hole for a bolt; "" for none."""
    tapping = chain[-1].hole.tapping
    named = [one.hole.bolt for one in chain if one.hole.bolt]
    return named[-1 if tapping else 0] if named else ""


def _bolt(chain: _Chain) -> Bolt:
    """The screw whose head stands on the first hole, through all of a chain, into a thread or a nut."""
    first, last = chain[0], chain[-1]
    tapped = tapped_end(last.part, last.hole)
    passed = chain[:-1] if tapped else chain
    head = hole_seat(first.part, first.hole, far=not first.entry and not first.hole.is_stepped)
    nut = None
    if tapped is None and last.hole.through and last.hole.joint is None and len(chain) > 1:
        nut = hole_seat(last.part, last.hole, far=last.entry)
    bolts = _screw(first.hole, (tapped.designation if tapped else "") or _size(chain))
    seats = [head, *(hole_seat(one.part, one.hole) for one in passed[1:])]
    metal = [head.metal, *(seat.thickness for seat in seats[1:])]
    if nut is not None:
        metal[-1] = nut.metal
    layers = [replace(metal_of(seat), thickness=thick) for seat, thick in zip(seats, metal, strict=True)]
    clamped = (
        *washers(bolts), *_layers(layers, [one.gap for one in chain]), *(washers(bolts) if nut else ()),
        *open_space(tapped),
    )  # fmt: skip
    name = f"{first.part.name}.{first.hole.name}"
    return Bolt(
        name, name, first.hole.name, bolts, replace(head, bore=min(seat.bore for seat in seats)), clamped,
        math.fsum(one.gap for one in chain), frozenset(one.part.name for one in chain), None, tapped, nut,
        max(one.part.sets for one in chain), _loose(last.hole, tapped, nut),
        tuple((one.part.name, one.hole.name) for one in chain),
    )  # fmt: skip


def _screw(hole: Hole, size: str) -> Bolts:
    """What goes through a hole: the thread under it decides which; a class that is not made in it does not count."""
    screw = hole.screw or Screw(usual_head(size))
    made = {row.name for row in screw_classes(size, sold_as(screw.head))}
    strength = screw.property_class if screw.property_class in made else usual_class(size, screw.head)
    return Bolts(thread(size), strength, "medium", screw.head, screw.length, screw.washers, screw.torque,
                 screw.metal_end)  # fmt: skip


def _loose(last: Hole, tapped: TappedEnd | None, nut: BearingSeat | None) -> str:
    if tapped is not None or nut is not None:
        return ""
    if last.joint is not None:
        return f"the hole under it is one of joint {last.joint}, whose bolts do not count it"
    return "the hole under it takes no bolt"


def _layers(layers: Sequence[Clamp], gaps: Sequence[float]) -> Iterator[Clamp]:
    """What lies between head and thread, or nut: each part, and before it the sheet that keeps it off the one above."""
    for gap, layer in zip_longest(gaps, layers):
        if gap > SHEET:
            yield Clamp("gasket", gap, 0.0, soft=True)
        if layer is not None:
            yield layer
