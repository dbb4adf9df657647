"""The slot that a belt's idler is set along, cut in the plate that it is on, as long as the belt needs."""

from __future__ import annotations

import math
from collections.abc import Sequence

from platemaker.errors import SpecError
from platemaker.parts._records._belt import Belt, Pulley
from platemaker.parts._records._cuts import Profile, ProfileKind, Side
from platemaker.parts._records._figures import on_grid
from platemaker.parts._records._part import Part
from platemaker.plane import Arc, Loop, Point, Region
from platemaker.records import replace
from platemaker.spec import ProjectSpec


def with_slot(parts: Sequence[Part], belt: Belt | None, spec: ProjectSpec) -> tuple[Part, ...]:
    """The parts, with the idler's slot cut in its plate where the spec gives the slot's width.

    Raises SpecError for a slot in what is no plate, or in a plate that does not lie in the belt's plane.
    """
    place = belt.mover if belt else None
    if belt is None or place is None:
        return tuple(parts)
    pulley = belt.pulleys[place]
    setting = pulley.setting
    if setting is None or setting.width is None:
        return tuple(parts)
    key = f"{pulley.key}.{'slot' if setting.way is not None else 'arm'}.width"
    where = spec.where(*key.split("."))
    part = next((one for one in parts if one.name == pulley.owner), None)
    if part is None or part.plate is None or len(part.places) != 1:
        problem = f"the slot of pulley {pulley.name} needs a plate to be cut in"
        raise SpecError(
            problem, where=where, met=pulley.owner or "the stack", allowed="`mounted_on` a plate with one place"
        )
    if not pulley.is_square_to(part.places[0]):
        problem = f"plate {part.name} does not lie in the belt's plane: no slot for {pulley.name}"
        raise SpecError(problem, where=where, allowed="a plate square to the pulley's axis")
    cut = Profile(
        f"{pulley.name}_slot", ProfileKind.SLOT, (Region.of(_figure(belt, pulley, part)),), Side.ABOVE,
        part.stock.height, True, setting.cutter, key=key,
    )  # fmt: skip
    return tuple(replace(one, cuts=(*one.cuts, cut)) if one is part else one for one in parts)


def _figure(belt: Belt, pulley: Pulley, part: Part) -> Loop:
    setting, fitted = pulley.setting, belt.fitted
    if setting is None or fitted is None or setting.width is None:
        message = f"pulley {pulley.name} has no slot"
        raise ValueError(message)
    stops = [one for one in (fitted.loose, fitted.at, fitted.taken_up) if one is not None]
    low, high = setting.travel or (min(stops), max(stops))
    ends = [_in_plan(belt, pulley, part, by) for by in (low, high)]
    name = f"{pulley.name}_slot"
    if setting.way is not None:
        (x0, y0), (x1, y1) = ends
        middle = on_grid((x0 + x1) / 2), on_grid((y0 + y1) / 2)
        angle = math.degrees(math.atan2(y1 - y0, x1 - x0))
        return Loop.slot(on_grid(math.dist(*ends) + setting.width), setting.width, middle, angle, name)
    pivot = part.places[0].to_local(belt.frame.to_world((*(setting.pivot or (0.0, 0.0)), 0.0)))
    return _arc_slot((pivot[0], pivot[1]), ends, setting.width / 2, name)


def _in_plan(belt: Belt, pulley: Pulley, part: Part, by: float) -> Point:
    """The pulley's middle in its plate's plan, with the setting at `by`."""
    at, before = belt.in_plane(pulley.centre)
    x, y = pulley.setting.moved(at, by) if pulley.setting else at
    u, v, _ = part.places[0].to_local(belt.frame.to_world((x, y, before)))
    return u, v


def _arc_slot(pivot: Point, ends: Sequence[Point], half: float, name: str) -> Loop:
    """A slot along an arc about a pivot, round at both ends, counter-clockwise."""
    first, last = (math.atan2(y - pivot[1], x - pivot[0]) for x, y in ends)
    if (last - first) % math.tau > math.pi:
        first, last, ends = last, first, [ends[1], ends[0]]
    radius = math.dist(ends[0], pivot)

    def point(angle: float, out: float) -> Point:
        return pivot[0] + out * math.cos(angle), pivot[1] + out * math.sin(angle)

    outer, inner = radius + half, radius - half
    a, b, c, d = point(first, outer), point(last, outer), point(last, inner), point(first, inner)
    middle = [point(first, radius), point(last, radius)]
    return Loop(
        (
            Arc(a, b, pivot, outer, True, name), Arc(b, c, middle[1], half, True, name),
            Arc(c, d, pivot, inner, False, name), Arc(d, a, middle[0], half, True, name),
        )
    )  # fmt: skip
