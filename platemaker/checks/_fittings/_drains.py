"""Oil drains: bore, thread in the plate, the line down to the sump, and the mount that the plate pushes out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from platemaker.catalog import straight_port
from platemaker.checks._advice import advised, citations, inputs_of
from platemaker.checks._finding import Finding, Input, Limit, Sense, measured, not_checked
from platemaker.checks._fittings._fitted_holes import free_face, pipe_limit
from platemaker.formulas import angle_from_vertical, worked
from platemaker.parts import Hole, Joint, Kind, Mounting, Part, Side, Stack, Tapping, Vec3
from platemaker.plane import Loop, Region, shared_area
from platemaker.resolved import resolved_stack, thread_left
from platemaker.space import dot, sub
from platemaker.spec import DrainLineModel
from platemaker.units import said

BORE, THREAD, PORT, FACE, SLOPE, DIP, SHIFT = "PM971", "PM972", "PM973", "PM974", "PM975", "PM976", "PM977"
LEAVES = "PM978"
PRACTICE = "published turbocharger oil-drain guidance; common practice"
LEAST_BORE = (12.7, 14.2)
"""Bore of a gravity drain, mm: fail below 1/2 in, caution below the bore of a -10 hose."""
STEEP = (35.0, 15.0)
"""Angle of a drain line from the vertical, degrees: fail (older practice), caution (published)."""
LEVEL = 0.5
"""A mount that stands off by less than this, mm, is taken as set. Common practice, no source."""


def check_drains(stack: Stack) -> Iterator[Finding]:
    """Every drain plate's bore and thread, the drain line of the design, and mounts that share bolts with a plate."""
    for part in stack.parts:
        drain = next((hole for hole in part.holes if hole.name == "drain"), None)
        if part.kind is not Kind.DRAIN_PLATE or drain is None:
            continue
        line = stack.design.drain if stack.design else None
        yield _bore(stack, part, drain, line)
        if drain.tapping is not None:
            yield from _thread(part, drain, drain.tapping)
        if line is None:
            reason = "the spec's `design` has no `drain` line"
            yield not_checked(SLOPE, "drain line from the vertical", part.name, ("drain line",), reason)
        else:
            yield from _line(part, drain, line)
    for joint in stack.joints:
        if joint.shared is not None:
            yield from _shift(stack, joint)


def _bore(stack: Stack, part: Part, drain: Hole, line: DrainLineModel | None) -> Finding:
    """The narrowest of plate, opening, fitting and hose; too narrow a one fails, though another is not specified."""
    bores = {"plate": drain.diameter, **dict(_openings(stack, part, drain))}
    if drain.fitting_bore is not None:
        bores["fitting"] = drain.fitting_bore
    if line is not None and line.hose_bore is not None:
        bores["hose"] = line.hose_bore
    title, features, narrow = "bore of the drain", (drain.name,), min(bores.values())
    if drain.fitting_bore is None and narrow >= LEAST_BORE[0]:
        reason = "the oil runs through the fitting, not the tap drill: give `bore` of the drain's `fitting`"
        return not_checked(BORE, title, part.name, features, reason)
    limit = Limit(LEAST_BORE[0], "mm", PRACTICE, LEAST_BORE[1])
    inputs: list[Input] = [(f"bore of the {what}", bore, "mm") for what, bore in bores.items()]
    note = "no smaller than the outlet of the housing that it drains, which is not specified here"
    return measured(BORE, title, part.name, features, narrow, limit, points=[drain.at], inputs=inputs, note=note)


def _openings(stack: Stack, part: Part, drain: Hole) -> Iterator[tuple[str, float]]:
    """How much of the drain's bore lies over the openings of the joint behind it: the circle of that area, mm."""
    for mounting in part.mountings:
        joint = stack.joint(mounting.joint)
        if joint.ports and (mounting.side is Side.BELOW) == (drain.direction[2] < 0):
            bore = Region(Loop.circle(mounting.in_joint(drain.centre), drain.diameter / 2))
            owner = next((face.owner for face in joint.faces if face.owner != part.name), "")
            left = shared_area(bore, [port.region for port in joint.ports_of(owner)])
            yield f"opening of {joint.name}", 2 * math.sqrt(left / math.pi)


def _thread(part: Part, drain: Hole, tapping: Tapping) -> Iterator[Finding]:
    """A pipe thread's length against hand-tight engagement, or a straight port's thread, drill depth and spotface."""
    title, features = "thread of the drain in the plate", (drain.name, tapping.designation)
    left = thread_left(part, drain, tapping)
    if tapping.is_taper:
        limit, needs = pipe_limit(tapping)
        note = "below hand-tight length and three turns it seals on sealant more than on thread: weld or a boss helps"
        yield measured(THREAD, title, part.name, features, left, limit, points=[drain.at], inputs=needs, note=note)
        return
    port = straight_port(drain.port or "")
    where = f"{port.source}, port {port.dash}"
    inputs: list[Input] = [("plate", part.stock.height, "mm"), ("tap drill depth", port.tap_drill_depth, "mm")]
    limit = Limit(port.full_thread_depth, "mm", where)
    yield measured(PORT, title, part.name, features, left, limit, points=[drain.at], inputs=inputs)
    yield measured(
        FACE, "room for the port's spotface", part.name, features, 2 * free_face(part, drain),
        Limit(port.spotface_diameter, "mm", where), points=[drain.at],
        inputs=[("spotface", port.spotface_diameter, "mm")],
    )  # fmt: skip


def _line(part: Part, drain: Hole, line: DrainLineModel) -> Iterator[Finding]:
    """The leg that leans most, the leg that falls least, and the side that the line leaves on.

    A line that rises from the plate brings the oil down to it.
    """
    legs = [sub(b, a) for a, b in pairwise(line.line)]
    leaning = [worked(angle_from_vertical, x=x, y=y, z=z) for x, y, z in legs]
    worst = max(range(len(legs)), key=lambda place: leaning[place].result)
    limit = Limit(STEEP[0], "degrees", f"{citations(*leaning)}; {PRACTICE}", STEEP[1], Sense.AT_MOST)
    yield measured(
        SLOPE, "drain line from the vertical", part.name, ("drain line", f"leg {worst + 1}"), leaning[worst].result,
        limit, inputs=inputs_of(leaning[worst]),
    )  # fmt: skip
    down = 1.0 if line.line[-1][2] > line.line[0][2] else -1.0
    least = min(range(len(legs)), key=lambda place: down * legs[place][2])
    inputs: list[Input] = [(f"leg {place + 1} falls", down * z, "mm") for place, (_, _, z) in enumerate(legs)]
    yield measured(
        DIP, "drain line falls all the way", part.name, ("drain line", f"leg {least + 1}"), down * legs[least][2],
        Limit(0.0, "mm", PRACTICE, 1.0), inputs=inputs, note="oil that froths stands in a dip",
    )  # fmt: skip
    yield _leaves(part, drain, legs[0])


def _leaves(part: Part, drain: Hole, leg: Vec3) -> Finding:
    """The angle between the fitting's axis, out of the plate, and the first leg of the line."""
    x, y, z = drain.direction
    out = (-x, -y, -z)
    title, features = "drain line from the fitting's axis", (drain.name, "leg 1")
    if len(part.places) == 1:
        out = part.places[0].turn(out)
    elif part.places or not drain.square:
        return not_checked(LEAVES, title, part.name, features, f"{part.name} has no single place in the stack")
    angle = math.degrees(math.acos(max(-1.0, min(1.0, dot(out, leg) / math.hypot(*leg)))))
    limit = Limit(90.0, "degrees", "geometry; caution: published guidance, no 45 degree fittings", 45.0, Sense.AT_MOST)
    turned = "the line leaves on the other side than the fitting: turn the drain's `side` or the line"
    found = measured(
        LEAVES, title, part.name, features, angle, limit, points=[drain.at], note=turned if angle > 90 else "",
        inputs=[("fitting's axis", out, ""), ("leg 1", leg, "mm")],
    )  # fmt: skip
    return advised(found)


def _shift(stack: Stack, joint: Joint) -> Iterator[Finding]:
    """How far the plates under a shared bolt push the other machine's bracket out."""
    shared = joint.shared
    for part in stack.parts:
        mounting = part.mounting(joint.name)
        if shared is None or mounting is None or part.is_gasket_or_shim:
            continue
        side = resolved_stack(stack).joint(joint.name).side(part.name)
        holes = list(side.holes.values()) if side else []
        gap, shim = _under(stack, part, mounting, holes)
        out = part.stock.height + gap
        inputs: list[Input] = [
            ("plate", part.stock.height, "mm"), ("gasket and shim under it", gap, "mm"),
            ("of that the shim", shim, "mm"), ("shim of the mount", shared.shim, "mm"),
        ]  # fmt: skip
        name = "spaced_out" if abs(out - shared.shim) > LEVEL else "spaced_out_evenly"
        note = said(name, bracket=shared.title, out=(out, "mm"))
        limit = Limit(LEVEL, "mm", "common practice, no source", sense=Sense.AT_MOST)
        found = measured(
            SHIFT, "bracket on shared bolts is spaced out", part.name, (joint.name,), abs(out - shared.shim), limit,
            inputs=inputs, note=note, points=[hole.at for hole in holes][:1],
        )  # fmt: skip
        yield advised(found)


def _under(stack: Stack, part: Part, mounting: Mounting, holes: Sequence[Hole]) -> tuple[float, float]:
    """What gasket and shim of the joints beside a mount put under the plate there, mm, and the shim's share of it."""
    most, shim = 0.0, 0.0
    for other in part.mountings:
        if other.side is not mounting.side or other.joint == mounting.joint:
            continue
        beside = stack.joint(other.joint)
        for place in (other.in_joint(hole.centre) for hole in holes):
            gap = beside.gap_at(place)
            if gap > most:
                most, shim = gap, beside.shim.upper.at(*place) if beside.shim else 0.0
    return most, shim
