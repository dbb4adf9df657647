"""Clearance between everything in the stack: what no joint lets touch keeps its distance, wherever plates are set."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from platemaker.checks._finding import EQUAL, Finding, Limit, measured, not_checked
from platemaker.checks._stack._between import separation, shared_volume
from platemaker.checks._stack._joint_planes import JointPlane, joint_planes
from platemaker.checks._stack._near import CLEARANCE, CONTACT, LOOP, PRACTICE, SUNK, TOUCHING, WINDOW, Near
from platemaker.checks._stack._near_places import Position, near_places
from platemaker.checks._stack._own_bores import bosses_in_castings
from platemaker.checks._stack._slides import Slide, slides_of
from platemaker.checks._stack._stack_items import Contents, ItemKind, Pair, StackItem
from platemaker.parts import Stack, Vec3
from platemaker.records import replace
from platemaker.remembered import remembered
from platemaker.space import box_gap
from platemaker.units import Words


def check_clearance(stack: Stack, contents: Contents) -> Iterator[Finding]:
    """Every two owners in the stack at their nearest; those that are joined, beside their joint too."""
    limit = clearance_limit(stack)
    for name in contents.unplaced:
        yield not_checked(
            CLEARANCE, "clearance in the stack", name, (name,), "it has no place in the stack, or no envelope"
        )
    near = dict(_all_near(contents, WINDOW * limit.fail))
    for slide in slides_of(stack, contents.fasteners):
        for key, found in _along(contents, slide, WINDOW * limit.fail):
            if key not in near or found.distance < near[key].distance - EQUAL:
                near[key] = found
    for found in near.values():
        key = found.owners
        if key in contents.sunk:
            yield found.finding(stack, CLEARANCE, "head below the face it is sunk in", SUNK)
        elif key not in contents.touching:
            yield found.finding(stack, CLEARANCE, "clearance in the stack", limit)
        elif found.distance < -EQUAL or (found.is_parts and key not in contents.bored):
            allowed = LOOP if key in contents.looped else TOUCHING
            yield found.finding(stack, CONTACT, "joined parts touch", allowed)
    for beside in _beside_joints(stack, contents, limit.fail if limit.caution is None else limit.caution):
        yield beside.finding(stack, CLEARANCE, "clearance in the stack", limit)
    yield from _in_bores(stack)


def _beside_joints(stack: Stack, contents: Contents, reach: float) -> Iterator[Near]:
    """Where joined things come nearer than `reach` beside their joint, wherever plates are set."""
    joined: dict[Pair, list[JointPlane]] = {}
    for plane in joint_planes(stack):
        joined.setdefault(frozenset(plane.owners), []).append(plane)
    kinds = (ItemKind.PART, ItemKind.BODY, ItemKind.INJECTOR)
    items = [item for item in contents.items if item.figures and item.kind in kinds]
    slides = list(slides_of(stack, contents.fasteners))
    for a, b in combinations(items, 2):
        owners = frozenset((a.owner, b.owner))
        planes = joined.get(owners)
        if planes is None or owners not in contents.touching:
            continue
        settings = [Position(a, b)]
        for slide in slides:
            if (a.owner in slide.moves) is not (b.owner in slide.moves):
                settings += [_set(a, b, slide, by, note) for by, note in slide.ends()]
        near = [one for one in settings if box_gap(one.a.box, one.b.box) < reach]
        yield from near_places(near, planes, reach)


def _set(a: StackItem, b: StackItem, slide: Slide, by: Vec3, note: Words) -> Position:
    return Position(a.moved(by), b, note) if a.owner in slide.moves else Position(a, b.moved(by), note)


def _in_bores(stack: Stack) -> Iterator[Finding]:
    """Bosses in their castings' bores by nominal sizes: radial room, 0 for a fit."""
    for boss, casting in bosses_in_castings(stack):
        outside = boss.stock.plan.outer.as_circle()
        bore = min(casting.holes, key=lambda hole: hole.diameter, default=None)
        if outside is not None and bore is not None:
            inputs = [("bore", bore.diameter, "mm"), ("boss", 2 * outside.radius, "mm")]
            room = bore.diameter / 2 - outside.radius
            limit = TOUCHING
            if room < 0 and boss.fit is not None:  # read on the finished parts: pressed in, as the fit means it
                limit = Limit(-boss.fit.greatest / 2, "mm", f"half the greatest interference of {boss.fit.words}")
            yield measured(
                CONTACT, "boss in its casting's bore", boss.name, (boss.name, bore.name), room, limit, inputs=inputs
            )


def clearance_limit(stack: Stack) -> Limit:
    """What the spec asks for, or common practice."""
    asked = stack.room.clearance
    return PRACTICE if asked is None else Limit(asked, "mm", "the spec, stack.clearance")


def _all_near(contents: Contents, window: float) -> Iterator[tuple[Pair, Near]]:
    """The nearest of every two owners within the window; a plate's own copies and bolts count as others."""
    best: dict[Pair, Near] = {}
    for a, b in _pairs(contents.items, window):
        _keep(best, contents, a, b, window)
    yield from best.items()


def _pairs(items: Sequence[StackItem], window: float) -> Iterator[tuple[StackItem, StackItem]]:
    """Pairs whose boxes come within the window, by a sweep along X."""
    ordered = sorted((item for item in items if item.figures), key=lambda item: item.box[0])
    open_: list[StackItem] = []
    for item in ordered:
        open_ = [other for other in open_ if other.box[3] + window >= item.box[0]]
        yield from ((other, item) for other in open_ if box_gap(other.box, item.box) <= window)
        open_.append(item)


def _keep(best: dict[Pair, Near], contents: Contents, a: StackItem, b: StackItem, window: float) -> None:
    key = frozenset((a.owner, b.owner))
    if a.unit == b.unit or key in contents.entering:
        return
    if key in contents.touching and ItemKind.SHANK in (a.kind, b.kind):
        return  # a bolt stands in what it joins
    if key in contents.bored:
        key = frozenset((a.unit, b.unit))  # each boss has its own bore
    a, b = a.against(b.owner), b.against(a.owner)
    found = nearest_of(a, b, best[key].distance if key in best else window)
    if found is not None:
        best[key] = found


@remembered(8192)
def nearest_of(a: StackItem, b: StackItem, within: float) -> Near | None:
    """Two items at their nearest, where that is below `within`; else None."""
    pairs = [
        (box_gap(box_a, box_b), one, other)
        for one, box_a in zip(a.figures, a.boxes, strict=True)
        for other, box_b in zip(b.figures, b.boxes, strict=True)
    ]
    best, least, volume = None, within, 0.0
    for bound, one, other in sorted(pairs, key=lambda pair: pair[0]):
        if bound > max(least, 0.0):
            break
        found = separation(one, other)
        if found.distance < -EQUAL:
            volume += shared_volume(one, other)
        if found.distance < least - EQUAL:
            least, best = found.distance, Near(a, b, found.distance, (found.point_a, found.point_b))
    return replace(best, volume=volume) if best else None


def _along(contents: Contents, slide: Slide, window: float) -> Iterator[tuple[Pair, Near]]:
    """What moves with a plate against what does not, at both ends of the plate's travel."""
    moving = [item for item in contents.items if item.owner in slide.moves]
    resting = [item for item in contents.items if item.owner not in slide.moves]
    for by, note in slide.ends():
        best: dict[Pair, Near] = {}
        for a, b in _across([item.moved(by) for item in moving], resting, window):
            _keep(best, contents, a, b, window)
        yield from ((key, replace(found, where=note)) for key, found in best.items())


def _across(
    moving: Iterable[StackItem], resting: Sequence[StackItem], window: float
) -> Iterator[tuple[StackItem, StackItem]]:
    for one in moving:
        yield from ((one, other) for other in resting if one.figures and box_gap(one.box, other.box) <= window)
