"""Walls in the plane: what is left between holes, figures and edges, slab by slab, exact on lines and arcs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from platemaker.catalog import LimitName
from platemaker.checks._finding import Finding, Limit, measured
from platemaker.checks._limits import limit_for
from platemaker.parts import Hole, Kind, Part, PlateStock, Profile, ProfileKind, Slab, Stack, Void, slabs_of
from platemaker.plane import (
    Box,
    Nearest,
    Region,
    contains,
    nearest,
    necks,
    subtract,
    wall,
)

HOLE_TO_HOLE, HOLE_TO_EDGE, HOLE_TO_FIGURE = "PM101", "PM102", "PM103"
FIGURE_TO_EDGE, FIGURE_TO_FIGURE, NECK = "PM104", "PM105", "PM106"

WINDOW = 3.0
"""Walls up to this many times the limit are told; thicker ones only where a hole or figure is nearest to the edge."""
TOUCHING = 1e-9
"""Boundaries nearer than this, mm, meet: the plane's own closeness."""


def check_walls(stack: Stack) -> Iterator[Finding]:
    """The walls of every plate; gaskets have lands instead and are left to sealing."""
    for part in stack.parts:
        if isinstance(part.stock, PlateStock) and part.kind not in (Kind.GASKET, Kind.SHIM):
            limit = limit_for(part, LimitName.MINIMUM_WALL)
            if limit is not None:
                yield from part_walls(part, part.stock, limit)


def part_walls(part: Part, stock: PlateStock, limit: Limit) -> Iterator[Finding]:
    """The least wall of every pair of neighbours over all slabs, and of every cut to the outline."""
    least: dict[tuple[str, ...], _Wall] = {}
    for slab in slabs_of(part, threads=True):
        for found in _slab_walls(slab, stock.region, limit):
            held = least.get(found.key)
            if held is None or found.thickness < held.thickness:
                least[found.key] = found
    for found in least.values():
        yield found.finding(part, limit)
    for neck in necks(stock.region, limit.fail):
        z = stock.thickness
        points = [(*neck.a, z), (*neck.b, z)]
        yield measured(NECK, "neck of the outline", part.name, ("outline",), neck.distance, limit, points=points)


@dataclass(frozen=True)
class _Wall:
    """A wall found in one slab between a void and another, or the outline (None)."""

    a: Void
    b: Void | None
    thickness: float
    nearest: Nearest
    z: float

    @property
    def key(self) -> tuple[str, ...]:
        return tuple(sorted((self.a.cut.name, self.b.cut.name if self.b else "")))

    def finding(self, part: Part, limit: Limit) -> Finding:
        check, title = _kind(self.a, self.b)
        other = self.b.label if self.b else "outline"
        points = [(*self.nearest.a, self.z), (*self.nearest.b, self.z)]
        note = "breaks through" if self.thickness < 0 else ""
        return measured(check, title, part.name, (self.a.label, other), self.thickness, limit, points=points, note=note)


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
    z = slab.top
    for void in slab.voids:
        shortest = nearest(void.region, blank)
        yield _Wall(void, None, shortest.distance, shortest, z)
    for a, b in _neighbours(slab.voids, WINDOW * limit.fail):
        shortest = nearest(a.region, b.region)
        thickness = _thickness(a, b, shortest)
        if thickness is not None and thickness <= WINDOW * limit.fail:
            yield _Wall(a, b, thickness, shortest, z)


def _neighbours(voids: Sequence[Void], window: float) -> Iterable[tuple[Void, Void]]:
    """Pairs whose boxes lie within `window`, by a sweep along X."""
    boxed = sorted(((void.region.bounds, number) for number, void in enumerate(voids)))
    open_: list[tuple[Box, int]] = []
    for box, number in boxed:
        open_ = [entry for entry in open_ if entry[0][2] + window >= box[0]]
        for other, before in open_:
            if other[1] - window <= box[3] and box[1] - window <= other[3]:
                yield voids[before], voids[number]
        open_.append((box, number))


def _thickness(a: Void, b: Void, found: Nearest) -> float | None:
    """Signed wall between two voids; None where they are one: the same cut, one inside the other, or meant to meet."""
    if a.cut is b.cut or a.cut.name in b.cut.into or b.cut.name in a.cut.into:
        return None
    if found.distance > TOUCHING:
        inside = contains(a.region, b.region.outer.edges[0].start) or contains(b.region, a.region.outer.edges[0].start)
        return None if inside else found.distance
    if _joined(a, b):
        return None
    overlap = wall(a.region, b.region)
    if overlap.distance < -TOUCHING and (_within(a.region, b.region) or _within(b.region, a.region)):
        return None
    return min(0.0, overlap.distance)


def _within(inner: Region, outer: Region) -> bool:
    """Whether nothing of `inner` lies outside `outer`."""
    return not subtract(inner, outer)


def _joined(a: Void, b: Void) -> bool:
    """An opening and a pocket are one figure where they meet."""
    kinds = {void.cut.kind for void in (a, b) if isinstance(void.cut, Profile)}
    return kinds == {ProfileKind.OPENING, ProfileKind.POCKET}
