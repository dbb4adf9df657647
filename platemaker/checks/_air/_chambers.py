"""The chambers on the air's way: pockets that it crosses sideways from port to port, with the throat of each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from platemaker.checks._air._air_path import Station
from platemaker.errors import GeometryError
from platemaker.plane import (
    ChamberOpening,
    ChamberPiece,
    Line,
    Region,
    Throat,
    intersect,
    measures,
    rotated,
    shared_area,
    throat,
    total_area,
)
from platemaker.records import Record
from platemaker.remembered import remembered

SHALLOW = 1e-2
"""Share of its depth with which a chamber's sideways throat is found: so shallow that no port is the tightest place."""
THIN = 3.0
"""A station no longer than this, mm, is a gasket's: wider than the port beyond it, it is part of the chamber."""
FULL, ALONG = 0.9, 0.25
"""Share of its box that a rectangle fills at least; how far aside of a direction a port may lie, over its distance."""
SAME = 1e-6
"""Areas that differ by less than this share are the same."""


class Chamber(Record):
    """A chamber from place `first` to place `last` of a path, between the stations before and behind it.

    `throat` is the least area through which all air must pass. `sideways` is the same with no port counted, what
    passes straight left out, mm2; `straight` is what the ports share, mm2. `fault` says why there is no throat.
    """

    first: int
    last: int
    stations: tuple[Station, ...]
    throat: Throat | None
    sideways: float
    straight: float
    fault: str = ""

    @property
    def plain(self) -> bool:
        """Whether it is such as the model of its loss was compared on: a rectangle from one port to one no narrower.

        That port lies aside of the first along a side of the rectangle, or below it.
        """
        (first, *more), last = self.inflow.regions, self.outflow.regions
        rooms = [region for station in self.stations[1:-1] for region in station.regions]
        if more or len(last) > 1 or self.outflow.area < self.inflow.area * (1 - SAME):
            return False
        turns = {_turn(room) for room in rooms}
        if None in turns or any(shared_area([rooms[0]], [one]) < FULL * max(rooms[0].area, one.area) for one in rooms):
            return False
        turn = _turn(rooms[0]) or 0.0
        (x, y), (u, v) = (measures(rotated(port, -turn)).centroid for port in (first, last[0]))
        low, high = sorted((abs(u - x), abs(v - y)))
        return low <= ALONG * high

    @property
    def station(self) -> Station:
        """The largest station of its pockets."""
        return max(self.stations[1:-1], key=lambda station: (station.pocket, station.area))

    @property
    def depth(self) -> float:
        """Its height, mm."""
        return sum(station.length for station in self.stations[1:-1])

    @property
    def inflow(self) -> Station:
        """The station that the air comes from."""
        return self.stations[0]

    @property
    def outflow(self) -> Station:
        """The station that the air goes to."""
        return self.stations[-1]

    @property
    def open(self) -> bool:
        """Whether air can pass."""
        return self.throat is not None and self.throat.area > 0 and (self.sideways > 0 or self.straight > 0)


def chambers(path: Sequence[Station]) -> tuple[Chamber, ...]:
    """The chambers of a path: runs of stations with pockets, and of what lies between two of them without narrowing."""
    return tuple(_chamber(path, first, last) for first, last in _runs(path))


def _runs(path: Sequence[Station]) -> Iterator[tuple[int, int]]:
    """First and last places of the runs that have an open station before them and one behind."""
    place = 1
    while place < len(path) - 1:
        if not path[place].pocket:
            place += 1
            continue
        first = last = place
        while last + 1 < len(path) - 1 and (path[last + 1].pocket or _is_open(path, last + 1)):
            last += 1
        while first - 1 > 0 and _is_rim(path[first - 1], path[first - 2]):
            first -= 1
        while last + 1 < len(path) - 1 and _is_rim(path[last + 1], path[last + 2]):
            last += 1
        if path[first - 1].regions and path[last + 1].regions:
            yield first, last
        place = last + 1


def _is_open(path: Sequence[Station], place: int) -> bool:
    """Whether a station between two pockets is one space with them: a gasket, or what leaves open all that they share.

    Of a gasket that covers some of it the throat is refused later, since metal lies between the pockets there.
    """
    if place + 1 >= len(path) - 1 or not (path[place - 1].pocket and path[place + 1].pocket):
        return False
    if path[place].length <= THIN:
        return True
    shared = intersect(path[place - 1].regions, path[place + 1].regions)
    return shared_area(shared, path[place].regions) >= total_area(shared) * (1 - SAME)


def _is_rim(station: Station, beyond: Station) -> bool:
    """Whether a gasket beside a chamber is wider than all of the port beyond it."""
    wider = station.length <= THIN and station.area > beyond.area * (1 + SAME)
    return wider and shared_area(station.regions, beyond.regions) >= beyond.area * (1 - SAME)


def _turn(region: Region) -> float | None:
    """Angle of a rectangle's sides, degrees, its corners rounded or not; None of another figure."""
    sides = [edge for edge in region.outer.edges if isinstance(edge, Line)]
    if len(region.loops) > 1 or not sides:
        return None
    (x, y), (u, v) = max(((edge.start, edge.end) for edge in sides), key=lambda ends: math.dist(*ends))
    turn = math.degrees(math.atan2(v - y, u - x))
    x0, y0, x1, y1 = rotated(region, -turn).bounds
    return turn if region.area >= FULL * (x1 - x0) * (y1 - y0) else None


def _chamber(path: Sequence[Station], first: int, last: int) -> Chamber:
    stations = tuple(path[first - 1 : last + 2])
    try:
        found, shallow = _throats(stations)
    except GeometryError as fault:
        return Chamber(first, last, stations, None, 0.0, 0.0, str(fault))
    straight = shared_area(stations[0].regions, stations[-1].regions)
    return Chamber(first, last, stations, found, max(0.0, shallow.area - straight) / SHALLOW, straight)


@remembered(64)  # every check, picture and study of the same stack reads the same throats
def _throats(stations: tuple[Station, ...]) -> tuple[Throat, Throat]:
    """The throat, and that of a chamber so shallow that only what is sideways counts."""
    inflow, outflow = (_openings(station) for station in (stations[0], stations[-1]))
    return tuple(throat(list(_pieces(stations[1:-1], share)), inflow, outflow) for share in (1.0, SHALLOW))  # type: ignore[return-value]


def _pieces(stations: Sequence[Station], share: float) -> Iterator[ChamberPiece]:
    """The chamber's layers from the bottom up, heights times `share`."""
    level = 0.0
    for station in sorted(stations, key=lambda station: station.height):
        for region in station.regions:
            yield ChamberPiece(station.name, region, station.length * share, level * share)
        level += station.length


def _openings(station: Station) -> list[ChamberOpening]:
    several = len(station.regions) > 1
    return [
        ChamberOpening(f"{station.name} {number}" if several else station.name, region)
        for number, region in enumerate(station.regions, start=1)
    ]
