"""Room round the belt: every span with its whip and every pulley against everything else in the stack."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from platemaker.checks._finding import Finding, Limit, measured
from platemaker.checks._stack._clearance import clearance_limit, nearest_of
from platemaker.checks._stack._near import Near
from platemaker.checks._stack._stack_items import Contents, ItemKind, StackItem
from platemaker.parts import Stack, Vec3
from platemaker.plane import BeltPath, Line, Loop, Region
from platemaker.resolved import ResolvedBelt, resolved_stack
from platemaker.space import Cylinder, Frame, Prism, along, box_gap, dot
from platemaker.units import said

ROOM = "PM988"
FAR = 1000.0
"""What is farther away than this, mm, is not looked at."""


def check_belt_room(stack: Stack, contents: Contents) -> Iterator[Finding]:
    """The nearest of everything to each span, wherever the idler is set, and to each pulley."""
    belt = resolved_stack(stack).belt
    if belt is None:
        return
    limit = Limit(belt.belt.clearance, "mm", "the spec, belt.clearance, or common practice, no source")
    stops = [one for one in (belt.fitted.at, belt.fitted.loose, belt.fitted.taken_up) if one is not None]
    paths = [belt.belt.path(by) for by in dict.fromkeys(stops)]
    for place in range(len(belt.pulleys)):
        spans = [_span(belt, path, path.spans[place]) for path in paths]
        yield from _nearest(stack, spans, contents, limit, "room round the belt", frozenset())
    bare = clearance_limit(stack)
    for place, pulley in enumerate(belt.pulleys):
        own = frozenset((pulley.owner,))
        yield from _nearest(stack, [_pulley(belt, place)], contents, bare, "room round a pulley", own)


def _nearest(
    stack: Stack, mine: Sequence[StackItem], contents: Contents, limit: Limit, title: str, own: frozenset[str]
) -> Iterator[Finding]:
    best: Near | None = None
    others = [one for one in contents.items if one.figures and one.owner not in own]
    for one, other in sorted(product(mine, others), key=lambda pair: box_gap(pair[0].box, pair[1].box)):
        if best is not None and box_gap(one.box, other.box) > best.distance:
            break  # of the rest none is nearer: neither its figures nor their boxes
        best = nearest_of(one, other, best.distance if best else FAR) or best
    if best is None:
        note = said("nothing_within", far=(FAR, "mm"))
        yield measured(ROOM, title, stack.parts[0].name, ("belt", mine[0].name), FAR, limit, note=note)
        return
    yield best.finding(stack, ROOM, title, limit)


def _span(belt: ResolvedBelt, path: BeltPath, span: Line) -> StackItem:
    """A span of the belt as a box: its thickness in the belt's plane, its width across."""
    section, frame, wide = belt.belt.section, belt.belt.frame, belt.belt.width
    u = span.tangent(0.0)
    outer = -path.wheels[0].sign  # the belt's back lies to the right of a belt that runs counter-clockwise
    across = (-outer * u[1], outer * u[0])
    low = along(frame.to_world((*span.start, 0.0)), -wide / 2, frame.z_axis)
    origin = along(low, -(section.height - section.back), frame.turn((*across, 0.0)))
    x, y = frame.turn((*u, 0.0)), frame.turn((*across, 0.0))
    height = section.height
    region = Region.of(Loop.rectangle(span.length, height, centre=(span.length / 2, height / 2)))
    box = Frame(origin, x, y)
    if dot(box.z_axis, frame.z_axis) < 0:
        box = Frame(along(origin, wide, frame.z_axis), x, y)
    name = f"belt, {span.tag}"
    return StackItem(name, "belt", name, ItemKind.FITTING, (Prism(region, box, wide),))


def _pulley(belt: ResolvedBelt, place: int) -> StackItem:
    """A pulley with the belt on it, as wide as its rim or, where that is not stated, as the belt."""
    pulley, section = belt.pulleys[place], belt.belt.section
    on = section.height - section.back if pulley.back else section.back
    centre: Vec3 = belt.centre(place)
    half = (pulley.width or belt.belt.width) / 2
    figure = Cylinder(along(centre, -half, pulley.axis), along(centre, half, pulley.axis), pulley.radius + on)
    name = f"pulley {pulley.name}"
    return StackItem(name, name, name, ItemKind.FITTING, (figure,))
