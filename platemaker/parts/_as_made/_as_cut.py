"""The stack with what was really cut in place of what was drawn."""

from __future__ import annotations

import math

from platemaker.parts._as_made._as_built import AsBuilt, corner_id
from platemaker.parts._as_made._as_cut_figures import growth, marked, milled, resized
from platemaker.parts._as_made._as_cut_fits import fits_as_cut
from platemaker.parts._as_made._as_cut_holes import bar_faces, drilled, plate_faces
from platemaker.parts._as_made._as_cut_strip import bent_as_cut
from platemaker.parts._as_made._measure_ids import (
    DIAMETER,
    LEFT,
    LENGTH_X,
    LENGTH_Y,
    LOWER,
    SIZE,
    THICKNESS,
    hole_id,
    measure_id,
)
from platemaker.parts._planed import corners_of, ends_of
from platemaker.parts._records._cuts import Cut, Hole, Plane, Profile, Side, Vec3
from platemaker.parts._records._figures import GRID, on_grid
from platemaker.parts._records._level import plane_through
from platemaker.parts._records._linked import linked
from platemaker.parts._records._part import Face, Joint, Kind, Part, Stack
from platemaker.parts._records._stock import PlateStock, RoundStock
from platemaker.plane import Region, moved
from platemaker.records import replace


def as_cut(stack: Stack, sheet: AsBuilt) -> tuple[Stack, tuple[str, ...]]:
    """The stack with a part as it was read, and readings that no check can be run on again, each with the reason.

    Places, sizes, depths and the thickness take what was read; what was not read is as drawn. What stands on the part
    goes up with its thickness.
    """
    part = stack.part(sheet.part)
    lost: list[str] = []
    found = {one.id for one in sheet.measures if one.reads is not None}
    made = replace(_made(part, sheet, lost), read=tuple(sorted(found.union(part.read))))
    parts = tuple(made if one.name == part.name else one for one in stack.parts)
    joints = tuple(_lying_in(_known(joint, part, sheet), made) for joint in stack.joints)
    thicker = _height(made, stack) - _height(part, stack)
    cut = fits_as_cut(replace(stack, parts=parts, joints=joints), sheet)
    return _raised(cut, made, thicker), tuple(lost)


def _made(part: Part, sheet: AsBuilt, lost: list[str]) -> Part:
    if part.strip is not None:
        return bent_as_cut(part, part.strip, sheet, lost)
    return _bar(part, part.bar, sheet) if part.bar is not None else _plate(part, sheet, lost)


def _bar(part: Part, stock: RoundStock, sheet: AsBuilt) -> Part:
    made = RoundStock(sheet.value(DIAMETER) or stock.diameter, sheet.value(LENGTH_X) or stock.length)
    thicker, longer = made.diameter - stock.diameter, made.length - stock.length
    faces = bar_faces(stock, thicker, longer)
    holes = tuple(drilled(hole, sheet, faces, thicker / 2) for hole in part.holes)
    marks = tuple(replace(mark, at=(*mark.at[:2], mark.at[2] + thicker)) for mark in part.marks)
    return replace(part, stock=made, cuts=holes, marks=marks)


def _placed(outline: Region, sheet: AsBuilt) -> Region:
    """An outline moved to where its left and its lower side read."""
    (x0, y0, _, _), (x, y) = outline.bounds, sheet.datum
    left, lower = sheet.value(measure_id(LEFT, "x")), sheet.value(measure_id(LOWER, "y"))
    dx = 0.0 if left is None else on_grid(x + left - x0)
    dy = 0.0 if lower is None else on_grid(y + lower - y0)
    return moved(outline, dx, dy) if dx or dy else outline


def _plate(part: Part, sheet: AsBuilt, lost: list[str]) -> Part:
    outline, height = part.stock.plan, part.stock.height
    found, more = resized(outline, sheet, SIZE), growth(outline, sheet, SIZE)
    if len(found) != 1:
        read = [id_ for id_ in (LENGTH_X, LENGTH_Y) if sheet.value(id_) is not None]
        lost.append(f"{', '.join(read)}: the outline would come apart")
        found, more = (outline,), (0.0, 0.0)
    found = (_placed(found[0], sheet),)
    sloping = _sloping(part, sheet)
    thick = ends_of(found[0], sloping)[1].thickness if sloping else sheet.value(THICKNESS) or height
    faces = plate_faces(part.stock, thick - height, more)
    cuts: list[Cut] = []
    for cut in part.cuts:
        if isinstance(cut, Hole):
            cuts.append(drilled(cut, sheet, faces))
        elif isinstance(cut, Profile):
            cuts.append(milled(cut, thick, sheet, lost))
        else:
            cuts.append(replace(cut, face=sloping or cut.face))
    return replace(part, stock=PlateStock(found[0], thick), cuts=tuple(cuts), marks=marked(part.marks, thick))


def _sloping(part: Part, sheet: AsBuilt) -> Plane | None:
    """The planed face through the thicknesses at the corners, as read and elsewhere as drawn, by least squares."""
    planed = part.planed
    if planed is None:
        return None
    points: list[Vec3] = []
    for spot in corners_of(part):
        read = sheet.value(corner_id(planed, spot.name))
        points.append((*spot.at, spot.thickness if read is None else read))
    near = all(abs(planed.face.at(x, y) - z) <= GRID for x, y, z in points)
    return planed.face if near else plane_through(points)


def _height(part: Part, stack: Stack) -> float:
    """How far apart a part holds what lies below and above it, mm."""
    if part.planed is None or part.planed.joint is None:
        return part.stock.height
    return part.planed.face.at(*stack.joint(part.planed.joint).middle)


def _lying_in(joint: Joint, made: Part) -> Joint:
    """A joint whose gasket or shim was read: as thick as it is."""
    if joint.name not in [mounting.joint for mounting in made.mountings[:1]]:
        return joint
    thick = made.stock.height
    if made.kind is Kind.GASKET and joint.gasket is not None:
        return replace(joint, gasket=replace(joint.gasket, thickness=thick))
    if made.kind is Kind.SHIM and joint.shim is not None:
        upper = made.planed.face if made.planed else Plane(thick, 0.0, 0.0)
        return replace(joint, shim=replace(joint.shim, thickness=thick, upper=upper))
    return joint


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
    sheets: dict[str, set[str]] = {}
    for one in stack.parts:
        if one.is_gasket_or_shim:
            sheets.setdefault(one.mountings[0].joint, set()).add(one.name)
    links = []
    held: set[str] = set()
    for joint in stack.joints:
        owners = {face.owner for face in joint.faces}
        if joint.name in own:
            # Gasket and shim lie under the upper owner, the gasket lowest; a plate carries what its upper face meets.
            above = part.is_gasket_or_shim or own[joint.name] is Side.ABOVE
            upper = {joint.upper.owner} if joint.upper is not None else set()
            over = sheets.get(joint.name, set()) if part.kind is not Kind.SHIM else set()
            held |= upper | over if above else set()
        else:
            links.append(owners | sheets.get(joint.name, set()))
    links += [{one.name, hole.over[0]} for one in stack.parts for hole in one.holes[:1] if hole.over is not None]
    return linked(held, links) - {part.name}


def _known(joint: Joint, part: Part, sheet: AsBuilt) -> Joint:
    """A joint with the spots whose holes in a part were read; the hole that places are read from is one."""
    own = [hole for hole in part.holes if hole.joint == joint.name and hole.spot]
    start = next((hole.spot for hole in own if math.dist(hole.centre, sheet.datum) < GRID), None)

    def was_read(hole: Hole) -> bool:
        return hole.spot == start or None not in [sheet.value(hole_id(hole.name, axis)) for axis in "xy"]

    read = frozenset(hole.spot for hole in own if hole.spot and was_read(hole))

    def face(one: Face | None) -> Face | None:
        if one is None or one.owner != part.name:
            return one
        return replace(one, read=read, read_sigma=sheet.sigma, read_from=start)

    return replace(joint, lower=face(joint.lower), upper=face(joint.upper))
