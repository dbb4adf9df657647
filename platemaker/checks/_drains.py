"""Oil drains: bore, thread in the plate, the line down to the sump, and the mount that the plate pushes out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from platemaker.catalog import pipe_thread
from platemaker.checks._advice import Input, advised, citations, inputs_of
from platemaker.checks._finding import Finding, Limit, Sense, measured, not_checked
from platemaker.checks._fuel import port_of
from platemaker.formulas import angle_from_vertical, npt_depth_needed, worked
from platemaker.parts import Hole, Joint, Kind, Part, Stack, Tapping
from platemaker.plane import Circle, nearest
from platemaker.spec import DrainLineModel
from platemaker.units import format_both

BORE, THREAD, PORT, FACE, SLOPE, DIP, SHIFT = "PM971", "PM972", "PM973", "PM974", "PM975", "PM976", "PM977"
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
        yield _bore(part, drain, line)
        if drain.tapping is not None:
            yield from _thread(part, drain, drain.tapping)
        if line is None:
            reason = "the spec's `design` tells no `drain` line"
            yield not_checked(SLOPE, "drain line from the vertical", part.name, ("drain line",), reason)
        else:
            yield from _line(part, line)
    for joint in stack.joints:
        if joint.shared is not None:
            yield from _shift(stack, joint)


def _bore(part: Part, drain: Hole, line: DrainLineModel | None) -> Finding:
    bores = [drain.diameter]
    inputs: list[Input] = [("bore of the plate", min(bores), "mm")]
    if line is not None and line.hose_bore is not None:
        bores.append(line.hose_bore)
        inputs.append(("bore of hose and fitting", line.hose_bore, "mm"))
    limit = Limit(LEAST_BORE[0], "mm", PRACTICE, LEAST_BORE[1])
    note = "no smaller than the outlet of the housing that it drains, which is not told here"
    return measured(
        BORE,
        "bore of the drain",
        part.name,
        (drain.name,),
        min(bores),
        limit,
        points=[drain.at],
        inputs=inputs,
        note=note,
    )


def _thread(part: Part, drain: Hole, tapping: Tapping) -> Iterator[Finding]:
    """A pipe thread's length against hand-tight engagement, or a straight port's thread, drill depth and spotface."""
    title, features = "thread of the drain in the plate", (drain.name, tapping.designation)
    if tapping.designation.endswith("NPT"):
        pipe = pipe_thread(tapping.designation)
        needed = worked(npt_depth_needed, L_1=pipe.hand_tight_length, P=pipe.pitch)
        limit = Limit(pipe.hand_tight_length, "mm", f"{pipe.source}, L_1; {citations(needed)}", needed.result)
        note = "below hand-tight length and three turns it seals on sealant more than on thread: weld or a boss helps"
        yield measured(
            THREAD,
            title,
            part.name,
            features,
            tapping.depth,
            limit,
            points=[drain.at],
            inputs=inputs_of(needed),
            note=note,
        )
        return
    port = port_of(tapping.designation)
    if port is None:
        yield not_checked(PORT, title, part.name, features, f"no straight port has the thread {tapping.designation}")
        return
    where = f"{port.source}, port {port.dash}"
    inputs: list[Input] = [("plate", part.stock.height, "mm"), ("tap drill depth", port.tap_drill_depth, "mm")]
    limit = Limit(port.full_thread_depth, "mm", where)
    yield measured(PORT, title, part.name, features, tapping.depth, limit, points=[drain.at], inputs=inputs)
    free = min(
        [nearest(Circle(drain.centre, 1e-6), part.stock.plan).distance]
        + [math.dist(drain.centre, hole.centre) - hole.entry_diameter / 2 for hole in part.holes if hole is not drain]
    )
    yield measured(
        FACE, "room for the port's spotface", part.name, features, 2 * free, Limit(port.spotface_diameter, "mm", where),
        points=[drain.at], inputs=[("spotface", port.spotface_diameter, "mm")],
    )  # fmt: skip


def _line(part: Part, line: DrainLineModel) -> Iterator[Finding]:
    """The leg that leans most, and the leg that falls least."""
    legs = [(b[0] - a[0], b[1] - a[1], b[2] - a[2]) for a, b in pairwise(line.line)]
    leaning = [worked(angle_from_vertical, x=x, y=y, z=z) for x, y, z in legs]
    worst = max(range(len(legs)), key=lambda place: leaning[place].result)
    limit = Limit(STEEP[0], "degrees", f"{citations(*leaning)}; {PRACTICE}", STEEP[1], Sense.AT_MOST)
    yield measured(
        SLOPE, "drain line from the vertical", part.name, ("drain line", f"leg {worst + 1}"), leaning[worst].result,
        limit, inputs=inputs_of(leaning[worst]),
    )  # fmt: skip
    least = min(range(len(legs)), key=lambda place: -legs[place][2])
    inputs: list[Input] = [(f"leg {place + 1} falls", -z, "mm") for place, (_, _, z) in enumerate(legs)]
    yield measured(
        DIP, "drain line falls all the way", part.name, ("drain line", f"leg {least + 1}"), -legs[least][2],
        Limit(0.0, "mm", PRACTICE, 1.0), inputs=inputs, note="oil that froths stands in a dip",
    )  # fmt: skip


def _shift(stack: Stack, joint: Joint) -> Iterator[Finding]:
    """How far the plates under a shared bolt push the other machine's bracket out."""
    shared = joint.shared
    for part in stack.parts:
        mounting = part.mounting(joint.name)
        if shared is None or mounting is None or part.is_gasket_or_shim:
            continue
        beside = [stack.joint(other.joint).gasket for other in part.mountings if other.side is mounting.side]
        gasket = max((sheet.thickness for sheet in beside if sheet is not None), default=0.0)
        out = part.stock.height + gasket
        inputs: list[Input] = [
            ("plate", part.stock.height, "mm"), ("gasket under it", gasket, "mm"), ("shim told", shared.shim, "mm"),
        ]  # fmt: skip
        note = f"{shared.title} moves out by {format_both(out)}"
        if abs(out - shared.shim) > LEVEL:
            note += f": shim its other side by {format_both(out)}, or set this side back by as much"
        limit = Limit(LEVEL, "mm", "common practice, no source", sense=Sense.AT_MOST)
        found = measured(
            SHIFT, "mount on shared bolts stands off", part.name, (joint.name,), abs(out - shared.shim), limit,
            inputs=inputs, note=note, points=[hole.at for hole in part.holes if hole.joint == joint.name][:1],
        )  # fmt: skip
        yield advised(found)
