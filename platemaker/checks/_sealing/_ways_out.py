"""Ways out for pressure: cuts of a plate that lead from inside a joint's opening to a face that nothing seals."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.checks._advice import advised
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._loads._seal_lines import ring_lines
from platemaker.parts import Hole, Joint, Kind, Mounting, Part, ProfileKind, Side, Stack
from platemaker.plane import Loop, Region, overlap, subtract
from platemaker.resolved import ResolvedPart, Void, resolved, resolved_stack

LEAKS, TITLE = "PM920", "way out for pressure"
TIGHT = Limit(0.0, "mm2", "geometry: what leads out of the sealed space is closed", sense=Sense.AT_MOST)
SPECK = 0.01
"""Less open area than this, mm2, is rounding."""
FLUSH = 1e-6


def check_ways_out(stack: Stack) -> Iterator[Finding]:
    """Every cut of a plate that opens from a joint's sealed space to where no joint closes it; silent without one."""
    for part in stack.parts:
        if part.kind not in (Kind.PLATE, Kind.DRAIN_PLATE):
            continue
        sealed = {side: _ports_on(stack, part, side) for side in Side}
        if any(sealed.values()):
            one = resolved(part)
            wet = _wet(one, sealed)
            closed = {side: [*sealed[side], *_covers_on(stack, part, side)] for side in Side}
            for cut in dict.fromkeys(void.cut for void in wet):
                area, where = _open_area(one, [void for void in wet if void.cut is cut], closed)
                is_own = not isinstance(cut, Hole) and cut.kind in (ProfileKind.OPENING, ProfileKind.GROOVE)
                if area > SPECK and not is_own and not (isinstance(cut, Hole) and cut.takes_fitting):
                    yield _finding(stack, part, cut.name, area, where)


def _joints_on(stack: Stack, part: Part, side: Side) -> Iterator[tuple[Joint, Mounting]]:
    for mounting in part.mountings:
        if mounting.side is side:
            yield stack.joint(mounting.joint), mounting


def _ports_on(stack: Stack, part: Part, side: Side) -> list[Region]:
    """What holds pressure in the joints on a face, in the part's plan: their openings, or all that an O-ring holds."""
    return [
        mounting.in_plan(region)
        for joint, mounting in _joints_on(stack, part, side)
        if joint.pressure != 0.0 and joint.ports
        for region in (joint.seal and ring_lines(stack, joint)) or [port.region for port in joint.ports]
    ]


def _covers_on(stack: Stack, part: Part, side: Side) -> Iterator[Region]:
    """What lies on a face round its openings: the gasket, else the part across, else the rectangle of the bolts."""
    for joint, mounting in _joints_on(stack, part, side):
        others = [(other, own) for other in stack.parts if (own := other.mounting(joint.name)) and other is not part]
        gaskets = [pair for pair in others if pair[0].is_gasket_or_shim]
        for other, own in (gaskets or others)[:1]:
            yield mounting.in_plan(own.in_joint(Region.of(other.stock.plan.outer)))
        if not others and joint.spots:
            xs, ys = zip(*joint.spots.values(), strict=True)
            wide, deep = max(max(xs) - min(xs), FLUSH), max(max(ys) - min(ys), FLUSH)
            middle = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
            yield mounting.in_plan(Region.of(Loop.rectangle(wide, deep, centre=middle)))


def _wet(one: ResolvedPart, sealed: dict[Side, list[Region]]) -> list[Void]:
    """The voids that a sealed space reaches, through others too; a thread goes with its drilled hole."""
    found = [
        void
        for side, ports in sealed.items()
        for void in one.voids
        if (mouth := one.mouth(void, side)) and any(overlap(mouth, port) for port in ports)
    ]
    known = {id(void) for void in found}
    for void in found:  # grows as it is walked
        for other in (*one.met_by(void), *one.voids_by(void.cut)):
            if id(other) not in known and _share_heights(void, other):
                known.add(id(other))
                found.append(other)
    return found


def _share_heights(a: Void, b: Void) -> bool:
    if a.upright is None or b.upright is None:
        return True
    return a.low < b.high + FLUSH and b.low < a.high + FLUSH


def _open_area(
    one: ResolvedPart, voids: Sequence[Void], closed: dict[Side, list[Region]]
) -> tuple[float, tuple[float, float, float]]:
    """The largest area with which a cut breaks a face where nothing closes it, mm2, and where."""
    best, at = 0.0, (0.0, 0.0, 0.0)
    mine = {id(void) for void in voids}
    for side in Side:
        for void in one.voids:
            mouth = one.mouth(void, side)
            if mouth is None or id(void) not in mine or void.what == "thread":
                continue
            left = subtract(mouth, *closed[side])
            area = math.fsum(region.area for region in left)
            if area > best:
                x0, y0, x1, y1 = left[0].bounds
                best, at = area, ((x0 + x1) / 2, (y0 + y1) / 2, one.blank.height if side is Side.ABOVE else 0.0)
    for void in voids:
        if void.upright is None and void.opens_aside and isinstance(void.cut, Hole):
            area = math.pi * void.cut.entry_diameter**2 / 4
            best, at = max((best, at), (area, void.cut.at))
    return best, at


def _finding(stack: Stack, part: Part, name: str, area: float, where: tuple[float, float, float]) -> Finding:
    known = next((one for one in stack.joints if part.mounting(one.name) and one.pressure), None)
    if stack.design is None and known is None:
        reason = "it leads out of the sealed space, and the spec has no `design` with the pressures"
        return not_checked(LEAKS, TITLE, part.name, (name,), reason)
    cut = part.cut(name)
    screwed = isinstance(cut, Hole) and (cut.joint is not None or resolved_stack(stack).bolt_in(part.name, name))
    if screwed:
        note = "a screw stands in it: seal its thread or its head, or end the hole before the sealed space"
        return advised(measured(LEAKS, TITLE, part.name, (name,), area, TIGHT, points=[where], note=note))
    note = "nothing closes it: end it before the sealed space, or give it a `pipe_thread` or a `port`"
    return measured(LEAKS, TITLE, part.name, (name,), area, TIGHT, points=[where], note=note)
