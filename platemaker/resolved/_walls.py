"""Walls: the metal between every two voids of a part, and from each void to the faces of its blank. Measured once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from enum import StrEnum

from platemaker.parts import ProfileKind, Vec3
from platemaker.plane import Loop, Nearest, Region, closest_pairs, intersect, necks
from platemaker.records import Record, replace
from platemaker.resolved._blank import CAPS, Blank, BlankFace
from platemaker.resolved._faces import ToFace, cap_walls, edge_walls
from platemaker.resolved._stacked import FLUSH, Stacked, stacked
from platemaker.resolved._voids import Milled, Upright, Void
from platemaker.space import Separation, cosine_along, near_pairs, separation_within

HEADS_FOR = 0.7
"""Cosine of the angle between a step and the wall before its end above which the wall is a floor: 45 degrees."""
PARALLEL = 1e-6
"""Sine of the angle below which a wall lies along or square to a void's axis."""


class WallKind(StrEnum):
    """How a wall stands: beside a void, in front of its end, corner to corner, and so on."""

    SIDE = "side wall"
    EDGE = "wall to the edge"
    FLOOR = "floor"
    SHOULDER = "shoulder under the head"
    DIAGONAL = "diagonal wall"
    RIB = "rib of one cut"
    NECK = "neck of the outline"

    @property
    def is_floor(self) -> bool:
        """Whether the limit for floors applies, not that for walls."""
        return self in (WallKind.FLOOR, WallKind.SHOULDER)

    @property
    def family(self) -> str:
        """Walls of one family between two cuts are one: the least is listed."""
        return self.value if self.is_floor else "wall"


class Wall(Record):
    """Metal between a void and another void or a face: `distance`, mm, below 0 how far the two overlap.

    `points` are where it is measured, in the frame of the flat part. `a` is None for a neck of the outline, `b` for a
    neck and for a rib of one cut.
    """

    kind: WallKind
    a: Void | None
    b: Void | BlankFace | None
    distance: float
    points: tuple[Vec3, Vec3]

    @property
    def features(self) -> tuple[str, ...]:
        """Names of what it lies between."""
        if self.a is None:
            return ("outline",)
        if self.b is None:
            return (self.a.label,)
        return self.a.label, self.b.label if isinstance(self.b, Void) else self.b.name

    @property
    def between(self) -> tuple[str, ...]:
        """What of all walls only the least is of interest: two cuts, or cut and face; floors and shoulders apart."""
        names = [] if self.a is None else [self.a.cut.name]
        other = [] if self.b is None else ([self.b.cut.name] if isinstance(self.b, Void) else ["", self.b.name])
        return (*(sorted([*names, *other]) if len(other) == 1 else [*names, *other]), self.kind.family)


def walls_of(
    blank: Blank, voids: Sequence[Void], to_outline: Mapping[int, Nearest], slanted: Iterable[ToFace], window: float
) -> tuple[Wall, ...]:
    """The least walls between every two cuts that are not meant to meet, up to `window` mm, and to every face.

    Walls from upright voids to the faces are listed however thick they are; so is the least of all. `to_outline` are
    the ways from the plans of these to the outline, by the `id` of the void; `slanted` are the walls of all others to
    the faces.
    """
    to_faces = _least_of_each(_to_faces(voids, blank, to_outline, slanted))
    plans = list(_plans(voids, blank, to_outline))
    between, reach = _apart(voids, plans, blank, window), window
    thinnest = min((wall.distance for wall in to_faces), default=0.0)
    while not between and reach < thinnest:
        reach = min(max(2 * reach, thinnest / 8), thinnest)
        between = sorted(_apart(voids, plans, blank, reach), key=lambda wall: wall.distance)[:1]
    kept = [*between, *to_faces]
    return (*kept, *_thin_places(blank, voids, min([window, *(wall.distance for wall in kept)])))


def _least_of_each(walls: Iterable[Wall]) -> list[Wall]:
    """Of the walls between the same two things the least."""
    least: dict[tuple[str, ...], Wall] = {}
    for wall in walls:
        held = least.get(wall.between)
        if held is None or wall.distance < held.distance:
            least[wall.between] = wall
    return list(least.values())


def _plans(voids: Sequence[Void], blank: Blank, to_outline: Mapping[int, Nearest]) -> Iterator[tuple[Void, Upright]]:
    """The upright voids; straight ones that run across the outline cut to it, in as many pieces as that leaves."""
    for void in voids:
        one = void.upright
        if one is not None and one.profile is None and to_outline[id(void)].distance < 0.0:
            yield from ((void, replace(one, shape=piece)) for piece in intersect(void.plan, blank.region))
        elif one is not None:
            yield void, one


def _apart(voids: Sequence[Void], plans: Sequence[tuple[Void, Upright]], blank: Blank, window: float) -> list[Wall]:
    """The walls between cuts, without those of an opening and a pocket that meet: these are one."""
    found = list(_between(voids, plans, blank, window))
    one = {wall.between[:2] for wall in found if wall.distance < -FLUSH and _is_opening_and_pocket(wall)}
    return _least_of_each(wall for wall in found if wall.between[:2] not in one)


def _is_opening_and_pocket(wall: Wall) -> bool:
    kinds = {void.profile.kind for void in (wall.a, wall.b) if isinstance(void, Milled)}
    return kinds == {ProfileKind.OPENING, ProfileKind.POCKET}


def _between(
    voids: Sequence[Void], plans: Sequence[tuple[Void, Upright]], blank: Blank, window: float
) -> Iterator[Wall]:
    shapes = [one.shape for _, one in plans]
    grown = max((one.widens for _, one in plans), default=0.0)
    for i, j, way in closest_pairs(shapes, window + 2 * grown + FLUSH):
        (a, one), (b, other) = plans[i], plans[j]
        if _are_apart(a, b):
            found = stacked(one, other, way)
            if found.distance <= window:
                yield _stacked_wall(a, b, found, blank)

    def wanted(i: int, j: int) -> bool:
        return (voids[i].upright is None or voids[j].upright is None) and _are_apart(voids[i], voids[j])

    if any(void.upright is None for void in voids):
        for i, j in near_pairs([void.figure for void in voids], window, wanted):
            found_in_space = separation_within(voids[i].figure, voids[j].figure, blank.prism)
            if found_in_space.distance <= window:
                yield _space_wall(voids[i], voids[j], found_in_space)


def _are_apart(a: Void, b: Void) -> bool:
    """Whether a wall belongs between two voids: those of two cuts, or two pieces of one milled cut.

    Where one cut is meant to open into the other there is none, but under the head of a bolt.
    """
    if a.cut is b.cut:
        return isinstance(a, Milled) and isinstance(b, Milled) and a.piece != b.piece
    return not are_meant_to_meet(a, b) or a.carries_head or b.carries_head


def are_meant_to_meet(a: Void, b: Void) -> bool:
    """Whether the spec says that one void's cut opens into the other's."""
    return a.cut.name in b.cut.into or b.cut.name in a.cut.into


def _stacked_wall(a: Void, b: Void, found: Stacked, blank: Blank) -> Wall:
    start, end = (blank.frame.to_world(point) for point in found.points)
    kind = WallKind.SIDE if found.beside else WallKind.DIAGONAL
    if found.above:
        # What ends here: the upper void's lower end, and the lower one's upper end.
        kind = WallKind.SHOULDER if a.carries_head or b.carries_head else WallKind.FLOOR
    return Wall(kind, a, b, found.distance, (start, end))


def _space_wall(a: Void, b: Void, found: Separation) -> Wall:
    return Wall(_kind_in_space(a, b, found), a, b, found.distance, (found.point_a, found.point_b))


def _kind_in_space(a: Void, b: Void, found: Separation) -> WallKind:
    if found.distance <= 0.0:
        return WallKind.SIDE
    leans = [abs(cosine_along(found.point_a, found.point_b, void.axis)) for void in (a, b)]
    for void, lean in zip((a, b), leans, strict=True):
        if lean > 1.0 - PARALLEL:
            return WallKind.SHOULDER if void.carries_head else WallKind.FLOOR
    return WallKind.SIDE if max(leans) < PARALLEL else WallKind.DIAGONAL


def _to_faces(
    voids: Sequence[Void], blank: Blank, to_outline: Mapping[int, Nearest], slanted: Iterable[ToFace]
) -> Iterator[Wall]:
    """From each void to the faces: those of upright ones all, of others the thin ones, and the least."""
    for found in cap_walls(voids, blank):
        yield _face_wall(found, WallKind.SHOULDER if found.void.carries_head else WallKind.FLOOR)
    for found in edge_walls(voids, blank, to_outline):
        yield _face_wall(found, WallKind.EDGE)
    for found in slanted:
        yield _face_wall(found, _kind_of_slanted(found))


def _face_wall(found: ToFace, kind: WallKind) -> Wall:
    return Wall(kind, found.void, found.face, found.distance, found.points)


def _kind_of_slanted(found: ToFace) -> WallKind:
    """A void's end that heads for a face ends before it; any other void runs beside it."""
    ends = found.void.what in ("point", "counterbore", "countersink")
    if ends and abs(cosine_along(*found.points, found.void.axis)) > HEADS_FOR:
        return WallKind.SHOULDER if found.void.carries_head else WallKind.FLOOR
    return WallKind.SIDE if found.face.number < CAPS else WallKind.EDGE


def _thin_places(blank: Blank, voids: Sequence[Void], within: float) -> Iterator[Wall]:
    """Necks of the outline, and ribs between two places of one milled figure, thinner than `within`, mm."""
    if within <= 0.0:
        return
    for way in necks(blank.region, within):
        yield Wall(WallKind.NECK, None, None, way.distance, _raised(way, blank, blank.height))
    for void in voids:
        if isinstance(void, Milled) and void.what != "mouth":
            level = blank.height if 1 in void.opens else 0.0
            for way in _ribs(void.region, within):
                yield Wall(WallKind.RIB, void, None, way.distance, _raised(way, blank, level))


def _raised(way: Nearest, blank: Blank, z: float) -> tuple[Vec3, Vec3]:
    return blank.frame.to_world((*way.a, z)), blank.frame.to_world((*way.b, z))


def _ribs(figure: Region, limit: float) -> tuple[Nearest, ...]:
    """Ribs of material thinner than `limit`, mm, that a milled figure leaves between two places of its own outline."""
    x0, y0, x1, y1 = figure.bounds
    room = 4 * limit
    around = Loop.rectangle(x1 - x0 + room, y1 - y0 + room, centre=((x0 + x1) / 2, (y0 + y1) / 2))
    islands = [rib for hole in figure.holes for rib in necks(Region.of(hole), limit)]
    return (*necks(Region.of(around, [figure.outer]), limit), *islands)
