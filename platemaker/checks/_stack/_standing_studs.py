"""Parts that go over standing studs: whether their holes let them, and whether there is room over the tips.

Studs are set first and stay; what they go through comes on along their axes. Everything is looked at the other way
round, as the part is lifted off: along the stud until its face is clear of the tip, with all that is still fast to it,
past all that is still fast to what the stud stands in. Other ways to move a part are not tried.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import combinations

from platemaker.checks._finding import Finding, Limit, measured, not_checked
from platemaker.checks._stack._assembly_order import Held, Order
from platemaker.checks._stack._between import Solid, apart, box_about, box_of, separation
from platemaker.checks._stack._stack_items import Contents, ItemKind, StackItem, bolts_owner
from platemaker.parts import Stack, Vec3, linked
from platemaker.records import Record
from platemaker.resolved import Bolt
from platemaker.space import Cylinder, Prism, add, box_gap, dot, scale, shifted
from platemaker.units import said

IN_LINE, LIFT = "PM663", "PM664"
TITLE = "holes over standing studs"
LIFT_TITLE = "room to lift over standing studs"
STEP = 1.0
"""What is not drawn out straight along the lift is tried at every so many millimetres of it."""
COARSE = 12
"""Places along the lift at which an imported body is tried."""
CONTACT = 1e-3
"""Figures that overlap by less than this, mm, touch."""
PARALLEL = 1e-9
"""Directions whose difference is less than this are one."""


def standing(fasteners: Sequence[Bolt]) -> Iterator[tuple[Bolt, str]]:
    """Each stud, with each part or body that goes over it."""
    for one in fasteners:
        if one.is_stud and one.tapped is not None:
            yield from ((one, owner) for owner in sorted(one.joins - {one.tapped.owner}))


def check_in_line(stack: Stack, contents: Contents) -> Iterator[Finding]:
    """Each part that goes over two studs or more: whether it comes off both along one straight way.

    Gaskets and shims give way. Silent where all studs are parallel: there a part comes off with the play of its holes.
    """
    sheets = {part.name for part in stack.parts if part.is_gasket_or_shim}
    over: dict[str, list[Bolt]] = {}
    for bolt, owner in standing(contents.fasteners):
        if owner not in sheets:
            over.setdefault(owner, []).append(bolt)
    for owner, studs in over.items():
        ways = _directions(studs)
        pairs = [(a, b) for one, other in combinations(ways, 2) for a in one for b in other]
        if not pairs:
            continue
        a, b = min(pairs, key=lambda pair: _play_left(*pair))
        names = tuple(sorted({a.name, b.name}))
        if a.tapped and b.tapped and a.tapped.owner != b.tapped.owner:
            owners = f"{a.tapped.owner} and {b.tapped.owner}"
            reason = said("studs_at_angle", angle=(_angle(a, b), "degrees"), owners=owners)
            yield not_checked(IN_LINE, TITLE, owner, names, reason)
            continue
        limit = Limit(0.0, "mm", "geometry: radial play of both holes, less what the studs part by over their length")
        inputs = [("angle", _angle(a, b), "degrees"), ("play", _play(a, b), "mm"), ("studs", _standing(a, b), "mm")]
        note = "a straight lift takes it off one stud and onto the other: use screws on one of the faces"
        yield measured(IN_LINE, TITLE, owner, names, _play_left(a, b), limit, points=a.points_on(owner),
                       note=note, inputs=inputs)  # fmt: skip


def _directions(studs: Sequence[Bolt]) -> list[list[Bolt]]:
    """Studs by the way that they point."""
    found: list[list[Bolt]] = []
    for stud in studs:
        same = next((group for group in found if math.dist(group[0].seat.out, stud.seat.out) < PARALLEL), None)
        found.append([stud]) if same is None else same.append(stud)
    return found


def _angle(a: Bolt, b: Bolt) -> float:
    return math.degrees(math.acos(max(-1.0, min(1.0, dot(a.seat.out, b.seat.out)))))


def _play(a: Bolt, b: Bolt) -> float:
    return (a.passes + b.passes) / 2


def _standing(a: Bolt, b: Bolt) -> float:
    return max((one.long or one.grip) - one.gap for one in (a, b))


def _play_left(a: Bolt, b: Bolt) -> float:
    """Radial play of two holes less what two studs part by along their length, mm."""
    return _play(a, b) - _standing(a, b) * math.dist(a.seat.out, b.seat.out)


class Lifted(Record):
    """A part over standing studs: how far it must be lifted, how far it can, mm, and what stops it there."""

    bolt: Bolt
    owner: str
    needed: float
    free: float
    stopped_by: tuple[StackItem, StackItem] | None


def lifted(
    stack: Stack, contents: Contents, held: Sequence[Held], order: Order, fast: Mapping[str, str]
) -> Iterator[Lifted]:
    """Every part that goes over standing studs, once a group of them, in the order found; nothing while it is stuck.

    Gaskets and shims come off with what lies on them.
    """
    if order.stuck:
        return
    seen = {(one.group, part.name) for one in contents.fasteners for part in stack.parts if part.is_gasket_or_shim}
    for bolt, owner in standing(contents.fasteners):
        if (bolt.group, owner) in seen or bolt.long is None or bolt.tapped is None:
            continue
        if owner not in {item.owner for item in contents.items if item.figures}:
            continue
        seen.add((bolt.group, owner))
        sides = _sides(bolt, owner, held, order, fast)
        if sides is not None:
            yield _lift(bolt, owner, contents, sides, fast)


class _Sides(Record):
    """What goes up and what stays as a part is lifted: pieces, and the groups of bolts that are tight then."""

    moves: Collection[str]
    stays: Collection[str]
    tight: frozenset[str]


def _sides(bolt: Bolt, owner: str, held: Sequence[Held], order: Order, fast: Mapping[str, str]) -> _Sides | None:
    """Groups are undone one after the other until nothing holds the part to what the stud stands in any longer."""
    foot = fast.get(bolt.tapped.owner, bolt.tapped.owner) if bolt.tapped else ""
    piece, closed, undone = fast.get(owner, owner), {one.name: one for one in held}, set[str]()
    for name in reversed(order.groups):
        closed.pop(name, None)
        undone.add(name)
        if bolt.group not in undone:
            continue
        links = [set(one.joins | one.own) for one in closed.values()]
        moves = linked({piece}, links)
        if foot not in moves:
            return _Sides(moves, linked({foot}, links), frozenset(closed))
    return None


def _lift(bolt: Bolt, owner: str, contents: Contents, sides: _Sides, fast: Mapping[str, str]) -> Lifted:
    under = bolt.grip - bolt.lift - bolt.seat.metal if owner == bolt.owner else bolt.gap
    needed = max((bolt.long or 0.0) - under, 0.0)
    studs = {one.name for one in contents.fasteners if one.is_stud}
    known = {owner for one in contents.fasteners for owner in one.joins}
    up, down = list[StackItem](), list[StackItem]()
    for item in contents.items:
        if not item.figures or _is_off(item, sides, studs):
            continue
        whose = _whose(item, contents, fast)
        if whose & set(sides.moves):
            up.append(item)
        elif whose & set(sides.stays) or (item.kind in (ItemKind.PART, ItemKind.BODY) and item.owner not in known):
            down.append(item)
    return _way(bolt, owner, needed, contents, up, down)


def _is_off(item: StackItem, sides: _Sides, studs: Collection[str]) -> bool:
    """Whether it is a screw that is out by then, or a nut that is off."""
    if item.kind not in (ItemKind.BOLT, ItemKind.SHANK):
        return False
    group_tight = any(item.owner == bolts_owner(name) for name in sides.tight)
    return not (group_tight or (item.kind is ItemKind.SHANK and item.unit in studs))


def _whose(item: StackItem, contents: Contents, fast: Mapping[str, str]) -> set[str]:
    """The pieces that an item is fast to: a stud to what it stands in."""
    if item.kind in (ItemKind.BOLT, ItemKind.SHANK):
        of = next(one for one in contents.fasteners if one.name == item.unit)
        ends = {of.tapped.owner} if of.tapped is not None else set(of.joins)
        return {fast.get(end, end) for end in ends}
    return {fast.get(item.on or item.owner, item.on or item.owner), fast.get(item.owner, item.owner)}


def _way(
    bolt: Bolt, owner: str, needed: float, contents: Contents, up: Sequence[StackItem], down: Sequence[StackItem]
) -> Lifted:
    """The nearest stop on the way of all that moves past all that stays."""
    free, stop = needed, None
    by = scale(bolt.seat.out, needed)
    for a in up:
        way = box_about([a.box, shifted(a.box, by)])
        for b in down:
            if box_gap(way, b.box) > CONTACT or frozenset((a.owner, b.owner)) in contents.entering:
                continue
            if a.owner in _through(b, contents):  # a stud in its own hole: the holes' play is checked by itself
                continue
            met = min(_free(one, other, bolt.seat.out, free) for one in a.figures for other in b.figures)
            if met < free - CONTACT:
                free, stop = met, (a, b)
    return Lifted(bolt, owner, needed, free, stop)


def _through(item: StackItem, contents: Contents) -> frozenset[str]:
    if item.kind is not ItemKind.SHANK:
        return frozenset()
    return next(one.joins for one in contents.fasteners if one.name == item.unit)


def _free(a: Solid, b: Solid, out: Vec3, far: float) -> float:
    """How far, up to `far`, a figure goes along `out` before it meets another; `far` where they overlap from the first.

    A figure that lies along the way is drawn out, exactly; others are tried at places along it.
    """
    if far <= 0 or box_gap(box_about([box_of(a), shifted(box_of(a), scale(out, far))]), box_of(b)) > CONTACT:
        return far
    if _overlap(a, b):
        return far

    def meets(way: float) -> bool:
        return _overlap(_drawn(a, out, way) or a.moved(scale(out, way)), b)

    exact = isinstance(a, Cylinder | Prism) and isinstance(b, Cylinder | Prism)
    count = math.ceil(far / STEP) if exact else COARSE
    steps = [far] if _drawn(a, out, far) else [far * number / count for number in range(1, count + 1)]
    high = next((step for step in steps if meets(step)), None)
    if high is None:
        return far
    low = max([0.0, *(step for step in steps if step < high)])
    while high - low > CONTACT:
        middle = (low + high) / 2
        low, high = (low, middle) if meets(middle) else (middle, high)
    return max(low - CONTACT, 0.0)


def _drawn(a: Solid, out: Vec3, far: float) -> Cylinder | Prism | None:
    """All that a figure passes through on its way, where it lies along the way; None where it does not."""
    by = scale(out, far)
    if isinstance(a, Cylinder):
        if abs(abs(dot(a.axis, out)) - 1.0) > PARALLEL:
            return None
        ahead = dot(a.axis, out) > 0
        return Cylinder(a.start, add(a.end, by), a.radius) if ahead else Cylinder(add(a.start, by), a.end, a.radius)
    if not isinstance(a, Prism) or abs(abs(dot(a.frame.z_axis, out)) - 1.0) > PARALLEL:
        return None
    frame = a.frame if dot(a.frame.z_axis, out) > 0 else a.moved(by).frame
    return Prism(a.region, frame, a.height + far)


def _overlap(a: Solid, b: Solid) -> bool:
    return apart(a, b) is None and separation(a, b).distance < -CONTACT


def lift_finding(stack: Stack, one: Lifted) -> Finding:
    """How far the part can be lifted, of what it must be."""
    limit = Limit(one.needed, "mm", "geometry: straight along the stud until the part's face is clear of its tip")
    note = f"nothing stands over {one.owner} while it goes over its studs"
    features: tuple[str, ...] = (one.owner, one.bolt.group)
    if one.stopped_by is not None:
        moving, still = one.stopped_by
        note = f"{moving.name} meets {still.name}: shorten the studs, use screws, or fit {still.owner} afterwards"
        features = (*features, still.name)
    part = stack.find_part(one.owner)
    points = one.bolt.points_on(one.owner) if part is not None else ()
    return measured(LIFT, LIFT_TITLE, one.owner, tuple(dict.fromkeys(features)), one.free, limit, points=points,
                    note=note, inputs=[("stud out of its metal", one.bolt.long or 0.0, "mm")])  # fmt: skip
