"""Walls in space: what is left between bores on any axis, and between them and faces, edges, pockets and threads."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from platemaker.catalog import LimitName
from platemaker.checks._finding import EQUAL, Finding, Limit, measured
from platemaker.checks._limits import limit_for
from platemaker.parts import (
    Boundary,
    Cut,
    Hole,
    Kind,
    Part,
    PlateStock,
    RoundStock,
    Stack,
    Vec3,
    VoidFigure,
    boundaries_of,
    void_figures,
)
from platemaker.space import Box3, Cylinder, HalfSpace, Prism, Segment, bounding_box, closest_pairs, separation

BORE_TO_BORE, BORE_TO_FIGURE, BORE_TO_THREAD = "PM601", "PM602", "PM603"
BORE_TO_FACE, SLANTED_FLOOR = "PM604", "PM605"

WINDOW = 3.0
"""Walls up to this many times the limit are told; of the thicker ones, the thinnest of each bore to a face."""


def check_space_walls(stack: Stack) -> Iterator[Finding]:
    """The walls that no plan shows: of every part with a bore that is not square to a plate's faces."""
    for part in stack.parts:
        if part.kind not in (Kind.GASKET, Kind.SHIM) and _has_depth(part):
            wall, floor = (limit_for(part, name) for name in (LimitName.MINIMUM_WALL, LimitName.MINIMUM_FLOOR))
            if wall is not None:
                yield from part_space_walls(part, wall, floor or wall)


def _has_depth(part: Part) -> bool:
    return not isinstance(part.stock, PlateStock) or any(not hole.square for hole in part.holes)


def part_space_walls(part: Part, wall: Limit, floor: Limit) -> Iterator[Finding]:
    """The least wall between every two cuts that come near, and of every bore to the nearest end of the blank."""
    voids = void_figures(part)
    least: dict[tuple[str, ...], _Wall] = {}
    for found in (*_between(part, voids, WINDOW * wall.fail), *_to_boundaries(part, voids)):
        key = found.key
        if key not in least or found.distance < least[key].distance:
            least[key] = found
    for found in least.values():
        yield found.finding(part, wall, floor)


@dataclass(frozen=True)
class _Wall:
    """Matter between a void and another, or the end of the blank: its thickness, below 0 for how far it is through."""

    a: VoidFigure
    b: VoidFigure | Boundary
    distance: float
    points: tuple[Vec3, Vec3]

    @property
    def key(self) -> tuple[str, ...]:
        other = (self.b.cut.name,) if isinstance(self.b, VoidFigure) else ("", self._check)
        return (*sorted((self.a.cut.name, *other[:1])), *other[1:])

    @property
    def _check(self) -> str:
        kinds = {one.what for one in (self.a, self.b) if isinstance(one, VoidFigure)}
        if "point" in kinds:
            return SLANTED_FLOOR
        if isinstance(self.b, Boundary):
            return BORE_TO_FACE
        if not isinstance(self.a.cut, Hole) or not isinstance(self.b.cut, Hole):
            return BORE_TO_FIGURE
        return BORE_TO_THREAD if "thread" in kinds else BORE_TO_BORE

    def finding(self, part: Part, wall: Limit, floor: Limit) -> Finding:
        check = self._check
        other = self.b.label if isinstance(self.b, VoidFigure) else self.b.name
        note = f"breaks through, by {-self.distance:.3f} mm" if self.distance < -EQUAL else ""
        return measured(
            check, TITLES[check], part.name, (self.a.label, other), self.distance,
            floor if check == SLANTED_FLOOR else wall, points=self.points, note=note,
        )  # fmt: skip


TITLES = {
    BORE_TO_BORE: "wall in space, bore to bore",
    BORE_TO_FIGURE: "wall in space, bore to milled figure",
    BORE_TO_THREAD: "wall in space, bore to thread",
    BORE_TO_FACE: "wall in space, bore to face",
    SLANTED_FLOOR: "floor left at a drill point",
}


def _between(part: Part, voids: Sequence[VoidFigure], window: float) -> Iterator[_Wall]:
    plane = isinstance(part.stock, PlateStock)

    def wanted(i: int, j: int) -> bool:
        a, b = voids[i].cut, voids[j].cut
        if a is b or meant_to_meet(a, b):
            return False
        return not plane or _slanted(a) or _slanted(b)  # the plan, slab by slab, has the walls between square cuts

    for pair in closest_pairs([void.figure for void in voids], window, wanted):
        a, b = voids[pair.first], voids[pair.second]
        if not isinstance(a.cut, Hole):
            a, b = b, a
        found = pair.separation
        yield _Wall(a, b, found.distance, (found.point_a, found.point_b))


def meant_to_meet(a: Cut, b: Cut) -> bool:
    """Whether one of two cuts is declared to open into the other."""
    return a.name in b.into or b.name in a.into


def _slanted(cut: Cut) -> bool:
    return isinstance(cut, Hole) and not cut.square


def _to_boundaries(part: Part, voids: Sequence[VoidFigure]) -> Iterator[_Wall]:
    if isinstance(part.stock, RoundStock):
        yield from _to_round_outside(part.stock, voids)
        return
    ends = [(end, bounding_box(end.figure)) for end in boundaries_of(part)]
    whole = isinstance(part.stock, PlateStock)
    for cut in part.holes:
        if whole and cut.square:
            continue
        own = [void for void in voids if void.cut is cut]
        boxes = [bounding_box(void.figure) for void in own]
        best: dict[str, _Wall] = {}
        for end, box in ends:
            if _pierced(cut, end):
                continue
            for void, around in zip(own, boxes, strict=True):
                kind = "point" if void.what == "point" else ""
                if kind in best and _gap(box, around) >= best[kind].distance:
                    continue
                found = _to_boundary(void, end)
                if kind not in best or found.distance < best[kind].distance:
                    best[kind] = found
        yield from best.values()


def _gap(a: Box3, b: Box3) -> float:
    """No figures in two boxes are nearer than this, mm."""
    return max(max(a[i] - b[i + 3], b[i] - a[i + 3]) for i in range(3))


def _pierced(hole: Hole, end: Boundary) -> bool:
    """Whether a hole is meant to pass an end of the blank: it is entered there, or goes through there."""
    (x, y, z), (u, v, w) = hole.at, hole.direction
    last = hole.depth + EQUAL if hole.through else EQUAL
    axis = Segment((x - EQUAL * u, y - EQUAL * v, z - EQUAL * w), (x + last * u, y + last * v, z + last * w))
    return separation(axis, end.figure).distance <= EQUAL


def _to_boundary(void: VoidFigure, end: Boundary) -> _Wall:
    found = separation(void.figure, end.figure)
    if found.distance < 0.0 and end.plane is not None:
        found = separation(void.figure, end.plane.opposite)
    return _Wall(void, end, found.distance, (found.point_a, found.point_b))


def _to_round_outside(stock: RoundStock, voids: Sequence[VoidFigure]) -> Iterator[_Wall]:
    """From bores along the bar to its outside, and from the bottoms of blind ones across it to the far side."""
    for void in voids:
        figure = void.figure
        if isinstance(void.cut, Hole) and void.cut.square and not void.cut.through:
            yield from _to_far_side(stock, void, void.cut)
        if not isinstance(figure, Cylinder) or abs(abs(figure.axis[0]) - 1.0) > EQUAL:
            continue
        x, y, z = figure.start
        off = (y**2 + (z - stock.diameter / 2) ** 2) ** 0.5
        ay, az = (y / off, (z - stock.diameter / 2) / off) if off > EQUAL else (0.0, 1.0)
        inner, outer = off + figure.radius, stock.diameter / 2
        points = (
            (x, inner * ay, outer + inner * az),
            (x, outer * ay, outer + outer * az),
        )
        yield _Wall(void, _ROUND, outer - inner, points)


def _to_far_side(stock: RoundStock, void: VoidFigure, hole: Hole) -> Iterator[_Wall]:
    """From the corner of a bottom past the bar's middle, or the tip of its point, straight out to the round."""
    figure, middle = void.figure, stock.diameter / 2
    if isinstance(figure, Prism):
        return
    (x, y, z), last = figure.end, hole.at[2] + hole.depth * hole.direction[2]
    whole = isinstance(figure, Cylinder) and abs(z - last) <= EQUAL
    if (z - middle) * hole.direction[2] <= 0 or not (whole or void.what == "point"):
        return
    y += math.copysign(figure.radius, y) if isinstance(figure, Cylinder) else 0.0
    off = math.hypot(y, z - middle)
    out = (x, y / off * middle, middle + (z - middle) / off * middle)
    yield _Wall(void, _ROUND, middle - off, ((x, y, z), out))


_ROUND = Boundary("outside", HalfSpace((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)), None)
