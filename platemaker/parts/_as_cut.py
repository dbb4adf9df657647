"""The stack with what was really cut in place of what was drawn."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from platemaker.parts._as_built import AsBuilt
from platemaker.parts._cuts import Cut, Hole, Operation, Planed, Side
from platemaker.parts._figures import GRID, on_grid
from platemaker.parts._linked import linked
from platemaker.parts._part import Face, Joint, Kind, Part, Stack
from platemaker.parts._stock import PlateStock
from platemaker.plane import Arc, Edge, Line, Loop, Point, Region


def as_cut(stack: Stack, sheet: AsBuilt) -> tuple[Stack, tuple[str, ...]]:
    """The stack with a part as it was read, and the ids of readings that no check can be run on again.

    Places, sizes, depths and the thickness take what was read; what stands on the part goes up with its thickness.
    """
    part = stack.part(sheet.part)
    if not isinstance(part.stock, PlateStock):
        return stack, tuple(one.id for one in sheet.measures if sheet.value(one.id) is not None)
    lost: list[str] = []
    thick = sheet.value("thickness") or part.stock.thickness
    outline = part.stock.region
    if all(hole.square for hole in part.holes):
        outline = _stretched(outline, sheet, "size", lost)
    else:  # bores that begin at its ends would be left standing
        lost += [id_ for id_ in ("size.x", "size.y", "size.diameter") if sheet.value(id_) is not None]
    cuts = tuple(_cut(cut, part.stock.thickness, thick, sheet, lost) for cut in part.cuts)
    marks = tuple(replace(mark, at=(*mark.at[:2], thick)) if mark.at[2] > 0 else mark for mark in part.marks)
    made = replace(part, stock=PlateStock(outline, thick), cuts=cuts, marks=marks)
    parts = tuple(made if one.name == part.name else one for one in stack.parts)
    joints = tuple(_known(joint, part, sheet) for joint in stack.joints)
    return _raised(replace(stack, parts=parts, joints=joints), made, thick - part.stock.thickness), tuple(lost)


def _raised(stack: Stack, part: Part, by: float) -> Stack:
    """What a part carries on its upper face, directly or by way of other joints, moved up by what it is thicker."""
    if abs(by) < 1e-9 or len(part.places) != 1:
        return stack
    u, v, w = part.places[0].z_axis
    shift = (by * u, by * v, by * w)
    carried = _carried(stack, part)
    parts = tuple(
        replace(one, places=tuple(place.moved(shift) for place in one.places)) if one.name in carried else one
        for one in stack.parts
    )
    bodies = tuple(
        replace(one, place=one.place.moved(shift)) if one.name in carried and one.place is not None else one
        for one in stack.bodies
    )
    return replace(stack, parts=parts, bodies=bodies)


def _carried(stack: Stack, part: Part) -> set[str]:
    own = {mounting.joint: mounting.side for mounting in part.mountings}
    loose = (Kind.GASKET, Kind.SHIM)
    sheets: dict[str, set[str]] = {}
    for one in stack.parts:
        if one.kind in loose:
            sheets.setdefault(one.mountings[0].joint, set()).add(one.name)
    links = []
    held: set[str] = set()
    for joint in stack.joints:
        owners = {face.owner for face in (joint.lower, joint.upper) if face is not None}
        if joint.name in own:
            # Gasket and shim lie under the upper owner, the gasket lowest; a plate carries what its upper face meets.
            above = part.kind in loose or own[joint.name] is Side.ABOVE
            upper = {joint.upper.owner} if joint.upper is not None else set()
            over = sheets.get(joint.name, set()) if part.kind is not Kind.SHIM else set()
            held |= upper | over if above else set()
        else:
            links.append(owners | sheets.get(joint.name, set()))
    links += [{one.name, hole.over[0]} for one in stack.parts for hole in one.holes[:1] if hole.over is not None]
    return linked(held, links) - {part.name}


def _known(joint: Joint, part: Part, sheet: AsBuilt) -> Joint:
    """A joint with the spots whose holes in a part were read; the hole that places are read from is one."""

    def was_read(hole: Hole) -> bool:
        places = [sheet.value(f"hole.{hole.name}.{axis}") for axis in "xy"]
        return math.dist(hole.centre, sheet.datum) < GRID or None not in places

    read = frozenset(hole.spot for hole in part.holes if hole.joint == joint.name and hole.spot and was_read(hole))

    def face(one: Face | None) -> Face | None:
        return replace(one, read=read) if one is not None and one.owner == part.name else one

    return replace(joint, lower=face(joint.lower), upper=face(joint.upper))


def _cut(cut: Cut, drawn: float, thick: float, sheet: AsBuilt, lost: list[str]) -> Cut:
    if isinstance(cut, Hole):
        return _hole(cut, drawn, thick, sheet)
    if isinstance(cut, Planed):
        return cut
    many = len(cut.regions) > 1
    regions = tuple(
        _stretched(region, sheet, f"cut.{cut.name}" + (f".{number}" if many else ""), lost)
        for number, region in enumerate(cut.regions, 1)
    )
    depth = thick if cut.through else sheet.value(f"cut.{cut.name}.depth") or cut.depth
    return replace(cut, regions=regions, depth=depth)


def _hole(hole: Hole, drawn: float, thick: float, sheet: AsBuilt) -> Hole:
    id_, (x, y, z) = f"hole.{hole.name}", hole.at
    read_x, read_y = sheet.value(f"{id_}.x"), sheet.value(f"{id_}.y")
    at = (
        x if read_x is None else on_grid(sheet.datum[0] + read_x),
        y if read_y is None else on_grid(sheet.datum[1] + read_y),
        z + thick - drawn if z >= drawn - 1e-9 else z,
    )
    steps, start = [], 0.0
    for number, step in enumerate(hole.steps, 1):
        last = number == len(hole.steps)
        word = "counterbore." if step.operation is Operation.COUNTERBORE else f"step_{number}."
        key = f"{id_}." + ("" if last else word)
        end = on_grid(step.end + thick - drawn) if last and hole.through else sheet.value(f"{key}depth") or step.end
        wide = step.diameter if last and hole.tapping else sheet.value(f"{key}diameter") or step.diameter
        steps.append(replace(step, diameter=wide, start=start, end=end))
        start = end
    tapping = hole.tapping
    if tapping is not None and (deep := sheet.value(f"{id_}.thread_depth")) is not None:
        tapping = replace(tapping, depth=deep)
    return replace(hole, at=at, steps=tuple(steps), tapping=tapping)


def _stretched(region: Region, sheet: AsBuilt, id_: str, lost: list[str]) -> Region:
    """A figure as wide and as high as it reads: a circle by its diameter, else both halves moved apart."""
    circle = region.outer.as_circle()
    if circle is not None and not region.holes:
        wide = sheet.value(f"{id_}.diameter")
        return region if wide is None else Region.of(Loop.circle(circle.centre, wide / 2, region.outer.edges[0].tag))
    x0, y0, x1, y1 = region.bounds
    for axis, letter, nominal, middle in ((0, "x", x1 - x0, (x0 + x1) / 2), (1, "y", y1 - y0, (y0 + y1) / 2)):
        read = sheet.value(f"{id_}.{letter}")
        if read is None or abs(read - nominal) < 1e-9:
            continue
        apart = _apart(axis, middle, (read - nominal) / 2)
        if any(_straddles(edge, axis, middle) for edge in region.edges):
            lost.append(f"{id_}.{letter}")
        else:
            region = Region(_moved(region.outer, apart), tuple(_moved(loop, apart) for loop in region.holes))
    return region


def _apart(axis: int, middle: float, by: float) -> Callable[[Point], Point]:
    def rule(point: Point) -> Point:
        shift = by if point[axis] > middle else -by
        return (point[0] + shift, point[1]) if axis == 0 else (point[0], point[1] + shift)

    return rule


def _straddles(edge: Edge, axis: int, middle: float) -> bool:
    """Whether a piece has parts on both sides of the middle that moving them apart would bend."""
    sides = {edge.start[axis] > middle, edge.end[axis] > middle}
    if isinstance(edge, Arc):
        return len(sides | {edge.centre[axis] > middle, edge.point(0.5)[axis] > middle}) > 1
    across = abs(edge.end[1 - axis] - edge.start[1 - axis])
    return len(sides) > 1 and across > 1e-9


def _moved(loop: Loop, rule: Callable[[Point], Point]) -> Loop:
    edges: list[Edge] = []
    for edge in loop.edges:
        if isinstance(edge, Arc):
            edges.append(replace(edge, start=rule(edge.start), end=rule(edge.end), centre=rule(edge.centre)))
        else:
            edges.append(Line(rule(edge.start), rule(edge.end), edge.tag))
    return Loop(tuple(edges))
