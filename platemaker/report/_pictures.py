"""Which picture shows a finding, and where in the stack it lies."""

from __future__ import annotations

import math

from platemaker.checks import Finding
from platemaker.parts import Hole, Part, Stack
from platemaker.records import Record, replace
from platemaker.views import (
    Sheet,
    WallMark,
    above,
    close_section_svg,
    cuts_named,
    overview_svg,
    seen,
    upright,
    zoom_svg,
)

ALONG_A_HOLE = frozenset(
    {
        *("PM302", "PM303", "PM304", "PM308", "PM503", "PM523", "PM720", "PM905", "PM906", "PM907"),
        *("PM963", "PM964", "PM972", "PM973", "PM980", "PM981", "PM984", "PM985"),
    }
)
"""Checks of a depth, a thread or a bolt's length: a section along the hole shows them, a circle in plan does not."""

_OF_THE_HOLE = frozenset({"PM304", "PM503"})
"""Those whose measured number is the depth of the hole itself."""

Point = tuple[float, float, float]


class StackSpot(Record):
    """A place in the stack, mm, on the part or body `owner`."""

    owner: str
    at: Point


def picture_of(part: Part, finding: Finding, unit: str, identity: str) -> str:
    """The picture that shows a finding best: close round its place, or the whole plan where it has none."""
    sheet = Sheet(identity)
    if finding.check in ALONG_A_HOLE and (hole := _hole_named(part, finding)) is not None:
        return close_section_svg(part, replace(finding, points=_along(hole, finding)), unit=unit, sheet=sheet)
    if upright(finding):
        return close_section_svg(part, finding, unit=unit, sheet=sheet)
    if finding.points:
        return zoom_svg(part, seen(finding, above), unit=unit, sheet=sheet)
    hole = _hole_named(part, finding)
    if hole is not None:
        return zoom_svg(part, WallMark(finding, (hole.centre,)), unit=unit, sheet=sheet)
    return overview_svg(part, finding, unit=unit, sheet=sheet)


def pictured(stack: Stack, finding: Finding) -> Part | None:
    """The part that a finding's picture shows: its own, or for one about a body the part whose cut it names."""
    own = stack.find_part(finding.part)
    if own is not None or finding.points:
        return own  # points in a body's frame would fall anywhere on a part
    return next((part for part in stack.parts if cuts_named(part, finding.features)), None)


def spot_of(stack: Stack, finding: Finding) -> StackSpot | None:
    """Where in the stack a finding lies: in the middle of its points, else on the cuts or the joint that it names."""
    part = pictured(stack, finding)
    if part is not None:
        return StackSpot(part.name, part.places[0].to_world(_middle_of(part, finding))) if part.places else None
    body = next((one for one in stack.bodies if one.name == finding.part), None)
    if body is None or body.place is None:
        return None
    high = body.envelope.size[2] / 2 if body.envelope else 0.0
    return StackSpot(body.name, body.place.to_world(_mean(finding.points) if finding.points else (0.0, 0.0, high)))


def _middle_of(part: Part, finding: Finding) -> Point:
    if finding.points:
        return _mean(finding.points)
    hole = _hole_named(part, finding)
    if hole is not None:
        return hole.at
    of_joint = [hole.at for hole in part.holes if hole.joint and hole.joint in finding.features]
    if of_joint:
        return of_joint[0]
    box = part.stock.box
    return _mean((box[:3], box[3:]))


def _hole_named(part: Part, finding: Finding) -> Hole | None:
    named = cuts_named(part, finding.features)
    return next((hole for hole in part.holes if hole.name in named), None)


def _along(hole: Hole, finding: Finding) -> tuple[Point, Point]:
    """The ends on the hole's axis of what was measured, or of the whole hole where that is no depth of its own."""
    whole = hole.depth
    deep = whole
    if finding.measured is not None and (finding.check in _OF_THE_HOLE or not hole.through):
        wide = hole.tapping.major_diameter if hole.tapping else hole.diameter
        unit = {"mm": 1.0, "diameters": wide}.get(finding.unit)
        deep = min(whole, finding.measured * unit) if unit else whole
    return hole.point(0.0), hole.point(deep if deep > 0 else whole)


def _mean(points: tuple[Point, ...]) -> Point:
    x, y, z = (math.fsum(values) / len(points) for values in zip(*points, strict=True))
    return x, y, z
