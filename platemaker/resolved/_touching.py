"""Cuts that touch: a wall of no thickness, where the solid would touch itself along a line or in a point."""

from __future__ import annotations

import math
from collections.abc import Iterator

from platemaker.parts import Vec3
from platemaker.plane import Arc, Nearest, Place, closest_pairs, nearest, place_of
from platemaker.resolved._blank import Blank, BlankFace
from platemaker.resolved._part import ResolvedPart
from platemaker.resolved._stacked import FLUSH, TOUCHING, is_tip, stacked
from platemaker.resolved._voids import Bored, Tool, Upright, Void
from platemaker.space import Cylinder, along, apart, cross, dot, midpoint, near_pairs, sub


def touching(one: ResolvedPart) -> Iterator[tuple[Void, Void | BlankFace]]:
    """Voids that touch each other or a face of the blank without overlapping.

    Cuts that end in one plane do not touch: between them is nothing, and they open into each other. Nor do the rims of
    two mouths: under them there is metal.
    """
    yield from _upright(one)
    yield from _to_blank(one)
    yield from _in_space(one)


def _upright(one: ResolvedPart) -> Iterator[tuple[Void, Void]]:
    found = [(void, void.upright) for void in one.voids if void.upright is not None and void.what != "thread"]
    grown = max((shape.widens for _, shape in found), default=0.0)
    for i, j, way in closest_pairs([shape.shape for _, shape in found], 2 * grown + TOUCHING + FLUSH):
        (a, first), (b, other) = found[i], found[j]
        if a.cut is not b.cut and _touch(first, other, way, one.blank.height):
            yield a, b


def _touch(a: Upright, b: Upright, way: Nearest, height: float) -> bool:
    if a.profile is None and b.profile is None and abs(way.distance) > TOUCHING:
        return False
    found = stacked(a, b, way)
    if abs(found.distance) > TOUCHING:
        return False
    levels = [point[2] for point in found.points]
    if found.above:
        apart = min(way.distance - a.growth(z) - b.growth(z) for z in levels)
        return apart > -TOUCHING or any(is_tip(shape, z) for shape in (a, b) for z in levels)
    return a.profile is b.profile is None or all(FLUSH < z < height - FLUSH for z in levels)


def _to_blank(one: ResolvedPart) -> Iterator[tuple[Void, BlankFace]]:
    """Upright voids beside the outline, drill points and floors at a face, and voids on other axes at any face."""
    for void in one.voids:
        if void.is_straight and abs(one.to_outline(void)) <= TOUCHING:
            yield void, one.blank.faces[2]
    for void in one.voids:
        if void.upright is not None and (void.is_straight or void.what in ("point", "countersink")):
            for number, left in enumerate((void.low, one.blank.height - void.high)):
                if number not in void.opens and abs(left) <= TOUCHING:
                    yield void, one.blank.faces[number]
    for wall in one.at_faces:
        if wall.face.is_flat and abs(wall.distance) <= TOUCHING:
            yield wall.void, wall.face
    for void in one.voids:
        if isinstance(void, Bored) and void.upright is None and void.what != "thread":
            yield from ((void, one.blank.faces[number]) for number in _grazed(void, one.blank))


def _grazed(void: Bored, blank: Blank) -> Iterator[int]:
    """Numbers of the round faces that a bore on another axis touches without breaking out.

    The two axes then lie the difference of the radii apart, from a hollow face their sum.
    """
    for number, edge in enumerate(blank.region.edges, 2):
        if not isinstance(edge, Arc) or not isinstance(void.tool, Cylinder):
            continue
        across = cross(void.tool.axis, blank.frame.z_axis)
        size = math.hypot(*across)
        if size <= TOUCHING:
            continue
        off = sub(void.tool.start, blank.frame.to_world((*edge.centre, 0.0)))
        apart = dot(off, across) / size
        out = 1.0 if (apart >= 0.0) == edge.ccw else -1.0
        gap = edge.radius - abs(apart) - void.tool.radius if edge.ccw else abs(apart) - void.tool.radius - edge.radius
        if abs(gap) > TOUCHING:
            continue
        # The foot on the bore's axis of the common perpendicular, and from it to the bore's side.
        normal = cross(blank.frame.z_axis, across)
        far = -dot(off, normal) / dot(void.tool.axis, normal)
        at = along(along(void.tool.start, far, void.tool.axis), out * void.tool.radius / size, across)
        on_it = -TOUCHING <= far <= void.tool.length + TOUCHING
        if on_it and _holds(blank, at) and nearest(blank.frame.to_local(at)[:2], edge).distance <= 2 * TOUCHING:
            yield number


def _in_space(one: ResolvedPart) -> Iterator[tuple[Void, Void]]:
    voids = [void for void in one.voids if void.what != "thread"]
    if all(void.upright is not None for void in voids):
        return

    def wanted(i: int, j: int) -> bool:
        return voids[i].cut is not voids[j].cut and (voids[i].upright is None or voids[j].upright is None)

    for i, j in near_pairs([void.tool for void in voids], TOUCHING, wanted):
        # An overlap that is gone when one of the two is a little smaller is none; how deep it is would take longer.
        a, b = voids[i].tool, voids[j].tool
        found = apart(a, b) or (apart(_shrunk(a), b) if isinstance(a, Cylinder) else apart(a, _shrunk(b)))
        if found is None or found.distance > 2 * TOUCHING:
            continue
        if _holds(one.blank, midpoint(found.point_a, found.point_b)):
            yield voids[i], voids[j]


def _shrunk(tool: Tool) -> Tool:
    """A bore smaller all round by what is no wall; other figures are left as they are, since one of two is a bore."""
    if not isinstance(tool, Cylinder) or min(tool.radius, tool.length / 2) <= 2 * TOUCHING:
        return tool
    ends = along(tool.start, TOUCHING, tool.axis), along(tool.end, -TOUCHING, tool.axis)
    return Cylinder(*ends, tool.radius - TOUCHING)


def _holds(blank: Blank, point: Vec3) -> bool:
    x, y, z = blank.frame.to_local(point)
    return -TOUCHING <= z <= blank.height + TOUCHING and place_of((x, y), blank.region, TOUCHING) is not Place.OUTSIDE
