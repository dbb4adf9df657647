"""Holes for a fitting, sensor, plug or valve, and for countersunk heads: thread, drill, sealing face, room outside."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.catalog import StraightPort, countersunk_head, pipe_thread, straight_port, thread
from platemaker.checks._advice import advised, citations, inputs_of
from platemaker.checks._finding import Finding, Input, Limit, measured, not_checked
from platemaker.checks._fuel._fuel import across, port_of
from platemaker.formulas import npt_depth_needed, worked
from platemaker.parts import Hole, Kind, Part, Profile, Stack, Tapping
from platemaker.plane import nearest
from platemaker.resolved import resolved, thread_left

SUNK, PIPE, PORT, FACE, ROOM = "PM720", "PM980", "PM981", "PM982", "PM983"
END = ("front_end", "rear_end")


def check_fitted_holes(stack: Stack) -> Iterator[Finding]:
    """Every pipe thread, straight port and countersink of every part, but a drain's own."""
    for part in stack.parts:
        for hole in part.holes:
            if hole.is_countersunk and hole.bolt is not None and hole.tapping is None:
                yield _sunk(part, hole, hole.bolt)
            if hole.tapping is None or (part.kind is Kind.DRAIN_PLATE and hole.name == "drain"):
                continue
            end = part.kind is Kind.RAIL and hole.name in END
            port = straight_port(hole.port) if hole.port else port_of(hole.tapping.designation) if end else None
            if port is not None:
                yield from _port(part, hole, hole.tapping, port, end=end)
            elif hole.tapping.is_taper:
                yield _pipe(part, hole, hole.tapping)
            if hole.fitting is None and (hole.port or hole.tapping.is_taper):
                reason = "give `fitting`: diameter and length of what it takes"
                yield not_checked(ROOM, "room for the fitting", part.name, (hole.name,), reason)


def _sunk(part: Part, hole: Hole, bolt: str) -> Finding:
    """The cone against the head's theoretical sharp diameter: a wider one lets the head lie below the face."""
    head, cone = countersunk_head(thread(bolt)), hole.step_voids[0]
    limit = Limit(0.0, "mm", f"{head.source}, theoretical head diameter")
    deep = (cone.wide - head.head_diameter) / 2 / math.tan(math.radians(head.angle / 2))
    return measured(
        SUNK, "countersunk head below flush", part.name, (hole.name, thread(bolt).designation), deep, limit,
        points=[hole.at], inputs=[("countersink", cone.wide, "mm"), ("head", head.head_diameter, "mm"),
                                  ("angle", head.angle, "degrees")],
    )  # fmt: skip


def _pipe(part: Part, hole: Hole, tapping: Tapping) -> Finding:
    limit, inputs = pipe_limit(tapping)
    return measured(
        PIPE, "pipe thread for a fitting", part.name, (hole.name, tapping.designation),
        thread_left(part, hole, tapping), limit, points=[hole.at], inputs=inputs,
    )  # fmt: skip


def pipe_limit(tapping: Tapping) -> tuple[Limit, Sequence[Input]]:
    """Hand-tight engagement of a pipe thread, and three turns more as caution; with what they follow from."""
    pipe = pipe_thread(tapping.designation)
    needed = worked(npt_depth_needed, L_1=pipe.hand_tight_length, P=pipe.pitch)
    return Limit(pipe.hand_tight_length, "mm", f"{pipe.source}, L_1; {citations(needed)}", needed.result), inputs_of(
        needed
    )


def _port(part: Part, hole: Hole, tapping: Tapping, port: StraightPort, *, end: bool) -> Iterator[Finding]:
    """A straight port's thread and drill, and the flat round it that its spotface takes."""
    source = f"{port.source}, port {port.dash}"
    if hole.port:
        yield measured(
            PORT, "full thread of the port", part.name, (hole.name, "thread"),
            thread_left(part, hole, tapping), Limit(port.full_thread_depth, "mm", source), points=[hole.at],
        )  # fmt: skip
    if not hole.through:
        found = measured(
            PORT, "depth of the port's tap drill", part.name, (hole.name, "drill"), hole.depth,
            Limit(port.tap_drill_depth, "mm", source), points=[hole.at],
            note="" if hole.port else f"a thread of port {port.dash}: `port` in place of `thread` drills it so",
        )  # fmt: skip
        yield found if hole.port else advised(found)
    wide = across(part, hole) if end else 2 * free_face(part, hole)
    room = measured(
        FACE, "room for the port's spotface", part.name, (hole.name,), wide,
        Limit(port.spotface_diameter, "mm", source), points=[hole.at],
    )  # fmt: skip
    yield room if hole.port else advised(room)


def free_face(part: Part, hole: Hole) -> float:
    """Radius about a hole's entry that is free of the outline, of other holes and of figures on that face, mm."""
    side, at = hole.side, hole.centre
    wide = [math.dist(at, one.centre) - one.diameter_at(side) / 2 for one in part.holes
            if one is not hole and one.square and one.diameter_at(side) > 0]  # fmt: skip
    figures = [void.plan for void in resolved(part).breaking(side) if isinstance(void.cut, Profile)]
    return min([*wide, *(nearest(at, end).distance for end in (part.stock.plan, *figures))])
