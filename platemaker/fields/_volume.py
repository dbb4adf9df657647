"""The air's volume between two ports: the sections of the air's way as prisms, straight ducts before and behind."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Protocol

from platemaker.errors import GeometryError
from platemaker.plane import Arc, Line, Loop, Region, intersect, mirrored, shared_area, total_area, unite
from platemaker.records import Record, replace

BEFORE, BEHIND = 2.5, 4.5
"""Lengths of the straight ducts in hydraulic diameters of their port; those of the passages compared with."""
THIN = 2.0
"""A section no longer than this, mm, takes the outline of the neighbour nearest in area: gaskets."""
ALIKE = 0.02
"""Outlines that share all but this of their area are taken as one."""
SAME = 1e-6
"""Shares of an area that count as equal."""


class Edge(Record):
    """The edge by which air enters: how much wider it begins, how deep it is, mm, and whether it is rounded or flat."""

    wide: float
    deep: float
    rounded: bool


class Slab(Record):
    """A prism of air from `start` to `end` along the flow, mm, with its outlines in the stack's plan.

    With an `edge` it begins wider, by outlines at a distance, and narrows to `regions` where the edge ends.
    """

    name: str
    start: float
    end: float
    regions: tuple[Region, ...]
    edge: Edge | None = None

    @property
    def half_way(self) -> float:
        """Half way along it, mm."""
        return (self.start + self.end) / 2

    @property
    def mouth(self) -> tuple[float, float, bool] | None:
        """The edge in plain records."""
        return (self.edge.wide, self.edge.deep, self.edge.rounded) if self.edge else None

    @property
    def volume(self) -> float:
        """Volume, mm3. Outlines at a distance t hold area + perimeter t + pi t2 (Steiner), summed over the edge."""
        even = total_area(self.regions) * (self.end - self.start)
        if self.edge is None:
            return even
        first, second = (1 - math.pi / 4, 5 / 3 - math.pi / 2) if self.edge.rounded else (1 / 2, 1 / 3)
        wide, round_ = self.edge.wide, sum(region.outer.perimeter for region in self.regions)
        return even + self.edge.deep * (round_ * wide * first + len(self.regions) * math.pi * wide**2 * second)


class AirVolume(Record):
    """Slabs in the order of the flow: the duct before, the passage, the duct behind.

    `passage` is the exact volume of the sections themselves, without ducts and simplifications, mm3. `mirror` is the
    line that the field is symmetric about, as its direction ("x" or "y") and its place: half is then calculated.
    """

    slabs: tuple[Slab, ...]
    passage: float
    mirror: tuple[str, float] | None = None

    @property
    def volume(self) -> float:
        """Volume with both ducts, mm3."""
        return sum(slab.volume for slab in self.slabs)

    @property
    def difference(self) -> float:
        """By what share the passage as calculated is larger than the exact one."""
        return sum(slab.volume for slab in self.slabs[1:-1]) / self.passage - 1

    @property
    def outlets(self) -> tuple[str, ...]:
        """Names of the openings that air leaves by."""
        last = self.slabs[-1]
        several = len(last.regions) > 1
        return tuple(f"{last.name} {place}" if several else last.name for place in range(1, len(last.regions) + 1))

    @property
    def widest(self) -> Slab:
        """The slab of the passage with most area: its plan shows most."""
        return max(self.slabs[1:-1] or self.slabs, key=lambda slab: total_area(slab.regions))

    @property
    def cut(self) -> tuple[str, float]:
        """The section that shows most: the line of symmetry, else one through the entry, to where the air leaves it."""
        if self.mirror:
            return self.mirror
        (x, y), (u, v) = (_middle(self.slabs[place].regions[0]) for place in (0, -1))
        return ("x", y) if abs(u - x) >= abs(v - y) else ("y", x)

    def as_case(self) -> dict[str, Any]:
        """What the calculation needs of it, in plain records: of a symmetric volume the half."""
        return {
            "slabs": [self._plain(slab) for slab in self.slabs],
            "outlets": [region.bounds for region in self.slabs[-1].regions],
            "mirror": self.mirror,
        }

    def _plain(self, slab: Slab) -> dict[str, Any]:
        parts = [region for whole in slab.regions for region in self._part(whole)]
        return {
            "name": slab.name,
            "start": slab.start,
            "end": slab.end,
            "regions": [plain(region) for region in parts],
            "mouth": slab.mouth,
            "area": total_area(parts),
        }

    def _part(self, region: Region) -> tuple[Region, ...]:
        if self.mirror is None:
            return (region,)
        return intersect((region,), (_half_plane(self.mirror, [region]),))


class WayStation(Protocol):
    """A stretch of the air's way as the stack has it; of length 0 is the port of a body at either end."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def length(self) -> float:
        """Length along the flow, mm."""

    @property
    def regions(self) -> tuple[Region, ...]:
        """Outlines in the stack's plan."""

    @property
    def mouth_radius(self) -> float:
        """Radius of the edge by which air enters, mm."""

    @property
    def chamfer(self) -> tuple[float, float] | None:
        """Depth, mm, and angle, degrees, of its chamfer."""


def air_volume(path: Sequence[WayStation]) -> AirVolume:
    """The volume of the air along a path in the order of the flow. Raises GeometryError where air cannot pass."""
    whole = [
        Stretch(station.name, station.length, station.regions, _edge_of(station.mouth_radius, station.chamfer))
        for station in path
        if station.length > 0
    ]
    if not whole:
        message = "air passes through no plate and no gasket"
        raise GeometryError(message)
    exact = sum(slab.volume for section in whole for slab in section.slabs(0.0))
    for before, behind in pairwise(whole):
        _refuse_closed(before.name, before.regions, behind.name, behind.regions)
    first, last = path[0], path[-1]
    sections = joined([*whole])
    entry, leave = _like(first.regions, sections[0].regions), _like(last.regions, sections[-1].regions)
    at = BEFORE * _hydraulic(entry)
    slabs = [Slab(first.name, 0.0, at, entry)]
    for section in sections:
        slabs += section.slabs(at)
        at += section.length
    slabs.append(Slab(last.name, at, at + BEHIND * _hydraulic(leave), leave))
    return volume_of(slabs, exact)


class Stretch(Record):
    """A stretch of the way with one outline: length, mm, and the edge of its entry."""

    name: str
    length: float
    regions: tuple[Region, ...]
    edge: Edge | None = None

    def slabs(self, at: float) -> list[Slab]:
        """The section as prisms from `at` on, the edge of its entry as a slab of its own."""
        if self.edge is None:
            return [Slab(self.name, at, at + self.length, self.regions)]
        deep = min(self.edge.deep, self.length / 2)
        inner = at + deep
        edge = Slab(f"{self.name}, edge", at, inner, self.regions, replace(self.edge, deep=deep))
        return [edge, Slab(self.name, inner, at + self.length, self.regions)]


def joined(sections: Sequence[Stretch]) -> list[Stretch]:
    """Sections without thin ones, whose length goes to the neighbour nearest in area; like neighbours are one."""
    left = list(sections)
    while len(left) > 1 and min(section.length for section in left) <= THIN:
        place = min(range(len(left)), key=lambda at: left[at].length)
        thin = left[place]
        near = min(
            (at for at in (place - 1, place + 1) if 0 <= at < len(left)),
            key=lambda at: abs(total_area(left[at].regions) - total_area(thin.regions)),
        )
        left[near] = replace(left[near], length=left[near].length + thin.length)
        del left[place]
    found = left[:1]
    for section in left[1:]:
        if _like(section.regions, found[-1].regions) is found[-1].regions and section.edge is None:
            found[-1] = replace(found[-1], length=found[-1].length + section.length)
        else:
            found.append(section)
    return found


def volume_of(slabs: Sequence[Slab], passage: float) -> AirVolume:
    """Slabs as one volume. Raises GeometryError naming the first two between which no air can pass."""
    for before, behind in pairwise(slabs):
        _refuse_closed(before.name, before.regions, behind.name, behind.regions)
    for place, region in enumerate(slabs[-1].regions, start=1):
        _refuse_closed(slabs[-2].name, slabs[-2].regions, f"{slabs[-1].name} {place}", [region])
    return AirVolume(tuple(slabs), passage, _mirror(slabs))


def _edge_of(radius: float, chamfer: tuple[float, float] | None) -> Edge | None:
    if chamfer is not None:
        return Edge(chamfer[0] * math.tan(math.radians(chamfer[1])), chamfer[0], rounded=False)
    return Edge(radius, radius, rounded=True) if radius > 0 else None


def _like(regions: tuple[Region, ...], others: tuple[Region, ...]) -> tuple[Region, ...]:
    """The others, where they are nearly the same outlines: steps that small would only cost cells."""
    least = shared_area(regions, others) if len(regions) == len(others) else 0.0
    return others if least > (1 - ALIKE) * max(total_area(regions), total_area(others)) else regions


def _refuse_closed(name: str, regions: Sequence[Region], beyond: str, others: Sequence[Region]) -> None:
    if shared_area(regions, others) <= SAME:
        message = f"air cannot pass from {name} to {beyond}: their outlines share no area"
        raise GeometryError(message)


def _mirror(slabs: Sequence[Slab]) -> tuple[str, float] | None:
    """The line about which all outlines are symmetric, if there is one."""
    x0, y0, x1, y1 = slabs[0].regions[0].bounds
    for along, angle, about in (("x", 0.0, (0.0, (y0 + y1) / 2)), ("y", 90.0, ((x0 + x1) / 2, 0.0))):
        line = (along, about[1] if along == "x" else about[0])
        outlets = [[region] for region in slabs[-1].regions]  # each by itself: its share is not another's
        if all(_is_symmetric(regions, angle, about) for regions in [*(slab.regions for slab in slabs), *outlets]):
            return line
    return None


def _is_symmetric(regions: Sequence[Region], angle: float, about: tuple[float, float]) -> bool:
    area = total_area(regions)
    return shared_area(regions, [mirrored(region, angle, about) for region in regions]) > area * (1 - SAME)


def _half_plane(mirror: tuple[str, float], regions: Sequence[Region]) -> Region:
    """A rectangle over all that lies on the positive side of the line."""
    x0, y0, x1, y1 = unite(*regions)[0].bounds if len(regions) > 1 else regions[0].bounds
    along, at = mirror
    low, high = ((x0 - 1, at), (x1 + 1, max(y1, at) + 1)) if along == "x" else ((at, y0 - 1), (max(x1, at) + 1, y1 + 1))
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    return Region(Loop.rectangle(high[0] - low[0], high[1] - low[1], centre=middle))


def _middle(region: Region) -> tuple[float, float]:
    x0, y0, x1, y1 = region.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2


def _hydraulic(regions: Sequence[Region]) -> float:
    """Hydraulic diameter of the largest, mm."""
    return max(4 * region.area / region.outer.perimeter for region in regions)


def plain(region: Region) -> list[list[list[float]]]:
    """A region as lists of edges, as the calculation reads them."""
    return [[_ends(edge) for edge in loop.edges] for loop in region.loops]


def _ends(edge: Line | Arc) -> list[float]:
    """Start, end and, of an arc, a point half way."""
    if isinstance(edge, Arc):
        return [*edge.start, *edge.end, *edge.point(0.5)]
    return [*edge.start, *edge.end]
