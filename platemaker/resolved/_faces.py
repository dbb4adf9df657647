"""From voids to the faces of their blank: the metal left towards each face that a void does not open into."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import TypeAlias

import numpy as np

from platemaker.parts import Vec3
from platemaker.plane import Arc, Circle, Loop, Nearest, Point, Region, contains, nearest, wall_between, walls_inside
from platemaker.records import Record
from platemaker.resolved._blank import CAPS, Blank, BlankFace
from platemaker.resolved._stacked import FLUSH
from platemaker.resolved._voids import Bored, Milled, Upright, Void
from platemaker.space import (
    Cylinder,
    Disc,
    HalfSpace,
    Numbers,
    Prism,
    Separation,
    Ways,
    along,
    cosine_along,
    dot,
    edge_distance,
    least_along,
    least_to,
    perpendiculars,
    pieces_in,
    separation,
)

RIM = 72
"""Places of a rim that are looked at first."""
MEET = 1e-7
"""A void that comes nearer to a face than this, mm, reaches it."""


PARALLEL = 1e-9
"""Cosine below which a bore runs along a face."""

Distances: TypeAlias = Callable[[Numbers, Numbers], Ways]


class ToFace(Record):
    """Metal between a void and a face, mm, below 0 how far the void reaches out there, and where it is measured."""

    void: Void
    face: BlankFace
    distance: float
    points: tuple[Vec3, Vec3]


def cap_walls(voids: Sequence[Void], blank: Blank) -> Iterator[ToFace]:
    """From the ends of upright voids to the ends of their blank. A thread ends in its drilled hole, in no floor."""
    for void in voids:
        one = void.upright
        if one is None or void.what == "thread":
            continue
        for number, (near, end) in enumerate(((one.low, 0.0), (one.high, blank.height))):
            if number not in void.opens:
                place = _place_at_tip(one, near, blank) if void.what == "point" else (_place_at_end(void), near)
                if place is None:
                    continue
                at, level = place
                distance = level - end if number == 0 else end - level
                points = blank.frame.to_world((*at, level)), blank.frame.to_world((*at, end))
                yield ToFace(void, blank.faces[number], distance, points)


def _place_at_tip(one: Upright, tip: float, blank: Blank) -> tuple[Point, float] | None:
    """Where a drill point is deepest in the blank, and its height there; None where it lies past the outline."""
    if not isinstance(one.shape, Circle) or contains(blank.region, one.shape.centre):
        return (one.shape.centre, tip) if isinstance(one.shape, Circle) else None
    way = nearest(one.shape.centre, blank.region)
    foot = one.high if tip == one.low else one.low
    share = way.distance / one.shape.radius
    return (way.b, tip + share * (foot - tip)) if share < 1.0 else None


def _place_at_end(void: Void) -> Point:
    """A place of a void's end with metal before it: of its rim, as its middle may be open."""
    # A mouth ends in its opening and a countersink in its drill, where they are narrowest.
    around, one = void.region if isinstance(void, Milled) else void.plan, void.upright
    if isinstance(void, Bored) and one and isinstance(one.shape, Circle) and void.step.narrow < void.step.wide:
        around = Region(Loop.circle(one.shape.centre, void.step.narrow / 2))
    rim = [edge.point(share) for edge in around.edges for share in (0.0, 0.25, 0.5, 0.75)]
    return next((point for point in rim if contains(void.blank.region, point)), rim[0])


def to_outline(voids: Sequence[Void], blank: Blank) -> dict[int, Nearest]:
    """From the plan of each upright void, by its `id`, to what is round the blank; of a mouth where it is narrowest."""
    shapes = {id(void): void.upright.shape for void in voids if void.upright is not None}
    return dict(zip(shapes, walls_inside(list(shapes.values()), blank.region), strict=True))


def edge_walls(voids: Sequence[Void], blank: Blank, ways: Mapping[int, Nearest]) -> Iterator[ToFace]:
    """From upright voids to what is round their blank. A drill point lies in line with its hole, which is wider.

    `ways` are those of `to_outline`.
    """
    side = _Side(blank)
    for void in voids:
        one = void.upright
        if one is None or void.what == "point":
            continue
        way = ways[id(void)]
        z, grown = one.high, one.widens
        if one.profile is not None:
            z = one.low if one.growth(one.low) > one.growth(one.high) else one.high
        yield side.wall(void, way, grown, z)


class _Side:
    """What is round a blank, as one face: walls to it are listed once for each void."""

    def __init__(self, blank: Blank) -> None:
        self.frame, self.face = blank.frame, blank.faces[2]

    def wall(self, void: Void, way: Nearest, grown: float, z: float) -> ToFace:
        """A wall between plans, less what the void has grown."""
        share = grown / math.dist(way.a, way.b) if way.distance > grown else 0.0
        at = tuple(a + share * (b - a) for a, b in zip(way.a, way.b, strict=True))
        points = self.frame.to_world((at[0], at[1], z)), self.frame.to_world((*way.b, z))
        return ToFace(void, self.face, way.distance - grown, points)


def slanted_walls(voids: Sequence[Void], blank: Blank, window: float) -> Iterator[ToFace]:
    """From voids on any other axis to the faces, in the blank: walls up to `window` mm, and each hole's least.

    Of the walls up to some window, `thin` gives those up to a smaller one.
    """
    slanted = [void for void in voids if isinstance(void, Bored) and void.upright is None]
    for _, group in groupby(slanted, key=lambda void: void.cut.name):
        steps, opened = list(group), set[int]()
        found: list[ToFace] = []
        for void in steps:
            found += _of_slanted(void, blank, window, opened, found)
        found += _to_entered(steps, opened, blank)
        yield from thin(found, window)


def thin(walls: Iterable[ToFace], window: float) -> Iterator[ToFace]:
    """The walls up to `window` mm, and the least of each hole."""
    for _, group in groupby(walls, key=lambda wall: wall.void.cut.name):
        found = list(group)
        least = min(found, key=lambda wall: wall.distance)
        yield from (wall for wall in found if wall.distance <= window or wall is least)


def _of_slanted(
    void: Bored, blank: Blank, window: float, opened: set[int], known: Sequence[ToFace]
) -> Iterator[ToFace]:
    """The walls of one void to the faces; numbers of the faces that it opens into are added to `opened`.

    The whole figure is never farther from a face than what lies of it in the blank, so that far faces are left early.
    """
    bounds = [(separation(void.figure, face.figure), face) for face in blank.faces if face.number not in void.opens]
    least: dict[str, float] = {}
    best = min((wall.distance for wall in known), default=math.inf)
    reached, walls = dict[int, ToFace](), list[ToFace]()
    for bound, face in sorted(bounds, key=lambda pair: (pair[0].distance, pair[1].number)):
        if bound.distance >= min(least.get(face.name, math.inf), max(best, window)):
            continue
        wall = _to_face(void, face, blank, bound)
        if wall.distance <= MEET:
            reached[face.number] = wall
        elif _at_joint(wall, blank):
            walls.append(wall)
        elif wall.distance < least.get(face.name, math.inf):
            least[face.name], best = wall.distance, min(best, wall.distance)
            walls.append(wall)
    entered = _opened(void.opens, reached, blank)
    opened |= entered
    yield from (wall for wall in walls if not entered.intersection(wall.face.smooth) or not _at_joint(wall, blank))
    yield from (wall for number, wall in reached.items() if number not in entered)


def _at_joint(wall: ToFace, blank: Blank) -> bool:
    """Whether a wall ends where its face runs smoothly on into the next: where that one is open, there is no wall."""
    if not wall.face.smooth:
        return False
    edge, (x, y, _) = blank.region.edges[wall.face.number - CAPS], blank.frame.to_local(wall.points[1])
    return min(math.dist((x, y), edge.start), math.dist((x, y), edge.end)) <= FLUSH


def _opened(opens: frozenset[int], reached: dict[int, ToFace], blank: Blank) -> set[int]:
    """The faces that a void opens into, with those round about that its opening runs smoothly on into."""
    known, waiting = set(opens), list(opens)
    while waiting:
        for number in blank.faces[waiting.pop()].smooth:
            if number in reached and number not in known:
                known.add(number)
                waiting.append(number)
    return known


def _to_face(void: Bored, face: BlankFace, blank: Blank, found: Separation) -> ToFace:
    """The wall of a void to a face; `found` is that of the whole figure."""
    if found.distance > MEET and not _holds(blank, found.point_a):
        found = _beside(void, face, blank, found) or Separation(0.0, found.point_a, found.point_b)
    if found.distance <= MEET:
        sideways = face.number >= CAPS
        found = least_to(void.tool, blank.prism, _side_distances(face, blank) if sideways else _heights(face))
        if found.distance <= MEET and face.plane is not None:
            found = least_to(void.tool, _opened_past(blank, face), _heights(face))
        elif sideways and found.distance < math.inf:  # else nothing of it lies in the blank
            found = Separation(found.distance, found.point_a, _across(found.point_a, face, blank))
    return ToFace(void, face, found.distance, (found.point_a, found.point_b))


def _across(point: Vec3, face: BlankFace, blank: Blank) -> Vec3:
    """The point of a face round the blank that is nearest to a point inside."""
    x, y, z = blank.frame.to_local(point)
    return blank.frame.to_world((*nearest((x, y), blank.region.edges[face.number - CAPS]).b, z))


def _beside(void: Bored, face: BlankFace, blank: Blank, found: Separation) -> Separation | None:
    """The same distance within the blank, of a bore along a flat face: half way along the nearest line of its side."""
    axis = void.hole.direction
    if face.plane is None or abs(dot(axis, face.plane.normal)) > PARALLEL or not isinstance(void.tool, Cylinder):
        return None
    ends = [along(end, void.tool.radius, face.plane.normal) for end in (void.tool.start, void.tool.end)]
    starts, stops, _ = pieces_in(blank.prism, np.array(ends[:1]), np.array(ends[1:]))
    if not len(starts):
        return None
    x, y, z = ((starts[0] + stops[0]) / 2).tolist()
    foot = along((x, y, z), found.distance, face.plane.normal)
    return Separation(found.distance, (x, y, z), foot) if _holds(blank, foot) else None


def _heights(face: BlankFace) -> Distances:
    """How far lines stay behind a flat face, below 0 how far they reach out of it."""
    plane = face.plane or HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    normal, point = np.array(plane.normal), np.array(plane.point)

    def distances(starts: Numbers, ends: Numbers) -> Ways:
        low, high = (point - starts) @ normal, (point - ends) @ normal
        near = np.where((low < high)[:, None], starts, ends)
        apart = np.minimum(low, high)
        return apart, near, near + apart[:, None] * normal

    return distances


def _side_distances(face: BlankFace, blank: Blank) -> Distances:
    """How far lines inside the blank stay from a face round it: seen along the blank, from an edge of its section.

    A line that does not meet the edge is nearest at an end of either; from a hollow arc also square to the line.
    """
    edge, frame = blank.region.edges[face.number - CAPS], blank.frame
    axes, origin = np.array([frame.x_axis, frame.y_axis, frame.z_axis]), np.array(frame.origin)

    def distances(starts: Numbers, ends: Numbers) -> Ways:
        p, q = (starts - origin) @ axes.T, (ends - origin) @ axes.T
        size = ((q - p)[:, :2] ** 2).sum(axis=1)
        shares = [np.zeros(len(p)), np.ones(len(p))]
        middles = [edge.start, edge.end, *([edge.centre] if isinstance(edge, Arc) else [])]
        for x, y in middles:
            foot = ((x - p[:, 0]) * (q - p)[:, 0] + (y - p[:, 1]) * (q - p)[:, 1]) / np.where(size > 0.0, size, 1.0)
            shares.append(np.clip(foot, 0.0, 1.0))
        tries = [p + share[:, None] * (q - p) for share in shares]
        apart = np.array([edge_distance(edge, one[:, 0], one[:, 1]) for one in tries])
        best = apart.argmin(axis=0) if len(p) else np.zeros(0, dtype=int)
        each = np.arange(len(p))
        at = np.array(tries)[best, each]
        return apart[best, each], at @ axes + origin, at @ axes + origin

    return distances


def _opened_past(blank: Blank, face: BlankFace) -> Prism:
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


def _to_entered(steps: Sequence[Bored], opened: set[int], blank: Blank) -> Iterator[ToFace]:
    """To the curved faces that a hole opens into: from its side at the middle of its length, and ahead of its end."""
    hole, curved = steps[0].hole, [blank.faces[number] for number in opened if not blank.faces[number].is_flat]
    starts, ends, _ = pieces_in(blank.prism, np.array([hole.point(-1.0)]), np.array([hole.point(hole.depth)]))
    if not len(starts) or not curved:
        return
    middle = (starts[0] + ends[-1]) / 2
    deep = float((middle - np.array(hole.at)) @ np.array(hole.direction))
    at = next((one for one in steps if one.what != "point" and one.step.start <= deep <= one.step.end), None)
    if at is not None:
        x, y, z = middle.tolist()
        disc = Disc((x, y, z), hole.direction, at.step.wide / 2)
        found = {face.number: separation(disc, face.figure) for face in curved}
        number = min(found, key=lambda one: found[one].distance)
        least = found[number]
        if not _holds(blank, least.point_a):
            least = _rim_to_face((x, y, z), at, blank.faces[number], blank)
        yield ToFace(at, blank.faces[number], least.distance, (least.point_a, least.point_b))
    if not hole.through:
        yield from (wall for face in curved for wall in _ahead(steps[-1], face, blank))


def _rim_to_face(middle: Vec3, void: Bored, face: BlankFace, blank: Blank) -> Separation:
    """From what lies in the blank of a circle round a bore to a curved face: a chord is never nearer than its ends."""
    axis, wide = void.hole.direction, void.step.wide

    def measure(angle: float) -> Separation:
        way = _square_to(face, _on_rim(middle, axis, wide, angle), blank)
        x, y, z = blank.frame.to_local(way.point_a)
        off = way.distance if contains(blank.region, (x, y)) else -way.distance
        held = -FLUSH <= z <= blank.height + FLUSH
        return Separation(off if held else math.inf, way.point_a, way.point_b)

    return least_along(measure, 0.0, math.tau, RIM)


def _ahead(end: Bored, face: BlankFace, blank: Blank) -> Iterator[ToFace]:
    """From the rim and the tip of a blind end to a curved face, where that lies ahead of them."""
    axis, step = end.hole.direction, end.step
    base = end.hole.point(step.start if step.what == "point" else step.end)

    def measure(angle: float, wide: float = step.wide, foot: Vec3 = base) -> Separation:
        way = _square_to(face, _on_rim(foot, axis, wide, angle), blank)
        ahead = cosine_along(way.point_a, way.point_b, axis) > 0.0
        return way if ahead else Separation(math.inf, way.point_a, way.point_b)

    found = [least_along(measure, 0.0, math.tau, RIM)]
    if step.what == "point":
        found.append(measure(0.0, 0.0, end.hole.point(step.end)))
    best = min(found, key=lambda one: one.distance)
    if math.isfinite(best.distance):
        yield ToFace(end, face, best.distance, (best.point_a, best.point_b))


def _on_rim(middle: Vec3, axis: Vec3, wide: float, angle: float) -> Vec3:
    first, second = perpendiculars(axis)
    return along(along(middle, wide / 2 * math.cos(angle), first), wide / 2 * math.sin(angle), second)


def _square_to(face: BlankFace, place: Vec3, blank: Blank) -> Separation:
    """From a place to a face round the blank, square to the blank's axis."""
    far = _across(place, face, blank)
    return Separation(math.dist(place, far), place, far)
