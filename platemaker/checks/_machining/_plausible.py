"""Sizes that are hardly meant: numbers off their usual range, marks off their part, threads deeper than theirs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import chain, combinations

from platemaker.catalog import usual_size_of, usual_sizes
from platemaker.checks._advice import advised
from platemaker.checks._finding import EQUAL, Finding, Limit, Sense, Verdict, measured
from platemaker.parts import Body, EnvelopeKind, Face, Hole, Joint, Kind, Mark, Part, Side, Stack
from platemaker.plane import Circle, Loop, Region, contains, nearest, wall, wall_between
from platemaker.records import Record, replace
from platemaker.remembered import remembered
from platemaker.resolved import resolved
from platemaker.space import Box3
from platemaker.spec import dotted
from platemaker.units import said

USUAL, MARK, THREAD, BODY = "PM521", "PM522", "PM523", "PM529"
STROKE, OUTLINE, WIDE = 0.76, 1.05, 1.25
"""Greatest advance of a letter over the height of a capital: single strokes, outlines, those of the widest letters."""

ON_THE_PART = Limit(0.0, "mm", "geometry: letters stand on the metal that they are stamped in")


ON_THE_BODY = Limit(0.0, "mm", "geometry: a hole lies in the metal of its body")


class Size(Record):
    """A number to hold against its usual range `name`: `key` of the spec or thing of `owner`, in the unit used inside.

    `part` is the part of the spec that may set the range; empty for what belongs to none.
    """

    owner: str
    key: str
    name: str
    value: float
    part: str = ""


def check_plausible(stack: Stack) -> Iterator[Finding]:
    """Every number of the spec against its usual range, and what follows from several: cautions, for typing errors."""
    counts: dict[str, int] = {}
    off = set()
    for size in sizes_of(stack):
        counts[size.owner] = counts.get(size.owner, 0) + 1
        found = _held(size, stack)
        if found is not None:
            off.add(size.owner)
            yield found
    limit = Limit(0.0, "sizes", "the catalog's usual sizes, common practice, no source", sense=Sense.AT_MOST)
    for owner, count in counts.items():
        if owner not in off:
            note = said("all_usual" if count > 1 else "one_usual", sizes=(count, ""))
            yield measured(USUAL, "sizes outside their usual range", owner, (), 0.0, limit, note=note)
    for part in stack.parts:
        yield from (_mark(part, mark) for mark in part.marks)
    yield from _deep_threads(stack)
    yield from _bolts_on_bodies(stack)


def sizes_of(stack: Stack) -> Iterator[Size]:
    """The numbers of the spec that have a usual range, then what follows for blanks, joints and bodies."""
    for given in stack.given:
        row = usual_size_of(given.keys)
        if row is None or row.least is None or given.value == 0:
            continue  # 0 is how a spec says that there is none
        section, *rest = given.path
        if section in ("parts", "joints", "bodies"):
            owner, *rest = rest
            part = str(owner) if section == "parts" else ""
            yield Size(str(owner), dotted(tuple(rest)), row.name, given.value, part)
        else:
            yield Size(stack.name, dotted(given.path), row.name, given.value)
    yield from chain.from_iterable(map(_of_blank, stack.parts))
    yield from chain.from_iterable(map(_of_pattern, stack.joints))
    for body in stack.bodies:
        yield from (Size(body.name, "envelope", "body_size", side) for side in _sides(body, stack))


def _held(size: Size, stack: Stack) -> Finding | None:
    """A caution for a size off its range; None for one within."""
    row, value = usual_sizes()[size.name], abs(size.value)
    own = stack.usual.get(size.part, {}).get(size.name)
    low, high = own or row.inside
    if low * (1 - EQUAL) <= value <= high * (1 + EQUAL):
        return None
    least, most = (row.shown(end) for end in (low, high))
    below = value < low
    limit = Limit(
        least if below else most, row.unit, f"the spec, limits.usual.{size.name}" if own else row.source,
        sense=Sense.AT_LEAST if below else Sense.AT_MOST,
    )  # fmt: skip
    about = f" ({row.note})" if row.note else ""
    note = said("usual", least=(least, row.unit), most=(most, row.unit), of=about)
    found = measured(USUAL, row.title, size.owner, (size.key,), row.shown(value), limit, note=note)
    return replace(found, verdict=Verdict.CAUTION)


def _of_blank(part: Part) -> Iterator[Size]:
    stock, name = resolved(part).flat.plate, part.name
    root = part.key.split(".")[1] if part.key.startswith("parts.") else ""
    if not root or stock is None:
        return
    if part.kind in (Kind.PLATE, Kind.DRAIN_PLATE, Kind.CASTING):
        x0, y0, x1, y1 = stock.region.bounds
        yield Size(name, "outline", "plate_length", max(x1 - x0, y1 - y0), root)
        yield Size(name, "outline", "plate_width", min(x1 - x0, y1 - y0), root)
    if part.edge_break is not None:
        yield Size(name, "edge_break", "edge_break_share", part.edge_break / stock.thickness, root)
    holes = [hole.entry_diameter for hole in part.holes if hole.square]
    if holes and part.kind is not Kind.BOSS:
        share = math.fsum(math.pi * wide**2 / 4 for wide in holes) / stock.region.area
        yield Size(name, "holes", "hole_share", share, root)


def _of_pattern(joint: Joint) -> Iterator[Size]:
    spots = list(joint.spots.values())
    if len(spots) < 2:
        return
    sides = [max(axis) - min(axis) for axis in zip(*spots, strict=True)]
    yield Size(joint.name, "spots", "pattern_size", max(sides))
    yield Size(joint.name, "spots", "pattern_pitch", min(math.dist(a, b) for a, b in combinations(spots, 2)))


def _sides(body: Body, stack: Stack) -> tuple[float, ...]:
    """How large a body is along its axes, mm; of one that is not placed or has no envelope nothing."""
    if body.envelope is None:
        return ()
    if body.envelope.kind is not EnvelopeKind.STEP:
        return body.envelope.size
    if stack.folder is None or body.place is None:
        return ()
    from platemaker.solids import load_step  # noqa: PLC0415 - loads the solid kernel

    bounds = load_step(stack.folder / body.envelope.file).bounds
    return tuple(high - low for low, high in zip(bounds[:3], bounds[3:], strict=True))


@remembered(256)
def _mark(part: Part, mark: Mark) -> Finding:
    """Metal round a mark's letters: to the outline, or to what is open in the face; below 0 how far they reach off."""
    x, y, z = mark.at
    wide, high = sum(_letter(letter, mark.letters) for letter in mark.text) * mark.height, mark.height
    letters = Loop.rectangle(wide, high, centre=(x + wide / 2, y + high / 2))
    ways = [("", wall_between(letters, _plan(part))), *((name, wall(letters, cut)) for name, cut in _open_above(part))]
    name, least = min(ways, key=lambda one: one[1].distance)
    return advised(
        measured(
            MARK, "mark on the metal of its part", part.name, (f"marks.{mark.name}",), least.distance, ON_THE_PART,
            points=[(*least.a, z)], inputs=[("length of the letters", wide, "mm"), ("height", high, "mm")],
            note=f"nearest: {name}" if name else "",
        )
    )  # fmt: skip


def _open_above(part: Part) -> Iterator[tuple[str, Circle | Region]]:
    """Upright holes and figures that are open in a part's upper face, by name; of a bent part in its flat."""
    flat = resolved(part).flat
    for hole in flat.holes:
        if hole.square and (wide := hole.diameter_at(Side.ABOVE)):
            yield hole.name, Circle(hole.centre, wide / 2)
    for cut in flat.profiles:
        if cut.through or cut.side is Side.ABOVE:
            yield from ((cut.name, region) for region in cut.regions)


def _letter(letter: str, letters: str) -> float:
    """No letter is wider, over the height of a capital: single strokes, or outlines of the paper's font."""
    return STROKE if letters == "strokes" else WIDE if letter in "MW@%mw" else OUTLINE


def _plan(part: Part) -> Loop:
    """The outline of a part's blank seen from above, a bent one in its flat."""
    return resolved(part).flat.stock.plan.outer


def _deep_threads(stack: Stack) -> Iterator[Finding]:
    """Threads whose depth no builder has held against their part: those of bodies, and of bores on any axis."""
    heights = {body.name: body.envelope.size[2] for body in stack.bodies if body.envelope}
    for joint in stack.joints:
        for face in joint.faces:
            if face.thread_depth is not None and heights.get(face.owner, 0.0) > 0:
                yield _thread(face.owner, joint.name, face.thread_depth, heights[face.owner])
    for part in stack.plates:
        for hole in part.holes:
            if hole.tapping and not hole.square:
                yield _thread(part.name, hole.name, hole.tapping.depth, _length_in(hole, part.stock.box))


def _thread(owner: str, feature: str, depth: float, metal: float) -> Finding:
    limit = Limit(metal, "mm", "geometry: a thread ends within its part", sense=Sense.AT_MOST)
    return advised(measured(THREAD, "thread depth in its part", owner, (feature,), depth, limit))


def _bolts_on_bodies(stack: Stack) -> Iterator[Finding]:
    """How far inside the outline of each existing body the bolts' holes of its joints lie."""
    bodies = {body.name: body.envelope for body in stack.bodies}
    for joint in stack.joints:
        wide = joint.bolts.thread.major_diameter if joint.bolts else 0.0
        for face in joint.faces if wide else ():
            envelope = bodies.get(face.owner)
            if envelope is not None and envelope.kind is not EnvelopeKind.STEP:
                yield _on_body(joint, wide, face, envelope.plan.outer)


def _on_body(joint: Joint, wide: float, face: Face, plan: Loop) -> Finding:
    """The hole that lies nearest to the edge of a body, or farthest beside it."""
    places = {spot: face.frame(0.0).to_world((x, y, 0.0))[:2] for spot, (x, y) in joint.spots.items()}
    inside = {spot: nearest(at, plan).distance * (1 if contains(plan, at) else -1) for spot, at in places.items()}
    worst = min(inside, key=lambda spot: inside[spot])
    left = inside[worst] - wide / 2
    note = "its envelope is too small, or the joint lies elsewhere on it" if left < 0 else ""
    title = "bolt's hole on its body"
    return advised(measured(BODY, title, face.owner, (joint.name, worst), left, ON_THE_BODY, note=note))


def _length_in(hole: Hole, box: Box3) -> float:
    """How far a hole's axis runs in the box round a blank, mm: no less than it runs in the blank."""
    ends = zip(hole.at, hole.direction, box[:3], box[3:], strict=True)
    return min(((high if way > 0 else low) - at) / way for at, way, low, high in ends if way)
