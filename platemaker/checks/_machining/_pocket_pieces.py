"""The pieces of maximized pockets: places that the cutter cannot come to, and pieces that it can only plunge into."""

from __future__ import annotations

from collections.abc import Iterator

from platemaker.checks._advice import advised
from platemaker.checks._finding import EQUAL, Finding, Limit, Sense, Verdict, measured
from platemaker.parts import Part, Profile, Stack, bent_point
from platemaker.plane import OpenedPocket, Region, least_box, measures
from platemaker.records import replace
from platemaker.resolved import resolved
from platemaker.units import said

LEFT_OUT, PLUNGE = "PM506", "PM507"

WHOLE = Limit(0.0, "mm2", "geometry: a cutter of this size goes in one path from its start", sense=Sense.AT_MOST)
ROOM_TO_RAMP = Limit(1.1, "cutter diameters", "common practice, no source")
"""Least length of a piece that an end mill can ramp into instead of plunging."""


def check_pocket_pieces(stack: Stack) -> Iterator[Finding]:
    """For every maximized pocket and opening: what it leaves out, and its pieces as long as they are."""
    for part in stack.parts:
        flat = resolved(part).flat
        for profile in flat.profiles:
            if profile.opened is None:
                continue
            lost = _left_out(flat, profile, profile.opened, _beginning(part, profile.name))
            for found in (*lost, *_plunges(flat, profile, profile.opened)):
                yield replace(found, points=tuple(bent_point(part, point) for point in found.points))


def _beginning(part: Part, name: str) -> float:
    """Where the leg that a bracket's pocket lies in begins in the flat pattern, mm; 0 for any other part."""
    bent, cut = resolved(part).bent, part.cut(name)
    return bent.starts[cut.leg] if bent is not None and isinstance(cut, Profile) and cut.leg is not None else 0.0


def _left_out(part: Part, profile: Profile, opened: OpenedPocket, beginning: float) -> Iterator[Finding]:
    """Every place that the cutter fits into and cannot come to; `beginning` is where the spec counts X from."""
    title, count = "place left out of a maximized pocket", len(opened.regions)
    inputs = [("pieces", float(count), ""), ("area", opened.area, "mm2")]
    lost = [one for one in opened.dropped if one.area > EQUAL]
    if not lost:
        note = said("pieces" if count > 1 else "piece", area=(opened.area, "mm2"), pieces=(count, ""))
        yield measured(LEFT_OUT, title, part.name, (profile.name,), 0.0, WHOLE, note=note, inputs=inputs)
    origin = "the opening" if isinstance(opened.request.start, Region) else "the start"
    for one in lost:
        x, y = one.start
        note = said("not_reached", origin=origin, start=((x - beginning, y), "mm"))
        found = measured(
            LEFT_OUT, title, part.name, (profile.name,), one.area, WHOLE,
            points=[(x, y, part.face_height(profile.side))], note=note, inputs=inputs,
        )  # fmt: skip
        yield advised(found)


def _plunges(part: Part, profile: Profile, opened: OpenedPocket) -> Iterator[Finding]:
    """Every piece that is too short to ramp into; where there is none, the shortest."""
    found = [_piece(part, profile, region, 2 * opened.request.cutter_radius) for region in opened.regions]
    short = [one for one in found if one.verdict is Verdict.CAUTION]
    for one in short:
        yield replace(
            one, note="the cutter can only plunge there: it takes a centre-cutting end mill or a drilled hole"
        )
    if not short:
        yield min(found, key=lambda one: one.measured or 0.0)


def _piece(part: Part, profile: Profile, region: Region, cutter: float) -> Finding:
    """A piece by the longer side of the least box round it, whichever way it lies."""
    box, (x, y) = least_box([region]), measures(region).centroid
    long = max(box.width, box.height)
    found = measured(
        PLUNGE, "length of a pocket's piece", part.name, (profile.name,), long / cutter, ROOM_TO_RAMP,
        points=[(x, y, part.face_height(profile.side))],
        inputs=[("length", long, "mm"), ("cutter diameter", cutter, "mm"), ("area", region.area, "mm2")],
    )  # fmt: skip
    return advised(found)
