"""From voids to the faces of their blank: the metal left towards each face that a void does not open into."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from platemaker.parts import Vec3
from platemaker.plane import Circle, Loop, Nearest, Region, wall_between, walls_inside
from platemaker.resolved._blank import Blank, Face
from platemaker.resolved._voids import Bored, Void
from platemaker.space import Box3, Disc, Prism, Separation, bounding_box, least_within, pieces_in, separation

CAPS = 2
"""Faces of a lower number are the ends of a blank."""
MEET = 1e-7
"""A void that comes nearer to a face than this, mm, reaches it."""


@dataclass(frozen=True)
class ToFace:
    """Metal between a void and a face, mm, below 0 how far the void reaches out there, and where it is measured."""

    void: Void
    face: Face
    distance: float
    points: tuple[Vec3, Vec3]


def cap_walls(voids: Sequence[Void], blank: Blank) -> Iterator[ToFace]:
    """From the ends of upright voids to the ends of their blank. Threads and mouths end in other voids, in no floor."""
    for void in voids:
        one = void.upright
        if one is None or void.what in ("thread", "mouth"):
            continue
        for number, (near, end) in enumerate(((one.low, 0.0), (one.high, blank.height))):
            if number not in void.opens:
                at = one.shape.centre if isinstance(one.shape, Circle) else one.shape.outer.edges[0].start
                distance = near - end if number == 0 else end - near
                points = blank.frame.to_world((*at, near)), blank.frame.to_world((*at, end))
                yield ToFace(void, blank.faces[number], distance, points)


def edge_walls(voids: Sequence[Void], blank: Blank) -> Iterator[ToFace]:
    """From upright voids to what is round their blank. A drill point lies in line with its hole, which is wider."""
    upright = [(void, void.upright) for void in voids if void.upright is not None and void.what != "point"]
    side = _Side(blank)
    for (void, one), way in zip(upright, walls_inside([one.shape for _, one in upright], blank.region), strict=True):
        z, grown = one.high, one.widens
        if grown:
            z = one.low if one.growth(one.low) > one.growth(one.high) else one.high
        yield side.wall(void, way, grown, z)


class _Side:
    """What is round a blank, as one face: walls to it are told once for each void."""

    def __init__(self, blank: Blank) -> None:
        self.frame, self.face = blank.frame, blank.faces[2]

    def wall(self, void: Void, way: Nearest, grown: float, z: float) -> ToFace:
        """A wall between plans, less what the void has grown."""
        share = grown / math.dist(way.a, way.b) if way.distance > grown else 0.0
        at = tuple(a + share * (b - a) for a, b in zip(way.a, way.b, strict=True))
        points = self.frame.to_world((at[0], at[1], z)), self.frame.to_world((*way.b, z))
        return ToFace(void, self.face, way.distance - grown, points)


def slanted_walls(voids: Sequence[Void], blank: Blank) -> Iterator[ToFace]:
    """From voids on any other axis to every face, within the blank only."""
    boxes = [bounding_box(face.figure) for face in blank.faces]
    for void in voids:
        if isinstance(void, Bored) and void.upright is None:
            yield from _of_slanted(void, blank, boxes)
    seen: set[str] = set()
    for void in voids:
        if isinstance(void, Bored) and void.upright is None and void.cut.name not in seen:
            seen.add(void.cut.name)
            yield from _beside_mouths(void, voids, blank)


def _of_slanted(void: Bored, blank: Blank, boxes: Sequence[Box3]) -> Iterator[ToFace]:
    around, found = bounding_box(void.tool), dict[str, ToFace]()
    reached: dict[int, ToFace] = {}
    order = sorted(blank.faces, key=lambda face: _gap(boxes[face.number], around))
    for face in order:
        least = found.get(face.name)
        if face.number in void.opens or (least is not None and _gap(boxes[face.number], around) >= least.distance):
            continue
        wall = _to_face(void, face, blank)
        if wall.distance <= MEET:
            reached[face.number] = wall
        elif least is None or wall.distance < least.distance:
            found[face.name] = wall
    opened = _opened(void.opens, reached, blank)
    yield from found.values()
    yield from (wall for number, wall in reached.items() if number not in opened)


def _opened(opens: frozenset[int], reached: dict[int, ToFace], blank: Blank) -> set[int]:
    """The faces that a void opens into, with those round about that its opening runs smoothly on into."""
    known, waiting = set(opens), list(opens)
    while waiting:
        for number in blank.faces[waiting.pop()].smooth:
            if number in reached and number not in known:
                known.add(number)
                waiting.append(number)
    return known


def _to_face(void: Bored, face: Face, blank: Blank) -> ToFace:
    found = separation(void.tool, face.figure)
    if found.distance <= 0.0 or not _holds(blank, found.point_a):
        inside = least_within(void.tool, face.figure, blank.prism)
        if inside.distance > MEET:
            found = inside
        else:
            if face.plane is not None:
                found = least_within(void.tool, face.plane.opposite, _opened_past(blank, face))
            found = Separation(min(found.distance, 0.0), found.point_a, found.point_b)
    return ToFace(void, face, found.distance, (found.point_a, found.point_b))


def _opened_past(blank: Blank, face: Face) -> Prism:
    """The blank without one flat face, and of the others those that end it along the other directions."""
    x0, y0, x1, y1 = blank.region.bounds
    far = math.hypot(x1 - x0, y1 - y0, blank.height)
    if face.number >= CAPS:
        wide = Loop.rectangle(x1 - x0 + 2 * far, y1 - y0 + 2 * far, centre=((x0 + x1) / 2, (y0 + y1) / 2))
        return Prism(Region.of(wide), blank.frame, blank.height)
    foot = blank.frame.turn((0.0, 0.0, -far if face.number == 0 else 0.0))
    return Prism(blank.region, blank.frame.moved(foot), blank.height + far)


def _holds(blank: Blank, point: Vec3) -> bool:
    """Whether a point lies in the blank or on its surface."""
    x, y, z = blank.frame.to_local(point)
    if not -MEET <= z <= blank.height + MEET:
        return False
    return wall_between(Circle((x, y), MEET), blank.region).distance >= -2 * MEET


def _beside_mouths(void: Bored, voids: Sequence[Void], blank: Blank) -> Iterator[ToFace]:
    """On a curved face that a hole opens into: from its side at the middle of its length, along the face's normal."""
    hole = void.hole
    starts, ends, _ = pieces_in(blank.prism, np.array([hole.point(-1.0)]), np.array([hole.point(hole.depth)]))
    curved = [face for face in blank.faces if face.number in void.opens and not face.is_flat]
    if not len(starts) or not curved:
        return
    middle = (starts[0] + ends[-1]) / 2
    deep = float((middle - np.array(hole.at)) @ np.array(hole.direction))
    own = [one for one in voids if isinstance(one, Bored) and one.cut is void.cut and one.what != "point"]
    at = next((one for one in own if one.step.start <= deep <= one.step.end), None)
    if at is None:
        return
    disc = Disc(tuple(middle.tolist()), hole.direction, at.step.wide / 2)
    found = {face.number: separation(disc, face.figure) for face in curved}
    number = min(found, key=lambda one: found[one].distance)
    least = found[number]
    yield ToFace(at, blank.faces[number], least.distance, (least.point_a, least.point_b))


def _gap(a: Box3, b: Box3) -> float:
    """No figures in two boxes are nearer than this, mm."""
    return max(max(a[i] - b[i + 3], b[i] - a[i + 3]) for i in range(3))
