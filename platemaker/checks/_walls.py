"""Walls in the plane: what is left between holes, figures and edges, slab by slab, exact on lines and arcs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from platemaker.catalog import LimitName
from platemaker.checks._finding import Finding, Limit, measured
from platemaker.checks._limits import limit_for
from platemaker.parts import (
    Hole,
    Kind,
    Part,
    PlateStock,
    Profile,
    ProfileKind,
    Side,
    Slab,
    Stack,
    Void,
    bent_point,
    in_plan,
    slabs_of,
)
from platemaker.plane import Circle, Loop, Nearest, Region, closest_pairs, necks, wall_between

HOLE_TO_HOLE, HOLE_TO_EDGE, HOLE_TO_FIGURE = "PM101", "PM102", "PM103"
FIGURE_TO_EDGE, FIGURE_TO_FIGURE, NECK = "PM104", "PM105", "PM106"

WINDOW = 3.0
"""Walls up to this many times the limit are told; thicker ones only where a hole or figure is nearest to the edge."""
TOUCHING = 1e-9
"""Boundaries nearer than this, mm, meet: the plane's own closeness."""


def check_walls(stack: Stack) -> Iterator[Finding]:
    """The walls of every plate, and of brackets with pockets in their flat; gaskets' lands are left to sealing."""
    for part in stack.parts:
        limit = limit_for(part, LimitName.MINIMUM_WALL)
        flat = in_plan(part)
        if limit is None or part.kind in (Kind.GASKET, Kind.SHIM) or not isinstance(flat.stock, PlateStock):
            continue
        if flat is part:
            yield from part_walls(flat, flat.stock, limit)
        elif flat.profiles:
            for found in part_walls(flat, flat.stock, limit):
                yield replace(found, points=tuple(bent_point(part, point) for point in found.points))


def part_walls(part: Part, stock: PlateStock, limit: Limit) -> Iterator[Finding]:
    """The least wall of every pair of neighbours over all slabs, and of every cut to the outline."""
    least: dict[tuple[str, ...], _Wall] = {}
    for slab in slabs_of(part, widest=True):
        for found in _slab_walls(slab, stock.region, limit):
            held = least.get(found.key)
            if held is None or found.way.distance < held.way.distance:
                least[found.key] = found
    for found in least.values():
        yield found.finding(part, limit)
    for neck in necks(stock.region, limit.fail):
        yield _neck(part, "outline", "neck of the outline", neck, stock.thickness, limit)
    for profile in part.profiles:
        z = stock.thickness if profile.side is Side.ABOVE else 0.0
        for region in profile.regions:
            for rib in ribs_of(region, limit.fail):
                yield _neck(part, profile.name, "rib between two places of one figure", rib, z, limit)


def ribs_of(figure: Region, limit: float) -> tuple[Nearest, ...]:
    """Ribs of material thinner than `limit`, mm, that a milled figure leaves between two places of its own outline."""
    x0, y0, x1, y1 = figure.bounds
    room = 4 * limit
    around = Loop.rectangle(x1 - x0 + room, y1 - y0 + room, centre=((x0 + x1) / 2, (y0 + y1) / 2))
    islands = [rib for hole in figure.holes for rib in necks(Region.of(hole), limit)]
    return (*necks(Region.of(around, [figure.outer]), limit), *islands)


def _neck(part: Part, feature: str, title: str, way: Nearest, z: float, limit: Limit) -> Finding:
    points = [(*way.a, z), (*way.b, z)]
    return measured(NECK, title, part.name, (feature,), way.distance, limit, points=points)


@dataclass(frozen=True)
class _Wall:
    """A wall found in one slab between a void and another, or the outline (None)."""

    a: Void
    b: Void | None
    way: Nearest
    z: float

    @property
    def key(self) -> tuple[str, ...]:
        return tuple(sorted((self.a.cut.name, self.b.cut.name if self.b else "")))

    def finding(self, part: Part, limit: Limit) -> Finding:
        check, title = _kind(self.a, self.b)
        other = self.b.label if self.b else "outline"
        points = [(*self.way.a, self.z), (*self.way.b, self.z)]
        note = "breaks through" if self.way.distance < 0 else ""
        return measured(
            check, title, part.name, (self.a.label, other), self.way.distance, limit, points=points, note=note
        )


def _kind(a: Void, b: Void | None) -> tuple[str, str]:
    holes = sum(isinstance(void.cut, Hole) for void in (a, b) if void is not None)
    if b is None:
        return (HOLE_TO_EDGE, "wall, hole to edge") if holes else (FIGURE_TO_EDGE, "wall, figure to edge")
    return {
        2: (HOLE_TO_HOLE, "wall, hole to hole"),
        1: (HOLE_TO_FIGURE, "wall, hole to figure"),
        0: (FIGURE_TO_FIGURE, "wall, figure to figure"),
    }[holes]


def _slab_walls(slab: Slab, blank: Region, limit: Limit) -> Iterator[_Wall]:
    z, window = slab.top, WINDOW * limit.fail
    shapes = [void.shape for void in slab.voids]
    for void, shape in zip(slab.voids, shapes, strict=True):
        yield _Wall(void, None, wall_between(shape, blank), z)
    for i, j, way in closest_pairs(shapes, window):
        a, b = slab.voids[i], slab.voids[j]
        if way.distance > TOUCHING or not _one(a, b, shapes[i], shapes[j]):
            yield _Wall(a, b, way, z)


def _one(a: Void, b: Void, shape_a: Circle | Region, shape_b: Circle | Region) -> bool:
    """Whether two voids that meet are one: the same cut, meant to meet, or one inside the other."""
    if a.cut is b.cut or a.cut.name in b.cut.into or b.cut.name in a.cut.into or _joined(a, b):
        return True
    return max(wall_between(shape_a, shape_b).distance, wall_between(shape_b, shape_a).distance) >= -TOUCHING


def _joined(a: Void, b: Void) -> bool:
    """An opening and a pocket are one figure where they meet."""
    kinds = {void.cut.kind for void in (a, b) if isinstance(void.cut, Profile)}
    return kinds == {ProfileKind.OPENING, ProfileKind.POCKET}
